//! Items that were refused for a job: one row a reason, in the order in which they were recorded.

use super::{
    Cell, Column,
    cell::{moment, number, text, told},
    column::column,
};
use crate::domain::{Change, Entry, Names};

/// How many cells a row has.
pub const CELLS: usize = 13;

/// The columns. `known` tells how the rule's source is known: read, reported, or from memory and to be checked.
pub const COLUMNS: [Column; CELLS] = [
    column("seq"),
    column("recorded_at").on_paper(2.2),
    column("who").on_paper(2.2),
    column("job").on_paper(2.2),
    column("mark").on_paper(1.8),
    column("position").on_paper(1.6),
    column("code"),
    column("sentence").on_paper(4.0),
    column("evidence"),
    column("source").on_paper(2.6),
    column("known").on_paper(2.0),
    column("job_id"),
    column("item_id"),
];

/// A row for each reason that an entry holds; one that is no refusal has none.
pub fn rows<'a>(entry: &'a Entry<Change>, names: &Names) -> Vec<[Cell<'a>; CELLS]> {
    let Change::ItemRefused(refused) = &entry.change else {
        return Vec::new();
    };
    let rows = refused.refusals.iter().map(|refusal| {
        [
            number(entry.seq),
            moment(entry.recorded_at),
            names.of(entry.actor.0).into(),
            names.of(refused.job.0).into(),
            names.of(refused.item.0).into(),
            text(refused.position.as_ref()),
            refusal.code.key().into(),
            refusal.sentence.as_str().into(),
            refusal.looked_at().into_owned().into(),
            refusal.rule.source.as_str().into(),
            refusal.rule.labels().into(),
            told(refused.job),
            told(refused.item),
        ]
    });
    rows.collect()
}
