//! One item against the forces of a rig that is solved already.

use super::assess::check_phase;
use super::{Check, Conditions, Fitted, Forces, Gap, Outfit, Phase, Rig};

/// Every check of an item at a position, with the forces as they stand in these phases. Nothing is solved anew: what the
/// item itself rubs is not in the forces.
///
/// # Errors
/// A result that lies outside what a quantity may be.
pub fn checks_alone(
    rig: &Rig,
    conditions: &Conditions,
    phases: &[Forces],
    (position, item): (&str, Fitted),
) -> Result<Vec<Check>, Gap> {
    let mut alone = Outfit::default();
    alone.fit(position, item);
    let (mut checks, mut unjudged) = (Vec::new(), Vec::new());
    for forces in phases.iter().filter(|one| one.phase != Phase::Frictionless) {
        check_phase(
            rig,
            &alone,
            conditions,
            forces,
            (&mut checks, &mut unjudged),
        )?;
    }
    Ok(checks)
}
