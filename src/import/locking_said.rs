//! How a connector locks, as the words behind its name say it.

use super::synonym::{each, plain_words};

/// How a connector locks, by the word that ends its name or stands alone behind it: "Karabiner alloy, pear, screw".
pub(super) fn behind_name(text: &str) -> impl Iterator<Item = &'static str> {
    text.split([',', ';', '(', ')', '/']).filter_map(|part| {
        let words = plain_words(part);
        let ends = |word: &str| words == word || words.ends_with(&format!(" {word}"));
        let found = LOCKING.iter().find(|(_, written)| each(written).any(ends));
        found.map(|(locking, _)| *locking)
    })
}

/// Words behind the name of a connector that tell how it locks; common practice, no source.
const LOCKING: &[(&str, &str)] = &[
    ("triple", "3 way, three way, 3way, triple, tri, 3 action"),
    ("twist", "twist, 2 way, two way, 2way, quarter turn"),
    ("screw", "screw, screwed, screwgate"),
    ("none", "non locking, plain gate"),
];
