//! A number as a person wrote it, with its unit; converted only for sums.
//!
//! Printed pairs in standards are rounded (5000 lbf stands as 22.2 kN and as 22 kN), so what was
//! entered is kept, and every comparison is made on the exact quantity behind it.

mod fraction;

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::rigging::{BoundsError, Force, Length, Mass, digits};
use fraction::{split_fraction, split_letter};

/// Why a text is no quantity.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EnteredError {
    /// There is no number at the front.
    #[error("Write a number and its unit, such as \"{example}\", not \"{given}\".")]
    Number {
        /// An example that would be read.
        example: &'static str,
        /// What was given.
        given: String,
    },
    /// The comma or the point may set thousands apart, or stand before the decimals.
    #[error("\"{given}\" can be read in two ways: write {whole}, or {part} with a point.")]
    TwoWays {
        /// What was given.
        given: String,
        /// The number, if the mark sets thousands apart.
        whole: String,
        /// The number, if decimals stand behind the mark.
        part: String,
    },
    /// The unit is missing.
    #[error("Write the unit behind the number: {units}. \"{given}\" has none.")]
    NoUnit {
        /// The units that are read.
        units: &'static str,
        /// What was given.
        given: String,
    },
    /// The unit is none of this quantity.
    #[error("Write the unit as {units}; \"{unit}\" is not one of them.")]
    Unit {
        /// The units that are read.
        units: &'static str,
        /// The unit that was given.
        unit: String,
    },
    /// Out of limits.
    #[error("The {0}.")]
    Bounds(#[from] BoundsError),
}

/// Splits "22,5 kN" into its number and the text behind it.
///
/// A comma or a point is the decimal mark; a blank or an apostrophe between groups of three digits
/// is passed over. Two marks are not guessed at, and neither is a comma that may set thousands apart: "1,200". Fractions
/// are read as they are stamped on gear in inches: "7/16 in", "1 1/2 in", "1½ in".
pub fn split_number(text: &str) -> Option<(f64, &str)> {
    let text = text.trim();
    if two_ways(text).is_some() {
        return None;
    }
    if let Some(fraction) = split_fraction(text).or_else(|| split_letter(text)) {
        return Some(fraction);
    }
    let (number, rest) = digits_and_rest(text);
    let number: String = number
        .chars()
        .filter(|c| !c.is_whitespace() && *c != '\'')
        .collect();
    if number.matches(['.', ',']).count() > 1 || !number.ends_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let value: f64 = number.replace(',', ".").parse().ok()?;
    value.is_finite().then_some((value, rest.trim()))
}

/// What a number in front is written with, and what stands behind it.
fn digits_and_rest(text: &str) -> (&str, &str) {
    let end = text
        .char_indices()
        .find(|&(at, c)| {
            !(c.is_ascii_digit()
                || matches!(c, '.' | ',')
                || (at == 0 && matches!(c, '-' | '+'))
                || groups(text, at, c))
        })
        .map_or(text.len(), |(at, _)| at);
    text.split_at(end)
}

/// The two ways to read a number whose one comma has just three digits behind it: "1,200" as 1200 and as 1.200. Behind
/// "0" it can only be the decimal mark.
fn two_ways(text: &str) -> Option<(String, String)> {
    let (number, _) = digits_and_rest(text.trim());
    let (whole, part) = number.split_once(',')?;
    let digits = |text: &str| text.chars().all(|c| c.is_ascii_digit());
    let front = whole.trim_start_matches(['-', '+']);
    let grouped = (1..=3).contains(&front.len()) && !front.starts_with('0') && part.len() == 3;
    (grouped && digits(front) && digits(part)).then(|| {
        (
            format!("{whole}{part}"),
            format!("{whole}.{}", unlike_thousands(part)),
        )
    })
}

/// Why a number with just three digits behind its one point is asked about, where the point may set thousands apart.
pub(super) fn parted_by_point(text: &str) -> Option<EnteredError> {
    let (whole, part) = two_ways(&text.replace('.', ","))?;
    let given = text.trim().chars().take(60).collect();
    Some(EnteredError::TwoWays { given, whole, part })
}

/// Decimals as they are taken everywhere: three of them may be thousands behind a point too.
fn unlike_thousands(decimals: &str) -> String {
    match decimals.trim_end_matches('0') {
        "" => "0".to_owned(),
        three if three.len() == 3 => format!("{three}0"),
        fewer => fewer.to_owned(),
    }
}

