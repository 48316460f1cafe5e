//! The time that is looked back at.

use time::Date;

use crate::domain::FieldErrors;
use crate::domain::date::{in_reach, read_day, write_day};

/// How many years are looked back where nobody says.
const YEARS_BACK: i32 = 3;

/// The days that are looked at, as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PeriodDraft {
    /// The first day; empty is three years before the last.
    pub from: String,
    /// The last day; empty is today.
    pub until: String,
}

impl PeriodDraft {
    /// The days.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn check(&self, today: Date) -> Result<(Date, Date), FieldErrors> {
        let mut wrong = FieldErrors::default();
        let mut read = |field, text: &str, or: Option<Date>| match text.trim() {
            "" => or,
            text => wrong.keep(field, "date", read_day(text).and_then(in_reach)),
        };
        let until = read("until", &self.until, Some(today));
        let from = read("from", &self.from, until.map(years_before));
        match (from, until) {
            (Some(from), Some(until)) if from > until => {
                let sentence = format!(
                    "The first day must not be after the last, {}, as {} is.",
                    write_day(until),
                    write_day(from)
                );
                Err(FieldErrors::one("from", "range", sentence))
            }
            (Some(from), Some(until)) => Ok((from, until)),
            _ => Err(wrong),
        }
    }
}

fn years_before(day: Date) -> Date {
    let year = day.year() - YEARS_BACK;
    let last = day.month().length(year);
    Date::from_calendar_date(year, day.month(), day.day().min(last)).unwrap_or(day)
}
