//! The thinnest and the thickest rope of a cell: "8-13 mm", "8 to 13 mm", "max 13 mm", "≥ 8 mm".
//!
//! One number alone is both ends: the device is for that rope. An end that is not written is not made up.

use super::cell::{Place, Reading, Stop};
use super::field::Field;
use super::heading::{Headings, shortened};
use super::rope_said::without_rope;
use super::synonym::plain_words;
use super::table::Cell;
use super::unit::{self, Unit};
use super::{dimension, number, quantity, rope_uses};
use crate::domain::Kind;

/// The ends as they are written; one of them is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Ends<'a> {
    pub(super) least: Option<&'a str>,
    pub(super) most: Option<&'a str>,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Token<'a> {
    Text(&'a str),
    Mark(Mark),
}

/// What stands beside or between the numbers.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Mark {
    /// The number is the thinnest.
    Least,
    /// The number is the thickest.
    Most,
    /// From the one to the other.
    Dash,
}

/// Signs and words, the longer ones first.
const MARKS: &[(Mark, &[&str])] = &[
    (
        Mark::Least,
        &[
            "not less than",
            "no less than",
            "or thicker",
            "and thicker",
            "and above",
            "at least",
            "or more",
            "minimum",
            "and up",
            "min.",
            "mindestens",
            "from",
            "min",
            ">=",
            "≥",
        ],
    ),
    (
        Mark::Most,
        &[
            "not more than",
            "höchstens",
            "jusqu'à",
            "jusqu’à",
            "bis zu",
            "no more than",
            "or thinner",
            "and thinner",
            "at most",
            "or less",
            "maximum",
            "up to",
            "max.",
            "upto",
            "max",
            "<=",
            "≤",
        ],
    ),
    (
        Mark::Dash,
        &[
            "through", "thru", "bis", "to", "à", "...", "..", "…", "-", "‐", "‑", "‒", "–", "—",
            "−",
        ],
    ),
];

/// The ends that a text names; none if it cannot be read as a range.
pub(super) fn ends(text: &str) -> Option<Ends<'_>> {
    use Mark::{Dash, Least, Most};
    use Token::{Mark as M, Text};
    // "1-1/4 in" is one number; "-13 mm" is none, for nothing is thinner than nothing.
    let is_one = number::split(text)
        .is_some_and(|(_, unit)| unit.is_empty() || Unit::measured(unit).is_some());
    if is_one && !text.starts_with('-') {
        return Some(Ends {
            least: Some(text),
            most: Some(text),
        });
    }
    let (least, most) = match tokens(text).as_slice() {
        [Text(both)] => (Some(*both), Some(*both)),
        [M(Most), Text(most)] | [Text(most), M(Most)] => (None, Some(*most)),
        // "to 13 mm", but not "-13 mm".
        [M(Dash), Text(most)] if text.starts_with(char::is_alphabetic) => (None, Some(*most)),
        [M(Least), Text(least)] | [Text(least), M(Least)] => (Some(*least), None),
        [Text(least), M(Dash | Most), Text(most)]
        | [M(Least), Text(least), M(Dash | Most), Text(most)]
        | [Text(least), M(Dash), M(Most), Text(most)]
        | [M(Least), Text(least), M(Dash), M(Most), Text(most)]
        | [Text(least), M(Least), Text(most), M(Most)]
        | [Text(least), M(Least), M(Dash), Text(most), M(Most)]
        | [M(Most), Text(most), M(Least), Text(least)]
        | [Text(most), M(Most), Text(least), M(Least)] => (Some(*least), Some(*most)),
        _ => return None,
    };
    Some(Ends { least, most })
}

/// The diameter of a rope.
const DIAMETER: Field = Field::Attribute("diameter");

/// The width of a sling, or the diameter of one of wire.
const WIDTH: Field = Field::Attribute("width");

/// One column that holds the diameters of ropes and, row by row, the ropes that devices take.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shared {
    /// What the column is read as where nothing else is known.
    pub(super) field: Field,
    /// Its heading speaks of ropes, so that a single diameter of a device is one of a rope too.
    of_rope: bool,
}

