//! Examinations: one row each, in the order in which they were recorded.

use super::{
    Table,
    cell::{day, moment, number},
};
use crate::domain::{Change, Entry, Names};

/// How many cells a row has.
pub const CELLS: usize = 13;

/// The headings. `done_on` and `recorded_at` are the two clocks: when somebody looked, and when it was written down.
pub const HEADINGS: [&str; CELLS] = [
    "seq",
    "mark",
    "model",
    "examination",
    "done_on",
    "examiner",
    "verdict",
    "findings",
    "next_due_on",
    "recorded_at",
    "recorded_by",
    "item_id",
    "examination_id",
];

/// Adds the examination that an entry records; any other entry adds nothing. `models` are the titles of the models,
/// by their items.
pub fn push(table: &mut Table<CELLS>, entry: &Entry<Change>, names: &Names, models: &Names) {
    let Change::ExaminationRecorded(examination) = &entry.change else {
        return;
    };
    table.row([
        number(entry.seq),
        names.of(examination.item.0).into(),
        models.of(examination.item.0).into(),
        examination.kind.key().into(),
        day(Some(examination.on)),
        examination.examiner.as_str().into(),
        examination.verdict.key().into(),
        examination.findings.as_str().into(),
        day(examination.next_due_on),
        moment(entry.recorded_at),
        names.of(entry.actor.0).into(),
        number(examination.item),
        number(examination.id),
    ]);
}
