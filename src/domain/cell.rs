//! Typed text in a cell of a file that a spreadsheet may open: there it must not run.

use std::borrow::Cow;

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
