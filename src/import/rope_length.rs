//! The length that the name of a rope says: "Low stretch rope 11 mm, 60 m".

use super::number;
use crate::domain::Kind;
use crate::domain::entered::LengthUnit;

/// The one length that the name of a rope or a cord says: "60 m", "200 ft"; none where it says two, how many there are
/// ("2 x 60 m") or a range.
pub(super) fn stated(kind: Kind, text: &str) -> Option<String> {
    if !matches!(kind, Kind::Rope | Kind::Cord) {
        return None;
    }
    let mut found = None;
    for (written, word) in number::with_words(text) {
        // "2 x 60 m" is no rope of 60 m alone, and "48 ft 6 in" none of 48 ft.
        let is_inch = LengthUnit::from_symbol(word) == Some(LengthUnit::Inch);
        if word.eq_ignore_ascii_case("x") || (is_inch && found.is_some()) {
            return None;
        }
        let Some(unit) = length_unit(word) else {
            continue;
        };
        let value = written.value(None, None).ok()?;
        if found.is_some() {
            return None;
        }
        found = Some(format!("{value} {}", unit.symbol()));
    }
    let is_of_several = text.contains(['×', '*']) || has_range(text);
    found.filter(|_| !is_of_several)
}

/// A unit in which ropes are long.
fn length_unit(word: &str) -> Option<LengthUnit> {
    match word.to_lowercase().as_str() {
        "m" | "mtr" | "mtrs" | "metre" | "metres" | "meter" | "meters" => Some(LengthUnit::Metre),
        "ft" | "foot" | "feet" => Some(LengthUnit::Foot),
        _ => None,
    }
}

/// Whether a dash stands between two numbers: "50-60 m".
pub(super) fn has_range(text: &str) -> bool {
    let mut before = ' ';
    let mut chars = text.chars().filter(|c| !c.is_whitespace()).peekable();
    while let Some(c) = chars.next() {
        let is_dash = matches!(c, '-' | '–' | '—');
        if is_dash && before.is_ascii_digit() && chars.peek().is_some_and(char::is_ascii_digit) {
            return true;
        }
        before = c;
    }
    false
}
