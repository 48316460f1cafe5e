//! The log of use: hours, uses, falls and loads, added up, and held against what the maker allows.

mod period;

use serde::{Deserialize, Serialize};
use time::Date;

use super::date::{iso, write_day};
use super::entered::split_number;
use super::item::past_day;
use super::rating::optional;
use super::{
    Event, EventId, FieldErrors, ItemId, Job, JobId, Model, Names, PersonId, Told, UsageId, counted,
};

/// The most of one entry: more is a slip of the pen.
const MOST: u32 = 10_000;
/// From which share of the maker's limit on it is near, in percent.
const NEAR: u64 = 90;

/// Use of an item on a day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Usage {
    /// Its id.
    pub id: UsageId,
    /// The item.
    pub item: ItemId,
    /// The day; of several the last one.
    #[serde(with = "iso")]
    pub on: Date,
    /// The first of several days.
    #[serde(default, with = "iso::option", skip_serializing_if = "Option::is_none")]
    pub since: Option<Date>,
    /// Who used it.
    pub by: PersonId,
    /// The job on which it was used, if it was on one.
    pub job: Option<JobId>,
    /// How much.
    pub amount: UsageSums,
    /// What else is known.
    pub note: String,
    /// The event behind it, if it is a fall that was reported as one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub event: Option<EventId>,
}

/// Amounts of use.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct UsageSums {
    /// Minutes of use.
    pub minutes: u32,
    /// Times it was used.
    pub uses: u32,
    /// Falls it held.
    pub falls: u32,
    /// Loads it carried.
    pub loads: u32,
}

impl UsageSums {
    /// Whether nothing was logged.
    pub fn is_nothing(&self) -> bool {
        *self == Self::default()
    }

    /// Both together; what no counter holds stays at its end.
    #[must_use]
    pub fn plus(self, more: Self) -> Self {
        Self {
            minutes: self.minutes.saturating_add(more.minutes),
            uses: self.uses.saturating_add(more.uses),
            falls: self.falls.saturating_add(more.falls),
            loads: self.loads.saturating_add(more.loads),
        }
    }

    /// The hours, with minutes as a fraction of two digits.
    pub fn hours(self) -> String {
        let text = format!("{:.2}", f64::from(self.minutes) / 60.0);
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    }

    /// What is not nothing, in words: "2.5 hours, 1 use".
    pub fn words(self) -> String {
        let count =
            |number: u32, one: &str, many: &str| (number > 0).then(|| counted(number, one, many));
        let hours = (self.minutes > 0).then(|| match self.minutes {
            60 => "1 hour".to_owned(),
            _ => format!("{} hours", self.hours()),
        });
        let parts = [
            hours,
            count(self.uses, "use", "uses"),
            count(self.falls, "fall", "falls"),
            count(self.loads, "load", "loads"),
        ];
        let parts: Vec<String> = parts.into_iter().flatten().collect();
        parts.join(", ")
    }
}

impl Usage {
    /// The fall behind an event.
    pub fn of_fall(id: UsageId, event: &Event) -> Self {
        Self {
            id,
            item: event.item,
            on: event.on,
            since: None,
            by: event.reported_by,
            job: None,
            amount: UsageSums {
                falls: 1,
                ..UsageSums::default()
            },
            note: String::new(),
            event: Some(event.id),
        }
    }

    /// The day or days in words.
    pub fn days_words(&self) -> String {
        let on = write_day(self.on);
        match self.since.filter(|since| *since < self.on) {
            Some(since) => format!("{} to {on}", write_day(since)),
            None => on,
        }
    }

    /// The entry in words.
    pub(super) fn told(&self, names: &Names) -> Told {
        let on_job = self
            .job
            .map(|job| format!(" on the job {}", names.of(job.0)));
        let since = self
            .since
            .map(|since| format!(", since {}", write_day(since)));
        Told::new(format!(
            "Use of {} logged: {}, by {}{}{}",
            names.of(self.item.0),
            self.amount.words(),
            names.of(self.by.0),
            on_job.unwrap_or_default(),
            since.unwrap_or_default()
        ))
        .why(self.note.as_str())
        .on(self.on)
    }
}

/// The most that the maker allows; what is not there is not limited, as far as is known.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct UseLimit {
    /// Hours of use.
    pub hours: Option<u16>,
    /// Times of use.
    pub uses: Option<u16>,
    /// Falls held.
    pub falls: Option<u16>,
}

impl UseLimit {
    /// Whether the maker limits nothing, as far as is known.
    pub fn is_open(&self) -> bool {
        *self == Self::default()
    }

    /// The limits in words: "500 uses, 3 falls".
    pub fn words(self) -> String {
        let part = |most: Option<u16>, word: &str| most.map(|most| format!("{most} {word}"));
        let parts = [
            part(self.hours, "hours"),
            part(self.uses, "uses"),
            part(self.falls, "falls"),
        ];
        let parts: Vec<String> = parts.into_iter().flatten().collect();
        parts.join(", ")
    }
}

/// How much of one of the maker's limits is used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Used {
    /// What was used, in words: "470 of 500 uses".
    pub words: String,
    /// How far.
    pub reach: Reach,
}

/// How near a limit is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reach {
    /// Far.
    Far,
    /// At 90 % or more.
    Near,
    /// Nothing is left.
    UsedUp,
}

impl Reach {
    /// The words for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::Far => "",
            Self::Near => "90 % or more is used",
            Self::UsedUp => "used up; no job takes it",
        }
    }
}

/// How much of each of the maker's limits is used; nothing where the maker gives none.
pub fn used(sums: UsageSums, model: &Model) -> Vec<Used> {
    used_of(sums, model.use_limit)
}

