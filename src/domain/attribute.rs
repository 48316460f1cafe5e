//! What is written down about a kind beside its ratings and approvals, as data.

mod confirmed;
mod length;
mod share;

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::entered::{EnteredForce, EnteredLength, EnteredMass, LengthUnit, split_number};
use super::{FieldErrors, Kind};
use crate::rigging::digits;

pub use confirmed::{LENGTH_NEW, confirmation_of, confirmed_by};
pub use length::in_other_unit;
use share::share;
pub use share::{LEAST_SHARE, is_bare_per_cent};

/// One thing that is written down about a kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Attribute {
    /// The word for programs.
    pub key: &'static str,
    /// The words for people.
    pub label: &'static str,
    /// What it takes.
    pub takes: Takes,
    /// Whether all items of a model share it.
    pub on: Where,
}

/// Where an attribute is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Where {
    /// All items of the model share it.
    Model,
    /// Each item has its own.
    Item,
}

/// What an attribute takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Takes {
    /// A length with its unit.
    Length,
    /// A mass with its unit.
    Mass,
    /// A force with its unit.
    Force,
    /// A whole number, from 0 to 1000 as a rule.
    Count,
    /// A number that is not negative.
    Number,
    /// A share from 0.1 to 1, which may be typed in per cent.
    Share,
    /// Yes or no.
    YesNo,
    /// One of these words.
    Choice(&'static [&'static str]),
    /// A line of text.
    Text,
}

/// The value of an attribute.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Value {
    /// A length.
    Length(EnteredLength),
    /// A mass.
    Mass(EnteredMass),
    /// A force.
    Force(EnteredForce),
    /// A whole number.
    Count(u32),
    /// A number.
    Number(f64),
    /// Yes or no.
    YesNo(bool),
    /// A word or a line.
    Text(String),
}

impl std::fmt::Display for Value {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Length(value) => value.fmt(f),
            Self::Mass(value) => value.fmt(f),
            Self::Force(value) => value.fmt(f),
            Self::Count(value) => value.fmt(f),
            Self::Number(value) => value.fmt(f),
            Self::YesNo(value) => f.write_str(if *value { "yes" } else { "no" }),
            Self::Text(value) => f.write_str(value),
        }
    }
}

/// What has a low end and a high end about what is likely.
const RANGES: [[&str; 3]; 2] = [
    ["efficiency-low", "efficiency", "efficiency-high"],
    ["friction-low", "friction", "friction-high"],
];

/// The attributes of a model or an item, by key. What is not known is not there.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(transparent)]
pub struct Attributes(pub BTreeMap<String, Value>);

impl Attributes {
    /// Takes over a length that was measured.
    pub(super) fn shorten(&mut self, length: EnteredLength) {
        let key = confirmed::LENGTH;
        self.0.insert(key.to_owned(), Value::Length(length));
        self.no_longer_confirmed(key);
    }

    /// Reads what was typed for `kind`; an empty text is "not known".
    pub fn check(
        kind: Kind,
        on: Where,
        typed: &BTreeMap<String, String>,
        wrong: &mut FieldErrors,
    ) -> Self {
        let mut values = BTreeMap::new();
        for (key, text) in typed {
            let there = kind.attribute(key).filter(|one| one.on == on);
            let is_confirmation = there.is_some_and(Attribute::is_confirmation);
            if text.trim().is_empty() || is_confirmation {
                continue;
            }
            let field = format!("attributes[{key}]");
            match there {
                Some(attribute) => match attribute.read(text) {
                    Ok(value) => {
                        values.insert(key.clone(), value);
                    }
                    Err((code, message)) => wrong.add(field, code, message),
                },
                None => wrong.add(
                    field,
                    "choice",
                    format!("This is not written down of {}; take it out.", kind.one()),
                ),
            }
        }
        let mut values = Self(values);
        values.ask(kind, typed, wrong);
        for range in RANGES {
            values.in_order(range, wrong);
        }
        values
    }

