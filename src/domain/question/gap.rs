//! What the record does not say that it should.
//!
//! That no entry is missing and none was changed is no question of this kind: the numbers of the ledger are proved by its
//! tree, by checkpoints and by bundles.

use time::{Date, OffsetDateTime};

use crate::domain::date::{add_months, write_day};
use crate::domain::then::IntervalThen;
use crate::domain::{Item, ItemState, Job, JobState, Model, counted};

macro_rules! gaps {
    ($($(#[doc = $doc:literal])+ $name:ident $key:literal $words:literal;)+) => {
        /// A kind of gap.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Gap { $($(#[doc = $doc])+ $name,)+ }

        impl Gap {
            /// All of them.
            pub const ALL: [Self; 8] = [$(Self::$name),+];

            /// The word for programs.
            pub fn key(self) -> &'static str {
                match self { $(Self::$name => $key,)+ }
            }

            /// A few words.
            pub fn word(self) -> &'static str {
                match self { $(Self::$name => $words,)+ }
            }
        }
    };
}

gaps! {
    /// It never passed a thorough examination, and is of a kind that must before it is used.
    NeverExamined "never-examined" "never examined";
    /// Nobody wrote down when it was made.
    NoMadeDate "no-made-date" "no date made";
    /// It has neither a lot nor a serial, and is of a kind of which a serial is asked.
    NoLotOrSerial "no-lot-or-serial" "neither lot nor serial";
    /// More time than the interval passed between two thorough examinations, or since the last one.
    Stretch "stretch" "longer than the interval without an examination";
    /// Its use was logged once, and it went on a job since without any.
    UsageStopped "usage-stopped" "use no longer logged";
    /// The model is loaded, and nobody wrote down what it holds.
    NoRating "no-rating" "model without a rating";
    /// The job is over by the clock, and nobody closed it.
    JobNotClosed "job-not-closed" "job never closed";
    /// The job was closed with a kit on its list that was never issued.
    JobNotIssued "job-not-issued" "job closed, its kit never issued";
}

impl Gap {
    /// Reads the word for programs.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|gap| gap.key() == key)
    }

    /// What an item lacks on its record; retired items are past it.
    fn is_in(self, item: &Item, model: &Model) -> bool {
        match self {
            Self::NeverExamined => item.last_passed_on.is_none() && model.kind.is_examined_first(),
            Self::NoMadeDate => item.made.is_none(),
            Self::NoLotOrSerial => {
                let has_neither = item.lot.is_none() && item.serial.is_none();
                has_neither && !model.kind.is_beside_the_rig()
            }
            _ => false,
        }
    }

    /// Whether a model lacks a rating.
    pub fn of_model(model: &Model) -> Option<(Self, String)> {
        let lacks = model.ratings.is_empty() && model.kind.is_loaded();
        lacks.then(|| {
            (
                Self::NoRating,
                "Nobody wrote down what it holds.".to_owned(),
            )
        })
    }

    /// Whether a job was never closed.
    pub fn of_job(job: &Job, now: OffsetDateTime, ended: Date) -> Option<(Self, String)> {
        let open = job.state == JobState::Planned && job.ends_at < now;
        open.then(|| {
            let out = if job.issued.is_some() {
                ", and its kit is not counted back"
            } else {
                ""
            };
            let words = format!("It was to end on {}{out}.", write_day(ended));
            (Self::JobNotClosed, words)
        })
    }

    /// Whether a job was closed though the kit on its list, of so many items, was never issued.
    pub fn of_closed_job(
        job: &Job,
        (listed, was_issued): (usize, bool),
        ended: Date,
    ) -> Option<(Self, String)> {
        let lacks = job.state == JobState::Closed && listed > 0 && !was_issued;
        lacks.then(|| {
            let items = counted(listed, "item", "items");
            let words = format!(
                "It ended on {} with {items} on its list. Who took them, and what came back, no entry says.",
                write_day(ended)
            );
            (Self::JobNotIssued, words)
        })
    }
}

