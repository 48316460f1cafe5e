//! Typed text in a cell of a file that a spreadsheet may open: there it must not run.

use std::borrow::Cow;

/// The signs with which a spreadsheet begins a formula, and their wide forms.
fn is_sign(c: char) -> bool {
    matches!(c, '=' | '+' | '-' | '@' | '＝' | '＋' | '－' | '＠')
}

/// Where a cell begins anew for a spreadsheet that parts rows elsewhere than the file does: at semicolons, where the
/// decimal mark is a comma, at tabs and at ends of lines.
fn parts_cells(c: char) -> bool {
    matches!(c, ';' | '\t' | '\r' | '\n')
}

/// Whether a spreadsheet may take the cell for a formula: with a sign, or with a blank that it passes over before it looks.
fn runs(cell: &str) -> bool {
    let begins = |c| is_sign(c) || matches!(c, '\t' | '\r' | '\n');
    cell.trim_start_matches('\'').starts_with(begins)
}

/// Whether what stands behind such a parting may run: quotes and blanks before a sign do not keep it from that.
fn runs_behind(rest: &str) -> bool {
    rest.trim_start_matches(['\'', '"', ' '])
        .starts_with(is_sign)
}

/// The text, with an apostrophe where a spreadsheet would run it as a formula: in front, and in front of each part that a
/// spreadsheet which parts rows at semicolons, tabs or ends of lines would take for a cell.
///
/// What begins with apostrophes and then so gets one more, so that [`typed`] always gives back what was there.
pub fn harmless(text: &str) -> Cow<'_, str> {
    let mut all = String::new();
    if runs(text) {
        all.push('\'');
    }
    let mut kept = 0;
    for (at, c) in text.char_indices().filter(|(_, c)| parts_cells(*c)) {
        let behind = at + c.len_utf8();
        if runs_behind(&text[behind..]) {
            all.push_str(&text[kept..behind]);
            all.push('\'');
            kept = behind;
        }
    }
    if all.is_empty() {
        return Cow::Borrowed(text);
    }
    all.push_str(&text[kept..]);
    Cow::Owned(all)
}

/// What was typed, from a cell that [`harmless`] wrote.
pub fn typed(cell: &str) -> Cow<'_, str> {
    let whole = match cell.strip_prefix('\'') {
        Some(rest) if runs(rest) => rest,
        _ => cell,
    };
    let mut all = String::new();
    let mut kept = 0;
    for (at, c) in whole.char_indices().filter(|(_, c)| parts_cells(*c)) {
        let behind = at + c.len_utf8();
        let added = whole[behind..].strip_prefix('\'');
        if added.is_some_and(runs_behind) {
            all.push_str(&whole[kept..behind]);
            kept = behind + 1;
        }
    }
    if kept == 0 {
        return Cow::Borrowed(whole);
    }
    all.push_str(&whole[kept..]);
    Cow::Owned(all)
}
