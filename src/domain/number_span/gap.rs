//! Lots and serials of which some cannot be read.

use super::{NumberSpan, Parts, letters};

/// A sign for one letter or digit that cannot be read.
pub(super) const ONE: char = '?';
/// A sign for however many.
pub(super) const SOME: char = '…';

/// The text with one sign for one letter that cannot be read, and one for however many. A low line within is none.
pub(super) fn with_gaps(text: &str) -> String {
    let text = text.trim().replace("..", "…").replace('*', "…");
    let text = unread_digits(&text);
    let words = text.split(' ').map(|word| {
        let inner = word.trim_matches('_');
        let before = word.len() - word.trim_start_matches('_').len();
        let behind = word.len() - word.trim_end_matches('_').len();
        match inner {
            "" => "…".repeat(before.min(1)),
            inner => format!("{}{inner}{}", "?".repeat(before), "?".repeat(behind)),
        }
    });
    words.collect::<Vec<_>>().join(" ")
}

/// The text with a gap for what many write where a digit cannot be read: "15xx", "A1##", "15--".
fn unread_digits(text: &str) -> String {
    let mut read = String::with_capacity(text.len());
    let mut signs = text.chars().peekable();
    while let Some(sign) = signs.next() {
        let next = signs.peek().copied();
        let goes_on = next.is_none_or(|next| next.is_ascii_digit() || next == sign || next == ' ');
        let behind_number = read.ends_with(|c: char| c.is_ascii_digit() || c == ONE);
        let stands_for_one = match sign {
            'x' | 'X' | '#' => goes_on,
            '-' => next == Some('-') || read.ends_with(ONE) && text.contains("--"),
            _ => false,
        };
        read.push(if behind_number && stands_for_one {
            ONE
        } else {
            sign
        });
    }
    read
}

/// Whether a number of which some cannot be read may be one that is named.
pub(super) fn may_be(text: &str, named: &NumberSpan) -> bool {
    let first = Parts::of(&named.from);
    let is_close = !text.contains(SOME) && text.matches(ONE).count() <= 2;
    if is_close {
        let filled = filled(text);
        if filled.iter().any(|text| named.is(text)) {
            return true;
        }
        let mut parts = filled.iter().filter_map(|text| Parts::of(text));
        let same = |parts: Parts| {
            first
                .as_ref()
                .is_some_and(|first| first.same_letters(&parts))
        };
        if parts.any(same) {
            return false;
        }
    }
    let edge = |text: Option<&str>| text.map(letters).unwrap_or_default();
    let head = edge(text.split([ONE, SOME]).next());
    let tail = edge(text.rsplit([ONE, SOME]).next());
    match first {
        Some(first) if named.from != named.to => {
            begins(&head, &first.before, &first.behind)
                && finishes(&tail, &first.before, &first.behind)
        }
        _ => {
            let whole = letters(&named.from);
            whole.starts_with(&head) && whole.ends_with(&tail)
        }
    }
}

/// The text with every digit, and with nothing, where one sign cannot be read.
fn filled(text: &str) -> Vec<String> {
    if !text.contains(ONE) {
        return vec![text.to_owned()];
    }
    let signs = ["", "0", "1", "2", "3", "4", "5", "6", "7", "8", "9"];
    let filled_in = signs.iter().map(|sign| text.replacen(ONE, sign, 1));
    filled_in.flat_map(|text| filled(&text)).collect()
}

/// Whether letters, a number and letters may begin so.
fn begins(head: &str, before: &str, behind: &str) -> bool {
    let number = |rest: &str| {
        let after = rest.trim_start_matches(|c: char| c.is_ascii_digit());
        after.is_empty() || after.len() < rest.len() && behind.starts_with(after)
    };
    before.starts_with(head) || head.strip_prefix(before).is_some_and(number)
}

/// Whether letters, a number and letters may end so.
fn finishes(tail: &str, before: &str, behind: &str) -> bool {
    let number = |rest: &str| {
        let ahead = rest.trim_end_matches(|c: char| c.is_ascii_digit());
        ahead.is_empty() || ahead.len() < rest.len() && before.ends_with(ahead)
    };
    behind.ends_with(tail) || tail.strip_suffix(behind).is_some_and(number)
}