/// The column of rope diameters, if there is one for ropes and devices together.
pub(super) fn shared(headings: &Headings) -> Option<Shared> {
    let ends = headings
        .of(Field::RopeLeast)
        .or(headings.of(Field::RopeMost));
    let column = match (headings.of(DIAMETER), headings.of(Field::RopeRange)) {
        (Some(one), None) | (None, Some(one)) if ends.is_none() => one,
        _ => return None,
    };
    let words = plain_words(&column.heading);
    Some(Shared {
        field: column.field()?,
        of_rope: words
            .split(' ')
            .any(|word| matches!(word, "rope" | "ropes")),
    })
}

impl Shared {
    /// What a cell of the column is of a kind of gear.
    pub(super) fn field_for(self, kind: Option<Kind>, cell: &Cell) -> Field {
        let takes_rope = matches!(
            kind,
            Some(Kind::Pulley | Kind::RopeClamp | Kind::Descender | Kind::BackUpDevice)
        );
        let is_rope = kind.is_some_and(|kind| kind.attribute("diameter").is_some());
        let is_wide = kind.is_some_and(|kind| kind.attribute("width").is_some());
        match self.field {
            _ if is_wide => WIDTH,
            Field::RopeRange if takes_rope && is_flat(cell) => DIAMETER,
            Field::RopeRange if is_rope || (kind.is_some() && !takes_rope) => DIAMETER,
            DIAMETER if takes_rope && (self.of_rope || is_range(cell)) => Field::RopeRange,
            field => field,
        }
    }
}

/// Whether a cell says how wide something flat is.
pub(super) fn is_flat(cell: &Cell) -> bool {
    matches!(cell, Cell::Text(text) if dimension::is_width(text))
}

/// Whether a cell names two ends, or one of them.
pub(super) fn is_range(cell: &Cell) -> bool {
    match cell {
        Cell::Text(text) => {
            ends(text).is_some_and(|ends| ends.least != ends.most)
                || rope_uses::read(text).is_some()
        }
        _ => false,
    }
}

/// The numbers that a cell of a field names: of a rope's diameters its ends, else the text as it is.
pub(super) fn numbers_of(field: Field, text: &str) -> Vec<&str> {
    if !unit::is_rope(field) && field != DIAMETER {
        return vec![text];
    }
    let found = ends(text).map(|ends| [ends.least, ends.most]);
    let mut numbers: Vec<&str> = found.into_iter().flatten().flatten().collect();
    numbers.dedup();
    if numbers.is_empty() && field == DIAMETER {
        return vec![text];
    }
    numbers
}

fn tokens(text: &str) -> Vec<Token<'_>> {
    let mut tokens = Vec::new();
    let (mut from, mut at) = (0, 0);
    while let Some(next) = text[at..].chars().next() {
        if let Some((mark, length)) = mark_at(text, at) {
            push(&mut tokens, &text[from..at]);
            tokens.push(Token::Mark(mark));
            at += length;
            from = at;
        } else {
            at += next.len_utf8();
        }
    }
    push(&mut tokens, &text[from..]);
    tokens
}

fn push<'a>(tokens: &mut Vec<Token<'a>>, text: &'a str) {
    let sign = |c: char| c.is_whitespace() || matches!(c, ',' | ';' | ':' | 'ø' | 'Ø' | '⌀');
    let text = text.trim_matches(sign);
    if !text.is_empty() {
        tokens.push(Token::Text(text));
    }
}

/// The mark that stands at this place, and how long it is; a word is none inside another word.
fn mark_at(text: &str, at: usize) -> Option<(Mark, usize)> {
    let before = text[..at].chars().next_back();
    MARKS.iter().find_map(|(mark, written)| {
        let found = written.iter().find(|written| {
            let end = at + written.len();
            let is_word = written.starts_with(char::is_alphabetic);
            let after = text.get(end..).and_then(|rest| rest.chars().next());
            let in_word = |c: Option<char>| c.is_some_and(char::is_alphabetic);
            text.get(at..end)
                .is_some_and(|here| here.eq_ignore_ascii_case(written))
                && !(is_word && (in_word(before) || in_word(after)))
        });
        found.map(|written| (*mark, written.len()))
    })
}

