//! Examinations: one row each, in the order in which they were recorded.

use super::{
    Cell, Column,
    cell::{day, moment, number, told, told_of},
    column::column,
};
use crate::domain::{Change, Entry, Examination, Finding, Names, key_of};

/// How many cells a row has.
pub const CELLS: usize = 23;

/// The columns. `answers` has `key: outcome, measured, note` for each criterion of the `checklist`; both are empty where
/// it was done by none. `done_on` and `recorded_at` are the two clocks: when somebody looked, and when it was written down. The last five are what the report of a thorough examination tells beside;
/// each is empty where nobody said.
pub const COLUMNS: [Column; CELLS] = [
    column("seq"),
    column("mark").on_paper(2.0),
    column("model").on_paper(2.8),
    column("examination").on_paper(2.2),
    column("done_on").on_paper(1.9),
    column("examiner").on_paper(2.2),
    column("verdict").on_paper(1.6),
    column("findings").on_paper(3.7),
    column("next_due_on").on_paper(1.9),
    column("recorded_at"),
    column("recorded_by"),
    column("item_id"),
    column("examination_id"),
    column("checklist"),
    column("failed"),
    column("watched"),
    column("answers"),
    column("place"),
    column("first_there"),
    column("repair"),
    column("danger"),
    column("danger_by"),
    column("tests"),
];

/// The row of the examination that an entry records; any other entry has none. `models` are the titles of the models,
/// by their items.
pub fn row<'a>(
    entry: &'a Entry<Change>,
    names: &Names,
    models: &Names,
) -> Option<[Cell<'a>; CELLS]> {
    let Change::ExaminationRecorded(examination) = &entry.change else {
        return None;
    };
    let report = &examination.report;
    Some([
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
        told(examination.item),
        told(examination.id),
        told_of(examination.checklist),
        count(examination, Finding::Fail),
        count(examination, Finding::Watch),
        answers(examination).into(),
        examination.place.as_str().into(),
        report.first.map(key_of).map_or(Cell::Nothing, Cell::from),
        report.repair.as_str().into(),
        report.danger.map_or(Cell::Nothing, |one| one.key().into()),
        day(report.danger_by()),
        report.tests.as_str().into(),
    ])
}

fn count(examination: &Examination, outcome: Finding) -> Cell<'static> {
    match examination.checklist {
        Some(_) => number(examination.answered(outcome).count()),
        None => Cell::Nothing,
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
