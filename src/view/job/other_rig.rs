//! Other rigs than the planned one, beside a kit that cannot be put together.

use crate::view::words;

/// Another rig than the planned one: what the register has for it.
pub struct OtherRig {
    /// Its title.
    pub title: String,
    /// The kit for it, with nothing changed.
    pub href: String,
    /// What it is in a few words, or why it is not filled.
    pub words: String,
}

impl OtherRig {
    /// A rig that is not filled, and why.
    pub fn not(title: &str, why: &str, href: String) -> Self {
        Self {
            title: title.to_owned(),
            href,
            words: why.to_owned(),
        }
    }

    /// A rig with so many items.
    pub fn new(title: &str, belay: &str, items: usize, href: String) -> Self {
        Self {
            title: title.to_owned(),
            href,
            words: format!("{belay}; {}", words::count(items, "item", "items")),
        }
    }
}
