//! Rope that rubs round something that stands still: a post, a bar, a brake, a standing sheave.
//!
//! All answers are the least force that keeps the rope from slipping. The coefficient of friction of
//! rope on a bar is about 0.1 to 0.3 (from memory; worked examples in print use 0.2 and 0.3) and
//! changes with rope, water, heat, speed and glaze, so give a range and rest on its low end.

use super::{Advantage, Angle, Band, Force, Friction, MethodError};

/// How much one side may exceed the other: exp(mu theta), theta in radians.
pub(super) fn grip(friction: f64, wrap_radians: f64) -> f64 {
    (friction * wrap_radians).exp()
}

/// The ratio of the two tensions round a post: exp(mu theta) (Euler and Eytelwein).
///
/// Assumes a dry, limp rope on a round bar. Limits: the ratio must not exceed the limits of a
/// mechanical advantage; more turns would hold no better in practice.
///
/// ```
/// use ropeloft::rigging::{Angle, Friction, capstan_ratio};
///
/// let one_turn = capstan_ratio(Friction::from_coefficient(0.3)?, Angle::from_turns(1.0)?)?;
/// assert!((one_turn.ratio() - 6.58606).abs() < 0.000005);
/// # Ok::<(), ropeloft::rigging::MethodError>(())
/// ```
pub fn capstan_ratio(friction: Friction, wrap: Angle) -> Result<Advantage, MethodError> {
    let ratio = grip(friction.coefficient(), wrap.radians());
    Ok(Advantage::from_ratio(ratio)?)
}

/// The hand force that keeps a load from slipping round a post: W exp(-mu theta).
///
/// Source: the capstan equation; agrees with engineering mechanics exercises in print. Assumptions
/// and limits as for [`capstan_ratio`].
pub fn capstan_hold(load: Force, friction: Friction, wrap: Angle) -> Result<Force, MethodError> {
    let ratio = capstan_ratio(friction, wrap)?.ratio();
    Ok(Force::from_newtons(load.newtons() / ratio)?)
}

/// The hand force over a range of friction; its high end, at the lowest friction, is the one to
/// accept a brake by.
pub fn capstan_hold_range(
    load: Force,
    friction: Band<Friction>,
    wrap: Angle,
) -> Result<Band<Force>, MethodError> {
    let hold = |mu| capstan_hold(load, mu, wrap);
    Band::new(
        hold(friction.high())?,
        hold(friction.likely())?,
        hold(friction.low())?,
    )
    .map_err(|_| MethodError::Beyond("the range of friction is out of order"))
}

/// The wrap that brings a load down to a hand force: ln(W / hold) / mu.
///
/// Limits: friction above nothing, a hand force above nothing and not above the load.
pub fn capstan_wrap(load: Force, hold: Force, friction: Friction) -> Result<Angle, MethodError> {
    if friction.coefficient() <= 0.0 {
        return Err(MethodError::Beyond(
            "without friction no number of turns holds the load: give a coefficient above 0",
        ));
    }
    if hold.newtons() <= 0.0 || hold > load {
        return Err(MethodError::Beyond(
            "the hand force must be above nothing and not above the load",
        ));
    }
    let radians = (load.newtons() / hold.newtons()).ln() / friction.coefficient();
    Ok(Angle::from_radians(radians)?)
}

/// The friction of a post that would hold as much as a sheave of this efficiency loses over half a
/// turn: -ln(e) / pi.
pub fn friction_of_sheave(efficiency: super::Efficiency) -> Result<Friction, MethodError> {
    let coefficient = -efficiency.share().ln() / std::f64::consts::PI;
    Ok(Friction::from_coefficient(coefficient)?)
}
