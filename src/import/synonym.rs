//! Recognises headings: the words that people write above their columns.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::sync::LazyLock;

use crate::domain::Kind;

use super::abroad;
use super::answer::DateOrder;
use super::everyday;
use super::field::Field;
use super::phrase::{ATTRIBUTES, DESCRIPTIONS, SYNONYMS};
use super::price;
use super::strength;
use super::unit::Unit;

/// A heading that was recognised.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Recognised {
    /// What it is read as.
    pub(super) field: Field,
}

/// What a heading says beside the name of its field.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Hints {
    /// The units that it names.
    pub(super) units: Vec<Unit>,
    /// The order of day and month.
    pub(super) dates: Option<DateOrder>,
}

/// The words of a heading: lower case, one blank between them, no punctuation.
pub(super) fn plain_words(heading: &str) -> String {
    let mut words = String::with_capacity(heading.len());
    for word in heading.split(|c: char| !(c.is_alphanumeric() || c == '"')) {
        if !word.is_empty() {
            if !words.is_empty() {
                words.push(' ');
            }
            words.extend(word.chars().flat_map(char::to_lowercase));
        }
    }
    words
}

/// The words of a heading, in which a hash sign is a word too: "Tag #" is "tag no".
fn heading_words(heading: &str) -> String {
    plain_words(&heading.replace('#', " no "))
}

/// What a heading says about its cells, and the words that are left of it.
pub(super) fn hints(heading: &str) -> (Hints, String) {
    let words = heading_words(heading);
    let per_cent = heading.contains('%').then_some(Unit::PerCent);
    let of_units = |units: Vec<Unit>| Hints { units, dates: None };
    if exact(&words).is_some() {
        return (of_units(per_cent.into_iter().collect()), words);
    }
    for (written, dates) in DATE_HINTS {
        if let Some(rest) = words.strip_suffix(written) {
            let hints = Hints {
                units: Vec::new(),
                dates: *dates,
            };
            return (hints, rest.trim().to_owned());
        }
    }
    if let Some((rest, last)) = words.rsplit_once(' ')
        && price::currency_of_word(last).is_some()
    {
        let rest = rest.strip_suffix(" in").unwrap_or(rest);
        if exact(rest) == Some(Field::Price) {
            return (Hints::default(), rest.to_owned());
        }
    }
    if let Some((rest, last)) = words.rsplit_once(' ')
        && let Some(unit) = Unit::measured(last)
    {
        let rest = rest.strip_suffix(" in").unwrap_or(rest);
        let mut units = vec![unit];
        units.extend(units_in(heading).into_iter().filter(|one| *one != unit));
        return (of_units(units), without_units(rest));
    }
    let units = per_cent.into_iter().chain(units_in(heading)).collect();
    (of_units(units), without_units(&words))
}

/// The units that stand in a heading as words of their own: "Holds (kN, from the marking)", "mm: own thickness".
///
/// "In" and single letters are units only where nothing else stands between two signs: "Length (m)".
fn units_in(heading: &str) -> Vec<Unit> {
    let mut found = Vec::new();
    let sign = |c: char| matches!(c, '(' | ')' | '[' | ']' | ',' | ';' | ':' | '/' | '|');
    for part in heading.split(sign) {
        let words = plain_words(part);
        let is_alone = !words.contains(' ');
        let all = words.split(' ').filter(|word| is_alone || is_plain(word));
        for unit in all.filter_map(Unit::measured) {
            if !found.contains(&unit) {
                found.push(unit);
            }
        }
    }
    found
}

/// Whether a word names a unit and can be nothing else in a heading: "per metre" and "gas meter" name none.
fn is_plain(word: &str) -> bool {
    const SIGNS: &str = "kn, lbf, kgf, kp, kg, kgs, lb, lbs, mm, cm, ft, millimetres, millimeters, centimetres, \
         centimeters, metres, meters, inches, feet, kilograms, newtons";
    each(SIGNS).any(|sign| sign == word)
}

/// The words without those that are units and nothing else.
pub(super) fn without_units(words: &str) -> String {
    let is_unit = |word: &&str| is_plain(word) && Unit::measured(word).is_some();
    let words: Vec<&str> = words.split(' ').filter(|word| !is_unit(word)).collect();
    words.join(" ")
}

/// Ways of saying behind a heading how its days are written.
const DATE_HINTS: &[(&str, Option<DateOrder>)] = &[
    (" dd mm yyyy", Some(DateOrder::DayFirst)),
    (" d m yyyy", Some(DateOrder::DayFirst)),
    (" dd mm yy", Some(DateOrder::DayFirst)),
    (" d m y", Some(DateOrder::DayFirst)),
    (" mm dd yyyy", Some(DateOrder::MonthFirst)),
    (" m d yyyy", Some(DateOrder::MonthFirst)),
    (" mm dd yy", Some(DateOrder::MonthFirst)),
    (" m d y", Some(DateOrder::MonthFirst)),
    (" yyyy mm dd", None),
    (" mm yyyy", None),
    (" yyyy", None),
];

