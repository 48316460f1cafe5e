//! What is measured as the length of an item, held against what its record says.

use super::Answer;
use crate::domain::entered::EnteredLength;

/// The key of the criterion that measures it, in every list.
pub(super) const KEY: &str = "length";
/// Textiles stretch and shrink, and tapes differ: what is shorter by less is no difference. Common practice, no source.
const TOLERANCE: f64 = 0.01;

/// The length that was measured, where the record says more than that by more than the tolerance.
pub(in crate::domain) fn shorter_than_recorded(
    answers: &[Answer],
    recorded: Option<EnteredLength>,
) -> Option<EnteredLength> {
    let answer = answers.iter().find(|one| one.criterion == KEY)?;
    let metres = |length: &EnteredLength| length.quantity().metres();
    let values = answer.values.iter().copied();
    let least = values.min_by(|one, other| metres(one).total_cmp(&metres(other)))?;
    // A hair, so that a product of decimals refuses no length that is just within.
    (metres(&least) < metres(&recorded?) * (1.0 - TOLERANCE) - 1e-9).then_some(least)
}
