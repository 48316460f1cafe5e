//! The peak force when a rope stops a fall, by the spring model. For comparing, not for accepting.

use super::{FallFactor, Force, Mass, MethodError};

/// The peak force on a rope that stops a fall: F = W + sqrt(W² + 2 M f W).
///
/// `modulus` is the force that would stretch the rope to twice its length. A fall factor of 0 is a
/// load let go on a rope that is straight but not tight: twice the weight.
///
/// Source: energy balance of a mass on an undamped linear spring. Limits: measured peaks came up to
/// 30 % higher at high mass and fall factor (rescue symposium paper, 2002); knots and a harness
/// soften, slack and edges worsen. The mass and the modulus must be more than nothing.
///
/// ```
/// use ropeloft::rigging::{FallFactor, Force, Mass, fall_peak};
///
/// let peak = fall_peak(
///     Mass::from_kilograms(100.0)?,
///     Force::from_kilonewtons(30.0)?,
///     FallFactor::from_ratio(0.3)?,
/// )?;
/// assert!((peak.kilonewtons() - 5.2950).abs() < 0.00005);
/// # Ok::<(), ropeloft::rigging::MethodError>(())
/// ```
pub fn fall_peak(mass: Mass, modulus: Force, factor: FallFactor) -> Result<Force, MethodError> {
    let weight = mass.weight().newtons();
    if weight <= 0.0 || modulus.newtons() <= 0.0 {
        return Err(nothing());
    }
    let root = (weight * weight + 2.0 * modulus.newtons() * factor.ratio() * weight).sqrt();
    Ok(Force::from_newtons(weight + root)?)
}

/// The modulus of a rope from a drop test: M = (F² - 2 F W) / (2 f W).
///
/// Limits: a mass and a fall factor above nothing, and a peak above twice the weight, the least that
/// any fall gives.
pub fn rope_modulus(mass: Mass, peak: Force, factor: FallFactor) -> Result<Force, MethodError> {
    let (weight, peak) = (mass.weight().newtons(), peak.newtons());
    if weight <= 0.0 || factor.ratio() <= 0.0 {
        return Err(nothing());
    }
    if peak <= 2.0 * weight {
        return Err(MethodError::Beyond(
            "a fall gives more than twice the weight: check the peak force and the mass of the test",
        ));
    }
    let modulus = (peak * peak - 2.0 * peak * weight) / (2.0 * factor.ratio() * weight);
    Ok(Force::from_newtons(modulus)?)
}

/// The largest fall factor whose peak stays within a force: f = F (F - 2 W) / (2 M W), which is
/// [`fall_peak`] solved for the fall factor.
///
/// `None` where no slack at all is too much already: a load let go gives twice its weight. Limits: a
/// mass and a modulus above nothing, and a force that some fall factor up to 2 gives.
pub fn fall_factor_within(
    mass: Mass,
    modulus: Force,
    peak: Force,
) -> Result<Option<FallFactor>, MethodError> {
    let (weight, peak) = (mass.weight().newtons(), peak.newtons());
    if weight <= 0.0 || modulus.newtons() <= 0.0 {
        return Err(nothing());
    }
    if peak < 2.0 * weight {
        return Ok(None);
    }
    let ratio = peak * (peak - 2.0 * weight) / (2.0 * modulus.newtons() * weight);
    Ok(Some(FallFactor::from_ratio(ratio)?))
}

fn nothing() -> MethodError {
    MethodError::Beyond("the mass, the modulus and a tested fall factor must be more than nothing")
}
