//! A length that gear of its kind hardly ever has: most often its unit was lost, and "120" stands for centimetres.
//!
//! It is asked about and never refused: whoever says that it is so is believed, and that it was said is kept beside it.

use std::collections::BTreeMap;

use super::{Attributes, Value};
use crate::domain::entered::{EnteredLength, LengthUnit};
use crate::domain::field::ticked;
use crate::domain::rating::doubt::Doubt;
use crate::domain::{FieldErrors, Kind};

/// The key of the length of gear, of the item or of its model.
pub const LENGTH: &str = "length";
/// The key under which it is kept that such a length was confirmed: the length once more.
pub const LENGTH_CONFIRMED: &str = "length-confirmed";

/// What is sold and used as a rope of its own, in metres: drums end at some 500 m, and what is shorter than this is a cord or a
/// sling. Common practice, no source.
const OF_ROPES: (f64, f64) = (1.0, 600.0);
/// Cord comes on drums as rope does, and is cut to any length. Common practice, no source.
const OF_CORDS: (f64, f64) = (0.0, 600.0);
/// The longest slings and anchor straps go twice round a thick tree. Common practice, no source.
const OF_SLINGS: (f64, f64) = (0.0, 12.0);
/// Adjustable lanyards for work positioning end here. Common practice, no source.
const OF_LANYARDS: (f64, f64) = (0.0, 5.0);

impl Kind {
    /// The shortest and the longest in metres of which nothing is asked.
    fn usual_lengths(self) -> Option<(f64, f64)> {
        match self {
            Self::Rope => Some(OF_ROPES),
            Self::Cord => Some(OF_CORDS),
            Self::Sling | Self::AnchorDevice => Some(OF_SLINGS),
            Self::Lanyard => Some(OF_LANYARDS),
            _ => None,
        }
    }

    /// Why it is asked about a length; none where such gear may well have it.
    pub fn doubts_length(self, length: EnteredLength) -> Option<Doubt> {
        let (least, most) = self.usual_lengths()?;
        // A foot is not a round number of metres: a hair does not count.
        let is_usual = |length: &EnteredLength| {
            let metres = length.quantity().metres();
            least - 1e-9 <= metres && metres <= most + 1e-9
        };
        if is_usual(&length) {
            return None;
        }
        let bound = if length.quantity().metres() > most {
            format!("longer than {most}")
        } else {
            format!("shorter than {least}")
        };
        let why = format!(
            "{} is seldom {bound} m, and a length that is read in another unit than it was written in is far out.",
            self.one_as_first()
        );
        Some(Doubt::lost_unit(
            why,
            in_other_unit(length).filter(is_usual),
        ))
    }

    /// "A sling", where a sentence begins with it.
    fn one_as_first(self) -> String {
        let one = self.one();
        let (first, rest) = one.split_at(1);
        first.to_uppercase() + rest
    }
}

/// What a length in metres is if its number was meant in centimetres, or the other way round; none of other units.
pub fn in_other_unit(length: EnteredLength) -> Option<EnteredLength> {
    if length.unit() != LengthUnit::Metre {
        return None;
    }
    let places = if length.value() < 1.0 { 2 } else { -2 };
    // The mark is moved as a person moves it: no hair is added.
    let value = format!("{}e{places}", length.value()).parse().ok()?;
    EnteredLength::new(value, LengthUnit::Metre).ok()
}

/// What is typed as the length of gear of a kind, where it is asked about.
pub fn doubted_length(kind: Kind, typed: &BTreeMap<String, String>) -> Option<EnteredLength> {
    let length = EnteredLength::read(typed.get(LENGTH)?, None).ok()?;
    kind.doubts_length(length).map(|_| length)
}

/// Whether it is said that just this length is so: yes, or the length once more.
pub fn confirms_length(typed: &BTreeMap<String, String>, length: EnteredLength) -> bool {
    let said = typed.get(LENGTH_CONFIRMED).map_or("", String::as_str);
    ticked(said).unwrap_or_else(|| EnteredLength::read(said, None).is_ok_and(|said| said == length))
}

/// Confirms the length that is typed, for whoever has asked about it already.
pub fn confirm_length(kind: Kind, typed: &mut BTreeMap<String, String>) {
    if let Some(length) = doubted_length(kind, typed) {
        typed.insert(LENGTH_CONFIRMED.to_owned(), length.to_string());
    }
}

impl Attributes {
    /// Asks about a length that such gear hardly ever has, where nobody said that it is so; that it was said is kept.
    pub(super) fn ask_length(
        &mut self,
        kind: Kind,
        typed: &BTreeMap<String, String>,
        wrong: &mut FieldErrors,
    ) {
        let Some(length) = self.length(LENGTH) else {
            return;
        };
        let Some(doubt) = kind.doubts_length(length) else {
            return;
        };
        if confirms_length(typed, length) {
            let confirmed = Value::Length(length);
            self.0.insert(LENGTH_CONFIRMED.to_owned(), confirmed);
            return;
        }
        let given = length.to_string();
        let question = format!(
            "Is it really {given}? {} {}, or confirm that it is {given} long (programs: \"{LENGTH_CONFIRMED}\": \"{given}\" beside it).",
            doubt.why(),
            doubt.instead(&given)
        );
        wrong.add(format!("attributes[{LENGTH}]"), "range", question);
    }
}
