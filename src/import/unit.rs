//! The units that a heading, a cell or a person may name for numbers.

use serde::{Deserialize, Serialize};

use super::field::{Field, attributes_named};
use crate::domain::Takes;
use crate::domain::entered::{ForceUnit, LengthUnit, MassUnit};

/// The unit of a column's numbers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub enum Unit {
    /// A length.
    Length(LengthUnit),
    /// A mass.
    Mass(MassUnit),
    /// A force.
    Force(ForceUnit),
    /// Hundredths: 3.2 is 3.2 %.
    PerCent,
    /// Parts of a whole: 0.032 is 3.2 %.
    OfOne,
}

impl Unit {
    /// Its sign, which is also the word for programs.
    pub fn sign(self) -> &'static str {
        match self {
            Self::Length(unit) => unit.symbol(),
            Self::Mass(unit) => unit.symbol(),
            Self::Force(unit) => unit.symbol(),
            Self::PerCent => "%",
            Self::OfOne => "1",
        }
    }

    /// The words for people.
    pub fn words(self) -> &'static str {
        match self {
            Self::PerCent => "per cent (3.2 is 3.2 %)",
            Self::OfOne => "parts of one (0.032 is 3.2 %)",
            measured => measured.sign(),
        }
    }

    /// Reads a sign or a usual other spelling, whatever its case.
    pub fn from_words(text: &str) -> Option<Self> {
        match text.trim() {
            "%" => Some(Self::PerCent),
            "1" => Some(Self::OfOne),
            word => Self::measured(word),
        }
    }

    /// The unit of a length, a mass or a force.
    pub(super) fn measured(word: &str) -> Option<Self> {
        LengthUnit::from_symbol(word)
            .map(Self::Length)
            .or_else(|| MassUnit::from_symbol(word).map(Self::Mass))
            .or_else(|| ForceUnit::from_symbol(word).map(Self::Force))
    }

    /// The units that can stand behind the numbers of a field; none where it has none.
    pub fn of(field: Field) -> Vec<Self> {
        Self::all().filter(|unit| unit.fits(field)).collect()
    }

    /// Whether it can stand behind the numbers of a field.
    pub(super) fn fits(self, field: Field) -> bool {
        let takes = |takes| match field {
            Field::Attribute(key) => attributes_named(key).any(|one| one.takes == takes),
            _ => false,
        };
        let loads = matches!(field, Field::Strength(..) | Field::RatedLoad);
        let forces = loads || field == Field::Figures;
        match self {
            Self::Length(_) => is_rope(field) || takes(Takes::Length),
            Self::Mass(_) => loads || takes(Takes::Mass),
            Self::Force(_) => forces || takes(Takes::Force),
            Self::PerCent | Self::OfOne => is_per_cent(field),
        }
    }

    /// The unit of a field's numbers among those that their heading names; none where it names two of the same sort.
    ///
    /// A strength is a force, and a mass only where no force is named. Where all are none of the field, the first is given
    /// all the same, so that it is told.
    pub(super) fn among(named: &[Self], field: Option<Field>) -> Option<Self> {
        let fits = |unit: &&Self| field.is_none_or(|field| unit.fits(field));
        let fitting: Vec<Self> = named.iter().filter(fits).copied().collect();
        let forces = fitting.iter().filter(|unit| matches!(unit, Self::Force(_)));
        let forces: Vec<Self> = match field {
            Some(Field::Strength(..)) => forces.copied().collect(),
            _ => Vec::new(),
        };
        let among = if forces.is_empty() { fitting } else { forces };
        match (among.as_slice(), named) {
            ([one], _) | ([], [one, ..]) => Some(*one),
            _ => None,
        }
    }

    fn all() -> impl Iterator<Item = Self> {
        let lengths = LengthUnit::ALL.iter().copied().map(Self::Length);
        let forces = ForceUnit::ALL.iter().copied().map(Self::Force);
        let masses = MassUnit::ALL.iter().copied().map(Self::Mass);
        let measured = lengths.chain(forces).chain(masses);
        measured.chain([Self::PerCent, Self::OfOne])
    }
}

/// Whether the numbers of a field are lengths.
pub(super) fn is_length(field: Field) -> bool {
    Unit::of(field)
        .iter()
        .any(|unit| matches!(unit, Unit::Length(_)))
}

/// Whether the cells of a field are diameters of rope.
pub(super) fn is_rope(field: Field) -> bool {
    matches!(field, Field::RopeLeast | Field::RopeMost | Field::RopeRange)
}

/// Whether the numbers of a field are kept in per cent.
pub(super) fn is_per_cent(field: Field) -> bool {
    match field {
        Field::Attribute(key) => attributes_named(key)
            .any(|attribute| attribute.takes == Takes::Number && attribute.label.contains('%')),
        _ => false,
    }
}

/// Whether the numbers of a field are kept as shares of one.
pub(super) fn is_share(field: Field) -> bool {
    match field {
        Field::Attribute(key) => attributes_named(key).any(|one| one.takes == Takes::Share),
        _ => false,
    }
}

/// The signs as a list in a sentence: "mm, cm, m, in or ft".
pub(super) fn listed(units: &[Unit]) -> String {
    let signs: Vec<&str> = units.iter().map(|unit| unit.sign()).collect();
    match signs.as_slice() {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [front @ .., last] => format!("{} or {last}", front.join(", ")),
    }
}

impl From<Unit> for String {
    fn from(unit: Unit) -> Self {
        unit.sign().to_owned()
    }
}

impl TryFrom<String> for Unit {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        Self::from_words(&text).ok_or_else(|| {
            let all: Vec<Self> = Self::all().collect();
            format!(
                "\"{text}\" is no unit that is read here; there are {}.",
                listed(&all)
            )
        })
    }
}
