//! Which record of the register a paper is that a rulebook wants kept, and what ends its keeping.

use serde::{Deserialize, Serialize};

/// A paper, as far as the register has a record of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Paper {
    /// What came with an item: its declaration of conformity.
    Item,
    /// The report of the first thorough examination of an item.
    FirstReport,
    /// The report of any later thorough examination.
    Report,
    /// The record of a look that is none: before use, after use.
    Inspection,
    /// What is written for a job.
    Job,
}

/// What ends the keeping of a paper, or begins the last part of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Ends {
    /// The job is over.
    Job,
    /// The next paper of the same sort is written.
    Next,
    /// The item is out of use.
    Use,
}

impl Paper {
    /// All papers.
    pub const ALL: [Self; 5] = [
        Self::Item,
        Self::FirstReport,
        Self::Report,
        Self::Inspection,
        Self::Job,
    ];
}

impl Ends {
    /// All ends.
    pub const ALL: [Self; 3] = [Self::Job, Self::Next, Self::Use];

    /// What has not happened yet, in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Job => "the job is over",
            Self::Next => "the next one is recorded",
            Self::Use => "the item is out of use",
        }
    }
}
