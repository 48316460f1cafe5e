//! Characters that no face of the papers has: told where a paper is offered, and on the paper itself.

use std::collections::BTreeSet;

use serde::Serialize;
use serde_json::Value;

use super::{draw::Piece, line::lacks};

/// How many are named; of the rest it is said how many they are.
const MOST_NAMED: usize = 12;

/// The characters of a text that cannot be printed.
pub(super) fn in_text(text: &str) -> BTreeSet<char> {
    text.chars().filter(|c| lacks(*c)).collect()
}

/// The characters that cannot be printed in what records hold, in words for the page that offers the paper; none where
/// all of them can.
pub fn told(records: &impl Serialize) -> Option<String> {
    let mut lacking = BTreeSet::new();
    collect(&serde_json::to_value(records).ok()?, &mut lacking);
    let words = named(&lacking)?;
    Some(format!(
        "The PDF has no letters for {words}: a mark stands in their place, and the paper says so."
    ))
}

fn collect(value: &Value, lacking: &mut BTreeSet<char>) {
    match value {
        Value::String(text) => lacking.extend(in_text(text)),
        Value::Array(values) => values.iter().for_each(|value| collect(value, lacking)),
        Value::Object(values) => values.values().for_each(|value| collect(value, lacking)),
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}

/// The characters of pages that stand as lacking there.
pub(super) fn in_pages(pages: &[Vec<Piece>]) -> BTreeSet<char> {
    let mut lacking = BTreeSet::new();
    for piece in pages.iter().flatten() {
        match piece {
            Piece::Text { line, .. } => lacking.extend(line.lacking.iter().copied()),
            Piece::Picture { picture, .. } => {
                for words in &picture.words {
                    lacking.extend(in_text(&words.words));
                }
            }
            Piece::Field { .. } | Piece::Code { .. } | Piece::Photo { .. } => {}
        }
    }
    lacking
}

/// Each character with its number in Unicode, since it cannot be shown everywhere.
pub(super) fn named(lacking: &BTreeSet<char>) -> Option<String> {
    let all: Vec<String> = lacking
        .iter()
        .take(MOST_NAMED)
        .map(|c| format!("{c} (U+{:04X})", u32::from(*c)))
        .collect();
    let more = lacking.len().saturating_sub(MOST_NAMED);
    match (all.is_empty(), more) {
        (true, _) => None,
        (false, 0) => Some(all.join(", ")),
        (false, more) => Some(format!("{} and {more} more", all.join(", "))),
    }
}

/// The same for a paper, which cannot show them: by number alone.
pub(super) fn numbered(lacking: &BTreeSet<char>) -> Option<String> {
    let numbers = lacking.iter().map(|c| format!("U+{:04X}", u32::from(*c)));
    let numbers: Vec<String> = numbers.collect();
    (!numbers.is_empty()).then(|| {
        format!(
            "Letters that could not be printed here and stand as \u{fffd}, by their numbers in Unicode: {}. The register has them.",
            numbers.join(", ")
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_no_face_has_is_told_by_number() {
        let records =
            serde_json::json!({"mark": "RL-1", "note": ["Größe \u{141} \u{3a9} \u{416} \u{2264}"]});
        assert_eq!(
            told(&records),
            None,
            "Latin, Greek and Cyrillic letters are there"
        );
        let records = serde_json::json!({"a": [{"note": "\u{7e69} and \u{7e69}"}], "b": 7});
        assert_eq!(
            told(&records).unwrap(),
            "The PDF has no letters for \u{7e69} (U+7E69): a mark stands in their place, and the paper says so."
        );
        let many: String = ('\u{4e00}'..'\u{4e20}').collect();
        assert!(told(&many).unwrap().contains("U+4E0B) and 20 more"));
    }

    #[test]
    fn line_ends_and_tabs_are_blanks_and_lack_nothing() {
        assert!(in_text("one\n\ttwo\r\n\u{feff}").is_empty());
        assert_eq!(
            in_text("\u{e000}").len(),
            1,
            "a sign of some program's own means nothing on paper"
        );
    }
}
