//! Until when a record has to be kept at least, as a rulebook says it.
//!
//! Nothing is ever removed by it: the register keeps everything. It tells what has to be there when somebody asks for
//! it. Of all rules that bind a record the longest is told first.

use std::cmp::Reverse;

use time::Date;

use super::{
    Examination, Item, ItemState, Job, JobState, Zone,
    date::{add_months, write_day},
    rulebook::{Ends, Paper, Retention, Rulebook},
};

/// A record, as far as its keeping hangs on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ToKeep {
    /// Which paper it is.
    pub paper: Paper,
    /// The day on which it was written; for what is written for a job its last day.
    pub on: Date,
    /// The day on which the job was over, if it is.
    pub job_over: Option<Date>,
    /// The day of the next paper of the same sort, if there is one.
    pub next: Option<Date>,
    /// The day on which the item went out of use, if it did; of a rope that was cut the last of its pieces.
    pub out_of_use: Option<Date>,
}

/// Until when.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Until {
    /// This day is the last.
    Day(Date),
    /// Something has to happen first.
    Open {
        /// What.
        ends: Ends,
        /// So many calendar months more.
        then_months: u16,
        /// Not before this day.
        not_before: Option<Date>,
    },
}

/// A rule that binds a record.
#[derive(Clone, Debug, PartialEq)]
pub struct Kept {
    /// Until when.
    pub until: Until,
    /// The rule.
    pub rule: Retention,
}

/// Whether two looks are of one sort: thorough, or before and after use.
fn alike(one: &Examination, other: &Examination) -> bool {
    one.kind.is_thorough() == other.kind.is_thorough()
}

impl ToKeep {
    /// An examination of an item, among all of that item in whatever order. Of a rope that was cut `pieces` are all that
    /// were cut from it, and from its pieces: what was written for it is written for them.
    pub fn of_examination(
        one: &Examination,
        all: &[Examination],
        (item, pieces): (&Item, &[Item]),
        zone: &Zone,
    ) -> Self {
        let others = all
            .iter()
            .filter(|other| other.id != one.id && alike(one, other));
        let days = others.map(|other| other.on);
        let is_first = !days.clone().any(|on| on < one.on);
        Self {
            paper: match (one.kind.is_thorough(), is_first) {
                (true, true) => Paper::FirstReport,
                (true, false) => Paper::Report,
                (false, _) => Paper::Inspection,
            },
            on: one.on,
            job_over: None,
            next: days.filter(|on| *on > one.on).min(),
            out_of_use: out_of_use(item, pieces, zone),
        }
    }

    /// What came with an item, and with what was cut from it.
    pub fn of_item((item, pieces): (&Item, &[Item]), zone: &Zone) -> Self {
        let since = zone.day(item.state_since);
        Self {
            paper: Paper::Item,
            on: item.bought_on.unwrap_or(since),
            job_over: None,
            next: None,
            out_of_use: out_of_use(item, pieces, zone),
        }
    }

    /// What is written for a job.
    pub fn of_job(job: &Job, zone: &Zone) -> Self {
        let last = zone.day(job.ends_at);
        Self {
            paper: Paper::Job,
            on: last,
            job_over: (job.state != JobState::Planned).then_some(last),
            next: None,
            out_of_use: None,
        }
    }

    /// The rules of a rulebook that bind it, the longest first; none where the rulebook names no such paper.
    pub fn kept(self, rulebook: &Rulebook) -> Vec<Kept> {
        let rules = rulebook.retentions().iter();
        let rules = rules.filter(|rule| rule.paper == Some(self.paper));
        let kept = rules.filter_map(|rule| {
            let until = self.until(rule)?;
            let rule = rule.clone();
            Some(Kept { until, rule })
        });
        let mut kept: Vec<Kept> = kept.collect();
        kept.sort_by_key(|kept| Reverse(kept.until.length()));
        kept
    }

    /// Until when one rule wants it kept: so many calendar months from the day on which it was written, and until what
    /// ends its keeping and so many months more; the later of both. A day that a month lacks is the last of that month.
    pub fn until(self, rule: &Retention) -> Option<Until> {
        let not_before = rule.months.map(|months| add_months(self.on, months));
        let Some(ends) = rule.ends else {
            return not_before.map(Until::Day);
        };
        let then_months = rule.then_months.unwrap_or(0);
        let ended = match ends {
            Ends::Job => self.job_over,
            Ends::Next => self.next,
            Ends::Use => self.out_of_use,
        };
        Some(match ended {
            Some(day) => {
                let day = add_months(day, then_months);
                Until::Day(not_before.map_or(day, |least| least.max(day)))
            }
            None => Until::Open {
                ends,
                then_months,
                not_before,
            },
        })
    }
}

/// The day on which an item went out of use, if it did: a rope that was cut is in use until the last of its pieces is not.
fn out_of_use(item: &Item, pieces: &[Item], zone: &Zone) -> Option<Date> {
    let all = || std::iter::once(item).chain(pieces);
    let gone = all().all(|one| one.state == ItemState::Retired);
    all()
        .map(|one| zone.day(one.state_since))
        .max()
        .filter(|_| gone)
}

impl Until {
    /// What tells the longer: what is open lasts longer than any day, and an item is in use longer than until its next
    /// examination.
    fn length(self) -> (Option<Ends>, u16, Option<Date>) {
        match self {
            Self::Day(day) => (None, 0, Some(day)),
            Self::Open {
                ends,
                then_months,
                not_before,
            } => (Some(ends), then_months, not_before),
        }
    }

    /// In words that stand behind "kept at least until".
    pub fn words(self) -> String {
        match self {
            Self::Day(day) => write_day(day),
            Self::Open {
                ends,
                then_months,
                not_before,
            } => {
                let then = match then_months {
                    0 => String::new(),
                    1 => ", and a month more".to_owned(),
                    months => format!(", and {months} months more"),
                };
                let least = not_before
                    .map(|day| format!("; in any case until {}", write_day(day)))
                    .unwrap_or_default();
                format!("{}{then}{least}", ends.words())
            }
        }
    }

    /// The day, where it is known already.
    pub fn day(self) -> Option<Date> {
        match self {
            Self::Day(day) => Some(day),
            Self::Open { .. } => None,
        }
    }
}
