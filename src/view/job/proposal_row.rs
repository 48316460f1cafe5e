//! The rows of a kit that is proposed: what is taken, and what nothing can be taken for.

use crate::view::reason::Reason;

/// An item for a position.
pub struct PickRow {
    /// What is sent for it: the line's id, the position's key and the item's id, and the line of what it takes the place of.
    pub taken: String,
    /// The position.
    pub title: String,
    /// The position's page, where another can be chosen.
    pub others: String,
    /// Its id.
    pub id: String,
    /// Its mark.
    pub mark: String,
    /// The mark of what stands there and may not go.
    pub instead_of: Option<String>,
    /// Its model.
    pub model: String,
    /// What was noted of it; may be empty.
    pub note: String,
    /// Where it lives.
    pub store: String,
    /// That it is not strong enough there, with its numbers; empty where it is.
    pub fails: String,
    /// Why this one.
    pub why: Vec<String>,
}

/// A position that nothing can be taken for.
pub struct MissingRow {
    /// The position.
    pub title: String,
    /// The position's page.
    pub href: String,
    /// What would be needed.
    pub sentence: String,
    /// Whether it may stay empty: a place for what a person hangs in.
    pub may_stay_empty: bool,
    /// What is against those that there are, with how many it refuses.
    pub reasons: Vec<String>,
    /// The items with the fewest reasons against them.
    pub nearest: Vec<RefusedRow>,
}

/// An item with what is against it.
pub struct RefusedRow {
    /// Its page.
    pub href: String,
    /// Its mark.
    pub mark: String,
    /// What is against it.
    pub reasons: Vec<Reason>,
    /// The position of this kit that it is taken for; empty where it is not taken.
    pub taken_for: String,
}