/// Whether the blank or apostrophe at `at` stands between a digit and a group of just three digits.
fn groups(text: &str, at: usize, c: char) -> bool {
    let after = &text[at + c.len_utf8()..];
    let digits = after.chars().take_while(char::is_ascii_digit).count();
    matches!(c, ' ' | '\u{a0}' | '\u{202f}' | '\'')
        && digits == 3
        && text[..at].ends_with(|c: char| c.is_ascii_digit())
}

macro_rules! entered {
    (
        $(#[$doc:meta])* $name:ident, $plain:ident = $pl:literal, $unit:ident, $quantity:ident, $example:literal, $list:literal;
        $( $variant:ident, $symbol:literal, [$($also:literal),*], $from:ident, $read:ident; )+
    ) => {
        /// The units that are read.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
        pub enum $unit {
            $(
                #[doc = concat!("The unit ", $symbol, ".")]
                #[serde(rename = $symbol)]
                $variant,
            )+
        }

        impl $unit {
            /// All units, the most usual first.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// The unit's sign.
            pub fn symbol(self) -> &'static str {
                match self { $(Self::$variant => $symbol,)+ }
            }

            /// Reads a sign or a usual other spelling, whatever its case.
            pub fn from_symbol(text: &str) -> Option<Self> {
                let text = text.trim().trim_end_matches('.').to_lowercase();
                $(if text == $symbol.to_lowercase() $(|| text == $also)* { return Some(Self::$variant); })+
                None
            }

            /// A plain number of this unit as the exact quantity.
            pub fn quantity(self, value: f64) -> Result<$quantity, BoundsError> {
                match self { $(Self::$variant => $quantity::$from(value),)+ }
            }

            /// The exact quantity as a plain number of this unit.
            pub fn number(self, quantity: $quantity) -> f64 {
                match self { $(Self::$variant => quantity.$read(),)+ }
            }

            /// A quantity in this unit with three digits that count, to be told beside one that was entered in it.
            pub fn words(self, quantity: $quantity) -> String {
                format!("{} {}", digits(self.number(quantity), 3), self.symbol())
            }
        }

        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
        #[serde(try_from = $pl, into = $pl)]
        pub struct $name { value: f64, unit: $unit }

        #[derive(Serialize, Deserialize)]
        #[serde(deny_unknown_fields)]
        struct $plain { value: f64, unit: $unit }

        impl TryFrom<$plain> for $name {
            type Error = BoundsError;
            fn try_from(plain: $plain) -> Result<Self, BoundsError> {
                Self::new(plain.value, plain.unit)
            }
        }

        impl From<$name> for $plain {
            fn from(entered: $name) -> Self {
                Self { value: entered.value, unit: entered.unit }
            }
        }

        impl $name {
            /// The units that are read, in words.
            pub const UNITS: &'static str = $list;

            /// A number with its unit; refused outside the limits of the quantity.
            pub fn new(value: f64, unit: $unit) -> Result<Self, BoundsError> {
                unit.quantity(value)?;
                Ok(Self { value: value + 0.0, unit })
            }

            /// Reads a number with its unit, or with `usual` where none is written.
            pub fn read(text: &str, usual: Option<$unit>) -> Result<Self, EnteredError> {
                let given = || text.trim().chars().take(60).collect::<String>();
                let (value, unit) = split_number(text).ok_or_else(|| match two_ways(text) {
                    Some((whole, part)) => EnteredError::TwoWays { given: given(), whole, part },
                    None => EnteredError::Number { example: $example, given: given() },
                })?;
                let unit = match (unit, usual) {
                    ("", Some(usual)) => usual,
                    ("", None) => return Err(EnteredError::NoUnit { units: $list, given: given() }),
                    (unit, _) => $unit::from_symbol(unit).ok_or_else(|| EnteredError::Unit {
                        units: $list,
                        unit: unit.chars().take(60).collect(),
                    })?,
                };
                Ok(Self::new(value, unit)?)
            }

            /// The number as it was entered.
            pub fn value(self) -> f64 {
                self.value
            }

            /// The unit as it was entered.
            pub fn unit(self) -> $unit {
                self.unit
            }

            /// As it was entered, or in this unit where it was entered in another.
            pub fn told_in(self, unit: $unit) -> String {
                if self.unit == unit {
                    self.to_string()
                } else {
                    unit.words(self.quantity())
                }
            }

            /// The exact quantity.
            ///
            /// # Panics
            /// Never: the limits were held when the value was made.
            pub fn quantity(self) -> $quantity {
                self.unit.quantity(self.value).expect("the limits were held when the value was made")
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{} {}", self.value, self.unit.symbol())
            }
        }
    };
}

