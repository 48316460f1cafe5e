//! A range of serials or lots, as a safety notice names it.
//!
//! What stands before and behind the last number must be the same, blanks and dashes left out and case disregarded; the
//! last number must be between both ends, which are in it. Leading zeros do not count.

mod gap;
mod parts;
mod reading;
mod word;
mod words;

use std::{cmp::Ordering, fmt};

use serde::{Deserialize, Serialize};

use parts::{Parts, close, letters, narrow};
pub use reading::{Among, Readings};
use words::{ALL, OF_SEVERAL, ends, is_bound, without_name};

/// From one serial or lot to another, both in it; one alone is a range of its own.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct NumberSpan {
    /// The first.
    pub from: String,
    /// The last.
    pub to: String,
}

/// How a range is compared, for whoever reads a page.
pub const HOW_COMPARED: &str = "A lot or serial is in a range if its letters are those of both ends and its last number is \
     between them, both ends in it; blanks, dashes, case and leading zeros do not count, nor does a word such as lot or SN before \
     it. One on record that may be read in several ways (A100 or A103, A98-A103) counts as covered if any of them is, and so does \
     one that cannot be read whole (A1?0) or has no number.";

impl NumberSpan {
    /// One serial or lot.
    pub fn alone(text: &str) -> Self {
        Self {
            from: text.to_owned(),
            to: text.to_owned(),
        }
    }

    /// Reads `A-100 to A-199`, `A-100..A-199` or `A-100` alone.
    ///
    /// # Errors
    /// A sentence that says why it is no range.
    pub fn read(text: &str) -> Result<Self, String> {
        let text = if Self::is_range(text) {
            without_name(text)
        } else {
            text
        };
        if let Some(word) = Self::names_several(text) {
            return Err(format!(
                "\"{}\" is no number: with \"{word}\" it names several, or a range without an end. Write each alone between \
                 commas, or a range with both ends, such as A-100 to A-199.",
                text.trim()
            ));
        }
        let (from, to) = ends(text).unwrap_or((text, text));
        let (from, to) = (from.trim().to_owned(), to.trim().to_owned());
        if from.is_empty() || to.is_empty() {
            return Err(format!(
                "Write both ends of the range, such as A-100 to A-199, not \"{}\".",
                text.trim()
            ));
        }
        if from == to {
            return Ok(Self { from, to });
        }
        match (Parts::of(&from), Parts::of(&to)) {
            (Some(first), Some(last)) if !first.same_letters(&last) => Err(format!(
                "Both ends of a range must have the same letters around the last number; {from} and {to} do not: write two ranges."
            )),
            (Some(first), Some(last)) if first.compare(&last).is_gt() => Err(format!(
                "The first of a range must not be above the last; {from} is above {to}."
            )),
            (Some(_), Some(_)) => Ok(Self { from, to }),
            _ => Err(format!(
                "A range needs a number at both ends; {from} to {to} has none. Write each one alone."
            )),
        }
    }

    /// The word by which a text names several numbers, or a range without an end, rather than one: "B1 and later".
    pub fn names_several(text: &str) -> Option<&str> {
        let of_several = |word: &&str| {
            let lower = word.to_ascii_lowercase();
            OF_SEVERAL.contains(&lower.as_str()) || (lower.len() > 1 && lower.ends_with('+'))
        };
        let mut words = text.split_whitespace().peekable();
        let first = words.peek().copied();
        let alone = text.trim();
        if alone.contains('*') || ALL.contains(&alone.to_lowercase().as_str()) {
            return first;
        }
        let has_digit = text.bytes().any(|byte| byte.is_ascii_digit());
        // "AB 12" may be a lot; a word in small letters before one is not.
        let is_bound = |word: &&str| matches!(*word, "ab" | "Ab") || is_bound(word);
        first
            .filter(is_bound)
            .or_else(|| words.find(of_several))
            .filter(|_| has_digit)
    }

    /// Whether a text names both ends of a range.
    pub fn is_range(text: &str) -> bool {
        ends(text).is_some()
    }

