//! The solver: one linear system for each phase.

use super::{Force, Forces, Outfit, Phase, Rig, RigError};

/// Every force in a rig in one phase, under a load.
///
/// Only the sheaves and posts of the outfit matter here; strengths may be missing.
pub fn solve(rig: &Rig, outfit: &Outfit, load: Force, phase: Phase) -> Result<Forces, RigError> {
    let _ = (rig, outfit, load, phase);
    todo!("lands next")
}
