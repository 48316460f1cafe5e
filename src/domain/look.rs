//! Why an item is looked at, and what a look ends in.

use serde::{Deserialize, Serialize};

use super::rating::key_of;

/// Why an item is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ExaminationKind {
    /// When it came in.
    Intake,
    /// By the user before use. Does not move the next due day.
    PreUse,
    /// At its interval.
    Periodic,
    /// After use. Does not move the next due day.
    AfterUse,
    /// After something happened to it.
    AfterEvent,
}

impl ExaminationKind {
    /// All kinds.
    pub const ALL: [Self; 5] = [
        Self::Intake,
        Self::PreUse,
        Self::Periodic,
        Self::AfterUse,
        Self::AfterEvent,
    ];

    /// The word for programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::Intake => "intake",
            Self::PreUse => "pre-use",
            Self::Periodic => "periodic",
            Self::AfterUse => "after-use",
            Self::AfterEvent => "after-event",
        }
    }

    /// Reads the word for programs.
    pub fn from_key(key: &str) -> Option<Self> {
        let key = key.trim().to_lowercase().replace([' ', '_'], "-");
        Self::ALL.into_iter().find(|kind| kind.key() == key)
    }

    /// Whether it is a thorough look that starts the interval anew.
    pub fn is_thorough(self) -> bool {
        matches!(self, Self::Intake | Self::Periodic | Self::AfterEvent)
    }
}

/// What the look ended in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// May be used.
    Fit,
    /// Out of use until somebody decides.
    Quarantine,
    /// Out of use for good.
    Retire,
}

impl Verdict {
    /// All verdicts.
    pub const ALL: [Self; 3] = [Self::Fit, Self::Quarantine, Self::Retire];

    /// Reads the word.
    pub fn from_key(key: &str) -> Option<Self> {
        let key = key.trim().to_lowercase();
        Self::ALL.into_iter().find(|verdict| key_of(verdict) == key)
    }

    /// The word for programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::Fit => "fit",
            Self::Quarantine => "quarantine",
            Self::Retire => "retire",
        }
    }
}

impl ExaminationKind {
    /// The words for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::Intake => "Intake examination",
            Self::PreUse => "Pre-use check",
            Self::Periodic => "Periodic examination",
            Self::AfterUse => "After-use check",
            Self::AfterEvent => "After-event examination",
        }
    }
}

impl Verdict {
    /// The words for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::Fit => "fit",
            Self::Quarantine => "to quarantine",
            Self::Retire => "to be retired",
        }
    }
}
