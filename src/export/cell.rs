//! What stands in a cell: text, numbers, days and moments. Each form of file writes it in its own way.

use std::borrow::Cow;

use serde_json::Number;
use time::{Date, OffsetDateTime, UtcOffset, format_description::well_known::Rfc3339};

use super::harmless;
use crate::domain::date::write_day;

/// What stands in a cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell<'a> {
    /// It is not known, or there is none.
    Nothing,
    /// Text that somebody typed, or a word of ours. Empty text is nothing.
    Text(Cow<'a, str>),
    /// A number.
    Number(Number),
    /// A day.
    Day(Date),
    /// A moment.
    Moment(OffsetDateTime),
}

impl Cell<'_> {
    /// Whether nothing stands in it.
    pub fn is_nothing(&self) -> bool {
        match self {
            Self::Nothing => true,
            Self::Text(text) => text.is_empty(),
            Self::Number(_) | Self::Day(_) | Self::Moment(_) => false,
        }
    }

    /// The cell in words: a day as `2026-03-01`, a moment as `2026-03-01T09:30:00Z`. Text is as it was typed.
    pub fn word(&self) -> Cow<'_, str> {
        match self {
            Self::Nothing => Cow::Borrowed(""),
            Self::Text(text) => Cow::Borrowed(text),
            Self::Number(number) => number.to_string().into(),
            Self::Day(day) => write_day(*day).into(),
            // A moment of ours has a year of four digits, so it can always be written.
            Self::Moment(at) => {
                let at = at.to_offset(UtcOffset::UTC).format(&Rfc3339);
                at.unwrap_or_default().into()
            }
        }
    }

    /// The same for a file that a spreadsheet may open: text cannot run there. A number is left a number.
    pub fn harmless(&self) -> Cow<'_, str> {
        match self {
            Self::Text(text) => harmless(text),
            _ => self.word(),
        }
    }
}

impl<'a> From<&'a str> for Cell<'a> {
    fn from(text: &'a str) -> Self {
        Self::Text(text.into())
    }
}

impl From<String> for Cell<'_> {
    fn from(text: String) -> Self {
        Self::Text(text.into())
    }
}

/// A day; empty if it is not known.
pub(super) fn day(day: Option<Date>) -> Cell<'static> {
    day.map_or(Cell::Nothing, Cell::Day)
}

/// A moment.
pub(super) fn moment(at: OffsetDateTime) -> Cell<'static> {
    Cell::Moment(at)
}

/// Text that may not be there.
pub(super) fn text(text: Option<&String>) -> Cell<'_> {
    text.map_or(Cell::Nothing, |text| text.as_str().into())
}

/// What is written in words of its own: an id, a quantity with its unit.
pub(super) fn told(what: impl ToString) -> Cell<'static> {
    what.to_string().into()
}

/// The same where it may not be there.
pub(super) fn told_of<T: ToString>(what: Option<T>) -> Cell<'static> {
    what.map_or(Cell::Nothing, told)
}

/// A whole number.
pub(super) fn number(number: impl Into<Number>) -> Cell<'static> {
    Cell::Number(number.into())
}

/// A number that is written in decimals, such as `2.5`; what is none is nothing.
pub(super) fn decimal(number: impl ToString) -> Cell<'static> {
    let number = number.to_string().parse();
    number.map_or(Cell::Nothing, Cell::Number)
}
