//! Items that were refused for a job: one row a reason, in the order in which they were recorded.

use super::{
    Table,
    cell::{moment, number, text},
};
use crate::domain::{Change, Entry, Names};

/// How many cells a row has.
pub const CELLS: usize = 13;

/// The headings. `known` tells how the rule's source is known: read, reported, or from memory and to be checked.
pub const HEADINGS: [&str; CELLS] = [
    "seq",
    "recorded_at",
    "who",
    "job",
    "mark",
    "position",
    "code",
    "sentence",
    "evidence",
    "source",
    "known",
    "job_id",
    "item_id",
];

/// Adds the reasons that an entry holds; one that is no refusal adds nothing.
pub fn push(table: &mut Table<CELLS>, entry: &Entry<Change>, names: &Names) {
    let Change::ItemRefused(refused) = &entry.change else {
        return;
    };
    for refusal in &refused.refusals {
        table.row([
            number(entry.seq),
            moment(entry.recorded_at),
            names.of(entry.actor.0).into(),
            names.of(refused.job.0).into(),
            names.of(refused.item.0).into(),
            text(refused.position.as_ref()),
            refusal.code.key().into(),
            refusal.sentence.as_str().into(),
            refusal.evidence.as_str().into(),
            refusal.rule.source.as_str().into(),
            refusal.rule.labels().into(),
            number(refused.job),
            number(refused.item),
        ]);
    }
}
