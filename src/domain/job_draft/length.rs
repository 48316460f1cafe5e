//! Lengths of a plan that only hold together.

use crate::domain::Setup;
use crate::domain::entered::EnteredLength;
use crate::rigging::digits_up;

/// Nobody plans ropes for less than a step: there a unit is written wrong.
pub(super) fn deep_enough(depth: EnteredLength) -> Result<EnteredLength, String> {
    if depth.quantity().metres() >= 0.1 {
        return Ok(depth);
    }
    Err(format!(
        "The depth must be at least 0.1 m, not {depth}: how far the load goes."
    ))
}

/// How much further than planned the head may hang, in metres: some tripods are higher than others.
const HIGHER: f64 = 2.0;

/// More rope can never be in play than lies between the device and the load when it hangs lowest; so much of it would
/// make a catch look softer than it is.
pub(super) fn rope_in_play(setup: &Setup, depth: EnteredLength) -> Result<(), String> {
    let Some(given) = setup.catch_rope else {
        return Ok(());
    };
    let parts = [
        Some(depth),
        Some(setup.head_gap),
        setup.between_anchors,
        setup.catch_slack,
    ];
    let parts = parts.into_iter().flatten();
    let most = parts.map(|part| part.quantity().metres()).sum::<f64>() + HIGHER;
    if given.quantity().metres() <= most {
        return Ok(());
    }
    Err(format!(
        "Between the belay's device and the load lie at most {} m of rope: the depth, the height of the rig, the distance \
         between anchors and the slack, and {HIGHER} m to spare. {given} would make the catch look softer than it is.",
        digits_up(most, 3)
    ))
}
