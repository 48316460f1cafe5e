//! Cells that hold a number: with the unit of the cell, else that of the column, never a guess.

use super::cell::{Place, Reading, Stop};
use super::column::Sense;
use super::heading::shortened;
use super::table::Cell;
use super::unit::{self, Unit};
use super::{dimension, number as written, rope_range, size};
use crate::domain::entered::{
    EnteredError, EnteredForce, EnteredLength, EnteredMass, ForceUnit, MassUnit,
};
use crate::domain::{Attribute, Takes};

/// A number with the text behind it, or what stands in the way of it.
pub(super) fn amount(text: &str, cell: &Cell, sense: Sense) -> Result<(f64, String), Stop> {
    match cell {
        Cell::Number(number) => return Ok((*number, String::new())),
        Cell::Percent(number) => return Ok((*number, Unit::PerCent.sign().to_owned())),
        _ => {}
    }
    let Some((number, rest)) = written::split(text) else {
        let message = format!(
            "Write a number with its unit, such as 22.5 kN or 11 mm; \"{}\" is none.",
            shortened(text)
        );
        return Err(Stop::Wrong("number", message));
    };
    match sense.value(number) {
        Ok(value) => Ok((value, rest.to_owned())),
        Err(written::Doubt::Ask) => Err(Stop::Asked),
        Err(written::Doubt::Against(mark)) => {
            let message = format!(
                "\"{}\" can only be read with a {} as decimal mark, but the other was said to be it.",
                shortened(text),
                mark.key()
            );
            Err(Stop::Wrong("number", message))
        }
        Err(written::Doubt::Torn(shown)) => {
            let message = format!(
                "\"{}\" can be read in two ways: other numbers of the column have a {} as decimal mark, but the other was said to be it. Write it without a mark, or with one or two decimals.",
                shortened(text),
                shown.key()
            );
            Err(Stop::Wrong("number", message))
        }
    }
}

/// Signs before a number that say that it is a diameter.
const BEFORE: [char; 4] = ['ø', 'Ø', '⌀', ' '];

/// A number with its unit: that of the cell, else that of the column, never a guess.
fn quantity(text: &str, cell: &Cell, place: Place<'_>) -> Result<(f64, String), Stop> {
    let (value, rest) = amount(text.trim_start_matches(BEFORE), cell, place.sense)?;
    let unit = dimension::unit_of(place.field, &rest);
    if !unit.is_empty() {
        return Ok((value, unit.to_owned()));
    }
    match place.column.unit_for(place.field) {
        Ok(Some(unit)) => Ok((value, unit.sign().to_owned())),
        Ok(None) => Err(Stop::NoUnit),
        Err(unit) => {
            let message = format!(
                "The heading says {}, which is no unit of this. Write the unit behind \"{}\", or in the heading.",
                unit.sign(),
                shortened(text)
            );
            Err(Stop::Wrong("unit", message))
        }
    }
}

/// The numbers of a cell that names no unit.
pub(super) fn bare(cell: &Cell, place: Place<'_>) -> Vec<f64> {
    let text = match cell {
        Cell::Number(number) => return vec![*number],
        Cell::Text(text) => text,
        _ => return Vec::new(),
    };
    let read = |text: &str| match written::split(text) {
        Some((number, rest)) if dimension::unit_of(place.field, rest).is_empty() => {
            place.sense.value(number).ok()
        }
        _ => None,
    };
    let numbers = rope_range::numbers_of(place.field, text)
        .into_iter()
        .map(read);
    numbers.collect::<Option<_>>().unwrap_or_default()
}

/// What a cell waits for while the kind of its gear is not known; a unit is asked for at once.
pub(super) fn waits(cell: &Cell, place: Place<'_>) -> Stop {
    let asks = if unit::is_per_cent(place.field) {
        place.sense.share_in_doubt
    } else {
        !Unit::of(place.field).is_empty()
    };
    if asks && !bare(cell, place).is_empty() && place.column.unit_for(place.field) == Ok(None) {
        Stop::NoUnit
    } else {
        Stop::Asked
    }
}

/// The register's own sentence, with the word for what is wrong.
#[expect(
    clippy::needless_pass_by_value,
    reason = "map_err hands the error over by value"
)]
fn wrong_unit(error: EnteredError) -> Stop {
    let code = match error {
        EnteredError::Number { .. } | EnteredError::TwoWays { .. } => "number",
        EnteredError::NoUnit { .. } | EnteredError::Unit { .. } => "unit",
        EnteredError::Bounds(_) => "range",
    };
    Stop::Wrong(code, error.to_string())
}

