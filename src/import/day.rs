//! Days as people write them.

use time::{Date, Month};

use super::answer::DateOrder;
use crate::domain::Made;

/// How a day, a month or a year is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Written {
    /// In a way that can only be read once.
    Certain(Made),
    /// Two numbers and a year; the first two are day and month in one order or the other.
    Numbers {
        first: u8,
        second: u8,
        year: i32,
        /// The year was written with two digits, so the order cannot be found out from the numbers:
        /// the year itself may stand first.
        short_year: bool,
    },
}

/// Reads a day, a month or a year, or nothing where the text is neither.
pub(super) fn read(text: &str) -> Option<Written> {
    let text = without_time(text.trim());
    let parts: Vec<&str> = text
        .split(|c: char| matches!(c, '-' | '/' | '.' | ',') || c.is_whitespace())
        .filter(|part| !part.is_empty())
        .collect();
    match parts.as_slice() {
        [year] => full_year(year).map(|year| Written::Certain(Made::Year(year))),
        [first, second] => month_of_year(first, second).map(Written::Certain),
        [first, second, third] => three(first, second, third),
        _ => None,
    }
}

/// Cuts a time of day off, as exports put it behind a day.
fn without_time(text: &str) -> &str {
    let cut = text.find(['T', ' ']).filter(|at| {
        let rest = &text[at + 1..];
        let clock = |c: char| c.is_ascii_digit() || ":. AaPpMmZ".contains(c);
        rest.contains(':') && rest.chars().all(clock)
    });
    cut.map_or(text, |at| &text[..at])
}

fn three(first: &str, second: &str, third: &str) -> Option<Written> {
    let day_of = |year, month, day: u8| {
        Date::from_calendar_date(year, month, day)
            .ok()
            .map(|date| Written::Certain(Made::Day(date)))
    };
    if let Some(year) = full_year(first) {
        return day_of(year, month_number(second)?, small(third)?);
    }
    if let Some(month) = month_name(second) {
        return day_of(full_year(third)?, month, ordinal(first)?);
    }
    if let Some(month) = month_name(first) {
        return day_of(full_year(third)?, month, ordinal(second)?);
    }
    let (first, second) = (small(first)?, small(second)?);
    if let Some(year) = full_year(third) {
        return Some(Written::Numbers {
            first,
            second,
            year,
            short_year: false,
        });
    }
    Some(Written::Numbers {
        first,
        second,
        year: short_year(third)?,
        short_year: true,
    })
}

/// A year of two digits.
fn short_year(text: &str) -> Option<i32> {
    let year = small(text).filter(|_| text.len() == 2)?;
    // 19xx before 1950 and 20xx from 2050 on are out of reach of a register of gear in use.
    let century = if year < 50 { 2000 } else { 1900 };
    Some(century + i32::from(year))
}

fn month_of_year(first: &str, second: &str) -> Option<Made> {
    if let Some(year) = full_year(first) {
        let month = month_number(second).or_else(|| month_name(second))?;
        return Some(Made::Month(year, month));
    }
    let year = full_year(second)?;
    let month = month_number(first).or_else(|| month_name(first))?;
    Some(Made::Month(year, month))
}

/// Reads a day where a month or a year may stand: as any other day, or as gear is marked with its month, "Mar-19" and
/// "03/19".
///
/// A month without its year says nothing, so the second part is the year. "03/11" may have it first.
pub(super) fn read_made(text: &str) -> Option<Written> {
    read(text).or_else(|| {
        let (first, second) = text.trim().split_once(['-', '/', '.', ' '])?;
        let (first, second) = (first.trim_end_matches('.'), second.trim());
        let year = short_year(second)?;
        let by_number = || month_number(first).filter(|_| year % 100 > 12);
        let month = month_name(first).or_else(by_number)?;
        Some(Written::Certain(Made::Month(year, month)))
    })
}

/// Whether a text is a day, a month or a year of which it says itself that nobody is sure: "2020?", "ca. 2019".
pub(super) fn is_unsure(text: &str) -> bool {
    const ABOUT: [&str; 6] = ["~", "≈", "ca.", "ca ", "about ", "approx. "];
    let text = text.trim().to_lowercase();
    let behind = text.strip_suffix('?');
    let front = || ABOUT.iter().find_map(|about| text.strip_prefix(about));
    behind
        .or_else(front)
        .is_some_and(|day| read_made(day).is_some())
}

fn full_year(text: &str) -> Option<i32> {
    let digits = text.len() == 4 && text.bytes().all(|byte| byte.is_ascii_digit());
    digits.then(|| text.parse().ok()).flatten()
}

fn small(text: &str) -> Option<u8> {
    let digits = (1..=2).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit());
    digits.then(|| text.parse().ok()).flatten()
}

fn ordinal(text: &str) -> Option<u8> {
    let text = text.to_lowercase();
    small(text.trim_end_matches(|c: char| c.is_ascii_alphabetic()))
}

fn month_number(text: &str) -> Option<Month> {
    Month::try_from(small(text)?).ok()
}

/// The names of the months, also without their marks, in the languages in which headings are read: English, German,
/// French.
const MONTHS: [&str; 12] = [
    "january, januar, jänner, jaenner, janvier",
    "february, februar, feber, février, fevrier",
    "march, märz, maerz, mrz, mars",
    "april, avril",
    "may, mai",
    "june, juni, juin",
    "july, juli, juillet",
    "august, août, aout",
    "september, septembre",
    "october, oktober, octobre",
    "november, novembre",
    "december, dezember, décembre, decembre",
];

