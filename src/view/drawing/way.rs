//! Which way the ropes run in a phase.

use super::Sight;
use crate::rigging::{Element, Phase, Rig};

/// The phase whose way the arrows show; none where nothing moves.
///
/// Without friction a rig is shown in hauling, but one that only lowers, or whose rope is taken off a
/// post for hauling, in lowering.
pub fn way(rig: &Rig, phase: Option<Phase>) -> Option<Phase> {
    match phase {
        Some(Phase::Hauling) => Some(Phase::Hauling),
        Some(Phase::Lowering) => Some(Phase::Lowering),
        Some(Phase::Frictionless) | None => {
            let mut met = rig.ropes().iter().flat_map(|rope| rope.path());
            let off = met.any(|element| {
                matches!(
                    element,
                    Element::Post {
                        off_in_hauling: true,
                        ..
                    }
                )
            });
            Some(if off || rig.only_lowers() {
                Phase::Lowering
            } else {
                Phase::Hauling
            })
        }
        Some(_) => None,
    }
}

/// 1 where the load rises, -1 where it sinks.
pub(super) fn sign(sight: &Sight) -> Option<f64> {
    match way(sight.rig, sight.forces.map(|forces| forces.phase))? {
        Phase::Lowering => Some(-1.0),
        _ => Some(1.0),
    }
}
