//! Why a rig cannot be read or solved.

use serde::Serialize;

use super::BoundsError;

/// A rig that is wrong, or that mechanics has no single answer for.
#[derive(Clone, Debug, PartialEq, Serialize, thiserror::Error)]
#[serde(rename_all = "kebab-case", tag = "code")]
#[non_exhaustive]
pub enum RigError {
    /// A number outside the limits of its quantity.
    #[error("{place}: {error}.")]
    Bounds {
        /// Where in the rig.
        place: String,
        /// The number and its limits.
        error: BoundsError,
    },
}
