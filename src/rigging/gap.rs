//! What keeps a fitted rig from being judged.

use serde::Serialize;

use super::{LoadingMode, RigError};

/// One thing that is missing or wrong; a list of them answers "what is left to do?".
#[derive(Clone, Debug, PartialEq, Serialize, thiserror::Error)]
#[serde(rename_all = "kebab-case", tag = "code")]
pub enum Gap {
    /// Nothing is fitted at a position.
    #[error("Nothing is fitted at {title}: put an item there.")]
    Empty {
        /// Key of the position.
        position: String,
        /// The position in plain words.
        title: String,
    },
    /// An item is named for a position that the rig does not have.
    #[error("The rig has no position {position}: take {item} off, or choose another rig.")]
    NoSuchPosition {
        /// The key that was given.
        position: String,
        /// The item, as the caller calls it.
        item: String,
    },
    /// A pulley without a known efficiency.
    #[error(
        "The efficiency of {item} at {title} is not known: write it down with how it is known."
    )]
    NoEfficiency {
        /// Key of the position.
        position: String,
        /// The position in plain words.
        title: String,
        /// The item, as the caller calls it.
        item: String,
    },
    /// A brake or post without a known friction.
    #[error("The friction of rope on {item} at {title} is not known: write it down as a range.")]
    NoFriction {
        /// Key of the position.
        position: String,
        /// The position in plain words.
        title: String,
        /// The item, as the caller calls it.
        item: String,
    },
    /// No rating for the way in which the item is loaded.
    #[error("{item} at {title} has no rating {}: take an item that has one, or write the rating down.", mode.words())]
    NoRating {
        /// Key of the position.
        position: String,
        /// The position in plain words.
        title: String,
        /// The item, as the caller calls it.
        item: String,
        /// How it is loaded here.
        mode: LoadingMode,
    },
    /// A length of the way that this rig needs and that was not given.
    #[error("{what} is not given: this rig needs it.")]
    NoLength {
        /// The field of the way.
        field: &'static str,
        /// The length in plain words.
        what: &'static str,
    },
    /// The rig itself has no answer.
    #[error("{error}")]
    Rig {
        /// Why.
        error: RigError,
    },
}

impl Gap {
    /// The position that it is about, if it is about one.
    pub fn position(&self) -> Option<&str> {
        match self {
            Self::Empty { position, .. }
            | Self::NoSuchPosition { position, .. }
            | Self::NoEfficiency { position, .. }
            | Self::NoFriction { position, .. }
            | Self::NoRating { position, .. } => Some(position),
            Self::NoLength { .. } | Self::Rig { .. } => None,
        }
    }
}
