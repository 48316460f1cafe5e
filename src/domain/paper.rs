//! Papers as they are asked for: the size of a sheet, and the days that a list covers.

use time::{Date, Duration};

use super::FieldErrors;
use super::date::{read_day, write_day};

/// The longest span of a list, in days.
const LONGEST_SPAN: i64 = 3660;

/// The size of a sheet.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    serde::Serialize,
    serde::Deserialize,
    utoipa::ToSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum PaperSize {
    /// ISO 216: 210 by 297 mm.
    #[default]
    A4,
    /// ANSI A: 8.5 by 11 inches.
    Letter,
}

impl PaperSize {
    /// Both sizes.
    pub const ALL: [Self; 2] = [Self::A4, Self::Letter];

    /// The word for programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::A4 => "a4",
            Self::Letter => "letter",
        }
    }

    /// The word for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::Letter => "Letter",
        }
    }

    /// Reads the word for programs.
    pub fn from_key(key: &str) -> Option<Self> {
        let key = key.trim().to_lowercase();
        Self::ALL.into_iter().find(|size| size.key() == key)
    }

    /// Width and height in millimetres.
    pub fn millimetres(self) -> (f32, f32) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::Letter => (215.9, 279.4),
        }
    }
}

/// Which days a list of what falls due covers, as typed in.
#[derive(
    Clone, Debug, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize, utoipa::ToSchema,
)]
#[serde(default)]
pub struct SpanDraft {
    /// The first day; empty is today.
    pub from: String,
    /// The last day; empty is 30 days after the first.
    pub to: String,
}

impl SpanDraft {
    /// The same with the usual days where nothing is typed.
    #[must_use]
    pub fn filled(mut self, today: Date) -> Self {
        if let Ok((from, to)) = self.check(today) {
            (self.from, self.to) = (write_day(from), write_day(to));
        }
        self
    }

    /// The days.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn check(&self, today: Date) -> Result<(Date, Date), FieldErrors> {
        let mut wrong = FieldErrors::default();
        let mut read = |field, text: &str, or: Option<Date>| {
            if text.trim().is_empty() {
                or
            } else {
                wrong.keep(field, "date", read_day(text))
            }
        };
        let from = read("from", &self.from, Some(today));
        let to = read("to", &self.to, from.map(|from| from + Duration::days(30)));
        if let (Some(from), Some(to)) = (from, to) {
            let days = (to - from).whole_days();
            if !(0..=LONGEST_SPAN).contains(&days) {
                let (first, last) = (
                    write_day(from),
                    write_day(from + Duration::days(LONGEST_SPAN)),
                );
                let message = format!(
                    "The last day must be from {first} to {last}, not {}.",
                    write_day(to)
                );
                wrong.add("to", "range", message);
            }
        }
        match (from, to) {
            (Some(from), Some(to)) if wrong.is_empty() => Ok((from, to)),
            _ => Err(wrong),
        }
    }
}
