//! A kit counted back: what became of each item, and how it was used, told once for the whole job.

mod draft;

use serde::{Deserialize, Serialize};
use time::{Date, OffsetDateTime};
use uuid::Uuid;

use super::date::iso;
use super::{IssueId, ItemId, JobId, Names, PersonId, ReturnId, Signer, Told, UsageSums};
pub use draft::{Counting, KitReturnDraft, ReturnedLineDraft};

/// How an item came back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Condition {
    /// Back and fine.
    Fine,
    /// Back, and somebody competent is to look at it before it goes out again.
    LookAt,
    /// Back and damaged: it goes to quarantine.
    Damaged,
    /// Not back, and nobody knows where it is.
    Missing,
}

impl Condition {
    /// Every condition, in the order in which they are offered.
    pub const ALL: [Self; 4] = [Self::Fine, Self::LookAt, Self::Damaged, Self::Missing];

    /// The word for programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::Fine => "fine",
            Self::LookAt => "look-at",
            Self::Damaged => "damaged",
            Self::Missing => "missing",
        }
    }

    /// The words for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::LookAt => "to be looked at",
            other => other.key(),
        }
    }

    /// Reads the word for programs.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.key() == key.trim())
    }
}

/// Items of an issue, counted back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct KitReturn {
    /// Its id.
    pub id: ReturnId,
    /// The job.
    pub job: JobId,
    /// The issue.
    pub issue: IssueId,
    /// Who counted.
    pub by: Signer,
    /// When.
    #[serde(with = "time::serde::rfc3339")]
    pub at: OffsetDateTime,
    /// The day of the use that is logged with it.
    #[serde(with = "iso")]
    pub on: Date,
    /// What was counted, in the order of the issue.
    pub lines: Vec<ReturnedLine>,
    /// What else is known of the whole.
    pub note: String,
}

/// An item that was counted back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct ReturnedLine {
    /// The item.
    pub item: ItemId,
    /// How it came back.
    pub condition: Condition,
    /// What was seen.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// How much it was used.
    pub amount: UsageSums,
    /// Whether it was under water.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub water: bool,
    /// Whether it met a chemical.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub chemical: bool,
}

/// That whoever counted an item back wants it looked at.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct LookAsked {
    /// The job that it came back from.
    pub job: JobId,
    /// Who asked.
    pub by: PersonId,
    /// The day.
    #[serde(with = "iso")]
    pub on: Date,
    /// What was seen.
    pub note: String,
}

impl KitReturn {
    /// What was counted, in words.
    pub(super) fn told(&self, names: &Names) -> Told {
        let count = |condition: Condition| {
            let lines = self.lines.iter();
            let count = lines.filter(|line| line.condition == condition).count();
            (count > 0).then(|| format!("{count} {}", condition.word()))
        };
        let parts: Vec<String> = Condition::ALL.into_iter().filter_map(count).collect();
        let marked = self.lines.iter().filter(|line| !line.note.is_empty());
        let mut why: Vec<String> = marked
            .map(|line| format!("{}: {}", names.of(line.item.0), line.note))
            .collect();
        why.extend((!self.note.is_empty()).then(|| self.note.clone()));
        Told::new(format!(
            "Kit of the job {} counted back by {}: {}",
            names.of(self.job.0),
            self.by.name,
            parts.join(", ")
        ))
        .why(why.join("; "))
    }

    /// The job and every item that was counted.
    pub(super) fn subjects(&self) -> Vec<Uuid> {
        let items = self.lines.iter().map(|line| line.item.0);
        std::iter::once(self.job.0).chain(items).collect()
    }

    /// The title and every mark.
    pub(super) fn about(&self, names: &Names) -> Vec<String> {
        let subjects = self.subjects().into_iter();
        subjects.map(|id| names.of(id)).collect()
    }
}
