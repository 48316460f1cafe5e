//! When the next examination is due, and which rule says so.

use serde::Serialize;
use time::Date;

use crate::domain::date::{add_months, iso};
use crate::domain::rulebook::Rulebook;
use crate::domain::{Cited, Item, Known, Model};

/// How many days before its due day an examination counts as due soon.
const SOON_DAYS: i64 = 30;

/// Where an item stands with its examination. An item is still in date on its due day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "state")]
pub enum Due {
    /// It never passed a thorough examination.
    NeverExamined,
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
            Self::NeverExamined => None,
            Self::Overdue { until, .. }
            | Self::DueSoon { until, .. }
            | Self::InDate { until, .. } => Some(*until),
        }
    }

    /// The word for people.
    pub fn word(&self) -> &'static str {
        match self {
            Self::NeverExamined => "never examined",
            Self::Overdue { .. } => "overdue",
            Self::DueSoon { .. } => "due soon",
            Self::InDate { .. } => "in date",
        }
    }
}

/// The longest time between thorough examinations in months: the shorter of the maker's and the
/// rulebook's, and which one binds.
///
/// # Panics
/// Never: the check of a rulebook holds an interval for every kind.
pub fn interval_months(model: &Model, rulebook: &Rulebook) -> (u16, Cited) {
    interval_in(model, rulebook, false)
}

/// The same for one item: what its record says of arduous use counts too. Where the rulebook has no rule for
/// arduous use of its kind, the interval for usual use stays.
pub fn interval_of(item: &Item, model: &Model, rulebook: &Rulebook) -> (u16, Cited) {
    interval_in(model, rulebook, item.arduous.is_some())
}

fn interval_in(model: &Model, rulebook: &Rulebook, arduous: bool) -> (u16, Cited) {
    let ruled = rulebook
        .interval_in(model.kind, model.material, arduous)
        .expect("the check of a rulebook holds an interval for every kind");
    match model.examine_every_months {
        Some(months) if months < ruled.months => (
            months,
            Cited::new("maker's interval, as entered for the model", Known::Setting),
        ),
        _ => (ruled.months, ruled.from.clone()),
    }
}

/// The last day on which the item's examination is in date, with the rule that sets it; `None` if it
/// never passed one.
///
/// The day that the last examination set counts, and so does the shortest interval under this
/// rulebook; the earlier of the two holds.
pub fn due_on(item: &Item, model: &Model, rulebook: &Rulebook) -> Option<(Date, Cited)> {
    let passed = item.last_passed_on?;
    let (months, rule) = interval_of(item, model, rulebook);
    let ruled = add_months(passed, months);
    match item.next_due_on {
        Some(set) if set < ruled => Some((
            set,
            Cited::new("day set by the last examination", Known::Setting),
        )),
        _ => Some((ruled, rule)),
    }
}

/// Where an item stands with its examination today.
pub fn due(item: &Item, model: &Model, rulebook: &Rulebook, today: Date) -> Due {
    let Some((until, rule)) = due_on(item, model, rulebook) else {
        return Due::NeverExamined;
    };
    match (until - today).whole_days() {
        days if days < 0 => Due::Overdue { until, rule },
        days if days <= SOON_DAYS => Due::DueSoon { until, rule },
        _ => Due::InDate { until, rule },
    }
}
