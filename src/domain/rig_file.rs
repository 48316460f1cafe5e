//! A rig as a file in our own form: TOML, or JSON of the same sheet.

use crate::rigging::{Faults, Mark, Rig, Sheet};

/// The largest file of a rig, in bytes. The largest that comes with the program has a tenth of it.
pub const LARGEST_RIG: usize = 48 * 1024;

/// The two ways in which a sheet is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RigForm {
    /// TOML, for people.
    Toml,
    /// JSON, for programs.
    Json,
}

impl RigForm {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Toml, Self::Json];

    /// The ending of a file's name.
    pub fn ending(self) -> &'static str {
        match self {
            Self::Toml => "toml",
            Self::Json => "json",
        }
    }

    /// What a file is sent as.
    pub fn media_type(self) -> &'static str {
        match self {
            Self::Toml => "application/toml; charset=utf-8",
            Self::Json => "application/json",
        }
    }

    /// Reads the ending of a file's name.
    pub fn from_ending(ending: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|form| form.ending() == ending)
    }

    /// A sheet in this form.
    ///
    /// # Panics
    /// Never: a sheet holds texts, numbers and lists of them.
    pub fn write(self, sheet: &Sheet) -> String {
        match self {
            Self::Toml => sheet.to_toml(),
            Self::Json => {
                let written = serde_json::to_string_pretty(sheet);
                written.expect("a sheet holds texts, numbers and lists of them") + "\n"
            }
        }
    }
}

/// A rig that was read from a file, and its sheet as TOML: the very text, if it was that.
#[derive(Clone, Debug, PartialEq)]
pub struct RigFile {
    /// The rig.
    pub rig: Rig,
    /// Its sheet.
    pub text: String,
}

/// Reads the bytes of a file as a rig. What begins with a brace is JSON, everything else TOML.
///
/// # Errors
/// What is too large or no text; else everything that [`Rig::from_toml`] says.
pub fn read_rig(bytes: &[u8]) -> Result<RigFile, Faults> {
    let text = text_of(bytes)?;
    if text.trim_start().starts_with('{') {
        let sheet = read_json(&text)?;
        let rig = Rig::from_sheet(sheet).map_err(|faults| faults.marked_in_json(&text))?;
        let text = rig.sheet_text();
        return Ok(RigFile { rig, text });
    }
    let rig = Rig::from_toml(&text)?;
    Ok(RigFile { rig, text })
}

/// Reads the bytes of a file as a sheet, without looking whether it is a rig.
///
/// # Errors
/// What is too large, no text or no sheet.
pub fn read_sheet(bytes: &[u8]) -> Result<Sheet, Faults> {
    let text = text_of(bytes)?;
    if text.trim_start().starts_with('{') {
        read_json(&text)
    } else {
        Sheet::from_toml(&text)
    }
}

/// The text of a file, its byte order mark left off.
fn text_of(bytes: &[u8]) -> Result<String, Faults> {
    if bytes.len() > LARGEST_RIG {
        return Err(Faults::unreadable(
            format!(
                "it has {} bytes, and a rig has at most {LARGEST_RIG}.",
                bytes.len()
            ),
            None,
        ));
    }
    let text = str::from_utf8(bytes).map_err(|error| {
        let why = format!(
            "it is no text in UTF-8; the byte {} is none. Save it as UTF-8.",
            error.valid_up_to() + 1
        );
        Faults::unreadable(why, None)
    })?;
    Ok(text.strip_prefix('\u{feff}').unwrap_or(text).to_owned())
}

fn read_json(text: &str) -> Result<Sheet, Faults> {
    serde_json::from_str(text).map_err(|error| {
        let mark = Mark {
            line: error.line(),
            column: error.column(),
        };
        // The library puts the spot behind its sentence; it is told in front already.
        let told = error.to_string();
        let why = told.split(" at line ").next().unwrap_or(&told).to_owned();
        Faults::unreadable(why, Some(mark).filter(|mark| mark.line > 0))
    })
}
