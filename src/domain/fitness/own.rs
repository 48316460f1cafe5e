//! What speaks against an item wherever it is to go: its own record and its model's.

use time::Date;

use super::{DayRules, approval, holding, place, record, rope};
use crate::domain::date::write_day;
use crate::domain::rulebook::Rulebook;
use crate::domain::{Item, ItemId, Model, Notice, NoticeClosing, Refusal, Zone};

/// An item under a rulebook, on a job or without one.
#[derive(Clone, Copy, Debug)]
pub struct Own<'a> {
    /// The item.
    pub item: &'a Item,
    /// Its model.
    pub model: &'a Model,
    /// The rulebook.
    pub rulebook: &'a Rulebook,
    /// The one that the team works by, where that may be another: its days bind as well.
    pub home: Option<&'a Rulebook>,
    /// The notices of the team.
    pub notices: &'a [Notice],
    /// Which of them are closed for which items.
    pub closings: &'a [NoticeClosing],
    /// The notices that are open for an item still, though a correction of its record took it out.
    pub still_open: &'a [(ItemId, Notice)],
    /// Today, in the team's time zone.
    pub today: Date,
    /// The day on which the job ends; none where there is no job.
    pub job_end: Option<Date>,
    /// The team's time zone.
    pub zone: &'a Zone,
}

impl Own<'_> {
    /// The rulebooks whose days bind it.
    pub(super) fn days(&self) -> DayRules<'_> {
        DayRules {
            asked: self.rulebook,
            home: self.home,
        }
    }

    /// The last day on which the item must still be fit.
    pub(super) fn last_day(&self) -> Date {
        self.job_end.map_or(self.today, |end| end.max(self.today))
    }

    pub(super) fn last_day_words(&self) -> String {
        match self.job_end {
            Some(end) => format!("the job's last day is {}", write_day(end)),
            None => format!("today is {}", write_day(self.today)),
        }
    }
}

/// Every reason for which any job under the rulebook would refuse the item at any position; empty means
/// that some job may take it.
pub fn wherever(own: &Own<'_>) -> Vec<Refusal> {
    let mut refusals = Vec::new();
    record::check(own, &mut refusals);
    place::own_parts(own.model, &mut refusals);
    approval::always_asked(own.model, own.rulebook, &mut refusals);
    rope::own_record(own.item, own.model, &mut refusals);
    holding::own_strength(own.model, own.rulebook, &mut refusals);
    refusals
}
