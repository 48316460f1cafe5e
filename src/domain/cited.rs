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
    /// All ways, the surest first.
    pub const ALL: [Self; 8] = [
        Self::Read,
        Self::ReadSecondary,
        Self::Computed,
        Self::MemoryHigh,
        Self::MemoryMedium,
        Self::MemoryLow,
        Self::Practice,
        Self::Setting,
    ];

    /// The label that stands beside the number wherever it shows.
    pub fn label(self) -> &'static str {
        match self {
            Self::Read => "read in the source",
            Self::ReadSecondary => "read in a page that reports the source",
            Self::Computed => "worked out",
            Self::MemoryHigh => "from memory, source not read: check it",
            Self::MemoryMedium => "from memory, not sure: check it",
            Self::MemoryLow => "from memory, doubtful: check it",
            Self::Practice => "common practice, no source",
            Self::Setting => "a setting, not a standard's text",
        }
    }

    /// What the label means, told once where labels are explained.
    pub fn meaning(self) -> &'static str {
        match self {
            Self::Read => "The source itself was at hand when this was written down.",
            Self::ReadSecondary => {
                "A page that reports the source was at hand, not the source itself. Pages make mistakes: compare it where much hangs on it."
            }
            Self::Computed => "It follows by arithmetic from other numbers that stand here.",
            Self::MemoryHigh => {
                "Nobody had the source at hand. It is remembered well, and it is no text of the standard: look it up there before you rely on it."
            }
            Self::MemoryMedium => {
                "The same, and it is remembered less surely: it may be of another edition or class."
            }
            Self::MemoryLow => {
                "The same, and it may well be otherwise: take it as a hint of where to look."
            }
            Self::Practice => "Teams of the trade work so, and no published source was found.",
            Self::Setting => "Your team or this program set it; no standard says so.",
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
    /// Whether the source is law, and no standard, policy or practice.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub law: bool,
    /// What other sources say instead.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub disagrees: Option<String>,
    /// Where a team asks less than the rulebook that its own is based on: how much less, and why.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub looser: Option<String>,
}

impl Cited {
    /// A source.
    pub fn new(source: impl Into<String>, known: Known) -> Self {
        Self {
            source: source.into(),
            known,
            law: false,
            disagrees: None,
            looser: None,
        }
    }

    /// All that must be said beside the source: whether it is law, how it is known, who disagrees,
    /// and whether a team asks less.
    pub fn labels(&self) -> String {
        let mut labels: Vec<String> = Vec::new();
        labels.extend(self.law.then(|| "law".to_owned()));
        labels.push(self.known.label().to_owned());
        let disagrees = self.disagrees.as_ref();
        labels.extend(disagrees.map(|other| format!("sources disagree: {other}")));
        labels.extend(self.looser.clone());
        labels.join("; ")
    }
}

impl std::fmt::Display for Cited {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} ({})", self.source, self.labels())
    }
}
