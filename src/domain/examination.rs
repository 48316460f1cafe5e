//! A dated look at an item with findings and a verdict.

use serde::{Deserialize, Serialize};
use time::Date;

use super::date::{add_months, in_reach, iso, read_day, write_day};
use super::item::{past_day, readable};
use super::rating::{key_of, optional};
use super::{ExaminationId, FieldErrors, ItemId, PersonId};

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

/// A dated look at an item.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Examination {
    /// Its id.
    pub id: ExaminationId,
    /// The item.
    pub item: ItemId,
    /// Why it was looked at.
    pub kind: ExaminationKind,
    /// The day it was done, which may be before it was recorded.
    #[serde(with = "iso")]
    pub on: Date,
    /// Who recorded it.
    pub recorded_by: PersonId,
    /// Who looked, by name; the recorder, or another competent person.
    pub examiner: String,
    /// What was found.
    pub findings: String,
    /// What it ended in.
    pub verdict: Verdict,
    /// When the next thorough one is due.
    #[serde(with = "iso::option")]
    pub next_due_on: Option<Date>,
    /// Whether its markings could be read; none where nobody looked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub markings_readable: Option<bool>,
}

/// An examination as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct ExaminationDraft {
    /// The kind's key.
    pub kind: String,
    /// The day it was done.
    pub on: String,
    /// Who looked; empty is whoever records it.
    pub examiner: String,
    /// What was found.
    pub findings: String,
    /// The verdict's key.
    pub verdict: String,
    /// The next due day; empty is the longest that the rules allow.
    pub next_due_on: String,
    /// Whether its markings can be read: `yes`, `no`, or empty where nobody looked.
    pub markings_readable: String,
}

/// What an examination is checked against.
#[derive(Clone, Debug)]
pub struct ExaminationBasis {
    /// The item.
    pub item: ItemId,
    /// Who records it.
    pub recorded_by: PersonId,
    /// The recorder's name.
    pub recorder: String,
    /// The day it is recorded.
    pub today: Date,
    /// The shortest interval that binds, in months.
    pub interval_months: u16,
}

impl ExaminationDraft {
    /// The examination that was typed in.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn check(
        &self,
        id: ExaminationId,
        basis: &ExaminationBasis,
    ) -> Result<Examination, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let (kind, verdict) = self.chosen(&mut wrong);
        let on = past_day(&mut wrong, "on", &self.on, basis.today);
        if self.on.trim().is_empty() {
            wrong.add("on", "required", "Write the day on which it was examined.");
        }
        let examiner = wrong
            .optional_line("examiner", &self.examiner)
            .unwrap_or_else(|| basis.recorder.clone());
        let findings = wrong.note("findings", &self.findings);
        if findings.is_empty() && verdict.is_some_and(|verdict| verdict != Verdict::Fit) {
            wrong.add(
                "findings",
                "required",
                "Write what was found; an item is not taken out of use without it.",
            );
        }
        let next_due_on = self.next_due(kind, verdict, on, basis, &mut wrong);
        let markings_readable = readable(&mut wrong, &self.markings_readable);
        match (kind, verdict, on) {
            (Some(kind), Some(verdict), Some(on)) if wrong.is_empty() => Ok(Examination {
                id,
                item: basis.item,
                kind,
                on,
                recorded_by: basis.recorded_by,
                examiner,
                findings,
                verdict,
                next_due_on,
                markings_readable,
            }),
            _ => Err(wrong),
        }
    }

    /// Why it was looked at, and what the look ended in.
    fn chosen(&self, wrong: &mut FieldErrors) -> (Option<ExaminationKind>, Option<Verdict>) {
        let kind = ExaminationKind::from_key(&self.kind);
        if kind.is_none() {
            wrong.add(
                "kind",
                "choice",
                format!(
                    "Choose intake, pre-use, periodic, after-use or after-event, not \"{}\".",
                    self.kind.trim()
                ),
            );
        }
        let verdict = Verdict::from_key(&self.verdict);
        if verdict.is_none() {
            wrong.add(
                "verdict",
                "choice",
                format!(
                    "Choose fit, quarantine or retire, not \"{}\".",
                    self.verdict.trim()
                ),
            );
        }
        (kind, verdict)
    }

    /// The next due day: what was typed, but never later than the interval allows.
    fn next_due(
        &self,
        kind: Option<ExaminationKind>,
        verdict: Option<Verdict>,
        on: Option<Date>,
        basis: &ExaminationBasis,
        wrong: &mut FieldErrors,
    ) -> Option<Date> {
        let typed = optional(&self.next_due_on, |text| {
            wrong.keep("next_due_on", "date", read_day(text).and_then(in_reach))
        });
        if verdict != Some(Verdict::Fit) || !kind?.is_thorough() {
            if typed.is_some() {
                wrong.add("next_due_on", "choice", "Only a thorough examination that ends in fit sets the next due day; leave this empty.");
            }
            return None;
        }
        let on = on?;
        let latest = add_months(on, basis.interval_months);
        match typed {
            Some(day) if day <= on => {
                wrong.add(
                    "next_due_on",
                    "range",
                    format!(
                        "The next one must be after this one, {}, not {}.",
                        write_day(on),
                        write_day(day)
                    ),
                );
                None
            }
            Some(day) if day > latest => {
                wrong.add(
                    "next_due_on",
                    "range",
                    format!(
                        "The rules allow {} months, until {}, not {}.",
                        basis.interval_months,
                        write_day(latest),
                        write_day(day)
                    ),
                );
                None
            }
            Some(day) => Some(day),
            None => Some(latest),
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
