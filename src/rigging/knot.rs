//! What knots leave of a rope's strength.

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

use super::Remaining;

/// The table that ships with the program.
const TABLE: &str = include_str!("knot.toml");

/// A knot, hitch or bend, with the range that lists give for it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Knot {
    /// The short name that rigs use.
    pub key: String,
    /// The name in plain words.
    pub title: String,
    /// The lowest share of strength that a list gives. The one that is used.
    pub low: Remaining,
    /// The highest share that a list gives.
    pub high: Remaining,
    /// Which lists say so.
    pub source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    #[serde(rename = "knot")]
    knots: Vec<Knot>,
}

/// Every knot that a rig may name.
pub fn knots() -> &'static [Knot] {
    static KNOTS: LazyLock<Vec<Knot>> = LazyLock::new(|| {
        let table: Table = toml::from_str(TABLE).expect("a test reads the table of knots");
        table.knots
    });
    &KNOTS
}

/// The knot with this key.
pub fn knot(key: &str) -> Option<&'static Knot> {
    knots().iter().find(|knot| knot.key == key)
}