impl UsageSums {
    /// Whether nothing is left of one of these limits.
    pub fn is_used_up(self, limit: UseLimit) -> bool {
        let mut limits = used_of(self, limit).into_iter();
        limits.any(|used| used.reach == Reach::UsedUp)
    }
}

fn used_of(sums: UsageSums, limit: UseLimit) -> Vec<Used> {
    let one = |most: Option<u16>, done: u64, per: u64, shown: String, word: &str| {
        let most = u64::from(most?);
        let reach = match done {
            done if done >= most * per => Reach::UsedUp,
            done if done * 100 >= most * per * NEAR => Reach::Near,
            _ => Reach::Far,
        };
        Some(Used {
            words: format!("{shown} of {most} {word}"),
            reach,
        })
    };
    let UsageSums {
        minutes,
        uses,
        falls,
        ..
    } = sums;
    [
        one(limit.hours, minutes.into(), 60, sums.hours(), "hours"),
        one(limit.uses, uses.into(), 1, uses.to_string(), "uses"),
        one(limit.falls, falls.into(), 1, falls.to_string(), "falls"),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Use as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct UsageDraft {
    /// The day, of several the last one; empty is today.
    pub on: String,
    /// The first day, where the entry is about several; empty is the one day.
    pub since: String,
    /// The id of who used it; empty is who logs it.
    pub by: String,
    /// The id of the job; empty is none.
    pub job: String,
    /// Hours, such as `2.5` or `2:30`.
    pub hours: String,
    /// Times it was used.
    pub uses: String,
    /// Falls it held.
    pub falls: String,
    /// Loads it carried.
    pub loads: String,
    /// What else is known.
    pub note: String,
}

impl UsageDraft {
    /// The use that was typed in; whether person and job are there is the deed's to check.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn check(
        &self,
        id: UsageId,
        item: ItemId,
        (by, job): (PersonId, Option<&Job>),
        today: Date,
    ) -> Result<Usage, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let on = match self.on.trim() {
            "" => Some(today),
            _ => past_day(&mut wrong, "on", &self.on, today),
        };
        let since = self.first_day((on, today), &mut wrong);
        let typed = [&self.hours, &self.uses, &self.loads].map(String::as_str);
        let amount = UsageSums {
            falls: count(&mut wrong, "falls", &self.falls),
            ..typed_amount(&mut wrong, str::to_owned, typed)
        };
        if wrong.is_empty() && amount.is_nothing() {
            let words = "Write at least one of hours, uses, falls and loads.";
            wrong.add("hours", "required", words);
        }
        if let Some(on) = on {
            self.in_hours_of(amount, (since, on), job, &mut wrong);
        }
        let note = wrong.note("note", &self.note);
        match on {
            Some(on) if wrong.is_empty() => Ok(Usage {
                id,
                item,
                on,
                since: since.filter(|since| *since < on),
                by,
                job: job.map(|job| job.id),
                amount,
                note,
                event: None,
            }),
            _ => Err(wrong),
        }
    }
}

/// Reads hours, times used and loads; `field` gives the name of the field of each.
pub(super) fn typed_amount(
    wrong: &mut FieldErrors,
    field: impl Fn(&str) -> String,
    [hours, uses, loads]: [&str; 3],
) -> UsageSums {
    UsageSums {
        minutes: optional(hours, |text| {
            wrong.keep(&field("hours"), "number", minutes(text))
        })
        .unwrap_or(0),
        uses: count(wrong, &field("uses"), uses),
        loads: count(wrong, &field("loads"), loads),
        falls: 0,
    }
}

fn count(wrong: &mut FieldErrors, field: &str, text: &str) -> u32 {
    optional(text, |text| wrong.keep(field, "number", whole(text))).unwrap_or(0)
}

fn short(text: &str) -> String {
    text.trim().chars().take(60).collect()
}

fn whole(text: &str) -> Result<u32, String> {
    match text.trim().parse::<u32>() {
        Ok(number) if number <= MOST => Ok(number),
        _ => Err(format!(
            "Write a whole number from 0 to {MOST}, not \"{}\".",
            short(text)
        )),
    }
}

/// Hours as minutes: `2.5`, `2,5` or `2:30`. What is between two minutes counts as the later.
fn minutes(text: &str) -> Result<u32, String> {
    let wrong = || {
        format!(
            "Write hours from 0 to {MOST}, such as 2.5 or 2:30, not \"{}\".",
            short(text)
        )
    };
    if let Some((hours, minutes)) = text.trim().split_once(':') {
        let digits = |text: &str| !text.is_empty() && text.chars().all(|c| c.is_ascii_digit());
        let hours = Some(hours).filter(|hours| digits(hours));
        let hours = hours.and_then(|hours| hours.parse::<u32>().ok());
        let minutes = Some(minutes).filter(|minutes| minutes.len() == 2 && digits(minutes));
        let minutes = minutes.and_then(|minutes| minutes.parse::<u32>().ok());
        return match (hours, minutes) {
            (Some(hours), Some(minutes)) if hours < MOST && minutes < 60 => {
                Ok(hours * 60 + minutes)
            }
            _ => Err(wrong()),
        };
    }
    match split_number(text) {
        Some((hours, "" | "h")) if (0.0..=f64::from(MOST)).contains(&hours) => {
            // Rounded to a millionth first, so that 0.1 h is 6 minutes and not 7.
            let minutes = (hours * 60.0 * 1e6).round() / 1e6;
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "the limits were held above"
            )]
            Ok(minutes.ceil() as u32)
        }
        _ => Err(wrong()),
    }
}
