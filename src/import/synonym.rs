//! Recognises headings: the words that people write above their columns.

use std::collections::HashMap;
use std::sync::LazyLock;

use crate::domain::entered::{ForceUnit, LengthUnit, MassUnit};
use crate::domain::{Kind, Takes};

use super::answer::DateOrder;
use super::field::{Field, attributes_named};
use super::strength;

/// A heading that was recognised.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Recognised {
    /// What it is read as.
    pub(super) field: Field,
}

/// What a heading says beside the name of its field.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Hints {
    /// The unit of the cells, by its sign.
    pub(super) unit: Option<&'static str>,
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

/// What a heading says about its cells, and the words that are left of it.
pub(super) fn hints(heading: &str) -> (Hints, String) {
    let words = plain_words(heading);
    if exact(&words).is_some() {
        return (Hints::default(), words);
    }
    for (written, dates) in DATE_HINTS {
        if let Some(rest) = words.strip_suffix(written) {
            let hints = Hints {
                unit: None,
                dates: *dates,
            };
            return (hints, rest.trim().to_owned());
        }
    }
    if let Some((rest, last)) = words.rsplit_once(' ')
        && let Some(unit) = unit(last)
    {
        let rest = rest.strip_suffix(" in").unwrap_or(rest);
        return (
            Hints {
                unit: Some(unit),
                dates: None,
            },
            rest.to_owned(),
        );
    }
    (Hints::default(), words)
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

/// The sign of a unit that a heading may carry.
pub(super) fn unit(word: &str) -> Option<&'static str> {
    LengthUnit::from_symbol(word)
        .map(LengthUnit::symbol)
        .or_else(|| MassUnit::from_symbol(word).map(MassUnit::symbol))
        .or_else(|| ForceUnit::from_symbol(word).map(ForceUnit::symbol))
}

/// The field that a heading names, if it names one.
pub(super) fn recognise(heading: &str) -> Option<Recognised> {
    let whole = plain_words(heading);
    let (hints, words) = hints(heading);
    let is_force = hints
        .unit
        .is_some_and(|sign| ForceUnit::from_symbol(sign).is_some());
    let as_strength = || strength::recognise(&words);
    let field = exact(&whole).or_else(|| {
        if is_force {
            as_strength().or_else(|| exact(&words))
        } else {
            exact(&words).or_else(as_strength)
        }
    })?;
    Some(Recognised { field })
}

/// The phrases of a list that is written as one text.
pub(super) fn each(written: &str) -> impl Iterator<Item = &str> {
    written.split(", ")
}

/// Every phrase that names a field, with that field; where two fields share one, the first listed has it.
static NAMES: LazyLock<HashMap<String, Field>> = LazyLock::new(|| {
    let attributes = Kind::ALL.iter().flat_map(|kind| kind.attributes());
    let own = attributes.flat_map(|attribute| {
        [attribute.key, attribute.label]
            .map(|name| (plain_words(name), Field::Attribute(attribute.key)))
    });
    let more = ATTRIBUTES.iter().flat_map(|(key, written)| {
        each(written).map(|name| (name.to_owned(), Field::Attribute(key)))
    });
    let plain = SYNONYMS
        .iter()
        .flat_map(|(field, written)| each(written).map(|name| (name.to_owned(), *field)));
    let mut names = HashMap::new();
    for (name, field) in plain.chain(more).chain(own) {
        names.entry(name).or_insert(field);
    }
    names
});

fn exact(words: &str) -> Option<Field> {
    NAMES.get(words).copied()
}