    /// Refuses a low or a high end that does not hold what lies between.
    fn in_order(&self, [low, middle, high]: [&str; 3], wrong: &mut FieldErrors) {
        for (one, other, end) in [(low, middle, low), (middle, high, high), (low, high, high)] {
            let (Some(below), Some(above)) = (self.number(one), self.number(other)) else {
                continue;
            };
            let field = format!("attributes[{end}]");
            if below > above && wrong.on(&field).next().is_none() {
                let why = format!(
                    "The low end is at most what is likely, and that at most the high end: {below} is more than {above}."
                );
                wrong.add(field, "range", why);
            }
        }
    }

    /// The attributes as they would be typed.
    pub fn typed(&self) -> BTreeMap<String, String> {
        self.0
            .iter()
            .map(|(key, value)| (key.clone(), value.to_string()))
            .collect()
    }

    /// A length, if it is known.
    pub fn length(&self, key: &str) -> Option<EnteredLength> {
        match self.0.get(key) {
            Some(Value::Length(length)) => Some(*length),
            _ => None,
        }
    }

    /// A mass, if it is known.
    pub fn mass(&self, key: &str) -> Option<EnteredMass> {
        match self.0.get(key) {
            Some(Value::Mass(mass)) => Some(*mass),
            _ => None,
        }
    }

    /// A whole number, if it is known.
    pub fn count(&self, key: &str) -> Option<u32> {
        match self.0.get(key) {
            Some(Value::Count(count)) => Some(*count),
            _ => None,
        }
    }

    /// A number or a share, if it is known.
    pub fn number(&self, key: &str) -> Option<f64> {
        match self.0.get(key) {
            Some(Value::Number(number)) => Some(*number),
            _ => None,
        }
    }

    /// Yes or no, if it is known.
    pub fn yes_no(&self, key: &str) -> Option<bool> {
        match self.0.get(key) {
            Some(Value::YesNo(answer)) => Some(*answer),
            _ => None,
        }
    }

    /// A word or a line, if it is known.
    pub fn text(&self, key: &str) -> Option<&str> {
        match self.0.get(key) {
            Some(Value::Text(text)) => Some(text),
            _ => None,
        }
    }
}

impl Attribute {
    /// Whether it only says that another, which such gear hardly ever has, is really so.
    pub fn is_confirmation(&self) -> bool {
        confirmation_of(self.key).is_some()
    }

    /// The unit that a bare number is read in: lengths of rope in metres, all else in millimetres.
    pub fn usual_length_unit(&self) -> LengthUnit {
        match self.key {
            "length" | LENGTH_NEW | "descent-limit" | "height" => LengthUnit::Metre,
            key if self.is_confirmation() && key.starts_with("length") => LengthUnit::Metre,
            _ => LengthUnit::Millimetre,
        }
    }

    /// Reads a value, or says with a code and a sentence why it is none.
    ///
    /// A quantity needs its unit: a bare number is not guessed at.
    pub fn read(&self, text: &str) -> Result<Value, (&'static str, String)> {
        let text = text.trim();
        let unit = |error: super::entered::EnteredError| ("unit", error.to_string());
        match self.takes {
            Takes::Length => {
                let length = EnteredLength::read(text, None).map_err(unit)?;
                self.keep_length(length).map(Value::Length)
            }
            Takes::Mass => EnteredMass::read(text, None).map(Value::Mass).map_err(unit),
            Takes::Force => {
                let force = EnteredForce::read(text, None).map_err(unit)?;
                self.keep_force(force).map(Value::Force)
            }
            Takes::Count => {
                let (least, most) = self.counts();
                match text.parse::<u32>() {
                    Ok(count) if (least..=most).contains(&count) => Ok(Value::Count(count)),
                    _ => Err((
                        "number",
                        format!(
                            "Write a whole number from {least} to {most}, not \"{}\".",
                            short(text)
                        ),
                    )),
                }
            }
            Takes::Number => self.number(text),
            Takes::Share => share(text).map(Value::Number),
            Takes::YesNo => match text.to_lowercase().as_str() {
                "yes" | "y" | "true" | "1" => Ok(Value::YesNo(true)),
                "no" | "n" | "false" | "0" => Ok(Value::YesNo(false)),
                _ => Err((
                    "choice",
                    format!("Write yes or no, not \"{}\".", short(text)),
                )),
            },
            Takes::Choice(words) => {
                let word = text.to_lowercase().replace([' ', '_'], "-");
                if words.contains(&word.as_str()) {
                    Ok(Value::Text(word))
                } else {
                    Err((
                        "choice",
                        format!("Choose {}, not \"{}\".", words.join(", "), short(text)),
                    ))
                }
            }
            Takes::Text => {
                let mut wrong = FieldErrors::default();
                let line = wrong.line("", text);
                match wrong.0.into_iter().next() {
                    None => Ok(Value::Text(line)),
                    Some(error) => Err(("long", error.message)),
                }
            }
        }
    }
}

