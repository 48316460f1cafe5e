//! What is measured as the length of an item, held against what its record says.

use super::Answer;
use crate::domain::entered::EnteredLength;

/// The key of the criterion that measures the length of an item, in every list.
pub const KEY: &str = "length";
/// Textiles stretch and shrink, and tapes differ: what is shorter by less is no difference. Common practice, no source.
const TOLERANCE: f64 = 0.01;

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

/// The least of what was measured as the length.
fn measured(answers: &[Answer]) -> Option<EnteredLength> {
    let answer = answers.iter().find(|one| one.criterion == KEY)?;
    let metres = |length: &EnteredLength| length.quantity().metres();
    let values = answer.values.iter().copied();
    values.min_by(|one, other| metres(one).total_cmp(&metres(other)))
}

fn is_shorter(measured: EnteredLength, recorded: EnteredLength) -> bool {
    let metres = |length: EnteredLength| length.quantity().metres();
    // A hair, so that a product of decimals refuses no length that is just within.
    metres(measured) < metres(recorded) * (1.0 - TOLERANCE) - 1e-9
}