/// Reads a cell of a rope's least or greatest diameter, or of both.
pub(super) fn read(cell: &Cell, place: Place<'_>) -> Result<Reading, Stop> {
    let text = cell.shown();
    let found = match cell {
        Cell::Text(_) => ends(without_rope(&text)).ok_or_else(|| unread(&text))?,
        _ => return Ok(alone(quantity::length(&text, cell, place)?, place)),
    };
    let length = |text: &str| quantity::length(text, &Cell::Text(text.to_owned()), place);
    match (place.field, found.least, found.most) {
        (_, Some(least), Some(most)) if least == most => Ok(alone(length(least)?, place)),
        (Field::RopeRange, least, most) => {
            let most = most.map(length).transpose()?;
            let unit = most.as_deref().and_then(|most| most.rsplit_once(' '));
            let least = least.map(|least| match unit {
                // The unit behind the thicker end is that of both.
                Some((_, unit)) if is_bare(least) => length(&format!("{least} {unit}")),
                _ => length(least),
            });
            Ok(Reading::Range(least.transpose()?, most))
        }
        (Field::RopeLeast, Some(end), None) | (Field::RopeMost, None, Some(end)) => {
            Ok(Reading::Value(length(end)?))
        }
        _ => Err(unread(&text)),
    }
}

/// One diameter, which is both ends of a range.
fn alone(length: String, place: Place<'_>) -> Reading {
    match place.field {
        Field::RopeRange => Reading::Range(Some(length.clone()), Some(length)),
        _ => Reading::Value(length),
    }
}

fn is_bare(text: &str) -> bool {
    matches!(number::split(text), Some((_, "")))
}

fn unread(text: &str) -> Stop {
    let message = format!(
        "\"{}\" cannot be read as diameters of rope. Write them as \"8-13 mm\"; one end alone as \"max 13 mm\" or \"min 8 mm\".",
        shortened(text)
    );
    Stop::Wrong("number", message)
}

#[cfg(test)]
mod tests {
    use super::{Ends, ends};

    #[test]
    fn both_ends_are_read_however_they_are_written() {
        for text in [
            "8-13 mm",
            "8 – 13 mm",
            "8 to 13 mm",
            "8to13 mm",
            "8 up to 13 mm",
            "from 8 to 13 mm",
            "min 8, max 13 mm",
            "≥ 8 ≤ 13 mm",
            "8 min – 13 mm max",
            "max. 13 mm min. 8",
            "Ø 8..13 mm",
            "From 8 - max 13 mm",
        ] {
            let found = ends(text).unwrap_or_else(|| panic!("{text}"));
            assert_eq!(found.least, Some("8"), "{text}");
            assert_eq!(
                found.most.map(|most| most.trim_end_matches(" mm")),
                Some("13"),
                "{text}"
            );
        }
    }

    #[test]
    fn an_end_that_is_not_written_is_not_made_up() {
        for text in [
            "up to 13 mm",
            "max 13 mm",
            "Max. 13 mm",
            "≤ 13 mm",
            "<=13 mm",
            "13 mm max",
            "to 13 mm",
            "bis 13 mm",
            "bis zu 13 mm",
            "jusqu'à 13 mm",
            "13 mm or less",
        ] {
            assert_eq!(
                ends(text),
                Some(Ends {
                    least: None,
                    most: Some("13 mm")
                }),
                "{text}"
            );
        }
        for text in [
            "from 8 mm",
            "min 8 mm",
            "≥8 mm",
            "8 mm and up",
            "at least 8 mm",
        ] {
            assert_eq!(
                ends(text),
                Some(Ends {
                    least: Some("8 mm"),
                    most: None
                }),
                "{text}"
            );
        }
        for text in [
            "",
            "-13 mm",
            "8-",
            "8 - 10 - 13 mm",
            "max",
            "8 min 13 mm",
            "bis",
        ] {
            assert_eq!(ends(text), None, "{text}");
        }
    }
}
