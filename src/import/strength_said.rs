//! What one cell says of strengths: "44 kN / becket 22 kN", "WLL 6 kN MBS 24 kN", "40/15/12", "max 140 kg".
//!
//! Common practice, no source: three numbers of a connector stand in the order in which it is marked, major axis, minor
//! axis, gate open; two or more strands of a pulley ("30 kN (2x15)") add up to the strength of its axle; and a mass under
//! a strength of what a person hangs in is the mass of that person, its rated load. A range is none of these.
//!
//! Nothing is taken from a cell with a number that is none of these, or that its words or signs say of something else:
//! "22, now 18", "WLL 20 percent of 36 kN", "<22".

use super::connector_cell::{NOT_KNOWN, in_order, one_not_known};
use super::field::Field;
use super::load_words::Load;
use super::rope_words::Token;
use super::strength_part::Part;
use super::synonym::each;
use super::{against, kind_word, strength_text};
use crate::domain::Kind;
use crate::rigging::StrengthKind;

/// Words that say no more than that it is the strength.
const FILLERS: &str =
    "loop, sewn, min, minimum, each, rated, at, of, for, is, the, with, strength, in, kern";

/// Words for a thing as a whole.
const WHOLE: &str = "whole, total, overall, complete, entire, all";

/// What a cell says.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Said {
    /// Each strength or load, with its unit.
    pub(super) fields: Vec<(Field, String)>,
    /// Whether something else stands there too, which is in none of them.
    pub(super) more: bool,
    /// Whether the lower of two numbers stands for two strengths, since no word tells which is which.
    pub(super) lower_for_both: bool,
}

/// Why nothing can be taken from a cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Unsaid {
    /// Its numbers wait for a unit.
    NoUnit,
    /// It cannot be read.
    Unread,
    /// It was asked about.
    Asked,
}

/// What a cell under `heading`, the strength that its column is read as, says of a kind of gear; none is a column that
/// leaves to the words of each number what it is. `unit` is that of the numbers that name none.
///
/// # Errors
/// That a unit is missing, or that the whole cannot be read.
pub(super) fn read(
    kind: Kind,
    text: &str,
    (heading, unit): (Option<StrengthKind>, Option<&str>),
) -> Result<Said, Unsaid> {
    let tokens = strength_text::plain(text).ok_or(Unsaid::Unread)?;
    let mut segments: Vec<&[Token]> = tokens.split(|token| *token == Token::Break).collect();
    segments.retain(|segment| !segment.is_empty());
    if kind == Kind::Connector && segments.len() == 3 && segments.contains(&NOT_KNOWN) {
        return one_not_known(&segments, (heading, unit));
    }
    let is_range = |segment: &&[Token]| segment.contains(&Token::Dash);
    if segments.iter().any(is_range) {
        return Err(Unsaid::Unread);
    }
    let mut parts = Vec::new();
    let (mut more, mut apart) = (false, true);
    for segment in &segments {
        match parts_of(kind, segment)? {
            found if !found.is_empty() => {
                apart &= found.len() == 1;
                parts.extend(found);
            }
            // Its number stands elsewhere, and nobody can tell which it is.
            _ if words_of(segment).strength(kind).is_some() => return Err(Unsaid::Unread),
            _ => more = true,
        }
    }
    give_units(&mut parts, unit)?;
    if let Some(said) = heading.and_then(|of| in_order(kind, of, &parts))
        && (apart || !said.lower_for_both)
    {
        return Ok(Said { more, ..said });
    }
    // Two masses of which no word says what they are contradict each other as two forces do.
    let is_mass = |part: &&Part| part.is_bare() && part.unit.is_some_and(Load::is_mass);
    if heading.is_some() && parts.iter().filter(is_mass).count() > 1 {
        return Err(Unsaid::Unread);
    }
    taken((kind, heading), &parts, more)
}

/// What numbers say, each of which must be accounted for: as a strength or load of its own, as one of them once more in another
/// unit, or as what counts or measures other things.
fn taken(
    (kind, heading): (Kind, Option<StrengthKind>),
    parts: &[Part],
    more: bool,
) -> Result<Said, Unsaid> {
    let mut said = Said {
        more,
        ..Said::default()
    };
    let mut worded = false;
    for part in parts {
        let again = said.fields.last().is_some_and(|(field, before)| {
            part.is_bare() && against::same_force(before, &part.value(*field))
        });
        if again {
            continue;
        }
        // Behind a number with words nobody can tell whether one without goes with it: "WLL = 1/5".
        worded |= !part.words.is_empty();
        let field = part.field(kind, heading);
        match field.filter(|_| !(worded && part.is_bare())) {
            Some(field) if said.fields.iter().all(|(one, _)| *one != field) => {
                said.fields.push((field, part.value(field)));
            }
            None if part.is_other() => said.more = true,
            _ => return Err(Unsaid::Unread),
        }
    }
    if said.fields.is_empty() {
        return Err(Unsaid::Unread);
    }
    Ok(said)
}

