//! When the next examination is due, and which rule says so.

use serde::Serialize;
use time::Date;

use super::own_rule;
use crate::domain::date::{add_months, iso};
use crate::domain::rulebook::Rulebook;
use crate::domain::{Cited, Item, Known, Model};

/// After how many months what is used beside the rig is examined again, where no rule names it.
const BESIDE_MONTHS: u16 = 12;
/// How many days before its due day an examination counts as due soon.
const SOON_DAYS: i64 = 30;

/// Where an item stands with its examination. An item is still in date on its due day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "state")]
pub enum Due {
    /// It never passed a thorough examination.
    NeverExamined,
    /// It was not examined, and need not be before it is used.
    NotAsked,
    /// The due day is over.
    Overdue {
        /// The due day, the last one on which it was in date.
        #[serde(with = "iso")]
        until: Date,
        /// The rule that set it.
        rule: Cited,
    },
    /// The due day is near, or today.
    DueSoon {
        /// The due day.
        #[serde(with = "iso")]
        until: Date,
        /// The rule that set it.
        rule: Cited,
    },
    /// The due day is far.
    InDate {
        /// The due day.
        #[serde(with = "iso")]
        until: Date,
        /// The rule that set it.
        rule: Cited,
    },
}

impl Due {
    /// The due day, if there is one.
    pub fn until(&self) -> Option<Date> {
        match self {
            Self::NeverExamined | Self::NotAsked => None,
            Self::Overdue { until, .. }
            | Self::DueSoon { until, .. }
            | Self::InDate { until, .. } => Some(*until),
        }
    }

    /// The word for people.
    pub fn word(&self) -> &'static str {
        match self {
            Self::NeverExamined => "never examined",
            Self::NotAsked => "no examination asked for",
            Self::Overdue { .. } => "overdue",
            Self::DueSoon { .. } => "due soon",
            Self::InDate { .. } => "in date",
        }
    }
}

/// The longest time between thorough examinations in months: the shorter of the maker's and the
/// rulebook's, and which one binds. Where the rulebook has none for what is used beside the rig, it is a year.
pub fn interval_months(model: &Model, rulebook: &Rulebook) -> (u16, Cited) {
    interval_in(model, rulebook, false)
}

/// The same for one item: what its record says of arduous use counts too. Where the rulebook has no rule for
/// arduous use of its kind, the interval for usual use stays.
pub fn interval_of(item: &Item, model: &Model, rulebook: &Rulebook) -> (u16, Cited) {
    interval_in(model, rulebook, item.arduous.is_some())
}

fn interval_in(model: &Model, rulebook: &Rulebook, arduous: bool) -> (u16, Cited) {
    let ruled = rulebook.interval_in(model.kind, model.material, arduous);
    let (most, from) = match ruled {
        Some(ruled) => (ruled.months, ruled.from.clone()),
        // The check of a rulebook holds an interval for every other kind.
        None => (
            BESIDE_MONTHS,
            own_rule(
                "what is used beside the rig and was examined is examined again within a year",
            ),
        ),
    };
    match model.examine_every_months {
        Some(months) if months < most || ruled.is_none() => (
            months,
            Cited::new("maker's interval, as entered for the model", Known::Setting),
        ),
        _ => (most, from),
    }
}

/// How often a model's items are to be examined under a rulebook, in months.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Intervals {
    /// Those in usual use.
    pub usual: u16,
    /// Those in arduous use.
    pub arduous: u16,
}

impl Intervals {
    /// The intervals that bind a model's items.
    pub fn of(model: &Model, rulebook: &Rulebook) -> Self {
        Self {
            usual: interval_in(model, rulebook, false).0,
            arduous: interval_in(model, rulebook, true).0,
        }
    }

    /// The one that binds this item.
    pub fn binding(self, item: &Item) -> u16 {
        match item.arduous {
            Some(_) => self.arduous,
            None => self.usual,
        }
    }
}

/// The last day on which the item's examination is in date where it is to be examined every so many months; `None`
/// if it never passed one.
///
/// The day that the last examination set counts, and so does the interval; the earlier of the two holds.
pub fn last_day_in_date(item: &Item, interval_months: u16) -> Option<Date> {
    let ruled = add_months(item.last_passed_on?, interval_months);
    Some(item.next_due_on.map_or(ruled, |set| set.min(ruled)))
}

/// The same under a rulebook, with the rule that sets it.
pub fn due_on(item: &Item, model: &Model, rulebook: &Rulebook) -> Option<(Date, Cited)> {
    let (months, rule) = interval_of(item, model, rulebook);
    let until = last_day_in_date(item, months)?;
    let is_ruled = add_months(item.last_passed_on?, months) == until;
    let set = || Cited::new("day set by the last examination", Known::Setting);
    Some((until, if is_ruled { rule } else { set() }))
}

/// Where an item stands with its examination today.
pub fn due(item: &Item, model: &Model, rulebook: &Rulebook, today: Date) -> Due {
    let Some((until, rule)) = due_on(item, model, rulebook) else {
        return if model.kind.is_examined_first() {
            Due::NeverExamined
        } else {
            Due::NotAsked
        };
    };
    match (until - today).whole_days() {
        days if days < 0 => Due::Overdue { until, rule },
        days if days <= SOON_DAYS => Due::DueSoon { until, rule },
        _ => Due::InDate { until, rule },
    }
}
