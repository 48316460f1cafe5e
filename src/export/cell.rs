//! What stands in a cell: typed text that cannot run, days, moments and hashes.

use std::borrow::Cow;

use time::{Date, OffsetDateTime, UtcOffset, format_description::well_known::Rfc3339};

use crate::domain::date::write_day;

/// Whether a spreadsheet may take a cell that begins so for a formula: with the signs it knows, their wide forms,
/// or a blank that it passes over before it looks.
fn begins_a_formula(c: char) -> bool {
    matches!(
        c,
        '=' | '+' | '-' | '@' | '\t' | '\r' | '\n' | '＝' | '＋' | '－' | '＠'
    )
}

/// The text, with an apostrophe in front where a spreadsheet would run it as a formula.
///
/// Text that begins with apostrophes and then so gets one more, so that [`typed`] always gives back what was there.
pub fn harmless(text: &str) -> Cow<'_, str> {
    let behind = text.trim_start_matches('\'');
    if behind.starts_with(begins_a_formula) {
        Cow::Owned(format!("'{text}"))
    } else {
        Cow::Borrowed(text)
    }
}

/// What was typed, from a cell that [`harmless`] wrote.
pub fn typed(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(rest) if rest.trim_start_matches('\'').starts_with(begins_a_formula) => rest,
        _ => cell,
    }
}

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
