//! The words that stand beside a lot or serial on a record, and what they say of it.

use super::letters;

/// What stands between two numbers.
pub(super) const PARTING: [char; 16] = [
    ',', ';', '/', '|', '&', '+', '(', ')', '[', ']', '"', '\'', '=', '\n', '\t', '#',
];
/// Short words that are part of no number.
const SHORT: [&str; 20] = [
    "sn", "no", "nr", "n", "s", "ln", "bn", "ch", "or", "to", "et", "ou", "od", "y", "u", "o", "e",
    "is", "if", "of",
];
/// Words that are written close to a number.
const CLOSE: [&str; 5] = ["lot", "batch", "charge", "serial", "sn"];
/// Words by which a text says of others than it names, or that they are not known.
const OPEN: [&str; 35] = [
    "above",
    "after",
    "before",
    "bis",
    "below",
    "beyond",
    "earlier",
    "except",
    "ff",
    "higher",
    "later",
    "lower",
    "max",
    "min",
    "newer",
    "older",
    "onward",
    "onwards",
    "since",
    "from",
    "not",
    "unknown",
    "illegible",
    "unreadable",
    "various",
    "several",
    "mixed",
    "other",
    "others",
    "etc",
    "unclear",
    "tbc",
    "tbd",
    "up",
    "usw",
];

/// A word of a text.
pub(super) enum Word<'a> {
    Number(&'a str),
    /// Letters that may belong to the number beside them: "A 100".
    Letters(&'a str),
    /// What belongs to none.
    Other,
}

impl<'a> Word<'a> {
    pub(super) fn of(text: &'a str) -> Self {
        let plain = letters(text);
        if plain.contains(|c: char| c.is_ascii_digit()) {
            Self::Number(text)
        } else if (1..=2).contains(&plain.chars().count()) && !SHORT.contains(&plain.as_str()) {
            Self::Letters(text)
        } else {
            Self::Other
        }
    }
}

/// Whether a text says of others than it names, or that they are not known: by a word, or by a sign such as "B3+".
pub(super) fn is_open(whole: &str, words: &[&str]) -> bool {
    let in_words = words
        .iter()
        .any(|word| OPEN.contains(&letters(word).as_str()));
    in_words || whole.contains(['>', '<', '≥', '≤']) || whole.trim_end().ends_with('+')
}

/// A number without the word that is written close before it: "SN105", "Nr.B5".
pub(super) fn bare(number: &str) -> Vec<String> {
    let lower = number.to_ascii_lowercase();
    let close = CLOSE.iter().filter_map(|name| {
        let rest = lower.strip_prefix(name)?;
        Some(number[number.len() - rest.len()..].to_owned())
    });
    let abbreviated = number.rsplit_once('.').filter(|(name, _)| {
        let is_name = |c: char| c.is_alphabetic() || c == '-' || c == '.';
        name.len() > 1 && name.chars().all(is_name)
    });
    let abbreviated = abbreviated.map(|(_, rest)| rest.to_owned());
    close.chain(abbreviated).collect()
}
