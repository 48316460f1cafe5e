//! Why a formula does not answer.

use super::{Angle, BoundsError};

/// A formula was asked outside of what it holds for.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum MethodError {
    /// An angle at which the formula means nothing or hides more than it tells.
    #[error("{what} must be {allowed}, not {} degrees", given.degrees())]
    Angle {
        /// Which angle.
        what: &'static str,
        /// The limits in words.
        allowed: &'static str,
        /// What was given.
        given: Angle,
    },
    /// The input is possible but this method does not hold for it.
    #[error("{0}")]
    Beyond(&'static str),
    /// A result outside the limits of its quantity.
    #[error(transparent)]
    Bounds(#[from] BoundsError),
}
