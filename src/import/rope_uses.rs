//! Ranges of rope of which one is for an approval or a use alone: "567: 8-13, 12841: 10-12,5", "10-13 (EN 12841 B)",
//! "8-13 / lift 11,5-12,5", "10-12,5 (resc. 11,5+)".
//!
//! Common practice, no source: a second range without a word is that of a stricter use. What names a use gives the
//! narrower range to the approvals for rescue, or to all of them where none is plainly for it; never the wider one.

use super::rope_said::{self, Said};
use super::rope_words::PLAUSIBLE;
use super::standard;
use super::synonym::each;
use crate::domain::entered::EnteredLength;
use crate::domain::{ApprovalDraft, standards_in};

/// Words for a use that asks more of a device than the next one.
const USES: &str = "resc, rescue, rescuing, lift, lifts, lifting, hoist, hoisting, raise, raising, belay, belays, belaying, \
     person, persons, pers, people, load, loads, lower, lowering, haul, hauling, rettung, retten, heben, personen, sichern, \
     abseilen, secours, levage, personnes, assurage";
/// Words that may stand beside one of these.
const BESIDE: &str = "for, of, with, only, two, 2, für, zum, nur, pour, seulement";

/// For what a range stands that is not the one of all.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Of {
    /// For the approval to this standard, which may stand there by its number alone.
    Standard(Box<ApprovalDraft>),
    /// For a use, in the words of the list; without words where none stand there.
    Use(String),
}

/// The ropes that a device takes for one approval or one use alone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct RopesOf {
    pub(super) of: Of,
    pub(super) said: Said,
}

/// All that a cell says of the ropes that a device takes.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Ropes {
    pub(super) all: Option<Said>,
    pub(super) of: Vec<RopesOf>,
}

/// The ropes of a cell that says more than one range, or for what its one is; none where that is not so, or something in
/// it is not understood.
pub(super) fn read(text: &str) -> Option<Ropes> {
    let mut said: Vec<(Option<Of>, Said)> = Vec::new();
    for piece in pieces(text) {
        // "10-13 (EN 12841 B)": the standard stands behind its range.
        match (said.last_mut(), alone(&piece)) {
            (Some((of @ None, _)), Some(standard)) => *of = Some(standard),
            _ => said.push(one(&piece)?),
        }
    }
    let mut ropes = Ropes::default();
    for (of, said) in said {
        match of {
            None if ropes.all.is_none() => ropes.all = Some(said),
            None => ropes.of.push(RopesOf {
                of: Of::Use(String::new()),
                said,
            }),
            Some(of) => ropes.of.push(RopesOf { of, said }),
        }
    }
    (!ropes.of.is_empty()).then_some(ropes)
}

/// Whether a text names more than one range, so that none of them alone is what it says.
pub(super) fn names_several(text: &str) -> bool {
    let pieces = pieces(text);
    let ranges = pieces.iter().filter(|piece| {
        let is_end = |part: &str| part.contains(|c: char| c.is_ascii_digit());
        let parts = piece.split(['-', '–', '—', '‐', '‑', '−']);
        piece.trim_end().ends_with('+') || parts.filter(|part| is_end(part)).count() > 1
    });
    ranges.count() > 1
}

/// The statements of a text: a comma between digits is a decimal one, and a plus sign behind a number says "and up".
fn pieces(text: &str) -> Vec<String> {
    let signs: Vec<char> = text.chars().collect();
    let digit = |at: Option<usize>| {
        at.and_then(|at| signs.get(at))
            .is_some_and(char::is_ascii_digit)
    };
    let mut pieces = vec![String::new()];
    for (at, c) in signs.iter().enumerate() {
        let between = digit(at.checked_sub(1)) && digit(Some(at + 1));
        let parts = match c {
            '/' | ';' | '(' | ')' | '[' | ']' | '|' | '\n' => true,
            ',' => !between,
            _ => false,
        };
        if parts {
            pieces.push(String::new());
        } else if let Some(last) = pieces.last_mut() {
            last.push(*c);
        }
    }
    let pieces = pieces.iter().map(|piece| piece.trim().to_owned());
    pieces.filter(|piece| !piece.is_empty()).collect()
}