/// A month by its name, or by as much of its front as no other month has: "sept.", "Dez", "févr.".
fn month_name(text: &str) -> Option<Month> {
    const LEAST: usize = 3;
    let text = text.trim_end_matches('.').to_lowercase();
    let begins = |names: &&str| names.split(", ").any(|name| name.starts_with(&text));
    let mut found = (1..).zip(MONTHS).filter(|(_, names)| begins(names));
    let (number, _) = found.next().filter(|_| text.chars().count() >= LEAST)?;
    // "jui" is June and July.
    found
        .next()
        .is_none()
        .then(|| Month::try_from(number).ok())?
}

/// What stands in the way of a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Doubt {
    /// It can be read in two orders, and nobody said which.
    Ask,
    /// There is no such day in that order.
    Against(DateOrder),
    /// There is no such day in either order.
    NoDay,
}

impl Written {
    /// The order that this day alone proves.
    pub(super) fn proves(self) -> Option<DateOrder> {
        match self {
            Self::Numbers {
                first,
                second,
                short_year: false,
                ..
            } => match (first > 12, second > 12) {
                (true, false) => Some(DateOrder::DayFirst),
                (false, true) => Some(DateOrder::MonthFirst),
                _ => None,
            },
            _ => None,
        }
    }

    /// The day, by what was said and what the column shows.
    pub(super) fn day(
        self,
        said: Option<DateOrder>,
        shown: Option<DateOrder>,
    ) -> Result<Made, Doubt> {
        let Self::Numbers {
            first,
            second,
            year,
            short_year,
        } = self
        else {
            let Self::Certain(made) = self else {
                return Err(Doubt::NoDay);
            };
            return Ok(made);
        };
        let in_order = |order| {
            let (day, month) = match order {
                DateOrder::DayFirst => (first, second),
                DateOrder::MonthFirst => (second, first),
            };
            let month = Month::try_from(month).ok()?;
            Date::from_calendar_date(year, month, day).ok()
        };
        if DateOrder::ALL
            .iter()
            .all(|order| in_order(*order).is_none())
        {
            return Err(Doubt::NoDay);
        }
        let order = if short_year { said } else { said.or(shown) };
        match order {
            Some(order) => in_order(order).map(Made::Day).ok_or(Doubt::Against(order)),
            None if first == second && !short_year => in_order(DateOrder::DayFirst)
                .map(Made::Day)
                .ok_or(Doubt::NoDay),
            None => Err(Doubt::Ask),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn certain(text: &str) -> Option<String> {
        match read(text)? {
            Written::Certain(made) => Some(made.to_string()),
            numbers @ Written::Numbers { .. } => {
                numbers.day(None, None).ok().map(|d| d.to_string())
            }
        }
    }

    #[test]
    fn what_can_only_be_read_one_way_is_read() {
        for (text, day) in [
            ("2019-03-01", "2019-03-01"),
            ("2019/3/1", "2019-03-01"),
            ("2019-03-01 00:00:00", "2019-03-01"),
            ("2019-03-01T10:20:00Z", "2019-03-01"),
            ("1 Mar 2019", "2019-03-01"),
            ("01-Mar-2019", "2019-03-01"),
            ("March 1st, 2019", "2019-03-01"),
            ("Sept 2018", "2018-09"),
            ("01/2019", "2019-01"),
            ("2019-01", "2019-01"),
            ("2019", "2019"),
            ("5.5.2020", "2020-05-05"),
        ] {
            assert_eq!(certain(text).as_deref(), Some(day), "{text}");
        }
    }

    #[test]
    fn what_is_no_day_is_none() {
        for text in [
            "",
            "soon",
            "2019-13-01",
            "31 Feb 2019",
            "Ma 2019",
            "week 12",
            "43525",
            "1/2/3/2019",
            "March",
            "Mar-19",
            "03/19",
        ] {
            assert!(read(text).is_none(), "{text}");
        }
    }

    #[test]
    fn a_month_as_gear_is_marked_is_a_date_made() {
        let made = |text: &str| match read_made(text)? {
            Written::Certain(made) => Some(made.to_string()),
            Written::Numbers { .. } => None,
        };
        for (text, month) in [
            ("Mar-19", "2019-03"),
            ("03/19", "2019-03"),
            ("11.98", "1998-11"),
        ] {
            assert_eq!(made(text).as_deref(), Some(month), "{text}");
        }
        for text in ["03/11", "13/19", "19/03", "Ma-19", "3/9"] {
            assert_eq!(made(text), None, "{text}");
        }
    }

    #[test]
    fn two_digits_of_a_year_do_not_prove_an_order() {
        let written = read("25/03/19").unwrap();
        assert_eq!(written.proves(), None);
        assert_eq!(
            written.day(None, Some(DateOrder::DayFirst)),
            Err(Doubt::Ask)
        );
        let day = written.day(Some(DateOrder::DayFirst), None).unwrap();
        assert_eq!(day.to_string(), "2019-03-25");
        assert_eq!(
            written.day(Some(DateOrder::MonthFirst), None),
            Err(Doubt::Against(DateOrder::MonthFirst))
        );
    }
}
