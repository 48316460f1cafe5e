//! The classes that standards are known to have.

use super::rulebook::{same_class, same_standard};

/// The classes of the standards that have some.
///
/// The letters that the shipped rulebooks name stand there with their sources; the others are from
/// memory, and are used for nothing but to tell a letter behind a number from a part of a name.
const CLASSES: &[(&str, &str)] = &[
    ("EN 341", "A, B, C, D, 1A, 1B, 1C, 1D, 2A, 2B, 2C, 2D"),
    ("EN 362", "A, B, M, Q, T"),
    ("EN 795", "A, A1, A2, B, C, D, E"),
    ("EN 1496", "A, B"),
    ("EN 1498", "A, B, C"),
    ("EN 1891", "A, B"),
    ("EN 12275", "A, B, H, K, Q, T, X"),
    ("EN 12841", "A, B, C"),
    ("CEN/TS 16415", "A, A1, A2, B, C, D, E"),
    ("NFPA 1983", "G, T, E, rope grab G, rope grab T"),
    ("NFPA 2500", "G, T, E, rope grab G, rope grab T"),
];

/// The standards that are known to rate a load: those of which a shipped rulebook asks it.
const RATED: &[&str] = &["EN 341", "EN 353-2", "EN 12841"];

/// Whether a standard is known to rate a load.
pub fn rates_load(standard: &str) -> bool {
    let mut known = RATED.iter();
    known.any(|named| same_standard(named, standard))
}

/// Whether a standard is known to have a class.
///
/// ```
/// use ropeloft::domain::has_class;
///
/// assert!(has_class("BS EN 1891:1998", "type A"));
/// assert!(!has_class("EN 567", "A"));
/// ```
pub fn has_class(standard: &str, class: &str) -> bool {
    let mut known = CLASSES.iter();
    known.any(|(named, classes)| {
        let mut classes = classes.split(", ");
        same_standard(named, standard) && classes.any(|one| same_class(Some(one), Some(class)))
    })
}
