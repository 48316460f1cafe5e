//! What was sent from the editor, and what it comes to.

use crate::{
    domain::{FieldErrors, RigDraft, read_rig, read_sheet},
    rigging::{Faults, Rig},
    view::rig::{Look, Tab},
    web::{Problem, typed::Typed},
};

/// What was sent from the editor.
pub(super) struct Sent {
    /// What the button asks for.
    pub(super) act: String,
    /// What is new in this version.
    pub(super) note: String,
    /// The sheet as it was written.
    pub(super) tab: Tab,
}

impl Sent {
    /// Reads what was sent; what has no key yet gets one from its title.
    pub(super) fn read(mut typed: Typed) -> Result<Self, Problem> {
        let act = typed.take("act").unwrap_or_default();
        let note = typed.take("note").unwrap_or_default();
        let text = typed.take("text");
        typed.take("tab");
        let tab = if let Some(text) = text {
            // A browser ends lines as mail does; a file of ours does not.
            Tab::Text(text.replace("\r\n", "\n"))
        } else {
            let mut draft: RigDraft = typed.draft()?;
            draft.name_all();
            Tab::Form(Box::new(draft))
        };
        Ok(Self { act, note, tab })
    }
}

/// The rig that was written, or what is wrong under the fields of its tab.
pub(super) fn rig_of(tab: &Tab) -> Result<Rig, FieldErrors> {
    match tab {
        Tab::Form(draft) => draft.check(),
        Tab::Text(text) => match read_rig(text.as_bytes()) {
            Ok(file) => Ok(file.rig),
            Err(faults) => Err(lines_of(&faults)),
        },
    }
}

/// The answer to a look.
pub(super) fn looked(rig: &Result<Rig, FieldErrors>) -> Look {
    match rig {
        Ok(rig) => Look::at(rig),
        Err(wrong) => Look::wrong(wrong),
    }
}

/// The faults of a text, each with its line, under the one field that it is.
fn lines_of(faults: &Faults) -> FieldErrors {
    let mut wrong = FieldErrors::default();
    for fault in faults.iter() {
        wrong.add("text", "sheet", fault.to_string());
    }
    wrong
}

/// The same under the one field of a text.
pub(super) fn fields_of_text(wrong: FieldErrors) -> FieldErrors {
    let mut all = wrong;
    for error in all.0.iter_mut().filter(|error| error.field != "note") {
        "text".clone_into(&mut error.field);
    }
    all
}

/// The same sheet written the other way.
pub(super) fn switched(tab: &Tab, to_text: bool) -> Result<Tab, FieldErrors> {
    match tab {
        Tab::Form(draft) if to_text => Ok(Tab::Text(draft.sheet()?.to_toml())),
        Tab::Text(text) if !to_text => match read_sheet(text.as_bytes()) {
            Ok(sheet) => Ok(Tab::Form(Box::new(RigDraft::from(&sheet)))),
            Err(faults) => Err(lines_of(&faults)),
        },
        same => Ok(same.clone()),
    }
}

/// How a text is opened: as a form, unless that would lose something of it.
pub(super) fn tab_of(text: String) -> Tab {
    let commented = text.lines().any(|line| line.trim_start().starts_with('#'));
    match read_sheet(text.as_bytes()) {
        Ok(sheet) if !commented => Tab::Form(Box::new(RigDraft::from(&sheet))),
        _ => Tab::Text(text),
    }
}
