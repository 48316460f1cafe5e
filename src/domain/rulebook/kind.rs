//! What is asked of a kind of gear as a whole.

use serde::{Deserialize, Serialize};

use crate::domain::Kind;

/// Which strength must be known of a kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum StrengthAsked {
    /// A breaking strength.
    Breaking,
    /// A breaking strength, a working limit or a rated load.
    Any,
    /// Its approval will do, since no paper of its kind states what it holds: what is stated all the same is judged, and
    /// where nothing is, a verdict says that it is judged by no number.
    Approval,
    /// None: it carries nobody.
    Nothing,
}

impl StrengthAsked {
    /// All of them, the one that asks for most first.
    pub const ALL: [Self; 4] = [Self::Breaking, Self::Any, Self::Approval, Self::Nothing];

    /// The words for people.
    pub fn words(self) -> &'static str {
        match self {
            Self::Breaking => "a breaking strength",
            Self::Any => "a breaking strength, a working limit or a rated load",
            Self::Approval => {
                "its approval; a strength is judged where one is stated, and where none is, the verdict says so"
            }
            Self::Nothing => "none",
        }
    }
}

/// What is asked of a kind as a whole.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KindRule {
    /// The kind.
    pub kind: Kind,
    /// Which strength must be known.
    pub strength: StrengthAsked,
    /// Why there is no minimum strength, where there is none.
    pub no_minimum: Option<String>,
    /// Why no approval is asked for, where none is.
    pub no_approval: Option<String>,
}
