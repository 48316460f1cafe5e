//! A team's own rig: a sheet that it keeps beside those that come with the program, version after version.

use serde::{Deserialize, Serialize};

use super::rig_file::read_rig;
use super::{Edition, FieldErrors, Kind, RigId};
use crate::rigging::{Fault, Faults, Rig, shipped_rig};

/// Keys that stand for something else in an address.
const TAKEN_BY_PAGES: [&str; 4] = ["new", "look", "file", "preview"];

/// One version of a team's own rig.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct OwnRig {
    /// Its id.
    pub id: RigId,
    /// The version: counts the changes, from 1.
    pub revision: u32,
    /// The key of the sheet; it stays the same in every version.
    pub key: String,
    /// The title of the sheet.
    pub title: String,
    /// The sheet as it was written, in TOML.
    pub sheet: String,
    /// What is new in this version, and why. May be empty.
    pub note: String,
}

impl OwnRig {
    /// The rig of this version.
    ///
    /// # Errors
    /// What a later program finds wrong with a sheet that an earlier one took.
    pub fn rig(&self) -> Result<Rig, Faults> {
        Rig::from_toml(&self.sheet)
    }

    /// What a job that is planned with this version names.
    pub fn edition(&self) -> Edition<'_> {
        Edition {
            key: &self.key,
            version: Some(self.revision),
        }
    }

    /// The rig as it would be written.
    pub fn draft(&self) -> OwnRigDraft {
        OwnRigDraft {
            sheet: self.sheet.clone(),
            note: String::new(),
        }
    }
}

/// A rig as it is written: its sheet, in TOML or JSON.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct OwnRigDraft {
    /// The sheet.
    pub sheet: String,
    /// What is new, and why. May be empty.
    pub note: String,
}

impl OwnRigDraft {
    /// The version that was written.
    ///
    /// # Errors
    /// Every fault of the sheet under the field that it is about, and a key that comes with the program.
    pub fn check(&self, id: RigId, revision: u32) -> Result<OwnRig, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let note = wrong.note("note", &self.note);
        let file = match read_rig(self.sheet.as_bytes()) {
            Ok(file) => file,
            Err(faults) => {
                wrong.0.extend(fault_fields(&faults).0);
                return Err(wrong);
            }
        };
        let key = file.rig.key().to_owned();
        if shipped_rig(&key).is_some() || TAKEN_BY_PAGES.contains(&key.as_str()) {
            wrong.add(
                "key",
                "taken",
                format!(
                    "The key \"{key}\" is that of a rig or page of the program: write another."
                ),
            );
        }
        for (at, position) in file.rig.positions().iter().enumerate() {
            let kinds = position.accepts().iter();
            let mut kinds = kinds.filter_map(|word| Kind::from_word(word));
            if let Some(kind) = kinds.find(|kind| kind.is_beside_the_rig()) {
                wrong.add(
                    format!("position[{at}][accepts]"),
                    "choice",
                    format!(
                        "Nothing hangs on {}, so that no position takes it: take it out of the kinds.",
                        kind.one()
                    ),
                );
            }
        }
        wrong.or(|| OwnRig {
            id,
            revision,
            key,
            title: file.rig.title().to_owned(),
            sheet: file.text,
            note,
        })
    }
}

/// The faults of a sheet as those of the fields of a form: `rope[0][path][2][position]`. What is about the
/// whole is under `sheet`.
pub fn fault_fields(faults: &Faults) -> FieldErrors {
    let mut wrong = FieldErrors::default();
    for fault in faults.iter() {
        let mut field = String::new();
        for (name, entry) in fault.place.steps() {
            let entry = entry.map(|entry| format!("[{entry}]")).unwrap_or_default();
            field = match field.as_str() {
                "" => format!("{name}{entry}"),
                before => format!("{before}[{name}]{entry}"),
            };
        }
        let field = if field.is_empty() {
            "sheet".to_owned()
        } else {
            field
        };
        let message = if field == "sheet" {
            fault.to_string()
        } else {
            fault.error.to_string()
        };
        wrong.add(field, &code(fault), message);
    }
    wrong
}

/// The stable word of a fault, as its serialized form has it.
fn code(fault: &Fault) -> String {
    let error = serde_json::to_value(&fault.error).unwrap_or_default();
    let code = error.get("code").and_then(|code| code.as_str());
    code.unwrap_or("sheet").to_owned()
}
