//! Whether a rig answers at all, and everything in it is there for something.

use super::solve::{SLACK, one_kilonewton, plain_solutions};
use super::sum::{Sum, Target};
use super::tell::stands;
use super::{Phase, Rig, RigError};

/// Refuses a rig that has no answer even without friction, that leaves a position idle, or whose legs
/// are pulled aside.
pub(super) fn answers(rig: &Rig) -> Result<(), RigError> {
    let load = one_kilonewton();
    let mut solutions = plain_solutions(rig, load, Phase::Frictionless, 1.0)?;
    legs_answer(rig, &solutions, load.newtons())?;
    // A post that the rope leaves straight on is loaded by what it rubs off, a clamp by what it holds.
    let ways = [
        (Phase::Lowering, true),
        (Phase::Held, rig.has_capture()),
        (Phase::BelayCatch, rig.catches()),
    ];
    for (phase, _) in ways.into_iter().filter(|(_, has_it)| *has_it) {
        solutions.extend(plain_solutions(rig, load, phase, 2.0)?);
    }
    for (index, position) in rig.positions.iter().enumerate() {
        let loads_it = |sum: &Sum| {
            let on_it = matches!(sum.on, Target::Position { position, .. } if position == index);
            let mut forces = solutions.iter().map(|tensions| sum.force(tensions));
            on_it && forces.any(|force| force > SLACK * load.newtons())
        };
        if !rig.reeving.sums.iter().any(loads_it) {
            return Err(RigError::NothingLoads {
                position: position.key.clone(),
            });
        }
    }
    Ok(())
}

/// Refuses legs that go slack, tip or are pulled aside where nothing rubs.
fn legs_answer(rig: &Rig, solutions: &[Vec<f64>], given: f64) -> Result<(), RigError> {
    for sum in &rig.reeving.sums {
        for tensions in solutions {
            let force = sum.force(tensions);
            stands(rig, Phase::Frictionless, &sum.on, (force, force), given)?;
        }
    }
    Ok(())
}