/// A length as the register writes it.
pub(super) fn length(text: &str, cell: &Cell, place: Place<'_>) -> Result<String, Stop> {
    let (value, unit) = quantity(text, cell, place)?;
    let length = EnteredLength::read(&format!("{value} {unit}"), None).map_err(wrong_unit)?;
    Ok(length.to_string())
}

/// A strength: a force, or the weight of a mass.
pub(super) fn strength(cell: &Cell, place: Place<'_>) -> Result<Reading, Stop> {
    let (value, unit) = quantity(&cell.shown(), cell, place)?;
    let weight = MassUnit::from_symbol(&unit).is_some();
    let force = EnteredForce::read_with_weight(&format!("{value} {unit}")).map_err(wrong_unit)?;
    if force.value() <= 0.0 {
        let message = format!("A strength must be above 0, not {force}.");
        return Err(Stop::Wrong("range", message));
    }
    let text = force.to_string();
    Ok(if weight {
        Reading::Weight(text)
    } else {
        Reading::Value(text)
    })
}

/// A rated load is a mass, as standards state it, or a force.
pub(super) fn rated_load(cell: &Cell, place: Place<'_>) -> Result<Reading, Stop> {
    let (value, unit) = quantity(&cell.shown(), cell, place)?;
    let text = format!("{value} {unit}");
    let read = match ForceUnit::from_symbol(&unit) {
        Some(_) => EnteredForce::read(&text, None).map(|force| force.to_string()),
        None => EnteredMass::read(&text, None).map(|mass| mass.to_string()),
    };
    read.map(Reading::Value).map_err(wrong_unit)
}

/// What is written down about a kind beside its ratings and approvals.
pub(super) fn attribute(
    cell: &Cell,
    attribute: &Attribute,
    place: Place<'_>,
) -> Result<Reading, Stop> {
    let text = cell.shown();
    let typed = match attribute.takes {
        Takes::Length | Takes::Mass | Takes::Force => {
            let (value, unit) = quantity(&text, cell, place)?;
            format!("{value} {unit}")
        }
        Takes::Number | Takes::Share => {
            let (value, rest) = amount(&text, cell, place.sense)?;
            number(value, &rest, attribute, place)?
        }
        Takes::Text if place.field == size::FIELD => size::bare(&text).to_owned(),
        Takes::Count | Takes::YesNo | Takes::Choice(_) | Takes::Text => text,
    };
    let value = attribute.read(&typed)?;
    Ok(Reading::Value(value.to_string()))
}

/// A number without the sign that its label says anyway; a share may be given in per cent.
fn number(value: f64, rest: &str, attribute: &Attribute, place: Place<'_>) -> Result<String, Stop> {
    let heading = place.column.unit;
    let in_grams = attribute.label.contains("grams");
    if rest.is_empty() && in_grams && matches!(heading, Some(Unit::Mass(_))) {
        let message = format!(
            "The heading says {}, but this is the {}. Give it so.",
            heading.map_or("", Unit::sign),
            attribute.label.to_lowercase()
        );
        return Err(Stop::Wrong("unit", message));
    }
    let per_cent =
        rest == "%" || (rest.is_empty() && heading == Some(Unit::PerCent) && value > 1.0);
    if attribute.takes == Takes::Share {
        return Ok(if per_cent {
            shifted(value, -2).to_string()
        } else {
            format!("{value} {rest}").trim().to_owned()
        });
    }
    match rest {
        "" if unit::is_per_cent(place.field) => match place.column.unit_for(place.field) {
            Ok(Some(Unit::OfOne)) => Ok(shifted(value, 2).to_string()),
            Ok(None) if place.sense.share_in_doubt => Err(Stop::NoUnit),
            _ => Ok(value.to_string()),
        },
        "%" if attribute.label.contains('%') => Ok(value.to_string()),
        "g" | "g/m" if in_grams => Ok(value.to_string()),
        _ => Ok(format!("{value} {rest}").trim().to_owned()),
    }
}

/// A number with its decimal mark moved by so many places, as a person moves it: 0.07 by two is 7, not
/// the 7.000000000000001 of a multiplication.
pub(super) fn shifted(value: f64, places: i8) -> f64 {
    format!("{value}e{places}").parse().unwrap_or(f64::NAN)
}
