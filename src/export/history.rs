//! The history: one row an entry of the ledger.

use super::{
    Cell, Column,
    cell::{day, moment, number, told},
    column::column,
};
use crate::domain::{Change, Entry, Hash, Names, Told, about};

/// How many cells a row has.
pub const CELLS: usize = 11;

/// The columns.
///
/// `done_on` is empty where the entry names no day of its own: then it was done as it was recorded. `leaf_hash` and
/// `root` are those of RFC 6962 over the ledger's entries, in hexadecimal.
pub const COLUMNS: [Column; CELLS] = [
    column("seq").on_paper(1.2),
    column("recorded_at").on_paper(2.4),
    column("done_on").on_paper(1.8),
    column("who").on_paper(2.4),
    column("kind"),
    column("about").on_paper(2.4),
    column("sentence").on_paper(6.0),
    column("who_id"),
    column("about_ids"),
    column("leaf_hash"),
    column("root"),
];

/// The row of an entry.
pub fn row(
    entry: &Entry<Change>,
    (leaf, root): (&Hash, &Hash),
    names: &Names,
) -> [Cell<'static>; CELLS] {
    let words = Told::of_entry(entry, names);
    let ids = entry.change.subjects().into_iter();
    let ids: Vec<String> = ids.map(|id| id.to_string()).collect();
    [
        number(entry.seq),
        moment(entry.recorded_at),
        day(words.done),
        names.of(entry.actor.0).into(),
        entry.change.kind().into(),
        about(&entry.change, names).join("; ").into(),
        words.sentence().into(),
        told(entry.actor),
        ids.join(" ").into(),
        hex::encode(leaf).into(),
        hex::encode(root).into(),
    ]
}
