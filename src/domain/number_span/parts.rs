//! A serial or lot as it is compared: its letters, and its last number.

use std::cmp::Ordering;

/// A serial taken apart at its last number.
#[derive(PartialEq, Eq)]
pub(super) struct Parts {
    /// What stands before its last number, as `letters` has it.
    pub before: String,
    /// Without leading zeros.
    number: String,
    /// What stands behind it.
    pub behind: String,
}

impl Parts {
    /// Nothing where there is no number.
    pub fn of(text: &str) -> Option<Self> {
        let text = narrow(text);
        let end = text.rfind(|c: char| c.is_ascii_digit())? + 1;
        let digits = text[..end].bytes().rev();
        let start = end - digits.take_while(u8::is_ascii_digit).count();
        Some(Self {
            before: letters(&text[..start]),
            number: text[start..end].trim_start_matches('0').to_owned(),
            behind: letters(&text[end..]),
        })
    }

    /// Whether what stands around the last number is the same.
    pub fn same_letters(&self, other: &Self) -> bool {
        self.before == other.before && self.behind == other.behind
    }

    /// Numbers of any length, so they are compared as they are written.
    pub fn compare(&self, other: &Self) -> Ordering {
        let length = self.number.len().cmp(&other.number.len());
        length.then_with(|| self.number.cmp(&other.number))
    }
}

/// A text without what parts its letters and digits: VX19-0041 and VX190041 are one.
pub(super) fn close(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric()).collect()
}

/// Letters and digits alone, in lower case, each number without leading zeros.
pub(super) fn letters(text: &str) -> String {
    let mut kept = String::with_capacity(text.len());
    let mut in_number = false;
    let narrow = narrow(text);
    let mut signs = narrow.chars().peekable();
    while let Some(sign) = signs.next() {
        let goes_on = signs.peek().is_some_and(char::is_ascii_digit);
        if sign == '0' && !in_number && goes_on {
            continue;
        }
        in_number = sign.is_ascii_digit();
        if sign.is_alphanumeric() {
            kept.extend(sign.to_lowercase());
        }
    }
    kept
}

/// The text with the letters, digits and signs that some keyboards write as wide as their own.
pub(super) fn narrow(text: &str) -> String {
    const WIDE: u32 = '！' as u32 - '!' as u32;
    let narrow = |sign: char| match sign {
        '！'..='～' => char::from_u32(sign as u32 - WIDE).unwrap_or(sign),
        '\u{3000}' | '\u{a0}' => ' ',
        other => other,
    };
    text.chars().map(narrow).collect()
}