entered!(
    /// A force as entered.
    EnteredForce, PlainForce = "PlainForce", ForceUnit, Force, "22 kN", "kN, daN, N, lbf or kgf";
    Kilonewton, "kN", [], from_kilonewtons, kilonewtons;
    Dekanewton, "daN", ["dekanewton", "dekanewtons", "decanewton", "decanewtons"], from_dekanewtons, dekanewtons;
    Newton, "N", ["newton", "newtons"], from_newtons, newtons;
    PoundForce, "lbf", ["lb-f", "lbs-f", "lb f"], from_pounds_force, pounds_force;
    KilogramForce, "kgf", ["kg-f", "kp"], from_kilograms_force, kilograms_force;
);

entered!(
    /// A mass as entered.
    EnteredMass, PlainMass = "PlainMass", MassUnit, Mass, "120 kg", "kg or lb";
    Kilogram, "kg", ["kgs", "kilogram", "kilograms"], from_kilograms, kilograms;
    Pound, "lb", ["lbs", "pound", "pounds"], from_pounds, pounds;
);

entered!(
    /// A length as entered.
    EnteredLength, PlainLength = "PlainLength", LengthUnit, Length, "11 mm", "mm, cm, m, in or ft";
    Millimetre, "mm", ["millimetre", "millimeter"], from_millimetres, millimetres;
    Centimetre, "cm", ["centimetre", "centimeter", "centimetres", "centimeters"], from_centimetres, centimetres;
    Metre, "m", ["metre", "meter", "metres", "meters"], from_metres, metres;
    Inch, "in", ["inch", "inches", "\""], from_inches, inches;
    Foot, "ft", ["foot", "feet", "'"], from_feet, feet;
);

impl EnteredLength {
    /// Reads how long a way or a rope is, which is told by another example than the thickness of a rope.
    ///
    /// # Errors
    /// As [`read`](Self::read).
    pub fn read_of_way(text: &str) -> Result<Self, EnteredError> {
        Self::read(text, None).map_err(|error| match error {
            EnteredError::Number { given, .. } => EnteredError::Number {
                example: "15 m",
                given,
            },
            other => other,
        })
    }

    /// A depth or a way of a job that is less than this, in metres, is asked where a mark of thousands would make it more.
    const SHORT_WAY: f64 = 10.0;

    /// Reads a way that a job is planned with. A point with just three digits behind it may set thousands apart: "1.500 m"
    /// is asked.
    ///
    /// # Errors
    /// As [`read_of_way`](Self::read_of_way), and [`EnteredError::TwoWays`].
    pub fn read_planned(text: &str) -> Result<Self, EnteredError> {
        let way = Self::read_of_way(text)?;
        let is_short = way.quantity().metres() < Self::SHORT_WAY;
        match parted_by_point(text).filter(|_| is_short) {
            None => Ok(way),
            Some(error) => Err(error),
        }
    }
}

impl EnteredForce {
    /// Reads a force, or a mass as its weight under the standard acceleration of 9.80665 m/s²: "140 kg" is 140 kgf, and
    /// "300 lb" is 300 lbf.
    ///
    /// Source of the acceleration: the third General Conference on Weights and Measures, 1901.
    ///
    /// # Errors
    /// As for a force.
    pub fn read_with_weight(text: &str) -> Result<Self, EnteredError> {
        let mass = split_number(text).and_then(|(value, unit)| {
            let unit = match MassUnit::from_symbol(unit)? {
                MassUnit::Kilogram => ForceUnit::KilogramForce,
                MassUnit::Pound => ForceUnit::PoundForce,
            };
            Some((value, unit))
        });
        match mass {
            Some((value, unit)) => Ok(Self::new(value, unit)?),
            None => Self::read(text, None),
        }
    }
}
impl EnteredMass {
    /// What is less than this, in kilograms, is hardly a load that a rig is built for.
    const SMALL_LOAD: f64 = 10.0;

    /// Reads what hangs on a rope. A point with just three digits behind it may set thousands apart: "1.200 kg" is asked,
    /// where it would be next to nothing otherwise.
    ///
    /// # Errors
    /// As [`read`](Self::read), and [`EnteredError::TwoWays`].
    pub fn read_load(text: &str) -> Result<Self, EnteredError> {
        let mass = Self::read(text, None)?;
        let is_small = mass.quantity().kilograms() < Self::SMALL_LOAD;
        match parted_by_point(text).filter(|_| is_small) {
            None => Ok(mass),
            Some(error) => Err(error),
        }
    }
}
