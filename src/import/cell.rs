//! One cell, read as the field of its column.

use super::column::Sense;
use super::field::Field;
use super::heading::{Column, shortened};
use super::table::Cell;
use super::{day, number, synonym, word};
use crate::domain::date::in_reach;
use crate::domain::entered::{
    EnteredError, EnteredForce, EnteredLength, EnteredMass, ForceUnit, MassUnit,
};
use crate::domain::{Attribute, Kind, Made, Takes};

/// What a cell came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Reading {
    /// Nothing is known: the cell says so.
    Nothing,
    /// A value, written as the register's own forms write it.
    Value(String),
    /// A force that was given as the mass whose weight it is.
    Weight(String),
    /// It waits for the answer to a question.
    Asked,
    /// The kind of gear has no such thing.
    NotOfKind,
}

/// A stable word for programs and a sentence.
pub(super) type Wrong = (&'static str, String);

/// Where a cell stands.
#[derive(Clone, Copy)]
pub(super) struct Place<'a> {
    pub(super) field: Field,
    /// The kind of gear in this row, if it is known.
    pub(super) kind: Option<Kind>,
    pub(super) column: &'a Column,
    pub(super) sense: Sense,
}

/// Reads a cell.
pub(super) fn read(cell: &Cell, place: Place<'_>) -> Result<Reading, Wrong> {
    match cell {
        Cell::Formula => {
            return Err((
                "formula",
                "A formula is not read: what it shows depends on where it is opened. Put its value in its place.".to_owned(),
            ));
        }
        Cell::Fault(fault) => {
            return Err((
                "value",
                format!(
                    "The cell holds {}. Write a value, or leave it empty.",
                    shortened(fault)
                ),
            ));
        }
        Cell::Text(text) if is_nothing(text, place) => return Ok(Reading::Nothing),
        _ => {}
    }
    match place.field {
        field if field.is_day() => read_day(cell, place),
        Field::Strength(_, mode) => {
            let Some(kind) = place.kind else {
                return Ok(Reading::Asked);
            };
            let rated = mode.map_or(!kind.modes().is_empty(), |mode| {
                kind.modes().contains(&mode)
            });
            if rated {
                strength(cell, place)
            } else {
                Ok(Reading::NotOfKind)
            }
        }
        Field::RatedLoad => rated_load(cell, place),
        Field::RopeLeast | Field::RopeMost => length(&cell.shown(), cell, place),
        Field::Attribute(key) => {
            let Some(kind) = place.kind else {
                return Ok(Reading::Asked);
            };
            match kind.attribute(key) {
                Some(attribute) => read_attribute(cell, attribute, place),
                None => Ok(Reading::NotOfKind),
            }
        }
        field => plain(field, cell),
    }
}

/// "none" means "not known" but where it is a word of its own.
fn is_nothing(text: &str, place: Place<'_>) -> bool {
    match place.field {
        Field::Mark | Field::Note => false,
        Field::Attribute(key) => {
            let takes = place
                .kind
                .and_then(|kind| kind.attribute(key))
                .map(|attribute| attribute.takes);
            let own = matches!(takes, Some(Takes::Choice(_) | Takes::YesNo));
            word::says_unknown(text) || (!own && text.eq_ignore_ascii_case("none"))
        }
        _ => word::says_unknown(text) || text.eq_ignore_ascii_case("none"),
    }
}

fn plain(field: Field, cell: &Cell) -> Result<Reading, Wrong> {
    let names_a_thing = matches!(
        field,
        Field::Mark | Field::Serial | Field::Lot | Field::Model | Field::Maker
    );
    if names_a_thing && matches!(cell, Cell::Day(_)) {
        return Err((
            "text",
            "The spreadsheet turned this into a day. Set the cell to text and write it anew."
                .to_owned(),
        ));
    }
    let text = cell.shown();
    let words = synonym::plain_words(&text);
    let words = words.as_str();
    Ok(Reading::Value(match field {
        Field::LifeSupport | Field::MarkingsReadable => match words {
            "y" | "x" | "1" | "ppe" => "yes".to_owned(),
            "n" | "0" => "no".to_owned(),
            _ => text,
        },
        Field::Material => material(words).map_or(text, str::to_owned),
        Field::StrengthSource => strength_source(words).map_or(text, str::to_owned),
        Field::LifeFromMade | Field::LifeFromFirstUse => {
            without(&text, &["years", "year", "yrs", "y"])
        }
        Field::ExamineEvery => without(&text, &["months", "month", "mths"]),
        _ => text,
    }))
}

fn without(text: &str, endings: &[&str]) -> String {
    let lower = text.trim().to_lowercase();
    let found = endings.iter().find_map(|ending| lower.strip_suffix(ending));
    found.map_or_else(|| text.trim().to_owned(), |front| front.trim().to_owned())
}