    /// What a text may mean beside the one number that it looks like: "L7-L9" is the lots L7 to L9, or one of that name; "L7
    /// L9" and "L7/L9" may be both of them, and "Lot L7" is L7.
    pub fn perhaps(text: &str) -> Vec<Self> {
        let bare = without_name(text);
        let range = Self::perhaps_range(bare);
        let each = each(bare);
        if range.is_none() && each.is_empty() && bare != text.trim() {
            return vec![Self::alone(bare)];
        }
        let each = each.into_iter().map(Self::alone);
        range.into_iter().chain(each).collect()
    }

    /// The range that a text may mean whose hyphen may as well belong to one number. Of "L7-9" the letters stand once, and
    /// "L9-L7" is written from its end.
    fn perhaps_range(text: &str) -> Option<Self> {
        let mut hyphens = text.match_indices(HYPHENS);
        hyphens.find_map(|(at, hyphen)| {
            let (from, to) = (text[..at].trim(), text[at + hyphen.len()..].trim());
            let first = Parts::of(from)?;
            let in_short = to.bytes().all(|byte| byte.is_ascii_digit())
                && from.ends_with(|c: char| c.is_ascii_digit());
            let digits = from.bytes().rev().take_while(u8::is_ascii_digit).count();
            let to = if in_short && digits == to.len() {
                format!("{}{to}", &from[..from.len() - digits])
            } else {
                to.to_owned()
            };
            let last = Parts::of(&to)?;
            let order = first.compare(&last);
            let from = from.to_owned();
            match order {
                _ if !first.same_letters(&last) => None,
                Ordering::Less => Some(Self { from, to }),
                // Numbers alone are a year and a month, or a lot and a part of it.
                Ordering::Greater if !in_short && !first.before.is_empty() => {
                    Some(Self { from: to, to: from })
                }
                _ => None,
            }
        })
    }

    /// Whether a serial or lot is in it. One that cannot be compared with a range is not taken out.
    pub fn covers(&self, text: &str) -> bool {
        let has_number = |text: &str| Parts::of(text).is_some();
        let is_beyond = !has_number(text) && has_number(&self.from) && has_number(&self.to);
        (is_beyond && self.from != self.to) || self.is(text)
    }

    /// Whether a serial or lot, read as one, is in it.
    fn is(&self, text: &str) -> bool {
        if self.from == self.to {
            return letters(&self.from) == letters(text)
                || letters(&close(&self.from)) == letters(&close(text));
        }
        let by = |parts: fn(&str) -> Option<Parts>| {
            let (first, last, this) = (parts(&self.from), parts(&self.to), parts(text));
            first
                .zip(last)
                .zip(this)
                .is_some_and(|((first, last), this)| {
                    this.same_letters(&first)
                        && this.compare(&first).is_ge()
                        && this.compare(&last).is_le()
                })
        };
        by(Parts::of) || by(|text| Parts::of(&close(text)))
    }

    /// Whether one range and another have a serial or lot in common.
    fn meets(&self, other: &Self) -> bool {
        self.is(&other.from)
            || self.is(&other.to)
            || other.from != other.to && (other.is(&self.from) || other.is(&self.to))
    }
}

/// The numbers that stand one behind the other, with a blank or a stroke between; none where it is one number. They have the
/// same letters: "AB 12" and "03/21" are one.
fn each(text: &str) -> Vec<&str> {
    let all = text.split([' ', '\t', '/', '|']).map(str::trim);
    let all: Vec<&str> = all.filter(|one| !one.is_empty()).collect();
    let parts: Option<Vec<Parts>> = all.iter().map(|one| Parts::of(one)).collect();
    let are_alike = parts.is_some_and(|parts| {
        let [first, others @ ..] = parts.as_slice() else {
            return false;
        };
        let mut others = others.iter();
        !first.before.is_empty() && others.len() > 0 && others.all(|one| one.same_letters(first))
    });
    if are_alike { all } else { Vec::new() }
}

/// What may part both ends of a range, and may stand within a number.
const HYPHENS: [char; 4] = ['-', '\u{2010}', '\u{2011}', '—'];