/// The strength that a text names first, for one that cannot be read as a whole: what is asked about.
pub(super) fn named(kind: Kind, text: &str) -> Option<Field> {
    let tokens = strength_text::tokens(text);
    let segments = tokens.split(|token| *token == Token::Break);
    let parts = segments.flat_map(|segment| match parts_of(kind, segment) {
        Ok(parts) if !parts.is_empty() => parts,
        _ => vec![words_of(segment)],
    });
    parts.into_iter().find_map(|part| part.strength(kind))
}

/// The words of a statement.
fn words_of(segment: &[Token]) -> Part {
    let words = segment.iter().filter_map(|token| match token {
        Token::Word(word) => Some(word.clone()),
        _ => None,
    });
    Part::without_number(words.collect())
}

/// The numbers of one statement, each with the words that go with it.
pub(super) fn parts_of(kind: Kind, segment: &[Token]) -> Result<Vec<Part>, Unsaid> {
    let mut words: Vec<Vec<String>> = vec![Vec::new()];
    let mut parts: Vec<Part> = Vec::new();
    let mut rest = segment.iter().peekable();
    while let Some(token) = rest.next() {
        match token {
            Token::Number(number) => {
                let (mut unit, mut other) = (None, false);
                if let Some(Token::Word(word)) = rest.peek() {
                    unit = Load::of(word);
                    other = unit.is_none()
                        && is_of(word, "pers, person, persons, people, p, mm, m, cm, x");
                    if unit.is_some() || other && word != "x" {
                        rest.next();
                    }
                }
                parts.push(Part {
                    number: *number,
                    unit,
                    words: Vec::new(),
                    other,
                });
                words.push(Vec::new());
            }
            Token::Word(word) if !is_of(word, FILLERS) && !is_itself(kind, word) => {
                if let Some(last) = words.last_mut() {
                    last.push(word.clone());
                }
            }
            _ => {}
        }
    }
    strands(kind, &mut parts, &mut words)?;
    let (first, last) = (
        !words[0].is_empty(),
        words.last().is_some_and(|last| !last.is_empty()),
    );
    // Words stand before their numbers, or all of them behind; nobody can tell where both ends have some.
    if parts.len() > 1 && first && last {
        return Err(Unsaid::Unread);
    }
    if let [only] = parts.as_mut_slice() {
        only.words = words.concat();
    } else {
        let from = usize::from(last);
        for (at, part) in parts.iter_mut().enumerate() {
            part.words.clone_from(&words[at + from]);
        }
    }
    Ok(parts)
}

/// Whether a word names the thing itself, or all of it: "whole bridle WLL 2" of a bridle.
fn is_itself(kind: Kind, word: &str) -> bool {
    is_of(word, WHOLE) || kind_word::kind(word).is_some_and(|one| one.exact && one.kind == kind)
}

/// Takes the strands of a pulley out, "2 x 15" behind 30 kN, where they add up to the number before.
fn strands(kind: Kind, parts: &mut Vec<Part>, words: &mut Vec<Vec<String>>) -> Result<(), Unsaid> {
    let Some(at) = words
        .iter()
        .position(|words| words.iter().any(|word| matches!(word.as_str(), "x" | "×")))
    else {
        return Ok(());
    };
    // The word stands behind the count and before the load of each: behind the number `at - 1`.
    let holds = kind == Kind::Pulley
        && (2..parts.len()).contains(&at)
        && words[at].len() == 1
        && words[at - 1].is_empty()
        && (parts[at - 1].number * parts[at].number - parts[at - 2].number).abs() < 1e-9
        && parts[at - 2].unit.is_some();
    if !holds {
        return Err(Unsaid::Unread);
    }
    parts.drain(at - 1..=at);
    words.drain(at - 1..=at);
    Ok(())
}

/// Gives each number its unit: its own, that of another number of the cell, else that of the column.
pub(super) fn give_units(parts: &mut [Part], unit: Option<&str>) -> Result<(), Unsaid> {
    let beside = parts
        .iter()
        .find_map(|part| part.unit.filter(|unit| !unit.is_mass()));
    let unit = beside.or_else(|| Load::of(&unit?.to_lowercase()));
    // Beside words that nobody knows, a unit would not help.
    let waits = if parts.iter().all(|part| part.other || part.is_named()) {
        Unsaid::NoUnit
    } else {
        Unsaid::Unread
    };
    for part in parts
        .iter_mut()
        .filter(|part| part.unit.is_none() && !part.other)
    {
        part.unit = Some(unit.ok_or(waits)?);
    }
    Ok(())
}

/// Whether a mass that stands alone in a cell is that of people and no force at which things break.
pub(super) fn is_of_people(kind: Kind, text: &str) -> bool {
    let read = read(kind, text, (Some(StrengthKind::Breaking), None));
    read.is_ok_and(|said| matches!(said.fields.as_slice(), [(Field::RatedLoad, _)]))
}

