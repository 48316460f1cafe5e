//! The history: one row an entry of the ledger.

use super::{
    Table,
    cell::{day, moment, number},
};
use crate::domain::{Change, Entry, Hash, Names, Told, about};

/// How many cells a row has.
pub const CELLS: usize = 11;

/// The headings.
///
/// `done_on` is empty where the entry names no day of its own: then it was done as it was recorded. `leaf_hash` and
/// `root` are those of RFC 6962 over the ledger's entries, in hexadecimal.
pub const HEADINGS: [&str; CELLS] = [
    "seq",
    "recorded_at",
    "done_on",
    "who",
    "kind",
    "about",
    "sentence",
    "who_id",
    "about_ids",
    "leaf_hash",
    "root",
];

/// Adds an entry.
pub fn push(
    table: &mut Table<CELLS>,
    entry: &Entry<Change>,
    (leaf, root): (&Hash, &Hash),
    names: &Names,
) {
    let told = Told::of(&entry.change, names);
    let ids = entry.change.subjects().into_iter();
    let ids: Vec<String> = ids.map(|id| id.to_string()).collect();
    table.row([
        number(entry.seq),
        moment(entry.recorded_at),
        day(told.done),
        names.of(entry.actor.0).into(),
        entry.change.kind().into(),
        about(&entry.change, names).join("; ").into(),
        told.sentence().into(),
        number(entry.actor),
        ids.join(" ").into(),
        hex::encode(leaf).into(),
        hex::encode(root).into(),
    ]);
}