fn material(words: &str) -> Option<&'static str> {
    Some(match words {
        "metal" | "steel" | "stainless" | "stainless steel" | "aluminium" | "aluminum"
        | "alloy" | "light alloy" | "aluminium alloy" | "aluminum alloy" => "metal",
        "textile" | "textiles" | "webbing" | "nylon" | "polyamide" | "polyester" | "aramid"
        | "fabric" => "textile",
        "plastic" | "abs" | "polycarbonate" => "plastic",
        _ => return None,
    })
}

fn strength_source(words: &str) -> Option<&'static str> {
    Some(match words {
        "marking" | "markings" | "marked" | "label" | "on the item" => "marking",
        "paper" | "papers" | "manual" | "instructions" | "data sheet" | "datasheet"
        | "catalogue" | "maker" => "paper",
        "test" | "tested" | "measured" => "test",
        _ => return None,
    })
}

fn read_day(cell: &Cell, place: Place<'_>) -> Result<Reading, Wrong> {
    let wrong = |message: String| ("date", message);
    let made = match cell {
        Cell::Day(date) => Made::Day(*date),
        Cell::Number(number) if number.fract() == 0.0 && (1950.0..=2150.0).contains(number) => {
            Made::read(&number.to_string()).map_err(|error| wrong(error.to_string()))?
        }
        Cell::Number(number) => {
            return Err(wrong(format!(
                "{number} is a plain number. Set the cells of this column to days, or write the day as 2026-03-01."
            )));
        }
        other => {
            let text = other.shown();
            let written = day::read(&text).ok_or_else(|| {
                wrong(format!(
                    "Write the day as 2026-03-01; \"{}\" cannot be read as one.",
                    shortened(&text)
                ))
            })?;
            match written.day(place.sense.said_dates, place.sense.shown_dates) {
                Ok(made) => made,
                Err(day::Doubt::Ask) => return Ok(Reading::Asked),
                Err(day::Doubt::Against(order)) => {
                    return Err(wrong(format!(
                        "\"{}\" is no day if it is written {}. Write it as 2026-03-01.",
                        shortened(&text),
                        order.words()
                    )));
                }
                Err(day::Doubt::NoDay) => {
                    return Err(wrong(format!(
                        "There is no such day as \"{}\".",
                        shortened(&text)
                    )));
                }
            }
        }
    };
    in_reach(made.cautious_day()).map_err(|error| wrong(error.to_string()))?;
    if place.field != Field::Made && !matches!(made, Made::Day(_)) {
        return Err(wrong(format!(
            "Write the day too: \"{made}\" is less than a day. Only the date made may be a month or a year."
        )));
    }
    Ok(Reading::Value(made.to_string()))
}

/// A number with the text behind it, or the question or fault that stands in the way.
fn amount(text: &str, cell: &Cell, sense: Sense) -> Result<Option<(f64, String)>, Wrong> {
    if let Cell::Number(number) = cell {
        return Ok(Some((*number, String::new())));
    }
    let Some((written, rest)) = number::split(text) else {
        return Err((
            "number",
            format!(
                "Write a number with its unit, such as 22.5 kN or 11 mm; \"{}\" is none.",
                shortened(text)
            ),
        ));
    };
    match written.value(sense.said_decimal, sense.decimal_for(written)) {
        Ok(value) => Ok(Some((value, rest.to_owned()))),
        Err(number::Doubt::Ask) => Ok(None),
        Err(number::Doubt::Against(mark)) => Err((
            "number",
            format!(
                "\"{}\" can only be read with a {} as decimal mark, but the other was said to be it.",
                shortened(text),
                mark.key()
            ),
        )),
    }
}

/// A number with a unit: that of the cell, else that of the heading, never a guess.
fn quantity(text: &str, cell: &Cell, place: Place<'_>) -> Result<Option<(f64, String)>, Wrong> {
    let Some((value, rest)) = amount(text, cell, place.sense)? else {
        return Ok(None);
    };
    if !rest.is_empty() {
        return Ok(Some((value, rest)));
    }
    match place.column.unit {
        Some(unit) if synonym::fits(place.field, unit) => Ok(Some((value, unit.to_owned()))),
        Some(unit) => Err((
            "unit",
            format!(
                "The heading says {unit}, which is no unit of this. Write the unit behind \"{}\", or in the heading.",
                shortened(text)
            ),
        )),
        None => Err((
            "unit",
            format!(
                "Neither this cell nor its heading says a unit. Write it behind \"{}\", or in the heading, such as \"{} (mm)\" or \"(kN)\".",
                shortened(text),
                shortened(&place.column.heading)
            ),
        )),
    }
}

