//! What is measured as the length of an item, held against what its record says.

use super::{Answer, AnswerDraft};
use crate::domain::entered::EnteredLength;
use crate::domain::field::ticked;

/// The key of the criterion that measures the length of an item, in every list.
pub const KEY: &str = "length";
/// Textiles stretch and shrink, and tapes differ: what is shorter by less is no difference. Common practice, no source.
const TOLERANCE: f64 = 0.01;
/// Nothing that is used grows by more than this; what is measured longer was mostly read off in another unit, or is another
/// item. Common practice, no source.
pub const LONGER: f64 = 1.03;
/// What is measured shorter than this part of the record was mostly read off in another unit. Common practice, no source.
pub const SHORTER: f64 = 0.5;

/// The length that was measured, where the record says more than that by more than the tolerance.
pub(in crate::domain) fn shorter_than_recorded(
    answers: &[Answer],
    recorded: Option<EnteredLength>,
) -> Option<EnteredLength> {
    let least = measured(answers)?;
    is_shorter(least, recorded?).then_some(least)
}

/// The length that was measured, where it is shorter than the record says by no more than the tolerance: the record stays.
pub(in crate::domain) fn about_as_recorded(
    answers: &[Answer],
    recorded: EnteredLength,
) -> Option<EnteredLength> {
    let least = measured(answers)?;
    let is_less = least.quantity().metres() < recorded.quantity().metres() - 1e-9;
    (is_less && !is_shorter(least, recorded)).then_some(least)
}

/// The length that was measured, where it is longer than the record says by more than is taken without asking.
pub(in crate::domain) fn longer_than_recorded(
    answers: &[Answer],
    recorded: EnteredLength,
) -> Option<EnteredLength> {
    let least = measured(answers)?;
    let is_longer = least.quantity() > recorded.quantity() && is_doubtful(least, recorded);
    is_longer.then_some(least)
}

/// The least of what was measured as the length.
fn measured(answers: &[Answer]) -> Option<EnteredLength> {
    let answer = answers.iter().find(|one| one.criterion == KEY)?;
    let metres = |length: &EnteredLength| length.quantity().metres();
    let values = answer.values.iter().copied();
    values.min_by(|one, other| metres(one).total_cmp(&metres(other)))
}

/// A length of which it is asked whether it is really so.
pub struct Doubted {
    /// What was typed, all that is asked about.
    given: String,
    /// What is asked.
    pub question: String,
}

impl Doubted {
    /// What is to be asked of the values that were measured as the length, in the order in which they were typed; none
    /// where all are about as long as the record says.
    pub fn of(values: &[EnteredLength], recorded: Option<EnteredLength>) -> Option<Self> {
        let recorded = recorded.filter(|one| one.quantity().metres() > 0.0)?;
        let values = values.iter().copied();
        let doubted: Vec<_> = values.filter(|one| is_doubtful(*one, recorded)).collect();
        let first = *doubted.first()?;
        let given: Vec<String> = doubted.iter().map(ToString::to_string).collect();
        let given = given.join("; ");
        let far = if first.quantity() > recorded.quantity() {
            "less by more than 3 %, and nothing grows so far in use"
        } else {
            "more than twice that"
        };
        let meant = EnteredLength::new(first.value(), recorded.unit()).ok();
        let meant = meant.filter(|one| !is_doubtful(*one, recorded));
        let meant = meant.map_or_else(
            || "Measure again".to_owned(),
            |one| format!("Write {one} if that is meant"),
        );
        let question = format!(
            "Is it really {given}? The record says {recorded}, which is {far}. {meant}, or confirm that {given} was measured."
        );
        Some(Self { given, question })
    }

    /// What a form sends to confirm it.
    pub fn given(&self) -> &str {
        &self.given
    }

    /// Whether it is said that just this was measured: yes, or all that is asked about once more.
    pub fn is_confirmed(&self, draft: &AnswerDraft) -> bool {
        ticked(&draft.confirmed).unwrap_or_else(|| draft.confirmed.trim() == self.given)
    }
}

fn is_doubtful(measured: EnteredLength, recorded: EnteredLength) -> bool {
    let metres = |length: EnteredLength| length.quantity().metres();
    let (measured, recorded) = (metres(measured), metres(recorded));
    measured > recorded * LONGER + 1e-9 || measured < recorded * SHORTER - 1e-9
}

fn is_shorter(measured: EnteredLength, recorded: EnteredLength) -> bool {
    let metres = |length: EnteredLength| length.quantity().metres();
    // A hair, so that a product of decimals refuses no length that is just within.
    metres(measured) < metres(recorded) * (1.0 - TOLERANCE) - 1e-9
}
