//! Quantities in a sentence told beside in the units of whoever reads it.
//!
//! Reasons, gaps and warnings are written once, kept in the history and the same for everybody, so their numbers stay as
//! they are; a reader with other units gets each of them a second time, in brackets.

use super::Units;
use crate::rigging::{Force, Length, Mass, digits};

/// What may stand between the two ends of a range.
const BETWEEN: [&str; 3] = ["to", "and", "or"];
/// What may stand before a number and belongs to the sentence.
const OPENING: [char; 3] = ['(', '"', '['];
/// What may stand behind a unit and belongs to the sentence.
const CLOSING: [char; 8] = ['.', ',', ';', ':', '!', '?', ')', '"'];

impl Units {
    /// The text with each length, mass and force that is written in metric units told in these units too: "must be 41.2 m
    /// (135 ft) long". Metric readers get the text as it is.
    ///
    /// ```
    /// use ropeloft::domain::Units;
    ///
    /// assert_eq!(Units::Us.beside("within 10 to 13 mm."), "within 10 to 13 mm (0.394 to 0.512 in).");
    /// assert_eq!(Units::Metric.beside("15 m deep"), "15 m deep");
    /// ```
    pub fn beside(self, text: &str) -> String {
        match self {
            Self::Metric => text.to_owned(),
            Self::Us => us_beside(text),
        }
    }
}

fn us_beside(text: &str) -> String {
    let words: Vec<&str> = text.split(' ').collect();
    let mut told = String::with_capacity(text.len() * 2);
    for (at, word) in words.iter().enumerate() {
        if at > 0 {
            told.push(' ');
        }
        let found = at
            .checked_sub(1)
            .and_then(|before| Some((number(words[before])?, unit(word)?)));
        let Some((last, (unit, rest))) = found else {
            told.push_str(word);
            continue;
        };
        let first = match at.checked_sub(3) {
            Some(far) if BETWEEN.contains(&words[at - 2]) => {
                number(words[far]).map(|first| (first, words[at - 2]))
            }
            _ => None,
        };
        told.push_str(&word[..word.len() - rest.len()]);
        told.push_str(&in_brackets(first, last, unit));
        told.push_str(rest);
    }
    told
}

/// A unit and what it is in: a number in it, in the other unit, with that one's sign.
type Other = (fn(f64) -> Option<f64>, &'static str);

fn in_brackets(first: Option<(f64, &str)>, last: f64, (other, sign): Other) -> String {
    let shown = |value: f64| other(value).map(|value| digits(value, 3));
    let Some(last) = shown(last) else {
        return String::new();
    };
    match first.and_then(|(first, between)| Some((shown(first)?, between))) {
        Some((first, between)) => format!(" ({first} {between} {last} {sign})"),
        None => format!(" ({last} {sign})"),
    }
}

/// The number that a word is, but for what opens before it; none of one with a sign, which is no quantity here.
fn number(word: &str) -> Option<f64> {
    let word = word.trim_start_matches(OPENING);
    let is_plain = word.chars().all(|c| c.is_ascii_digit() || c == '.');
    let begins = word.starts_with(|c: char| c.is_ascii_digit());
    (is_plain && begins).then(|| word.parse().ok()).flatten()
}

/// The unit that a word is, and what closes behind it.
fn unit(word: &str) -> Option<(Other, &str)> {
    let name = word.trim_end_matches(CLOSING);
    let other: Other = match name {
        "m" => (|value| Some(Length::from_metres(value).ok()?.feet()), "ft"),
        "mm" => (
            |value| Some(Length::from_millimetres(value).ok()?.inches()),
            "in",
        ),
        "kg" => (
            |value| Some(Mass::from_kilograms(value).ok()?.pounds()),
            "lb",
        ),
        "kN" => (
            |value| Some(Force::from_kilonewtons(value).ok()?.pounds_force()),
            "lbf",
        ),
        _ => return None,
    };
    Some((other, &word[name.len()..]))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn us(text: &str) -> String {
        Units::Us.beside(text)
    }

    #[test]
    fn each_quantity_is_told_beside_and_nothing_else_is() {
        // 1 ft = 0.3048 m, 1 lb = 0.45359237 kg, 1 in = 25.4 mm: agreement of 1959; 1 lbf = 4.4482216152605 N.
        for (text, told) in [
            (
                "The rope must be 30.48 m long.",
                "The rope must be 30.48 m (100 ft) long.",
            ),
            ("carries 100 kg: take", "carries 100 kg (220 lb): take"),
            ("(22.2 kN)", "(22.2 kN (4991 lbf))"),
            (
                "sag of 1.00 m on 20.0 m: measure",
                "sag of 1.00 m (3.28 ft) on 20.0 m (65.6 ft): measure",
            ),
            (
                "between 50 and 150 kg",
                "between 50 and 150 kg (110 and 331 lb)",
            ),
            ("11 mm", "11 mm (0.433 in)"),
            (
                "at 0.3 m/s, 9.8 m/s2 and -3 kg",
                "at 0.3 m/s, 9.8 m/s2 and -3 kg",
            ),
            (
                "rope R-12 m and v1.2.3 m, 40 ft long, m, 5",
                "rope R-12 m and v1.2.3 m, 40 ft long, m, 5",
            ),
            ("by 1 of 2 m", "by 1 of 2 m (6.56 ft)"),
            ("999999 kN  and 1.2.3 m", "999999 kN  and 1.2.3 m"),
        ] {
            assert_eq!(us(text), told);
            assert_eq!(Units::Metric.beside(text), text);
        }
    }
}