/// Fields whose names share words with a heading, the likeliest first; three at most.
pub(super) fn suggestions(heading: &str) -> Vec<Field> {
    let (_, words) = hints(heading);
    let words: Vec<&str> = words.split(' ').filter(|word| word.len() > 2).collect();
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

/// Whether a unit of this sign can stand behind the numbers of a field.
pub(super) fn fits(field: Field, sign: &str) -> bool {
    let length = LengthUnit::from_symbol(sign).is_some();
    let mass = MassUnit::from_symbol(sign).is_some();
    let force = ForceUnit::from_symbol(sign).is_some();
    match field {
        Field::Strength(..) | Field::RatedLoad => force || mass,
        Field::RopeLeast | Field::RopeMost | Field::RopeRange => length,
        Field::Attribute(key) => attributes_named(key).any(|attribute| match attribute.takes {
            Takes::Length => length,
            Takes::Mass => mass,
            Takes::Force => force,
            _ => false,
        }),
        _ => false,
    }
}

/// Other words for attributes, by their key.
const ATTRIBUTES: &[(&str, &str)] = &[
    ("diameter", "dia, diam, rope diameter, thickness, ø"),
    (
        "length",
        "length now, present length, rope length, current length, len",
    ),
    (
        "length-new",
        "original length, new length, length as new, length at purchase",
    ),
    ("fibre", "fiber, fibre material, fiber material"),
    ("rope-kind", "rope type, kind of rope, type of rope"),
    (
        "sheaves",
        "sheave count, no of sheaves, number of wheels, wheels",
    ),
    (
        "efficiency",
        "sheave efficiency, pulley efficiency, efficiency of sheave",
    ),
    (
        "locking",
        "gate type, lock, lock type, locking type, locking kind, gate lock",
    ),
    ("connector-class", "connector class"),
    ("capture", "progress capture pulley, captures progress"),
    (
        "users",
        "number of users, max users, maximum users, persons at once",
    ),
    ("last-proof", "proof load, last proof test, last proof load"),
    ("made-how", "sewn or knotted"),
];

/// The words for each field, as [`plain_words`] gives them.
const SYNONYMS: &[(Field, &str)] = &[
    (
        Field::Mark,
        "mark, our mark, item mark, id, id no, id number, item id, gear id, unique id, kit id, \
         identification, identifier, tag, tag no, tag number, tag id, asset, asset id, asset no, \
         asset number, asset tag, register no, register number, register id, register, reg no, \
         inventory no, inventory number, inventory id, item no, item number, equipment no, \
         equipment id, equipment number, gear no, gear number, reference, ref, ref no, code, item code, \
         barcode",
    ),
    (
        Field::Kind,
        "kind, type, item type, gear type, equipment type, kind of gear, type of gear, item kind, \
         category, item category, type of equipment, gear, equipment, gear kind",
    ),
    (
        Field::Maker,
        "maker, manufacturer, make, mfr, mfg, manufactured by, made by, brand, manufacturer name",
    ),
    (
        Field::Model,
        "model, product, model name, product name, model no, model number, maker s name, make s model",
    ),
    (
        Field::Serial,
        "serial, serial no, serial number, serial nr, s n, sn, ser no, maker s serial, \
         manufacturer serial, manufacturer s serial number, serial id",
    ),
    (
        Field::Lot,
        "lot, batch, lot no, lot number, batch no, batch number, lot batch, lot or batch, batch lot, \
         lot batch no, batch lot no",
    ),
    (
        Field::Made,
        "made, made on, date made, manufactured, manufactured on, date of manufacture, \
         manufacture date, manufacturing date, date manufactured, mfg date, mfd, dom, production date, \
         date of production, produced, year of manufacture, year made, month made, manufacture year, \
         month of manufacture, year",
    ),
    (
        Field::Bought,
        "bought, bought on, date bought, day bought, purchased, purchase date, date of purchase, \
         date purchased, acquired, date acquired, received, date received",
    ),
    (
        Field::FirstUsed,
        "first used, first use, first used on, date first used, date of first use, day of first use, \
         first use date, in service since, in service from, in service date, in service, \
         date in service, in use since, put into service, put in service, date put into service, \
         into service, commissioned, date of commissioning",
    ),
    (
        Field::Store,
        "store, location, place, kept at, kept in, where, storage, storage location, stored at, \
         stored in, bay, base, depot, home location, home, station",
    ),
    (
        Field::LastExamined,
        "last examined, last examination, last exam, last inspection, last inspected, last check, \
         last checked, examined, examined on, inspected, inspected on, date examined, date inspected, \
         date of last examination, date of last inspection, last examination date, \
         last inspection date, last examined on, last inspected on, date last examined, \
         date last inspected, inspection date, examination date, last thorough examination, \
         day last examined, last insp, checked",
    ),
    (
        Field::NextDue,
        "next due, next due on, next due date, due, due date, due on, next examination, \
         next inspection, next examination due, next inspection due, next exam, next check, \
         next examination date, next inspection date, inspection due, examination due, \
         day the next examination is due",
    ),
    (
        Field::Examiner,
        "examiner, examined by, inspected by, inspector, checked by, competent person, \
         last examined by, last inspected by, who examined it",
    ),
    (
        Field::Verdict,
        "verdict, result, outcome, last result, examination result, inspection result, pass fail, \
         pass or fail, verdict of the last examination, fit",
    ),
    (
        Field::State,
        "state, status, condition, item state, item status, current status, current state, \
         service status",
    ),
    (
        Field::StateReason,
        "reason, state reason, status reason, reason for state, reason for the state, \
         reason for status, reason retired, retirement reason, reason for quarantine, \
         reason for retirement",
    ),
    (
        Field::Note,
        "note, notes, remark, remarks, comment, comments",
    ),
    (
        Field::MarkingsReadable,
        "markings readable, marking readable, markings legible, marking legible, label readable, \
         label legible, legible, readable",
    ),
    (Field::Material, "material, material textile plastic metal"),
    (
        Field::LifeSupport,
        "life support, life safety, for life support, for life safety, may hold people, holds people, \
         ppe, man rated, person rated, for people",
    ),
    (
        Field::LifeFromMade,
        "life from made, life years, life span years, lifespan years, life years from made, \
         years of life, years of life from the day made, max life years, maximum life years, \
         max age years, maximum age years, service life years, shelf life years",
    ),
    (
        Field::LifeFromFirstUse,
        "life from first use, years from first use, life years from first use, \
         years of life from the first use, life in use years, working life years",
    ),
    (
        Field::ExamineEvery,
        "examine every, examine every months, examination interval months, inspection interval months, \
         interval months, months between examinations, months between inspections",
    ),
    (
        Field::Instructions,
        "instructions, manual, papers, documents, user instructions, where the instructions are",
    ),
    (
        Field::StrengthSource,
        "strength source, rating source, source of rating, source of strength, \
         where the strengths were read, strength read from",
    ),
    (
        Field::Standard,
        "standard, standards, norm, norms, approval, approvals, certification, certified to, \
         approved to, en standard, conforms to",
    ),
    (
        Field::Edition,
        "edition, standard edition, edition of the standard, standard year",
    ),
    (
        Field::Class,
        "class, standard class, approval class, class or type in the standard, grade",
    ),
    (
        Field::RopeLeast,
        "rope min, rope min diameter, rope diameter min, min rope, min rope diameter, minimum rope, \
         minimum rope diameter, rope minimum, smallest rope, thinnest rope, rope from, rope least, \
         rope ø min",
    ),
    (
        Field::RopeMost,
        "rope max, rope max diameter, rope diameter max, max rope, max rope diameter, maximum rope, \
         maximum rope diameter, rope maximum, largest rope, thickest rope, rope to, rope most, \
         rope ø max",
    ),
    (
        Field::RopeRange,
        "rope range, rope diameter range, rope diameters, rope size, rope sizes, for rope, for ropes, \
         rope size range, thinnest and thickest rope",
    ),
    (
        Field::RopeKinds,
        "rope kinds, rope kinds allowed, rope types, rope types allowed, kinds of rope allowed, \
         for rope kinds",
    ),
    (
        Field::RatedLoad,
        "rated load, rated, load rating, capacity, max load, maximum load, rated capacity, \
         max rated load, nominal load",
    ),
    (
        Field::LeastStrands,
        "least strands, fewest strands, strands needed, min strands, minimum strands",
    ),
];