impl Attribute {
    /// A length that gear of this trade has: beyond it a unit is written wrong, and what takes a rope of 13 m takes any.
    fn keep_length(&self, length: EnteredLength) -> Result<EnteredLength, (&'static str, String)> {
        let limits = match self.key {
            "diameter" => THICKNESS,
            "sheave-diameter" => (0.005, 0.5),
            "gate-opening" | "width" => (0.001, 0.3),
            "height" => (0.3, 20.0),
            _ => (0.01, 2000.0),
        };
        within(length, limits).map_err(|message| ("range", message))
    }

    /// A force that gear of this trade knows: what stops a fall with more than this hurts whoever is stopped, and a decimal
    /// mark that was lost says so.
    fn keep_force(&self, force: EnteredForce) -> Result<EnteredForce, (&'static str, String)> {
        let most = match self.key {
            "arrest-limit" => 20.0,
            _ => 1000.0,
        };
        let kilonewtons = force.quantity().kilonewtons();
        if kilonewtons > 0.0 && kilonewtons <= most {
            return Ok(force);
        }
        let message = format!("Write a force above 0 and at most {most} kN, not {force}.");
        Err(("range", message))
    }

    /// The least and the most that are counted of it; no block has more sheaves.
    pub fn counts(&self) -> (u32, u32) {
        match self.key {
            "sheaves" => (1, 10),
            _ => (0, 1000),
        }
    }

    /// The most that a rope of this trade has of it: a dynamic one stretches by some 40 % in its first fall. Common
    /// practice, no source.
    fn most(&self) -> Option<f64> {
        (self.key == "elongation").then_some(60.0)
    }

    /// A number that is not negative; the sign of per cent may stand behind one that is kept in per cent.
    fn number(&self, text: &str) -> Result<Value, (&'static str, String)> {
        match split_number(text) {
            Some((value, sign))
                if (0.0..=1e6).contains(&value)
                    && (sign.is_empty() || (sign == "%" && self.label.contains('%'))) =>
            {
                match self.most() {
                    Some(most) if value > most => {
                        let message = format!("Write at most {most}, not \"{}\".", short(text));
                        Err(("range", message))
                    }
                    _ => Ok(Value::Number(value)),
                }
            }
            _ => Err((
                "number",
                format!(
                    "Write a number that is not negative, such as 3.4, not \"{}\".",
                    short(text)
                ),
            )),
        }
    }
}

fn short(text: &str) -> String {
    text.chars().take(60).collect()
}

/// The thinnest and the thickest cord or rope that anybody hangs on or grips, in metres: what is thicker is for ships.
/// Common practice, no source.
pub(super) const THICKNESS: (f64, f64) = (0.001, 0.025);

/// A length between two others in metres, or the sentence that it is not.
pub(super) fn within(
    length: EnteredLength,
    (least, most): (f64, f64),
) -> Result<EnteredLength, String> {
    let metres = length.quantity().metres();
    // An inch is not a round number of metres: a hair does not count.
    let hair = 1e-9;
    if least - hair <= metres && metres <= most + hair {
        return Ok(length);
    }
    let (factor, unit) = if most < 1.0 { (1e3, "mm") } else { (1.0, "m") };
    let [least, most] = [least, most].map(|limit| digits(limit * factor, 4));
    Err(format!("Write {least} to {most} {unit}, not {length}."))
}