/// One statement: a range, and for what it is.
fn one(piece: &str) -> Option<(Option<Of>, Said)> {
    if let Some(said) = range(piece).filter(|(least, most)| least != most) {
        return Some((None, said));
    }
    if let Some((name, said)) = piece.split_once(':') {
        let of = standard(name).or_else(|| used(name))?;
        return Some((Some(of), range(said)?));
    }
    let words: Vec<&str> = piece.split_whitespace().collect();
    if let Some((of, said)) = beside(&words) {
        return Some((Some(of), said));
    }
    let is_word = |word: &&&str| is_of(word, USES) || is_of(word, BESIDE);
    let front = words.iter().take_while(is_word).count();
    let behind = words[front..].iter().rev().take_while(is_word).count();
    let (said, end) = (&words[front..], words.len() - behind);
    let said = range(&said[..end - front].join(" "))?;
    let named = [&words[..front], &words[end..]].concat().join(" ");
    used(&named).map(|of| (Some(of), said))
}

fn is_of(word: &str, list: &str) -> bool {
    let word = word.trim_matches(['.', ':']).to_lowercase();
    each(list).any(|one| one == word)
}

/// A use that words name.
fn used(words: &str) -> Option<Of> {
    let mut all = words.split_whitespace();
    let names_one = all.clone().any(|word| is_of(word, USES));
    let is_clear = all.all(|word| is_of(word, USES) || is_of(word, BESIDE));
    (names_one && is_clear).then(|| Of::Use(words.trim().to_owned()))
}

/// Standards of this gear have three digits or more; a rope is never so thick.
const DIGITS: usize = 3;

/// The standard that a text names, by its number alone where it says no more that is understood.
fn standard(text: &str) -> Option<Of> {
    let mut numbers = text.split(|c: char| !c.is_ascii_digit());
    let number = numbers.find(|number| number.len() >= DIGITS)?;
    Some(named(text).unwrap_or_else(|| by_number(number)))
}

fn by_number(number: &str) -> Of {
    Of::Standard(Box::new(ApprovalDraft {
        standard: number.to_owned(),
        ..ApprovalDraft::default()
    }))
}

/// The one standard that a text names in full, with edition and class, and nothing else.
fn named(text: &str) -> Option<Of> {
    match standards_in(text).as_slice() {
        [one] if one.is_numbered() && one.rest.is_empty() => {
            Some(Of::Standard(Box::new(ApprovalDraft {
                standard: one.standard.clone(),
                edition: one.edition.clone(),
                class: one.class.clone(),
                ..ApprovalDraft::default()
            })))
        }
        _ => None,
    }
}

/// A statement that is a standard and nothing else.
fn alone(piece: &str) -> Option<Of> {
    let is_number = piece.len() >= DIGITS && piece.chars().all(|c| c.is_ascii_digit());
    named(piece).or_else(|| is_number.then(|| by_number(piece)))
}

/// A range with the standard that it is for before or behind it: "EN 12841 B 10-12 mm".
fn beside(words: &[&str]) -> Option<(Of, Said)> {
    (1..words.len()).find_map(|at| {
        let (front, behind) = words.split_at(at);
        let (front, behind) = (front.join(" "), behind.join(" "));
        let before = named(&front).zip(range(&behind));
        before.or_else(|| named(&behind).zip(range(&front)))
    })
}

/// A range of ropes that there are, or one rope.
fn range(text: &str) -> Option<Said> {
    let text = text.trim().trim_matches(':').trim();
    let said = match text.strip_suffix('+') {
        Some(least) => rope_said::typed(&format!("min {}", least.trim())),
        None => rope_said::typed(text),
    }?;
    let is_plausible = |end: &String| millimetres(end).is_some_and(|end| PLAUSIBLE.contains(&end));
    let ends = [&said.0, &said.1];
    let holds = ends.into_iter().flatten().all(is_plausible);
    holds.then_some(said)
}

pub(super) fn millimetres(end: &str) -> Option<f64> {
    let read = EnteredLength::read(end, None).ok()?;
    Some(read.quantity().millimetres())
}

/// What two ranges have in common; an end that one leaves open is that of the other.
pub(super) fn narrower(one: &Said, other: &Said) -> Said {
    let end = |one: &Option<String>, other: &Option<String>, is_least: bool| {
        let (Some(one), Some(other)) = (one, other) else {
            return one.as_ref().or(other.as_ref()).cloned();
        };
        let is_more = millimetres(one) >= millimetres(other);
        Some(if is_more == is_least { one } else { other }.clone())
    };
    (end(&one.0, &other.0, true), end(&one.1, &other.1, false))
}

