//! A figure that such gear hardly ever has: most often its decimal mark was lost, and "225" is 22.5 kN; or the unit of a
//! length.
//!
//! It is asked about and never refused: whoever says that the maker states just this is believed.

use serde::{Deserialize, Deserializer};

use super::{Gear, RatingDraft, word};
use crate::domain::Model;
use crate::domain::entered::{EnteredForce, EnteredLength, split_number};
use crate::domain::field::ticked;
use crate::rigging::StrengthKind;

/// Why it is asked about a figure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Doubt {
    why: String,
    slip: Slip,
}

/// What most likely went wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Slip {
    /// The decimal mark was lost, and a tenth is meant.
    Mark,
    /// The unit was lost, or it is another slip; the length in the other unit, where that may be meant.
    Unit(Option<String>),
    /// One of two figures that do not go together.
    OfTwo,
}

impl Doubt {
    pub(super) fn of(why: String) -> Self {
        Self {
            why,
            slip: Slip::OfTwo,
        }
    }

    pub(super) fn lost_mark(why: String) -> Self {
        Self {
            why,
            slip: Slip::Mark,
        }
    }

    pub(in crate::domain) fn lost_unit(why: String, meant: Option<EnteredLength>) -> Self {
        Self {
            why,
            slip: Slip::Unit(meant.map(|meant| meant.to_string())),
        }
    }

    pub(in crate::domain) fn slip(why: String) -> Self {
        Self::lost_unit(why, None)
    }

    /// In words.
    pub fn why(&self) -> &str {
        &self.why
    }

    /// What is to be written in the figure's place: "Write 22.5 kN if that is meant".
    pub fn instead(&self, given: &str) -> String {
        match &self.slip {
            Slip::Mark => format!("Write {} if that is meant", tenth(given)),
            Slip::Unit(Some(meant)) => format!("Write {meant} if that is meant"),
            Slip::Unit(None) => "Write another if it is a slip".to_owned(),
            Slip::OfTwo => "Write another if one of the two is a slip".to_owned(),
        }
    }

    /// What is asked where nobody has confirmed the figure.
    pub(in crate::domain) fn asked(&self, given: &str) -> String {
        format!(
            "Is it really {given}? {} {}, or confirm that {given} is what the maker states.",
            self.why,
            self.instead(given)
        )
    }
}

/// A figure of which the decimal mark was lost: "22.5 kN" for 225 kN, "240 kg" for 2400 kg.
pub fn tenth(given: &str) -> String {
    let Some((value, unit)) = split_number(given) else {
        return given.to_owned();
    };
    // The mark is moved as a person moves it: no hair is added.
    let value: f64 = format!("{value}e-1").parse().unwrap_or(f64::NAN);
    format!("{value} {unit}")
}

/// Whether it is said that this very figure is what the maker states: yes, or the figure once more.
pub(in crate::domain) fn confirms(said: &str, given: &str) -> bool {
    ticked(said).unwrap_or_else(|| {
        let read = |text| EnteredForce::read_with_weight(text).ok();
        read(said).is_some() && read(said) == read(given)
    })
}

/// What a program sends beside a figure that is what the maker states.
pub(in crate::domain) const CONFIRMED: &str = "\"confirmed\": true";

impl RatingDraft {
    /// What kind of rating it is; what is not known breaks it.
    fn of(&self) -> StrengthKind {
        self.strength_kind().unwrap_or(StrengthKind::Breaking)
    }

    /// Why its value is one of which it is asked whether such gear really has it; none where it is not.
    pub fn far_out(&self, gear: &Gear) -> Option<Doubt> {
        let force = EnteredForce::read_with_weight(&self.value).ok()?;
        gear.doubt(self.of(), word(&self.mode), force.quantity())
    }

    /// Whether it is said that this very value is what the maker states.
    pub fn is_confirmed(&self) -> bool {
        confirms(&self.confirmed, &self.value)
    }

    /// What is asked of a value that such gear hardly ever has, where nobody said that it is so.
    pub(super) fn doubted(&self, gear: &Gear) -> Option<String> {
        let doubt = self.far_out(gear).filter(|_| !self.is_confirmed())?;
        Some(doubt.asked(self.value.trim()))
    }
}

impl Model {
    /// The figures that such gear hardly ever has and of which somebody said that they are so, in one sentence; empty where
    /// there are none.
    pub fn confirmed(&self) -> String {
        let ratings = self.ratings.iter().filter(|one| one.confirmed);
        let ratings = ratings.map(|one| {
            let (of, mode) = (one.kind.words(), one.mode.words());
            format!("{}, {of}, {mode}", one.value)
        });
        let approvals = self.approvals.iter().filter(|one| one.confirmed);
        let loads = approvals.filter_map(|one| Some((one.rated_load?, one.title())));
        let loads = loads.map(|(load, title)| format!("{load}, rated load by {title}"));
        let all: Vec<String> = ratings.chain(loads).collect();
        if all.is_empty() {
            return String::new();
        }
        format!("Confirmed as the maker states: {}", all.join("; "))
    }
}

/// Reads a tick: `true` and `false` of programs, or what a form sends.
pub(in crate::domain) fn tick<'de, D: Deserializer<'de>>(from: D) -> Result<String, D::Error> {
    #[derive(Deserialize)]
    #[serde(untagged)]
    enum Tick {
        Said(bool),
        Sent(String),
    }
    Ok(match Tick::deserialize(from)? {
        Tick::Said(true) => "yes".to_owned(),
        Tick::Said(false) => String::new(),
        Tick::Sent(text) => text,
    })
}
