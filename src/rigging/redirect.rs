//! The force on what turns a rope aside.
//!
//! All functions ask for the angle *between* the two strands: 0 if they are parallel, 180 if the rope
//! is straight. [`between_from_deflection`] makes it from the angle by which the rope is bent.

use super::{Angle, Force, MethodError};

/// The force on a redirect with the same tension in both strands: R = 2 T cos(a/2).
///
/// Source: statics; agrees with a rope-access training page on angular forces and a block selection
/// guide. Assumes no friction in the sheave. Limits: the angle between the strands is 0 to 180.
///
/// ```
/// use ropeloft::rigging::{Angle, Force, redirect_force};
///
/// let side = redirect_force(Force::from_kilonewtons(1.0)?, Angle::from_degrees(90.0)?)?;
/// assert!((side.kilonewtons() - 1.4142).abs() < 0.00005);
/// # Ok::<(), ropeloft::rigging::MethodError>(())
/// ```
pub fn redirect_force(tension: Force, between: Angle) -> Result<Force, MethodError> {
    redirect_force_of_two(tension, tension, between)
}

/// The force on a redirect with unequal strands: R = sqrt(T1² + T2² + 2 T1 T2 cos a).
///
/// Source: statics (law of cosines). Limits as for [`redirect_force`].
pub fn redirect_force_of_two(
    one: Force,
    other: Force,
    between: Angle,
) -> Result<Force, MethodError> {
    let angle = strands_angle(between)?.radians();
    let (one, other) = (one.newtons(), other.newtons());
    // The sum of two vectors, so that equal strands at 180 degrees give no negative root.
    let along = one + other * angle.cos();
    let across = other * angle.sin();
    Ok(Force::from_newtons(along.hypot(across))?)
}

/// The angle between the strands of a rope that is bent aside by this much: 180 less the deflection.
pub fn between_from_deflection(deflection: Angle) -> Result<Angle, MethodError> {
    if deflection.degrees() > 180.0 {
        return Err(MethodError::Angle {
            what: "the deflection of a rope",
            allowed: "0 to 180 degrees",
            given: deflection,
        });
    }
    Ok(Angle::from_degrees(180.0 - deflection.degrees())?)
}

fn strands_angle(between: Angle) -> Result<Angle, MethodError> {
    if between.degrees() > 180.0 {
        return Err(MethodError::Angle {
            what: "the angle between two strands",
            allowed: "0 to 180 degrees",
            given: between,
        });
    }
    Ok(between)
}
