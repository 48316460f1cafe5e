//! Tells by name and content what a file is, and reads it into a table.

use super::failure::{ImportFailure, LARGEST_FILE};
use super::table::Table;
use super::{delimited, workbook};

/// What the beginning of a file shows.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Content {
    Zip,
    Compound,
    Pdf,
    Text,
}

impl Content {
    fn of(bytes: &[u8]) -> Self {
        if bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"PK\x05\x06") {
            Self::Zip
        } else if bytes.starts_with(&[0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1]) {
            Self::Compound
        } else if bytes.starts_with(b"%PDF") {
            Self::Pdf
        } else {
            Self::Text
        }
    }

    fn words(self) -> &'static str {
        match self {
            Self::Zip => "a packed file, as a workbook is",
            Self::Compound => "an older or a protected workbook",
            Self::Pdf => "a PDF",
            Self::Text => "something else",
        }
    }
}

/// Reads a file into a table; of a workbook the sheet that was asked for, or the first that has the
/// headings of a list.
///
/// # Errors
/// What is wrong with the file as a whole, as a sentence that says what to do.
pub fn read_table(name: &str, bytes: &[u8], sheet: Option<&str>) -> Result<Table, ImportFailure> {
    if bytes.len() > LARGEST_FILE {
        return Err(ImportFailure::too_large(bytes.len() as u64));
    }
    if bytes.is_empty() {
        return Err(ImportFailure::Empty);
    }
    let content = Content::of(bytes);
    let shown: String = name.chars().take(120).collect();
    let ending = name
        .rsplit_once('.')
        .map(|(_, ending)| ending.to_lowercase())
        .unwrap_or_default();
    let says = match ending.as_str() {
        "csv" | "tsv" | "txt" => "text",
        "xlsx" | "xlsm" => "a workbook",
        "" => match content {
            Content::Zip | Content::Compound => "a workbook",
            Content::Pdf | Content::Text => "text",
        },
        _ => return Err(ImportFailure::Ending { name: shown }),
    };
    let mismatch = |is| ImportFailure::NotWhatItSays {
        name: shown.clone(),
        says,
        is,
    };
    match (says, content) {
        ("text", Content::Text) => delimited::read(bytes, sheet),
        ("text", other) => Err(mismatch(other.words())),
        (_, Content::Zip) => workbook::read(bytes, sheet),
        (_, Content::Compound) if is_encrypted(bytes) => Err(ImportFailure::Encrypted),
        (_, Content::Compound) => Err(ImportFailure::OtherWorkbook {
            is: "a workbook of an older kind",
        }),
        (_, other) => Err(mismatch(other.words())),
    }
}

/// A protected workbook lies in a compound file whose directory names its package so, in UTF-16.
fn is_encrypted(bytes: &[u8]) -> bool {
    let name: Vec<u8> = "EncryptedPackage"
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect();
    bytes.windows(name.len()).any(|window| window == name)
}
