//! When an item was retired, and for what: what is counted over years.

use serde::{Deserialize, Serialize};
use time::Date;

use super::date::iso;
use super::{Change, ItemId, ItemStep, Outcome, Verdict};

/// For what an item was retired. The sentence beside it says the rest.
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
pub enum RetiredFor {
    /// Worn by use.
    Worn,
    /// Damaged.
    Damaged,
    /// Its life was over.
    EndOfLife,
    /// Something happened to it.
    Event,
    /// A safety notice covers it.
    Recalled,
    /// It was lost.
    Lost,
    /// Something else; the sentence says what.
    Other,
    /// An examination ended in it; its findings say why.
    Examination,
    /// It was cut, and its pieces are items of their own.
    Cut,
    /// Nobody said.
    NotSaid,
}

impl RetiredFor {
    /// All.
    pub const ALL: [Self; 10] = [
        Self::Worn,
        Self::Damaged,
        Self::EndOfLife,
        Self::Event,
        Self::Recalled,
        Self::Lost,
        Self::Other,
        Self::Examination,
        Self::Cut,
        Self::NotSaid,
    ];

    /// What somebody who retires an item can choose; the others follow from what was done.
    pub const CHOSEN: [Self; 7] = [
        Self::Worn,
        Self::Damaged,
        Self::EndOfLife,
        Self::Event,
        Self::Recalled,
        Self::Lost,
        Self::Other,
    ];

    /// The word for programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::Worn => "worn",
            Self::Damaged => "damaged",
            Self::EndOfLife => "end-of-life",
            Self::Event => "event",
            Self::Recalled => "recalled",
            Self::Lost => "lost",
            Self::Other => "other",
            Self::Examination => "examination",
            Self::Cut => "cut",
            Self::NotSaid => "not-said",
        }
    }

    /// The words for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::Worn => "worn",
            Self::Damaged => "damaged",
            Self::EndOfLife => "end of life",
            Self::Event => "event",
            Self::Recalled => "recalled",
            Self::Lost => "lost",
            Self::Other => "other",
            Self::Examination => "examination",
            Self::Cut => "cut",
            Self::NotSaid => "not said",
        }
    }

    /// Reads the word for programs.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.key() == key.trim())
    }
}

/// That an item was retired.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Retirement {
    /// The day on which it was done, which may be before it was recorded.
    #[serde(with = "iso")]
    pub on: Date,
    /// For what.
    pub because: RetiredFor,
}

impl Retirement {
    /// What a change says of the retirement of an item that was not retired before it; nothing where it does not
    /// retire it.
    pub fn by(change: &Change, item: ItemId) -> Option<Self> {
        let retired = |on, because| Some(Self { on, because });
        match change {
            Change::ItemStepped(step) if step.item == item && step.step == ItemStep::Retire => {
                retired(step.on, step.retired_for.unwrap_or(RetiredFor::NotSaid))
            }
            Change::ExaminationRecorded(one)
                if one.item == item && one.verdict == Verdict::Retire =>
            {
                retired(one.on, RetiredFor::Examination)
            }
            Change::EventReported(event) if event.item == item => {
                let follows = event.follows.as_ref();
                follows.filter(|follows| follows.outcome == Outcome::Retire)?;
                retired(event.on, RetiredFor::Event)
            }
            Change::RopeCut(cut) if cut.rope == item => retired(cut.on, RetiredFor::Cut),
            _ => None,
        }
    }
}
