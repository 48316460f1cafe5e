//! The numbers of rulebooks, each with its unit as printed.

use std::cmp::Ordering;
use std::fmt;

use serde::{Deserialize, Serialize};

use crate::domain::Value;
use crate::domain::entered::{EnteredForce, EnteredLength, EnteredMass, split_number};

/// A length or a force, as printed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Measure {
    /// A length; no unit of a length is one of a force.
    Length(EnteredLength),
    /// A force.
    Force(EnteredForce),
}

impl Measure {
    /// The length or force that an attribute holds.
    pub fn of(value: &Value) -> Option<Self> {
        match value {
            Value::Length(length) => Some(Self::Length(*length)),
            Value::Force(force) => Some(Self::Force(*force)),
            _ => None,
        }
    }

    /// Whether both are written in one unit.
    pub fn same_unit(self, other: Self) -> bool {
        match (self, other) {
            (Self::Length(one), Self::Length(other)) => one.unit() == other.unit(),
            (Self::Force(one), Self::Force(other)) => one.unit() == other.unit(),
            _ => false,
        }
    }

    /// How it compares; a length and a force do not. Numbers of one unit are compared as written.
    pub fn cmp_to(self, other: Self) -> Option<Ordering> {
        match (self, other) {
            (Self::Length(one), Self::Length(other)) if one.unit() == other.unit() => {
                one.value().partial_cmp(&other.value())
            }
            (Self::Force(one), Self::Force(other)) if one.unit() == other.unit() => {
                one.value().partial_cmp(&other.value())
            }
            (Self::Length(one), Self::Length(other)) => {
                one.quantity().partial_cmp(&other.quantity())
            }
            (Self::Force(one), Self::Force(other)) => one.quantity().partial_cmp(&other.quantity()),
            _ => None,
        }
    }

    /// The plain number in the SI unit.
    pub fn plain(self) -> f64 {
        match self {
            Self::Length(length) => length.quantity().metres(),
            Self::Force(force) => force.quantity().newtons(),
        }
    }
}

impl fmt::Display for Measure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Length(length) => length.fmt(f),
            Self::Force(force) => force.fmt(f),
        }
    }
}

/// The number of a rule, with its unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Amount {
    /// A plain ratio.
    Factor(f64),
    /// A mass.
    Mass(EnteredMass),
    /// A force.
    Force(EnteredForce),
    /// A length.
    Length(EnteredLength),
    /// Calendar months.
    Months(u16),
    /// Years.
    Years(u16),
}

impl From<Measure> for Amount {
    fn from(measure: Measure) -> Self {
        match measure {
            Measure::Length(length) => Self::Length(length),
            Measure::Force(force) => Self::Force(force),
        }
    }
}

impl Amount {
    /// The plain number, in the SI unit where it has one.
    pub fn plain(self) -> f64 {
        match self {
            Self::Factor(factor) => factor,
            Self::Mass(mass) => mass.quantity().kilograms(),
            Self::Force(force) => force.quantity().newtons(),
            Self::Length(length) => length.quantity().metres(),
            Self::Months(count) | Self::Years(count) => f64::from(count),
        }
    }

    /// Whether both are written in one unit.
    pub fn same_unit(self, other: Self) -> bool {
        match (self, other) {
            (Self::Force(one), Self::Force(other)) => one.unit() == other.unit(),
            (Self::Length(one), Self::Length(other)) => one.unit() == other.unit(),
            (Self::Mass(one), Self::Mass(other)) => one.unit() == other.unit(),
            _ => std::mem::discriminant(&self) == std::mem::discriminant(&other),
        }
    }

    /// Reads what was typed in place of it: a quantity with its unit, a factor or a count without,
    /// or with the word behind it.
    ///
    /// # Errors
    /// A sentence that says what to write.
    pub fn read_like(self, text: &str) -> Result<Self, String> {
        let said = |error: crate::domain::entered::EnteredError| error.to_string();
        match self {
            Self::Mass(_) => EnteredMass::read(text, None).map(Self::Mass).map_err(said),
            Self::Force(_) => EnteredForce::read(text, None)
                .map(Self::Force)
                .map_err(said),
            Self::Length(_) => EnteredLength::read(text, None)
                .map(Self::Length)
                .map_err(said),
            Self::Factor(_) => match split_number(text) {
                Some((factor, "")) => Ok(Self::Factor(factor)),
                _ => Err(format!(
                    "Write a number such as 10, not \"{}\".",
                    short(text)
                )),
            },
            Self::Months(_) => whole(text, "month").map(Self::Months),
            Self::Years(_) => whole(text, "year").map(Self::Years),
        }
    }
}

fn whole(text: &str, word: &str) -> Result<u16, String> {
    let number = split_number(text).and_then(|(number, unit)| {
        let unit = unit.to_lowercase();
        let fits = unit.is_empty() || unit.trim_end_matches('s') == word;
        let whole = (0.0..=f64::from(u16::MAX)).contains(&number) && number.fract() == 0.0;
        (fits && whole).then(|| format!("{number:.0}").parse().ok())?
    });
    number.ok_or_else(|| {
        format!(
            "Write whole {word}s such as 6 {word}s, not \"{}\".",
            short(text)
        )
    })
}

fn short(text: &str) -> String {
    text.trim().chars().take(60).collect()
}

impl fmt::Display for Amount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Factor(factor) => factor.fmt(f),
            Self::Mass(mass) => mass.fmt(f),
            Self::Force(force) => force.fmt(f),
            Self::Length(length) => length.fmt(f),
            Self::Months(1) => f.write_str("1 month"),
            Self::Months(count) => write!(f, "{count} months"),
            Self::Years(1) => f.write_str("1 year"),
            Self::Years(count) => write!(f, "{count} years"),
        }
    }
}