impl fmt::Display for NumberSpan {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.from == self.to {
            f.write_str(&self.from)
        } else {
            write!(f, "{} to {}", self.from, self.to)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_names_several_in_words_is_no_number() {
        for words in [
            "B1 through B3",
            "B1 thru B3",
            "B1 THRU B3",
            "B1 until B3",
            "B1 bis B3",
        ] {
            let span = NumberSpan::read(words).unwrap();
            assert_eq!(
                (span.from.as_str(), span.to.as_str()),
                ("B1", "B3"),
                "{words}"
            );
        }
        for words in [
            "B1 and later",
            "B1 & B3",
            "from B1",
            "B1+",
            "B1 or B2",
            "B1 onwards",
            "ab B1",
            "bis B9",
            "until B9",
            ">= B1",
            "<=B9",
            "dès B1",
            "B1 ff",
            "B1 except B3",
            "B*",
            "Ab 2021",
        ] {
            let told = NumberSpan::read(words).unwrap_err();
            assert!(
                told.contains(words) && told.contains("such as A-100 to A-199"),
                "{told}"
            );
        }
        assert_eq!(NumberSpan::names_several("All"), Some("All"));
        for one in [
            "B 1",
            "B1/B9",
            "ANDOR-7",
            "UP7",
            "spring lot",
            "AB 12",
            "ab12",
        ] {
            assert_eq!(NumberSpan::names_several(one), None, "{one}");
        }
    }

    #[test]
    fn letters_are_the_same_and_the_number_is_between() {
        let span = NumberSpan::read("RL-0100 to RL-0199").unwrap();
        for inside in ["RL-0100", "rl 150", "RL0199", "RL-00120"] {
            assert!(span.covers(inside), "{inside}");
        }
        for outside in [
            "RL-0099",
            "RL-0200",
            "RX-0150",
            "RL-0150B",
            "0150",
            "RL-1-0150",
        ] {
            assert!(!span.covers(outside), "{outside}");
        }
        assert!(
            span.covers("unreadable"),
            "what cannot be compared is not taken out"
        );
    }

    #[test]
    fn numbers_longer_than_any_machine_word_are_compared() {
        let span = NumberSpan::read("99999999999999999999999..100000000000000000000000").unwrap();
        assert!(span.covers("99999999999999999999999"));
        assert!(!span.covers("99999999999999999999998"));
    }

    #[test]
    fn one_alone_is_itself_however_it_is_spelt() {
        let one = NumberSpan::read("A-7").unwrap();
        assert!(one.covers("a07") && !one.covers("A-8") && !one.covers("none"));
        let word = NumberSpan::read("Blue").unwrap();
        assert!(word.covers("blue") && !word.covers("green"));
        assert_eq!(one.to_string(), "A-7");
    }

    #[test]
    fn what_is_no_range_is_told() {
        for text in ["A1 to B9", "A9 to A1", "A to B", " to A1", "A1.."] {
            assert!(NumberSpan::read(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_hyphen_may_part_a_range_or_belong_to_a_number() {
        let perhaps = |text: &str| -> Vec<String> {
            let spans = NumberSpan::perhaps(text).into_iter();
            spans.map(|span| span.to_string()).collect()
        };
        for (text, range) in [
            ("L7-L9", "L7 to L9"),
            ("L7 - L9", "L7 to L9"),
            ("L7-9", "L7 to L9"),
            ("RL-0100-RL-0199", "RL-0100 to RL-0199"),
            ("19-21", "19 to 21"),
            ("L9-L7", "L7 to L9"),
            ("Lot L7-L9", "L7 to L9"),
        ] {
            assert_eq!(perhaps(text), [range], "{text}");
        }
        for (text, each) in [
            ("L7 L9", ["L7", "L9"].as_slice()),
            ("L7/L9", &["L7", "L9"]),
            ("Lots L7  L8 / L9", &["L7", "L8", "L9"]),
            ("Lot L7", &["L7"]),
            ("batch: L7", &["L7"]),
            ("LOT NO. L7", &["L7"]),
        ] {
            assert_eq!(perhaps(text), each, "{text}");
        }
        let named = NumberSpan::read("Lots L7 to L9").unwrap();
        assert_eq!(named.to_string(), "L7 to L9");
        for alone in [
            "RL-0100",
            "2019-02",
            "VX19-0041",
            "19-02-0041",
            "2024-0012",
            "L9-7",
            "A-B",
            "L7",
            "AB 12",
            "03/21",
            "0012 3456",
            "Lot blue",
            "LOTUS 7",
        ] {
            assert!(perhaps(alone).is_empty(), "{alone}");
        }
    }
}
