//! Whether an item had a valid examination on a day.

use time::Date;

use crate::domain::fitness::{Due, due, due_on};
use crate::domain::rulebook::Rulebook;
use crate::domain::{Cited, Item, ItemState, Model};

/// Why an item had no valid examination on a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum OutOfDate {
    /// It had never passed a thorough one.
    Never,
    /// The last one that it passed was valid no more.
    Over {
        /// The day on which it passed.
        passed: Date,
        /// The last day on which that was valid.
        until: Date,
        /// The rule that set it.
        rule: Cited,
    },
}

/// Whether an item, as it was on the day, was in service with no valid examination, and why; none where it was in date,
/// was not in service, or where none is asked for. It is in date on the day on which the next one is due.
pub fn out_of_date(item: &Item, model: &Model, rulebook: &Rulebook, on: Date) -> Option<OutOfDate> {
    if item.state != ItemState::InService {
        return None;
    }
    match due(item, model, rulebook, on) {
        Due::NeverExamined => Some(OutOfDate::Never),
        Due::Overdue { .. } => {
            let (until, rule) = due_on(item, model, rulebook)?;
            Some(OutOfDate::Over {
                passed: item.last_passed_on?,
                until,
                rule,
            })
        }
        Due::NotAsked | Due::DueSoon { .. } | Due::InDate { .. } => None,
    }
}

impl OutOfDate {
    /// The sort, in a few words.
    pub fn part(&self) -> &'static str {
        match self {
            Self::Never => "never examined by then",
            Self::Over { .. } => "no longer valid",
        }
    }

    /// The reason in words.
    pub fn words(&self) -> String {
        match self {
            Self::Never => "It had passed no thorough examination.".to_owned(),
            Self::Over { rule, .. } => {
                format!("The last one was valid no more, by: {}.", rule.source)
            }
        }
    }

    /// The day on which it passed last, and the last day on which that was valid.
    pub fn days(&self) -> (Option<Date>, Option<Date>) {
        match self {
            Self::Never => (None, None),
            Self::Over { passed, until, .. } => (Some(*passed), Some(*until)),
        }
    }
}
