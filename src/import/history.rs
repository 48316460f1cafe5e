//! What a list tells of an item's past: its last examination and the state it is in.

use time::Date;

use super::field::Field;
use super::plan::PlannedStep;
use super::row::ReadRow;
use crate::domain::date::{read_day, write_day};
use crate::domain::{ExaminationDraft, ExaminationKind, ItemState, ItemStep, Made, Verdict};

/// What came of a row's past.
pub(super) struct History {
    pub(super) examination: Option<ExaminationDraft>,
    pub(super) step: Option<PlannedStep>,
    pub(super) wrong: Vec<(Field, &'static str, String)>,
}

/// The findings of an examination that the list tells of.
const TAKEN_OVER: &str = "Taken over from the imported list.";

pub(super) fn of(row: &ReadRow, today: Date) -> History {
    let state = ItemState::from_key(row.text(Field::State)).unwrap_or(ItemState::InService);
    let said = Verdict::from_key(row.text(Field::Verdict));
    let examined = read_day(row.text(Field::LastExamined)).ok();
    // Where the list gives no verdict, the state that the item was left in is one.
    let verdict = said.unwrap_or(match state {
        ItemState::Quarantined => Verdict::Quarantine,
        ItemState::Retired => Verdict::Retire,
        ItemState::InService | ItemState::Missing => Verdict::Fit,
    });
    let due = read_day(row.text(Field::NextDue))
        .ok()
        .filter(|_| verdict == Verdict::Fit);
    let examination = examined.map(|on| ExaminationDraft {
        kind: kind(row, on).key().to_owned(),
        on: write_day(on),
        examiner: row.text(Field::Examiner).to_owned(),
        findings: findings(row),
        verdict: verdict.key().to_owned(),
        next_due_on: due.map(write_day).unwrap_or_default(),
        ..ExaminationDraft::default()
    });
    let ends_in = match (examined, verdict) {
        (Some(_), Verdict::Quarantine) => ItemState::Quarantined,
        (Some(_), Verdict::Retire) => ItemState::Retired,
        _ => ItemState::InService,
    };
    // A verdict without a day is no examination, but it holds the item back all the same.
    let wanted = match (state, said) {
        (ItemState::Retired, _) | (_, Some(Verdict::Retire)) => ItemState::Retired,
        (ItemState::InService, Some(Verdict::Quarantine)) => ItemState::Quarantined,
        (ItemState::InService, _) if row.held.is_some() => ItemState::Quarantined,
        (state, _) => state,
    };
    let step = step(ends_in, wanted);
    History {
        examination,
        step: step.map(|step| PlannedStep {
            step,
            reason: reason(row),
        }),
        wrong: wrong_days(examined, Made::read(row.text(Field::Made)).ok(), due, today),
    }
}

/// A list tells of the last examination, which is one at its interval. It is the one of the intake only where it was done
/// before the item was used: no later than the day of first use or, where that is not told, the day it was bought.
fn kind(row: &ReadRow, on: Date) -> ExaminationKind {
    let days = [Field::FirstUsed, Field::Bought];
    let begun = days
        .iter()
        .find_map(|day| Made::read(row.text(*day)).ok().map(Made::cautious_day));
    match begun {
        Some(begun) if on <= begun => ExaminationKind::Intake,
        _ => ExaminationKind::Periodic,
    }
}

/// What does not hold about the days of the last examination and the next.
fn wrong_days(
    examined: Option<Date>,
    made: Option<Made>,
    due: Option<Date>,
    today: Date,
) -> Vec<(Field, &'static str, String)> {
    let mut wrong = Vec::new();
    if let Some(on) = examined.filter(|on| *on > today) {
        let (today, on) = (write_day(today), write_day(on));
        let message = format!("It cannot be examined after today, {today}, as {on} is.");
        wrong.push((Field::LastExamined, "range", message));
    }
    if let (Some(made), Some(on)) = (made, examined)
        && on < made.cautious_day()
    {
        let on = write_day(on);
        let message = format!(
            "It cannot be examined before it was made, {made}, as {on} is. Mend the day, or the date made."
        );
        wrong.push((Field::LastExamined, "range", message));
    }
    if let (Some(due), Some(on)) = (due, examined)
        && due <= on
    {
        let (due, on) = (write_day(due), write_day(on));
        let message =
            format!("The next examination must be due after the last one, {on}, not on {due}.");
        wrong.push((Field::NextDue, "range", message));
    }
    wrong
}

fn step(from: ItemState, to: ItemState) -> Option<ItemStep> {
    if from == to || from == ItemState::Retired {
        return None;
    }
    match to {
        ItemState::InService => None,
        ItemState::Quarantined => Some(ItemStep::Quarantine),
        ItemState::Missing => Some(ItemStep::ReportMissing),
        ItemState::Retired => Some(ItemStep::Retire),
    }
}

fn findings(row: &ReadRow) -> String {
    let mut findings = TAKEN_OVER.to_owned();
    for field in [Field::Verdict, Field::State, Field::StateReason] {
        if let Some(given) = row
            .values
            .get(&field)
            .filter(|given| !given.shown.is_empty())
        {
            for part in [" ", &field.label(), ": ", &given.shown, "."] {
                findings.push_str(part);
            }
        }
    }
    if row
        .values
        .get(&Field::State)
        .is_some_and(|given| given.shown.is_empty())
    {
        findings
            .push_str(" The list says nothing of the state; it was said when it was brought in.");
    }
    let field = Field::MarkingsReadable;
    if let Some(given) = row
        .values
        .get(&field)
        .filter(|_| row.worded.contains(&field))
    {
        for part in [
            " ",
            &field.label(),
            ": ",
            &given.text,
            " (",
            &given.shown,
            ").",
        ] {
            findings.push_str(part);
        }
    }
    if let Some(given) = row.values.get(&Field::Examiner) {
        let shown = given.shown.trim();
        if shown.is_empty() {
            findings.push_str(
                " The list names no examiner; who it was, was said when it was brought in.",
            );
        } else if shown != given.text {
            for part in [" The list names \"", shown, "\"."] {
                findings.push_str(part);
            }
        }
    }
    findings
}

/// Why an item is in the state in which the list brings it.
pub(super) fn reason(row: &ReadRow) -> String {
    let shown = |field| row.values.get(&field).map(|given| given.shown.clone());
    let why = shown(Field::StateReason);
    let word = shown(Field::State)
        .or_else(|| shown(Field::Verdict))
        .unwrap_or_default();
    if let Some(held) = &row.held {
        return format!("The imported list says: {held}. Held until somebody has looked at it.");
    }
    if word.is_empty() {
        return "The imported list says nothing of the state; so it was said when the list was brought in.".to_owned();
    }
    match why {
        Some(why) => format!("{why} (the imported list says: {word})"),
        None => format!("The imported list says: {word}"),
    }
}

/// What the list tells of the past that no record can hold.
pub(super) fn kept_in_note(row: &ReadRow) -> Vec<String> {
    let mut lines = Vec::new();
    let examined = row.values.contains_key(&Field::LastExamined);
    let fields = [Field::NextDue, Field::Examiner, Field::StateReason];
    for field in fields {
        let used = match field {
            Field::StateReason => row.values.contains_key(&Field::State) || examined,
            _ => examined,
        };
        if let Some(given) = row.values.get(&field).filter(|_| !used) {
            lines.push(format!("{}: {}", field.label(), given.text));
        }
    }
    lines
}
