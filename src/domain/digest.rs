//! The digest: a letter that tells a person what falls due, once a week or once a month.

use serde::{Deserialize, Serialize};
use time::{Date, Duration, OffsetDateTime, Time};

use super::{FieldErrors, PersonId, Zone, date::write_day};

/// The hour of the team's clock from which a digest goes out.
const FROM_HOUR: u8 = 6;

/// How often a digest comes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Every {
    /// Never.
    #[default]
    Never,
    /// On a day of the week, 1 is Monday.
    Week(u8),
    /// On a day of the month, up to the 28th.
    Month(u8),
}

impl Every {
    /// The word for programs: `never`, `week`, `month`.
    pub fn key(self) -> &'static str {
        match self {
            Self::Never => "never",
            Self::Week(_) => "week",
            Self::Month(_) => "month",
        }
    }

    /// The day of the week or of the month; 1 where there is none.
    pub fn day(self) -> u8 {
        match self {
            Self::Never => 1,
            Self::Week(day) | Self::Month(day) => day,
        }
    }

    /// Reads the word and the day.
    pub fn read(key: &str, day: u8) -> Option<Self> {
        match key.trim() {
            "" | "never" => Some(Self::Never),
            "week" if (1..=7).contains(&day) => Some(Self::Week(day)),
            "month" if (1..=28).contains(&day) => Some(Self::Month(day)),
            _ => None,
        }
    }

    /// The day of the last digest that is due at `now`, on the clocks of `zone`.
    pub fn last_day(self, now: OffsetDateTime, zone: &Zone) -> Option<Date> {
        let here = zone.at(now);
        let early = here.time() < Time::from_hms(FROM_HOUR, 0, 0).unwrap_or(Time::MIDNIGHT);
        let day = here.date() - Duration::days(i64::from(early));
        match self {
            Self::Never => None,
            Self::Week(weekday) => {
                let gone = (day.weekday().number_from_monday() + 7 - weekday) % 7;
                Some(day - Duration::days(gone.into()))
            }
            Self::Month(of_month) => {
                let last = if day.day() >= of_month {
                    day
                } else {
                    day.replace_day(1).ok()?.previous_day()?
                };
                last.replace_day(of_month).ok()
            }
        }
    }

    /// How many days a digest looks ahead.
    pub fn days_ahead(self) -> u16 {
        match self {
            Self::Month(_) => 31,
            Self::Never | Self::Week(_) => 7,
        }
    }
}

/// What a person has chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DigestChoice {
    /// The person.
    pub person: PersonId,
    /// Where it goes; empty where it never comes.
    pub address: String,
    /// How often.
    pub every: Every,
    /// Whether it comes too where there is nothing to say.
    pub when_quiet: bool,
    /// The day on which this was chosen; a digest of an earlier day is not sent after the fact.
    pub since: Date,
}

impl DigestChoice {
    /// What makes a digest of a day one, however many servers ask for it.
    pub fn once(&self, day: Date) -> String {
        format!("digest:{}:{}", self.person, write_day(day))
    }
}

/// A choice as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct DigestDraft {
    /// The address.
    pub address: String,
    /// `never`, `week` or `month`.
    pub every: String,
    /// The day of the week, 1 is Monday.
    pub weekday: String,
    /// The day of the month.
    pub monthday: String,
    /// `yes` where it comes too where there is nothing to say.
    pub when_quiet: String,
}

impl DigestDraft {
    /// The choice that was typed in. `is_address` says whether letters can be sent there.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn check(
        &self,
        person: PersonId,
        since: Date,
        is_address: impl Fn(&str) -> bool,
    ) -> Result<DigestChoice, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let address = wrong
            .optional_line("address", &self.address)
            .unwrap_or_default();
        let day = match self.every.trim() {
            "week" => number(&mut wrong, "weekday", &self.weekday, 7),
            "month" => number(&mut wrong, "monthday", &self.monthday, 28),
            _ => 1,
        };
        let every = Every::read(&self.every, day);
        if every.is_none() && wrong.is_empty() {
            let given: String = self.every.chars().take(40).collect();
            wrong.add(
                "every",
                "choice",
                format!("Choose how often it comes, not \"{given}\"."),
            );
        }
        let every = every.unwrap_or_default();
        if address.is_empty() && every != Every::Never {
            wrong.add("address", "required", "Write the address that it goes to.");
        } else if !address.is_empty() && !is_address(&address) {
            let given: String = address.chars().take(80).collect();
            let message = format!("Write an address such as name@example.org, not \"{given}\".");
            wrong.add("address", "text", message);
        }
        let when_quiet = wrong.tick("when_quiet", &self.when_quiet);
        wrong.or(|| DigestChoice {
            person,
            address,
            every,
            when_quiet,
            since,
        })
    }
}

fn number(wrong: &mut FieldErrors, field: &str, text: &str, most: u8) -> u8 {
    let number = text.trim().parse().ok();
    let number = number.filter(|number| (1..=most).contains(number));
    if number.is_none() {
        let given: String = text.chars().take(40).collect();
        let message = format!("Choose a day from 1 to {most}, not \"{given}\".");
        wrong.add(field, "range", message);
    }
    number.unwrap_or(1)
}

/// A part of a digest: a heading, and the items below it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DigestPart {
    /// What it is: "3 items are overdue".
    pub words: String,
    /// The list of all of them on a page, as a path.
    pub list: String,
    /// The first of them: what is said of each, and its page as a path.
    pub lines: Vec<(String, String)>,
    /// How many more there are.
    pub more: usize,
}

/// A digest, ready to be written as a letter.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Digest {
    /// The team.
    pub team: String,
    /// The day.
    pub on: Date,
    /// Whom it is for.
    pub name: String,
    /// The answer, in one sentence.
    pub answer: String,
    /// What is to be said.
    pub parts: Vec<DigestPart>,
}

#[cfg(test)]
mod tests {
    use time::macros::{date, datetime};

    use super::*;

    #[test]
    fn a_digest_is_due_from_six_on_the_teams_clock() {
        let zone = Zone::read("America/Denver").unwrap();
        // 2026-03-02 is a Monday; 06:00 in Denver is 13:00 UTC before the clocks go forward.
        let before = datetime!(2026-03-02 12:59 UTC);
        let then = datetime!(2026-03-02 13:00 UTC);
        let monday = Every::Week(1);
        assert_eq!(monday.last_day(before, &zone), Some(date!(2026 - 02 - 23)));
        assert_eq!(monday.last_day(then, &zone), Some(date!(2026 - 03 - 02)));
        assert_eq!(
            Every::Week(7).last_day(then, &zone),
            Some(date!(2026 - 03 - 01))
        );
        assert_eq!(
            Every::Month(2).last_day(then, &zone),
            Some(date!(2026 - 03 - 02))
        );
        assert_eq!(
            Every::Month(28).last_day(then, &zone),
            Some(date!(2026 - 02 - 28))
        );
        assert_eq!(Every::Never.last_day(then, &zone), None);
    }
}
