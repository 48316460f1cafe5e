//! A number or a rule with its source and how well that source is known.

use serde::{Deserialize, Serialize};

/// How a number or rule came to be known.
#[derive(
    Clone,
    Copy,
    Debug,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    utoipa::ToSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Known {
    /// Read in the source itself.
    Read,
    /// Read in a page that reports the source.
    ReadSecondary,
    /// Worked out from other numbers.
    Computed,
    /// From memory, well remembered; not checked against the source.
    MemoryHigh,
    /// From memory, less sure; not checked against the source.
    MemoryMedium,
    /// From memory, unsure; not checked against the source.
    MemoryLow,
    /// Common practice of the trade; no published source.
    Practice,
    /// Set by the team or by this program; no standard says so.
    Setting,
}

impl Known {
    /// The label that stands beside the number wherever it shows.
    pub fn label(self) -> &'static str {
        match self {
            Self::Read => "read in the source",
            Self::ReadSecondary => "read in a page that reports the source",
            Self::Computed => "worked out",
            Self::MemoryHigh => "from memory, well remembered; check the standard",
            Self::MemoryMedium => "from memory, not sure; check the standard",
            Self::MemoryLow => "from memory, unsure; check the standard",
            Self::Practice => "common practice, no source",
            Self::Setting => "a setting, not a standard's text",
        }
    }

    /// Whether the number must be labelled as unchecked wherever it shows.
    pub fn from_memory(self) -> bool {
        matches!(
            self,
            Self::MemoryHigh | Self::MemoryMedium | Self::MemoryLow
        )
    }
}

/// A source with how well it is known.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Cited {
    /// Title, edition, clause or table.
    pub source: String,
    /// How it is known.
    pub known: Known,
}

impl Cited {
    /// A source.
    pub fn new(source: impl Into<String>, known: Known) -> Self {
        Self {
            source: source.into(),
            known,
        }
    }
}

impl std::fmt::Display for Cited {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} ({})", self.source, self.known.label())
    }
}