/// How many numbers of a text have words beside them that say which strength or load each is: 2 of "becket 18, WLL 8".
pub(super) fn figures(text: &str) -> usize {
    let tokens = strength_text::tokens(text);
    let segments = tokens.split(|token| *token == Token::Break);
    let parts = segments.flat_map(|segment| {
        let is_range = segment.contains(&Token::Dash);
        let parts = (!is_range).then(|| parts_of(Kind::OtherEquipment, segment));
        parts.and_then(Result::ok).unwrap_or_default()
    });
    let is_figure = |part: &Part| !part.other && !part.words.is_empty() && part.is_named();
    parts.filter(is_figure).count()
}

fn is_of(word: &str, list: &str) -> bool {
    each(list).any(|one| one == word)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(kind: Kind, text: &str) -> String {
        match read(kind, text, (Some(StrengthKind::Breaking), None)) {
            Ok(said) => {
                let fields = said.fields.iter();
                let mut told: Vec<String> = fields
                    .map(|(field, value)| format!("{} {value}", field.key()))
                    .collect();
                told.extend(said.more.then(|| "more".to_owned()));
                told.join(", ")
            }
            Err(unsaid) => format!("{unsaid:?}"),
        }
    }

    #[test]
    fn one_cell_may_say_several_strengths() {
        for (kind, text, read) in [
            (Kind::Rope, "MBS 32kN", "breaking-strength 32 kN"),
            (Kind::Rope, "3500 daN", "breaking-strength 3500 daN"),
            (
                Kind::Litter,
                "1250 kg each loop",
                "breaking-strength 1250 kgf",
            ),
            (Kind::Rope, "32kN MBS", "breaking-strength 32 kN"),
            (
                Kind::Pulley,
                "44 kN / becket 22 kN",
                "breaking-strength 44 kN, breaking-strength-becket 22 kN",
            ),
            (
                Kind::Pulley,
                "MBS 36kN becket 20kN",
                "breaking-strength 36 kN, breaking-strength-becket 20 kN",
            ),
            (
                Kind::Pulley,
                "36 kN becket 20 kN",
                "breaking-strength 36 kN, breaking-strength-becket 20 kN",
            ),
            (Kind::Pulley, "30kN (2x15)", "breaking-strength 30 kN"),
            (Kind::Pulley, "30kN (2x15kN)", "breaking-strength 30 kN"),
            (
                Kind::AnchorDevice,
                "WLL 6kN MBS 24kN",
                "working-limit 6 kN, breaking-strength 24 kN",
            ),
            (
                Kind::AnchorDevice,
                "24 kN MBS, 6 kN WLL",
                "breaking-strength 24 kN, working-limit 6 kN",
            ),
            (
                Kind::Tripod,
                "max 2 pers. / MBS 22kN",
                "breaking-strength 22 kN, more",
            ),
            (Kind::Harness, "max 140 kg", "rated-load 140 kg"),
            (Kind::Harness, "140 kg", "rated-load 140 kg"),
            (Kind::Descender, "max. 250 kg", "rated-load 250 kg"),
            (
                Kind::BackUpDevice,
                "max 250 kg MBS 40kN",
                "rated-load 250 kg, breaking-strength 40 kN",
            ),
            (Kind::Cord, "22 kN loop", "breaking-strength 22 kN"),
            (
                Kind::Sling,
                "WLL 600 kg MBS 24 kN",
                "working-limit 600 kgf, breaking-strength 24 kN",
            ),
        ] {
            assert_eq!(told(kind, text), read, "{text}");
        }
    }

    #[test]
    fn three_numbers_of_a_connector_stand_in_the_order_of_its_marking() {
        let connector = "breaking-strength-major-axis 40 kN, breaking-strength-minor-axis 15 kN, \
             breaking-strength-gate-open 12 kN";
        let both_lower = "breaking-strength-major-axis 40 kN, breaking-strength-minor-axis 12 kN, \
             breaking-strength-gate-open 12 kN";
        for (text, read) in [
            ("major 40 kN / minor 15 / gate open 12", connector),
            ("40 kN ↔ 15 ↕ 12 open", connector),
            ("40 kN <-> 15 kN ↕ 12 kN open", connector),
            ("40/15/12 kN", both_lower),
            ("40/12/15 kN", both_lower),
            ("40/15/12", "NoUnit"),
            ("45 kN/-/10", "breaking-strength-major-axis 45 kN, more"),
            (
                "45 kN/-/10 minor",
                "breaking-strength-major-axis 45 kN, breaking-strength-minor-axis 10 kN",
            ),
        ] {
            assert_eq!(told(Kind::Connector, text), read, "{text}");
        }
    }

    #[test]
    fn what_is_not_plain_is_not_read() {
        for (kind, text) in [
            (Kind::Rope, "22-24 kN"),
            (Kind::Rope, "1,200 lbf"),
            (Kind::Rope, "strong"),
            (Kind::Rope, "32 stone"),
            (Kind::Rope, "32 kN / 30 kN"),
            (Kind::Pulley, "2x15 kN"),
            (Kind::Pulley, "36 kN (2x15)"),
            (Kind::Rope, "tested at 10 kN"),
            (Kind::Harness, "40-140 kg"),
        ] {
            let told = told(kind, text);
            assert!(
                told == "Unread" || !told.contains("strength"),
                "{text}: {told}"
            );
        }
    }
}
