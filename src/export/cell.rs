//! What stands in a cell: text, days, moments and numbers.

use std::borrow::Cow;

use time::{Date, OffsetDateTime, UtcOffset, format_description::well_known::Rfc3339};

use crate::domain::date::write_day;

/// A day; empty if it is not known.
pub(super) fn day(day: Option<Date>) -> Cow<'static, str> {
    day.map(write_day).unwrap_or_default().into()
}

/// A moment, in UTC.
pub(super) fn moment(at: OffsetDateTime) -> Cow<'static, str> {
    // A moment of ours has a year of four digits, so it can always be written.
    at.to_offset(UtcOffset::UTC)
        .format(&Rfc3339)
        .unwrap_or_default()
        .into()
}

/// Text that may not be there.
pub(super) fn text(text: Option<&String>) -> Cow<'_, str> {
    text.map_or(Cow::Borrowed(""), |text| Cow::Borrowed(text.as_str()))
}

/// A number.
pub(super) fn number(number: impl ToString) -> Cow<'static, str> {
    number.to_string().into()
}