/// The field that a heading names, if it names one.
pub(super) fn recognise(heading: &str) -> Option<Recognised> {
    let whole = heading_words(heading);
    let (hints, words) = hints(heading);
    let is_force = hints
        .units
        .iter()
        .any(|unit| matches!(unit, Unit::Force(_)));
    let named = |words: &str| {
        if is_force {
            strength::recognise(words).or_else(|| exact(words))
        } else {
            exact(words).or_else(|| strength::recognise(words))
        }
    };
    let field = exact(&whole)
        .or_else(|| named(&words))
        .or_else(|| everyday::without_comment(heading).and_then(|words| named(&words)))
        .or_else(|| everyday::field(&words, exact))?;
    Some(Recognised { field })
}

/// The phrases of a list that is written as one text.
pub(super) fn each(written: &str) -> impl Iterator<Item = &str> {
    written.split(", ")
}

/// Every phrase that names a field; one that names two names none, and is asked about.
static NAMES: LazyLock<HashMap<String, Field>> = LazyLock::new(|| {
    let alone = |fields: BTreeSet<Field>| fields.first().copied().filter(|_| fields.len() == 1);
    let named = named().into_iter();
    named
        .filter_map(|(name, fields)| Some((name, alone(fields)?)))
        .collect()
});

/// Every phrase with all fields that it names.
fn named() -> BTreeMap<String, BTreeSet<Field>> {
    let attributes = Kind::ALL.iter().flat_map(|kind| kind.attributes());
    let attributes = attributes.filter(|one| !one.is_confirmation());
    let own = attributes.flat_map(|attribute| {
        [attribute.key, attribute.label]
            .map(|name| (plain_words(name), Field::Attribute(attribute.key)))
    });
    let more = ATTRIBUTES.iter().flat_map(|(key, written)| {
        each(written).map(|name| (name.to_owned(), Field::Attribute(key)))
    });
    let plain = SYNONYMS
        .iter()
        .chain(abroad::HEADINGS)
        .flat_map(|(field, written)| each(written).map(|name| (name.to_owned(), *field)));
    let mut named: BTreeMap<String, BTreeSet<Field>> = BTreeMap::new();
    for (name, field) in plain.chain(more).chain(own) {
        named.entry(name).or_default().insert(field);
    }
    named
}

/// Whether a heading stands above words that describe the item.
pub(super) fn is_description(heading: &str) -> bool {
    let words = heading_words(heading);
    each(DESCRIPTIONS).any(|one| one == words)
}

fn exact(words: &str) -> Option<Field> {
    NAMES.get(words).copied()
}

/// Fields whose names share words with a heading, the likeliest first; three at most.
pub(super) fn suggestions(heading: &str) -> Vec<Field> {
    if is_description(heading) {
        return vec![Field::Model, Field::Kind, Field::Note];
    }
    let (_, words) = hints(heading);
    match words.as_str() {
        "no" | "nr" | "number" | "num" => return vec![Field::Mark, Field::Serial, Field::Quantity],
        "ok" | "okay" => return vec![Field::Verdict, Field::State],
        "by" | "who" => return vec![Field::Examiner],
        "spec" | "specs" | "specification" => return vec![Field::Standard],
        _ => {}
    }
    let says =
        |word: &&str| word.len() > 2 && !each(everyday::SAYS_NOTHING).any(|one| one == *word);
    let words: Vec<&str> = words.split(' ').filter(says).collect();
    let score = |text: &str| text.split(' ').filter(|word| words.contains(word)).count();
    let mut scored: Vec<(usize, Field)> = Field::all()
        .into_iter()
        .map(|field| {
            let listed = SYNONYMS.iter().filter(|(of, _)| *of == field);
            let best = listed
                .flat_map(|(_, written)| each(written).map(score))
                .max();
            let label = score(&plain_words(&field.label()));
            (best.unwrap_or(0).max(label), field)
        })
        .filter(|(score, _)| *score > 0)
        .collect();
    scored.sort_by_key(|(score, _)| std::cmp::Reverse(*score));
    scored.into_iter().take(3).map(|(_, field)| field).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_phrase_names_two_fields() {
        let named = named();
        let doubled: Vec<&String> = named
            .iter()
            .filter(|(_, fields)| fields.len() > 1)
            .map(|(name, _)| name)
            .collect();
        // Descenders and anchors have one each, as approvals and descenders; it is asked which is meant.
        assert_eq!(doubled, ["persons at once", "type letter"]);
        assert!(recognise("Type letter").is_none());
        for (name, fields) in &named {
            let strength = strength::recognise(name);
            assert!(
                strength.is_none_or(|strength| fields.contains(&strength)),
                "{name}: {fields:?}, {strength:?}"
            );
            assert_eq!(*name, plain_words(name), "it would never be found");
            assert!(!name.is_empty());
        }
    }

    #[test]
    fn no_phrase_is_listed_twice() {
        let plain = SYNONYMS.iter().flat_map(|(_, written)| each(written));
        let more = ATTRIBUTES.iter().flat_map(|(_, written)| each(written));
        let mut seen = BTreeSet::new();
        for name in plain.chain(more) {
            assert!(seen.insert(name), "{name}");
        }
    }
}
