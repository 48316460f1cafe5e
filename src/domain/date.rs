//! Days and months: how they are written, read and counted.

use std::fmt;

use serde::{Deserialize, Serialize};
use time::{Date, Month};

/// Days in JSON, written as `2026-03-01`.
pub mod iso {
    use serde::{Deserialize, Deserializer, Serializer, de::Error};
    use time::Date;

    /// Writes a day.
    pub fn serialize<S: Serializer>(date: &Date, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&super::write_day(*date))
    }

    /// Reads a day.
    pub fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Date, D::Error> {
        let text = String::deserialize(deserializer)?;
        super::read_day(&text).map_err(D::Error::custom)
    }

    /// Days that may not be known, `null` in JSON.
    pub mod option {
        use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error};
        use time::Date;

        /// Writes a day or `null`.
        pub fn serialize<S: Serializer>(
            date: &Option<Date>,
            serializer: S,
        ) -> Result<S::Ok, S::Error> {
            date.map(crate::domain::date::write_day)
                .serialize(serializer)
        }

        /// Reads a day or `null`.
        pub fn deserialize<'de, D: Deserializer<'de>>(
            deserializer: D,
        ) -> Result<Option<Date>, D::Error> {
            let text = Option::<String>::deserialize(deserializer)?;
            text.map(|text| crate::domain::date::read_day(&text))
                .transpose()
                .map_err(D::Error::custom)
        }
    }
}

const ISO: &[time::format_description::BorrowedFormatItem<'_>] =
    time::macros::format_description!("[year]-[month]-[day]");

/// Reads a day written as 2026-03-01.
pub fn read_day(text: &str) -> Result<Date, DateError> {
    let text = text.trim();
    let date =
        Date::parse(text, ISO).map_err(|_| DateError::Day(text.chars().take(40).collect()))?;
    in_reach(date)
}

/// A day written as 2026-03-01.
pub fn write_day(date: Date) -> String {
    format!(
        "{:04}-{:02}-{:02}",
        date.year(),
        u8::from(date.month()),
        date.day()
    )
}

/// Refuses a year that can only be a slip of the pen.
pub fn in_reach(date: Date) -> Result<Date, DateError> {
    if (1950..=2150).contains(&date.year()) {
        Ok(date)
    } else {
        Err(DateError::Year(date.year()))
    }
}

/// Why a text is no date.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum DateError {
    /// Not a day.
    #[error("Write the day as year-month-day, such as 2026-03-01, not \"{0}\".")]
    Day(String),
    /// Not a day, a month or a year.
    #[error("Write a day (2026-03-01), a month (2026-03) or a year (2026), not \"{0}\".")]
    Made(String),
    /// A year out of reach.
    #[error("The year must be between 1950 and 2150, not {0}.")]
    Year(i32),
}

/// `date` and so many calendar months; a day that the month lacks becomes its last.
///
/// 31 August and 6 months is 28 February, or 29 February in a leap year.
///
/// # Panics
/// Never: a month's number fits.
pub fn add_months(date: Date, months: u16) -> Date {
    let count = date.year() * 12 + i32::from(u8::from(date.month())) - 1 + i32::from(months);
    let (year, month) = (count.div_euclid(12), count.rem_euclid(12));
    let month = Month::December.nth_next(u8::try_from(month + 1).expect("1 to 12 fits"));
    let day = date.day().min(month.length(year));
    Date::from_calendar_date(year, month, day).unwrap_or(Date::MAX)
}

/// When an item was made, as exactly as its marking says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub enum Made {
    /// The day is known.
    Day(Date),
    /// Only the month is known.
    Month(i32, Month),
    /// Only the year is known.
    Year(i32),
}

impl Made {
    /// Reads 2026-03-01, 2026-03 or 2026.
    pub fn read(text: &str) -> Result<Self, DateError> {
        let text = text.trim();
        let wrong = || DateError::Made(text.chars().take(40).collect());
        let parts: Vec<&str> = text.split('-').collect();
        match parts.as_slice() {
            [_, _, _] => read_day(text).map(Self::Day).map_err(|error| match error {
                DateError::Day(_) => wrong(),
                other => other,
            }),
            [year, month] if year.len() == 4 => {
                let month: u8 = month.parse().map_err(|_| wrong())?;
                let month = Month::try_from(month).map_err(|_| wrong())?;
                Ok(Self::Month(year_of(year).ok_or_else(wrong)??, month))
            }
            [year] if year.len() == 4 => Ok(Self::Year(year_of(year).ok_or_else(wrong)??)),
            _ => Err(wrong()),
        }
    }

    /// The earliest day that it can mean: life is counted from the cautious end.
    pub fn cautious_day(self) -> Date {
        let (year, month) = match self {
            Self::Day(date) => return date,
            Self::Month(year, month) => (year, month),
            Self::Year(year) => (year, Month::January),
        };
        Date::from_calendar_date(year, month, 1).unwrap_or(Date::MIN)
    }

    /// The latest day that it can mean.
    pub fn last_day(self) -> Date {
        let (year, month) = match self {
            Self::Day(date) => return date,
            Self::Month(year, month) => (year, month),
            Self::Year(year) => (year, Month::December),
        };
        Date::from_calendar_date(year, month, month.length(year)).unwrap_or(Date::MAX)
    }

    /// The words for how exactly it is known, where that matters.
    pub fn precision(self) -> Option<&'static str> {
        match self {
            Self::Day(_) => None,
            Self::Month(..) => Some("only the month is known; counted from its first day"),
            Self::Year(_) => Some("only the year is known; counted from 1 January"),
        }
    }
}

fn year_of(text: &str) -> Option<Result<i32, DateError>> {
    let year: i32 = text.parse().ok()?;
    Some(if (1950..=2150).contains(&year) {
        Ok(year)
    } else {
        Err(DateError::Year(year))
    })
}

impl fmt::Display for Made {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::Day(date) => f.write_str(&write_day(date)),
            Self::Month(year, month) => write!(f, "{year:04}-{:02}", u8::from(month)),
            Self::Year(year) => write!(f, "{year:04}"),
        }
    }
}

impl TryFrom<String> for Made {
    type Error = DateError;
    fn try_from(text: String) -> Result<Self, DateError> {
        Self::read(&text)
    }
}

impl utoipa::PartialSchema for Made {
    fn schema() -> utoipa::openapi::RefOr<utoipa::openapi::schema::Schema> {
        String::schema()
    }
}

impl utoipa::ToSchema for Made {}

impl From<Made> for String {
    fn from(made: Made) -> Self {
        made.to_string()
    }
}

#[cfg(test)]
mod tests {
    use time::macros::date;

    use super::*;

    #[test]
    fn months_end_on_the_last_day_there_is() {
        assert_eq!(add_months(date!(2026 - 08 - 31), 6), date!(2027 - 02 - 28));
        assert_eq!(add_months(date!(2027 - 08 - 31), 6), date!(2028 - 02 - 29));
        assert_eq!(add_months(date!(2026 - 12 - 15), 12), date!(2027 - 12 - 15));
        assert_eq!(add_months(date!(2026 - 01 - 31), 1), date!(2026 - 02 - 28));
    }

    #[test]
    fn a_year_alone_is_kept_as_such_and_counted_from_its_first_day() {
        let made = Made::read("2019").unwrap();
        assert_eq!(made.to_string(), "2019");
        assert_eq!(made.cautious_day(), date!(2019 - 01 - 01));
        assert!(Made::read("19").is_err());
        assert!(Made::read("2019-13").is_err());
        assert!(Made::read("1066").is_err());
    }
}
