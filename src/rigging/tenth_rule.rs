//! The old rule that each sheave costs a tenth of the load. A cross-check beside the real answer.

use super::{Advantage, Force, MethodError};

/// The hand force by the rule of a tenth for each sheave: W (1 + 0.1 s) / MA.
///
/// Source: US Navy Builder 2&3 rate manual, mechanical advantage section. A rule of thumb: above
/// the geometric answer for tackles (8 % for a 4:1 with four sheaves of efficiency 0.90), and 1 %
/// below it for a single sheave. Never a verdict.
///
/// ```
/// use ropeloft::rigging::{Advantage, Force, hand_by_tenths};
///
/// let hand = hand_by_tenths(Force::from_newtons(1000.0)?, 4, Advantage::from_ratio(4.0)?)?;
/// assert!((hand.newtons() - 350.0).abs() < 1e-9);
/// # Ok::<(), ropeloft::rigging::MethodError>(())
/// ```
pub fn hand_by_tenths(load: Force, sheaves: u8, ideal: Advantage) -> Result<Force, MethodError> {
    let friction = 1.0 + 0.1 * f64::from(sheaves);
    Ok(Force::from_newtons(
        load.newtons() * friction / ideal.ratio(),
    )?)
}
