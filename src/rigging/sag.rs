//! A line stretched across a span. A case of its own: nothing here feeds a rig's verdict.
//!
//! Stretch of the rope and its pretension change the sag, so a sag must be measured under load and
//! not wished. A load off the middle or two loads need another model.

use super::{Force, Length, LinearMass, MethodError};

/// The flattest line that is answered, as sag over span. Flatter than this the stretch of the rope
/// decides, and a centimetre changes the tension by a tenth.
const FLATTEST: f64 = 0.005;
/// The deepest line that is answered. Deeper, it is two hanging ropes and no tensioned line.
const DEEPEST: f64 = 0.5;

/// The tension in a line without weight, loaded in the middle: W sqrt((L/2)² + s²) / (2 s).
///
/// Source: statics of two legs. About 5 W at 5 % sag and 10 W at 2.5 %. Limits: sag from 0.5 % to
/// 50 % of the span, both ends level.
///
/// ```
/// use ropeloft::rigging::{Force, Length, line_tension};
///
/// let metres = Length::from_metres;
/// let tension = line_tension(Force::from_kilonewtons(2.0)?, metres(30.0)?, metres(1.5)?)?;
/// assert!((tension.kilonewtons() - 10.0499).abs() < 0.00005);
/// # Ok::<(), ropeloft::rigging::MethodError>(())
/// ```
pub fn line_tension(load: Force, span: Length, sag: Length) -> Result<Force, MethodError> {
    let (span, sag) = sensible(span, sag)?;
    let newtons = load.newtons() * (span / 2.0).hypot(sag) / (2.0 * sag);
    Ok(Force::from_newtons(newtons)?)
}

/// A line that hangs under its own weight alone, both ends level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Catenary {
    /// The level force, the same everywhere: H = w c.
    pub level: Force,
    /// The tension at the ends, the largest: H cosh(L / 2c).
    pub greatest: Force,
    /// The length of the rope between the ends.
    pub length: Length,
    /// The parameter c of the curve.
    pub parameter: Length,
}

/// The catenary of a rope over a span with a given sag: s = c (cosh(L / 2c) - 1).
///
/// Source: the catenary equation. Assumes a limp rope that does not stretch. Limits as for
/// [`line_tension`].
pub fn catenary(rope: LinearMass, span: Length, sag: Length) -> Result<Catenary, MethodError> {
    let (span, sag) = sensible(span, sag)?;
    let weight = weight_of_metre(rope)?;
    let half = half_angle(2.0 * sag / span);
    let parameter = span / (2.0 * half);
    let level = weight * parameter;
    Ok(Catenary {
        level: Force::from_newtons(level)?,
        greatest: Force::from_newtons(level * half.cosh())?,
        length: Length::from_metres(2.0 * parameter * half.sinh())?,
        parameter: Length::from_metres(parameter)?,
    })
}

/// The level force of a flat line under its own weight, by the parabola: H = w L² / (8 s).
///
/// A shortcut that lies a little low; for a check only.
pub fn parabola_level_force(
    rope: LinearMass,
    span: Length,
    sag: Length,
) -> Result<Force, MethodError> {
    let (span, sag) = sensible(span, sag)?;
    let weight = weight_of_metre(rope)?;
    Ok(Force::from_newtons(weight * span * span / (8.0 * sag))?)
}

/// Solves (cosh x - 1) / x = ratio for x by halving; the left side grows with x.
fn half_angle(ratio: f64) -> f64 {
    // At the deepest sag the ratio is 1 and x is below 2.
    let (mut low, mut high) = (0.0_f64, 2.0_f64);
    for _ in 0..100 {
        let x = f64::midpoint(low, high);
        // cosh x - 1 written without the loss of figures near nothing.
        let left = 2.0 * (x / 2.0).sinh().powi(2) / x;
        if left < ratio {
            low = x;
        } else {
            high = x;
        }
    }
    f64::midpoint(low, high)
}

fn weight_of_metre(rope: LinearMass) -> Result<f64, MethodError> {
    let metre = super::Mass::from_kilograms(rope.kilograms_per_metre())?;
    Ok(metre.weight().newtons())
}

/// The two lengths in metres, if they are a line that is answered.
pub(super) fn sensible(span: Length, sag: Length) -> Result<(f64, f64), MethodError> {
    let (span, sag) = (span.metres(), sag.metres());
    if span > 0.0 && (FLATTEST..=DEEPEST).contains(&(sag / span)) {
        return Ok((span, sag));
    }
    Err(MethodError::Beyond(
        "the sag must be from 0.5 % to 50 % of a span that is more than nothing",
    ))
}