/// The register's own sentence, with the word for what is wrong.
#[expect(
    clippy::needless_pass_by_value,
    reason = "map_err hands the error over by value"
)]
fn wrong_unit(error: EnteredError) -> Wrong {
    let code = match error {
        EnteredError::Number { .. } => "number",
        EnteredError::NoUnit { .. } | EnteredError::Unit { .. } => "unit",
        EnteredError::Bounds(_) => "range",
    };
    (code, error.to_string())
}

fn length(text: &str, cell: &Cell, place: Place<'_>) -> Result<Reading, Wrong> {
    let Some((value, unit)) = quantity(text, cell, place)? else {
        return Ok(Reading::Asked);
    };
    let length = EnteredLength::read(&format!("{value} {unit}"), None).map_err(wrong_unit)?;
    Ok(Reading::Value(length.to_string()))
}

fn strength(cell: &Cell, place: Place<'_>) -> Result<Reading, Wrong> {
    let Some((value, unit)) = quantity(&cell.shown(), cell, place)? else {
        return Ok(Reading::Asked);
    };
    let (unit, weight) = match MassUnit::from_symbol(&unit) {
        Some(MassUnit::Kilogram) => (ForceUnit::KilogramForce.symbol().to_owned(), true),
        Some(MassUnit::Pound) => (ForceUnit::PoundForce.symbol().to_owned(), true),
        None => (unit, false),
    };
    let force = EnteredForce::read(&format!("{value} {unit}"), None).map_err(wrong_unit)?;
    if force.value() <= 0.0 {
        return Err(("range", format!("A strength must be above 0, not {force}.")));
    }
    let text = force.to_string();
    Ok(if weight {
        Reading::Weight(text)
    } else {
        Reading::Value(text)
    })
}

/// A rated load is a mass, as standards state it, or a force.
fn rated_load(cell: &Cell, place: Place<'_>) -> Result<Reading, Wrong> {
    let Some((value, unit)) = quantity(&cell.shown(), cell, place)? else {
        return Ok(Reading::Asked);
    };
    let text = format!("{value} {unit}");
    let read = match ForceUnit::from_symbol(&unit) {
        Some(_) => EnteredForce::read(&text, None).map(|force| force.to_string()),
        None => EnteredMass::read(&text, None).map(|mass| mass.to_string()),
    };
    read.map(Reading::Value).map_err(wrong_unit)
}

fn read_attribute(cell: &Cell, attribute: &Attribute, place: Place<'_>) -> Result<Reading, Wrong> {
    let text = cell.shown();
    let typed = match attribute.takes {
        Takes::Length | Takes::Mass | Takes::Force => match quantity(&text, cell, place)? {
            Some((value, unit)) => format!("{value} {unit}"),
            None => return Ok(Reading::Asked),
        },
        Takes::Number | Takes::Share => match amount(&text, cell, place.sense)? {
            Some((value, rest)) => bare(value, &rest, attribute),
            None => return Ok(Reading::Asked),
        },
        Takes::Count | Takes::YesNo | Takes::Choice(_) | Takes::Text => text,
    };
    attribute
        .read(&typed)
        .map(|value| Reading::Value(value.to_string()))
}

/// A number without the sign that its label says anyway; a share may be given in per cent.
fn bare(value: f64, rest: &str, attribute: &Attribute) -> String {
    let said = match rest {
        "%" => attribute.label.contains('%'),
        "g" | "g/m" => attribute.label.contains("grams"),
        _ => false,
    };
    match (attribute.takes, rest) {
        (Takes::Share, "%") => (value / 100.0).to_string(),
        _ if said => value.to_string(),
        _ => format!("{value} {rest}").trim().to_owned(),
    }
}

/// The thinnest and the thickest rope of a cell such as "8-13 mm"; one number is both.
pub(super) fn rope_range(cell: &Cell, place: Place<'_>) -> Result<(Reading, Reading), Wrong> {
    if !matches!(cell, Cell::Text(_)) {
        let both = read(
            cell,
            Place {
                field: Field::RopeLeast,
                ..place
            },
        )?;
        return Ok((both.clone(), both));
    }
    let text = cell.shown();
    if is_nothing(&text, place) {
        return Ok((Reading::Nothing, Reading::Nothing));
    }
    let parted = [" to ", "–", "—", "..", "-"]
        .iter()
        .find_map(|mark| text.split_once(mark));
    let (least, most) = parted.map_or((text.as_str(), text.as_str()), |(a, b)| {
        (a.trim(), b.trim())
    });
    let most = length(most, &Cell::Text(most.to_owned()), place)?;
    let unit = match &most {
        Reading::Value(value) => value.rsplit_once(' ').map(|(_, unit)| unit.to_owned()),
        _ => None,
    };
    let bare = matches!(number::split(least), Some((_, "")));
    let least = match unit {
        Some(unit) if bare => format!("{least} {unit}"),
        _ => least.to_owned(),
    };
    Ok((length(&least, &Cell::Text(least.clone()), place)?, most))
}
