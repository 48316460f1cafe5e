//! The packed file that a workbook is: looked through before anything reads it.

use std::io::{Cursor, Read};

use zip::ZipArchive;
use zip::result::ZipError;

use super::failure::{ImportFailure, LARGEST_INFLATED, megabytes};

/// The most parts; a workbook of many sheets with pictures has a few hundred.
const MOST_PARTS: usize = 2000;

/// Refuses what is damaged, encrypted, not a workbook, or would blow up.
///
/// First the sizes that the directory states are summed. They may lie, so then every part is inflated
/// and counted, and given up when the limit is passed. What the reader of the workbook inflates later
/// is the same bytes, so it stays within the limit too.
pub(super) fn inspect(bytes: &[u8]) -> Result<(), ImportFailure> {
    let mut archive = ZipArchive::new(Cursor::new(bytes)).map_err(broken)?;
    if archive.len() > MOST_PARTS {
        return Err(ImportFailure::Parts {
            given: archive.len(),
        });
    }
    let mut stated = 0_u64;
    for at in 0..archive.len() {
        let part = archive.by_index_raw(at).map_err(broken)?;
        if part.encrypted() {
            return Err(ImportFailure::Encrypted);
        }
        stated = stated.saturating_add(part.size());
    }
    if stated > LARGEST_INFLATED {
        let given = megabytes(stated);
        return Err(ImportFailure::Bomb {
            given: format!("states {given}"),
        });
    }
    inflate(&mut archive)
}

fn inflate(archive: &mut ZipArchive<Cursor<&[u8]>>) -> Result<(), ImportFailure> {
    let mut left = LARGEST_INFLATED;
    let mut is_workbook = false;
    for at in 0..archive.len() {
        let part = archive.by_index(at).map_err(broken)?;
        let name = part.name().map_err(broken)?.to_lowercase();
        is_workbook |= name.ends_with("workbook.xml");
        let mut content = Vec::new();
        let read = part.take(left + 1).read_to_end(&mut content);
        let read = read.map_err(|error| ImportFailure::Broken {
            why: format!("its part {} cannot be unpacked ({error})", short(&name)),
        })? as u64;
        left = left.checked_sub(read).ok_or_else(|| ImportFailure::Bomb {
            given: "goes beyond that, whatever its directory states".to_owned(),
        })?;
        if name == "mimetype" && content.starts_with(b"application/vnd.oasis") {
            return Err(ImportFailure::OtherWorkbook {
                is: "a document of another kind of spreadsheet",
            });
        }
        let ending = name.rsplit_once('.').map(|(_, ending)| ending);
        if matches!(ending, Some("xml" | "rels")) {
            plausible(&name, &content)?;
        }
    }
    if is_workbook {
        Ok(())
    } else {
        Err(ImportFailure::OtherWorkbook {
            is: "a packed file without a workbook in it",
        })
    }
}

/// Refuses a part whose own counts would make its reader take far more memory than the part is large.
fn plausible(name: &str, content: &[u8]) -> Result<(), ImportFailure> {
    let refuse = |why: &str| {
        Err(ImportFailure::Broken {
            why: format!("its part {} {why}", short(name)),
        })
    };
    if content.contains(&0) {
        return refuse("is not written in UTF-8");
    }
    let word = b"uniqueCount";
    let mut from = 0;
    while let Some(found) = content[from..].windows(word.len()).position(|w| w == word) {
        from += found + word.len();
        let digits: String = content[from..]
            .iter()
            .map(|byte| char::from(*byte))
            .skip_while(|c| c.is_ascii_whitespace() || matches!(c, '=' | '"' | '\''))
            .take_while(char::is_ascii_digit)
            .collect();
        let stated: u128 = digits
            .parse()
            .unwrap_or(if digits.is_empty() { 0 } else { u128::MAX });
        if stated > content.len() as u128 {
            return refuse("states more texts than it has room for");
        }
    }
    Ok(())
}

fn short(name: &str) -> String {
    name.chars().take(80).collect()
}

fn broken(error: ZipError) -> ImportFailure {
    match error {
        ZipError::UnsupportedArchive(ZipError::PASSWORD_REQUIRED) => ImportFailure::Encrypted,
        other => ImportFailure::Broken {
            why: format!("it cannot be unpacked ({other})"),
        },
    }
}
