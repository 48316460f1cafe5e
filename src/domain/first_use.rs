//! From which day on the use of an item counts: the day that is noted, an earlier one that the record shows, or, where
//! none is noted, the earliest that there can be.

use serde::{Deserialize, Serialize};
use time::Date;

use super::date::{iso, write_day};
use super::{Change, Examination, ExaminationKind, Issue, Item, ItemId, Made, Usage};

/// The earliest use of an item that the record shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct UseShown {
    /// The day.
    #[serde(with = "iso")]
    pub on: Date,
    /// What shows it.
    pub by: ShownBy,
}

/// What shows that an item was used.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ShownBy {
    /// The log of use.
    Log,
    /// It was handed out for a job.
    Issue,
    /// It was looked at before or after use, or after an event.
    Examination,
}

impl ShownBy {
    /// What shows it, in words.
    pub fn word(self) -> &'static str {
        match self {
            Self::Log => "the log of use",
            Self::Issue => "the issue for a job",
            Self::Examination => "an examination beside its use",
        }
    }
}

impl UseShown {
    /// The use of an item that a change shows, if it shows any.
    pub fn by(change: &Change, item: ItemId) -> Option<Self> {
        match change {
            Change::UsageLogged(usage) if usage.item == item => Some(Self::of_use(usage)),
            Change::ExaminationRecorded(look) if look.item == item => Self::of_look(look),
            Change::KitIssued(issue) => Self::of_issue(issue, item),
            _ => None,
        }
    }

    /// What was logged.
    pub fn of_use(usage: &Usage) -> Self {
        Self {
            on: usage.since.unwrap_or(usage.on),
            by: ShownBy::Log,
        }
    }

    /// What a look shows. An intake or a periodic examination shows no use: what lies in a store is examined too.
    pub fn of_look(look: &Examination) -> Option<Self> {
        let beside_use = match look.kind {
            ExaminationKind::Intake | ExaminationKind::Periodic => false,
            ExaminationKind::PreUse | ExaminationKind::AfterUse | ExaminationKind::AfterEvent => {
                true
            }
        };
        beside_use.then_some(Self {
            on: look.on,
            by: ShownBy::Examination,
        })
    }

    /// What an issue shows of one of its items: the day in UTC.
    pub fn of_issue(issue: &Issue, item: ItemId) -> Option<Self> {
        let mut lines = issue.lines.iter();
        lines.any(|line| line.item == item).then(|| Self {
            on: issue.at.date(),
            by: ShownBy::Issue,
        })
    }

    /// The earlier of two.
    pub fn earlier(one: Option<Self>, other: Option<Self>) -> Option<Self> {
        match (one, other) {
            (Some(one), Some(other)) if other.on < one.on => Some(other),
            (None, other) => other,
            (one, _) => one,
        }
    }
}

/// From which day on the use of an item is counted, and why from that one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FirstUse {
    /// The day.
    pub on: Date,
    /// What is to be said of it; empty where the day itself is noted.
    pub note: String,
}

/// How a day that is not noted is called on every page.
const NOT_NOTED: &str = "first use not noted";

impl Item {
    /// From which day on its use is counted: the cautious end of what is known.
    ///
    /// Where the first use is noted by a year or a month, its first day counts, but none before it was made. Where it is
    /// not noted, the day made counts, and where that is unknown the day it was bought. Use that the record shows before
    /// that day counts from there. Nothing where neither is known: it may have been used long before what shows it.
    pub fn counted_from(&self) -> Option<FirstUse> {
        let (on, note) = match self.first_used_on {
            Some(noted) => self.noted(noted),
            None => self.not_noted()?,
        };
        match self.use_shown.filter(|shown| shown.on < on) {
            None => Some(FirstUse { on, note }),
            Some(shown) => Some(FirstUse {
                on: shown.on,
                note: match self.first_used_on {
                    Some(noted) => format!(
                        "{} shows use before {noted}, which is noted",
                        shown.by.word()
                    ),
                    None => format!("{NOT_NOTED}; counted from {}", shown.by.word()),
                },
            }),
        }
    }

    fn noted(&self, noted: Made) -> (Date, String) {
        let made = self.made.map(Made::cautious_day);
        match made.filter(|made| *made > noted.cautious_day() && *made <= noted.last_day()) {
            Some(made) => (
                made,
                format!("{noted} is noted; not before it was made, counted from there"),
            ),
            None => (
                noted.cautious_day(),
                noted.precision().unwrap_or_default().to_owned(),
            ),
        }
    }

    fn not_noted(&self) -> Option<(Date, String)> {
        let (on, what, precision) = match (self.made, self.bought_on) {
            (Some(made), _) => (made.cautious_day(), "made", made.precision()),
            (None, Some(bought)) => (bought, "bought", None),
            (None, None) => return None,
        };
        let precision = precision
            .map(|words| format!("; {words}"))
            .unwrap_or_default();
        let note = format!("{NOT_NOTED}; counted from the day it was {what}{precision}");
        Some((on, note))
    }

    /// What keeps its first use from being told, and what the record shows all the same.
    pub(super) fn use_unknown(&self) -> String {
        let shown = self.use_shown.map(|shown| {
            let on = write_day(shown.on);
            format!("; {} shows that it was in use by {on}", shown.by.word())
        });
        format!(
            "Neither its first use nor the day it was made or bought is noted{}",
            shown.unwrap_or_default()
        )
    }

    /// The same, with use that was shown.
    #[must_use]
    pub fn with_use_shown(mut self, shown: Option<UseShown>) -> Self {
        self.use_shown = UseShown::earlier(self.use_shown, shown);
        self
    }
}
