//! Quantities of a sheet: a number with its unit, as `{ value = 22.0, unit = "kN" }`.

use super::Measure;
use super::part::Part;
use crate::domain::entered::{
    EnteredForce, EnteredLength, EnteredMass, ForceUnit, LengthUnit, MassUnit,
};
use crate::rigging::{BoundsError, SafetyFactor};

/// A value with its unit, made into a quantity; one outside its limits is a fault.
fn entered<U: Copy, Q>(
    part: &mut Part<'_>,
    units: &[(U, &'static str)],
    make: impl FnOnce(f64, U) -> Result<Q, BoundsError>,
) -> Option<Q> {
    let value = part.number("value");
    let unit = part.text("unit").and_then(|text| {
        let found = units.iter().find(|(_, symbol)| *symbol == text);
        if found.is_none() {
            let all: Vec<&str> = units.iter().map(|(_, symbol)| *symbol).collect();
            let all = all.join(", ");
            part.wrong(
                "unit",
                format!("Write the unit as one of {all}, not \"{text}\"."),
            );
        }
        found.map(|(unit, _)| *unit)
    });
    match make(value?, unit?) {
        Ok(quantity) => Some(quantity),
        Err(error) => {
            part.wrong("value", format!("The {error}."));
            None
        }
    }
}

fn force_units() -> Vec<(ForceUnit, &'static str)> {
    let all = ForceUnit::ALL.iter();
    all.map(|unit| (*unit, unit.symbol())).collect()
}

fn length_units() -> Vec<(LengthUnit, &'static str)> {
    let all = LengthUnit::ALL.iter();
    all.map(|unit| (*unit, unit.symbol())).collect()
}

fn read_force(part: &mut Part<'_>) -> Option<EnteredForce> {
    entered(part, &force_units(), EnteredForce::new)
}

fn read_length(part: &mut Part<'_>) -> Option<EnteredLength> {
    entered(part, &length_units(), EnteredLength::new)
}

/// A force that must be there.
pub(super) fn force(part: &mut Part<'_>, key: &'static str) -> Option<EnteredForce> {
    part.part(key, read_force)
}

/// A force, if the key is there.
pub(super) fn maybe_force(part: &mut Part<'_>, key: &'static str) -> Option<EnteredForce> {
    part.maybe_part(key, read_force)
}

/// A length that must be there.
pub(super) fn length(part: &mut Part<'_>, key: &'static str) -> Option<EnteredLength> {
    part.part(key, read_length)
}

/// A length, if the key is there.
pub(super) fn maybe_length(part: &mut Part<'_>, key: &'static str) -> Option<EnteredLength> {
    part.maybe_part(key, read_length)
}

/// A mass that must be there.
pub(super) fn mass(part: &mut Part<'_>, key: &'static str) -> Option<EnteredMass> {
    let all = MassUnit::ALL.iter();
    let units: Vec<_> = all.map(|unit| (*unit, unit.symbol())).collect();
    part.part(key, |part| entered(part, &units, EnteredMass::new))
}

/// A unit of a length or of a force.
#[derive(Clone, Copy)]
enum Unit {
    Length(LengthUnit),
    Force(ForceUnit),
}

fn read_measure(part: &mut Part<'_>) -> Option<Measure> {
    let lengths = length_units().into_iter();
    let lengths = lengths.map(|(unit, symbol)| (Unit::Length(unit), symbol));
    let forces = force_units().into_iter();
    let forces = forces.map(|(unit, symbol)| (Unit::Force(unit), symbol));
    let units: Vec<_> = lengths.chain(forces).collect();
    entered(part, &units, |value, unit| match unit {
        Unit::Length(unit) => EnteredLength::new(value, unit).map(Measure::Length),
        Unit::Force(unit) => EnteredForce::new(value, unit).map(Measure::Force),
    })
}

/// A length or a force that must be there.
pub(super) fn measure(part: &mut Part<'_>, key: &'static str) -> Option<Measure> {
    part.part(key, read_measure)
}

/// A length or a force, if the key is there.
pub(super) fn maybe_measure(part: &mut Part<'_>, key: &'static str) -> Option<Measure> {
    part.maybe_part(key, read_measure)
}

/// A plain ratio that must be there.
pub(super) fn ratio(part: &mut Part<'_>, key: &'static str) -> Option<SafetyFactor> {
    let number = part.number(key)?;
    match SafetyFactor::from_ratio(number) {
        Ok(factor) => Some(factor),
        Err(error) => {
            part.wrong(key, format!("The {error}."));
            None
        }
    }
}