/// A range in words.
pub(super) fn in_words((least, most): &Said) -> String {
    match (least, most) {
        (Some(least), Some(most)) if least == most => least.clone(),
        (Some(least), Some(most)) => format!("{least} to {most}"),
        (Some(least), None) => format!("from {least} up"),
        (None, Some(most)) => format!("up to {most}"),
        (None, None) => String::new(),
    }
}

impl Of {
    pub(super) fn in_words(&self) -> String {
        match self {
            Self::Standard(approval) => format!("for {} alone", standard::title(approval)),
            Self::Use(words) if words.is_empty() => "for a use that is not named".to_owned(),
            Self::Use(words) => format!("for \"{words}\""),
        }
    }

    /// Whether it names this approval, or one that says no other.
    pub(super) fn is_to(&self, approval: &ApprovalDraft) -> bool {
        matches!(self, Self::Standard(named) if standard::is_one(named, approval))
    }

    /// Whether it is for a use.
    pub(super) fn is_use(&self) -> bool {
        matches!(self, Self::Use(_))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(text: &str) -> Option<String> {
        let ropes = read(text)?;
        let mut told: Vec<String> = ropes.all.iter().map(in_words).collect();
        let of = ropes.of.iter();
        told.extend(of.map(|one| format!("{} {}", one.of.in_words(), in_words(&one.said))));
        Some(told.join("; "))
    }

    #[test]
    fn a_second_range_is_for_an_approval_or_a_use() {
        for (text, read) in [
            (
                "10-12,5 (resc. 11,5+)",
                "10 mm to 12.5 mm; for \"resc.\" from 11.5 mm up",
            ),
            (
                "8-13 / lift 11,5-12,5",
                "8 mm to 13 mm; for \"lift\" 11.5 mm to 12.5 mm",
            ),
            (
                "8-13 / 11,5-12,5",
                "8 mm to 13 mm; for a use that is not named 11.5 mm to 12.5 mm",
            ),
            (
                "567: 8-13, 12841: 10-12,5",
                "for 567 alone 8 mm to 13 mm; for 12841 alone 10 mm to 12.5 mm",
            ),
            ("EN 341: 11-12.5 mm", "for EN 341 alone 11 mm to 12.5 mm"),
            (
                "EN 12841 B: 10–12,5 mm",
                "for EN 12841 class B alone 10 mm to 12.5 mm",
            ),
            (
                "10-13 (EN 12841 B)",
                "for EN 12841 class B alone 10 mm to 13 mm",
            ),
            (
                "8 - 13 mm EN 567 / EN 12841 type B 10 to 12 mm",
                "for EN 567 alone 8 mm to 13 mm; for EN 12841 class B alone 10 mm to 12 mm",
            ),
            (
                "8-13 mm, 11-12 mm for rescue",
                "8 mm to 13 mm; for \"for rescue\" 11 mm to 12 mm",
            ),
        ] {
            assert_eq!(told(text).as_deref(), Some(read), "{text}");
        }
        for text in [
            "8-13",
            "10-12,5",
            "8-13 mm, 28 mm sheave",
            "8-13 / wire 4-6 x",
            "13",
            "EN 12841 B",
            "8-13 (old)",
        ] {
            assert_eq!(told(text), None, "{text}");
        }
        assert!(names_several("8-13 / wire 4-6") && names_several("10-12 (old 11+)"));
        assert!(!names_several("8-13 mm, 28 mm sheave") && !names_several("10-12,5"));
    }

    #[test]
    fn of_two_ranges_the_narrower_counts() {
        let said = |text: &str| rope_said::typed(text).unwrap();
        let narrow = |one: &str, other: &str| in_words(&narrower(&said(one), &said(other)));
        assert_eq!(narrow("8-13", "11.5-12.5"), "11.5 mm to 12.5 mm");
        assert_eq!(narrow("10-12.5", "min 11.5"), "11.5 mm to 12.5 mm");
        assert_eq!(narrow("max 12", "8-13"), "8 mm to 12 mm");
    }
}