/// What the record of an item lacks, in words; nothing of one that is retired.
pub fn gaps_of_item(item: &Item, model: &Model) -> Vec<(Gap, String)> {
    if item.state == ItemState::Retired {
        return Vec::new();
    }
    let lacking = Gap::ALL.into_iter().filter(|gap| gap.is_in(item, model));
    let words = |gap| match gap {
        Gap::NeverExamined => "It never passed a thorough examination.",
        Gap::NoMadeDate => "Its age cannot be told.",
        _ => "No notice about a lot or a serial can leave it out.",
    };
    lacking.map(|gap| (gap, words(gap).to_owned())).collect()
}

/// A time without a thorough examination that was longer than the interval.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stretch {
    /// The examination before it.
    pub from: Date,
    /// The one behind it; none where there is none yet.
    pub until: Option<Date>,
    /// The days beyond the interval that bound on them, up to the one behind it or to the last day that counts.
    pub days: i64,
    /// Which of the intervals bound on the last of these days.
    pub by: usize,
}

/// The times between thorough examinations that were longer than the interval; the interval's last day is in it. `looks`
/// are the days of all of them in order, whatever they ended in; `last` is today, or the day on which the item was retired.
/// `intervals` are months, each with the day from which on they bound; the first ones bind before that too.
pub fn stretches(looks: &[Date], intervals: &[(Date, u16)], last: Date) -> Vec<Stretch> {
    let next = looks.iter().skip(1).copied().map(Some).chain([None]);
    let beyond = looks.iter().copied().zip(next).filter_map(|(from, until)| {
        let end = until.unwrap_or(last);
        let mut found = None;
        for (by, (since, months)) in intervals.iter().enumerate() {
            let since = if by == 0 { Date::MIN } else { *since };
            let first = add_months(from, *months).next_day()?.max(since);
            let behind = intervals.get(by + 1).and_then(|next| next.0.previous_day());
            let last = behind.map_or(end, |behind| behind.min(end));
            let days = (last - first).whole_days() + 1;
            if days > 0 {
                let before = found.map_or(0, |(days, _)| days);
                found = Some((before + days, by));
            }
        }
        found.map(|(days, by)| Stretch {
            from,
            until,
            days,
            by,
        })
    });
    beyond.collect()
}

impl Stretch {
    /// The stretch in words, with the interval that bound on the last day of it.
    pub fn words(&self, by: &IntervalThen) -> String {
        let beyond = counted(self.days, "day", "days");
        let until = match self.until {
            Some(until) => format!("the next one was on {}", write_day(until)),
            None => "there is none since".to_owned(),
        };
        let since = match self.by {
            0 => String::new(),
            _ => format!(", since {}", write_day(by.from)),
        };
        format!(
            "Examined on {}; {until}, {beyond} beyond the interval of the day. By then it was {}{since}: {}. The team went by {}.",
            write_day(self.from),
            counted(by.months, "month", "months"),
            by.rule.source,
            by.rulebook,
        )
    }
}

/// That an item went on a job after the last use that was logged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct UseAfter {
    /// The last day of which use was logged.
    pub logged: Date,
    /// The first day behind it on which a job that it was on began.
    pub job: Date,
}

/// Whether use of an item was logged once and no more, though it went on a job since. `jobs` are the days on which the
/// jobs that it was on began, those to come left out.
pub fn usage_stopped(logged: &[Date], jobs: &[Date]) -> Option<UseAfter> {
    let last = logged.iter().copied().max()?;
    let first = jobs.iter().copied().filter(|day| *day > last).min()?;
    Some(UseAfter {
        logged: last,
        job: first,
    })
}

impl UseAfter {
    /// It in words.
    pub fn words(self) -> String {
        format!(
            "Use was logged last on {}; a job that it was on began on {}.",
            write_day(self.logged),
            write_day(self.job)
        )
    }
}
