//! A length that gear of its kind hardly ever has: most often its unit was lost, and "120" stands for centimetres.

use crate::domain::Kind;
use crate::domain::entered::{EnteredLength, LengthUnit};
use crate::domain::rating::doubt::Doubt;

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
