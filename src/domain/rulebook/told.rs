//! What a rulebook tells and cannot hold against a record, and where a team asks less than its base.

use serde::{Deserialize, Serialize};

use crate::domain::Cited;

/// What a rule that is only told is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum About {
    /// Strength and type tests of new gear.
    Strength,
    /// Factors.
    Factor,
    /// Catching a fall.
    Arrest,
    /// Examinations and checks.
    Examination,
    /// How long gear lives.
    Life,
    /// What a record or report holds.
    Record,
    /// People and how they work.
    Work,
}

impl About {
    /// All of them, in the order in which a page shows them.
    pub const ALL: [Self; 7] = [
        Self::Strength,
        Self::Factor,
        Self::Arrest,
        Self::Examination,
        Self::Life,
        Self::Record,
        Self::Work,
    ];

    /// The words for people.
    pub fn words(self) -> &'static str {
        match self {
            Self::Strength => "Strength and tests of new gear",
            Self::Factor => "Factors",
            Self::Arrest => "Catching a fall",
            Self::Examination => "Examinations and checks",
            Self::Life => "Life",
            Self::Record => "What records and reports hold",
            Self::Work => "People and work",
        }
    }
}

/// A rule that nothing on record can be held against: it is told, and people must see to it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Told {
    /// What it is about.
    pub about: About,
    /// Whether it is about loads of more than one person; then every verdict on such a load says it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub several: bool,
    /// The rule with its numbers and units, in words of our own.
    pub says: String,
    /// Where it is from.
    pub from: Cited,
}

/// A rule in which a team asks less than the rulebook that its own is based on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Loosened {
    /// The name of the rule.
    pub rule: String,
    /// Why the team asks less.
    pub reason: String,
    /// Whether the rule is taken out altogether.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub drop: bool,
    /// What is shown wherever the rule shows; worked out when the rulebook is read.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub sentence: String,
}
