//! Examinations: one row each, in the order in which they were recorded.

use std::borrow::Cow;

use super::{
    Table,
    cell::{day, moment, number},
};
use crate::domain::{Change, Entry, Examination, Finding, Names, key_of};

/// How many cells a row has.
pub const CELLS: usize = 18;

/// The headings. `answers` has `key: outcome, measured, note` for each criterion of the `checklist`; both are empty where
/// it was done by none. `done_on` and `recorded_at` are the two clocks: when somebody looked, and when it was written down.
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
    "checklist",
    "failed",
    "watched",
    "answers",
    "place",
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
        examination
            .checklist
            .map(|list| list.to_string())
            .unwrap_or_default()
            .into(),
        count(examination, Finding::Fail),
        count(examination, Finding::Watch),
        answers(examination).into(),
        examination.place.as_str().into(),
    ]);
}

fn count(examination: &Examination, outcome: Finding) -> Cow<'static, str> {
    match examination.checklist {
        Some(_) => number(examination.answered(outcome).count()),
        None => "".into(),
    }
}

fn answers(examination: &Examination) -> String {
    let answers = examination.answers.iter().map(|answer| {
        let outcome = key_of(answer.outcome);
        let parts = [outcome, answer.measured_words(), answer.note.clone()];
        let parts: Vec<String> = parts.into_iter().filter(|part| !part.is_empty()).collect();
        format!("{}: {}", answer.criterion, parts.join(", "))
    });
    let answers: Vec<String> = answers.collect();
    answers.join("; ")
}
