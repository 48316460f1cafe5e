//! A figure that such gear hardly ever has: most often its decimal mark was lost, and "225" is 22.5 kN.
//!
//! It is asked about and never refused: whoever says that the maker states just this is believed.

use serde::{Deserialize, Deserializer};

use super::RatingDraft;
use crate::domain::entered::{EnteredForce, split_number};
use crate::domain::field::ticked;
use crate::domain::{Kind, Model};
use crate::rigging::{Force, LoadingMode, StrengthKind, digits};

/// What people hang on by rope breaks below this, in kilonewtons. Common practice, no source.
const BREAKING: f64 = 100.0;
/// What stands on the ground or is fixed in it: usual figures end at about 40 kN, and this is twice that. Common practice,
/// no source.
const BREAKING_OF_ANCHORS: f64 = 80.0;
/// What may be carried by the rest: what breaks it, divided by the smallest factor in use for gear that people hang on, 5.
/// Common practice, no source.
const CARRYING: f64 = BREAKING / 5.0;
/// The same of what stands or is fixed: a quarter of where its usual figures end. Common practice, no source.
const CARRYING_BY_ANCHORS: f64 = 10.0;
/// The same of what one or two people hang on: some 300 kg in use, and well below ten times the least, 100 kg. Common
/// practice, no source.
const CARRYING_PEOPLE: f64 = 8.0;

impl Kind {
    /// What gear of this kind has at most as a rule, in kilonewtons: a strength that breaks it, or what it may carry.
    fn most(self, of: StrengthKind) -> f64 {
        let is_anchor = matches!(self, Self::Tripod | Self::AnchorDevice);
        match (of, self) {
            (StrengthKind::Breaking, _) if is_anchor => BREAKING_OF_ANCHORS,
            (StrengthKind::Breaking, _) => BREAKING,
            _ if is_anchor => CARRYING_BY_ANCHORS,
            (
                _,
                Self::Harness
                | Self::Lanyard
                | Self::Descender
                | Self::BackUpDevice
                | Self::RopeClamp,
            ) => CARRYING_PEOPLE,
            _ => CARRYING,
        }
    }

    /// Whether nobody takes this of such gear without asking.
    pub fn doubts(self, of: StrengthKind, force: Force) -> bool {
        force.kilonewtons() > self.most(of)
    }

    /// Why it is asked.
    pub fn doubt(self, of: StrengthKind) -> String {
        why(of, self.most(of))
    }
}

/// Why a figure is asked about where nobody knows of which kind the gear is; none where gear that is loaded so may have it.
pub fn doubt_of_any((mode, of): (LoadingMode, StrengthKind), force: Force) -> Option<String> {
    let kinds = Kind::ALL.iter();
    let kinds = kinds.filter(|kind| kind.modes().contains(&mode));
    let most = kinds.map(|kind| kind.most(of)).fold(0.0, f64::max);
    (force.kilonewtons() > most).then(|| why(of, most))
}

fn why(of: StrengthKind, most: f64) -> String {
    let lost = "and a decimal mark that was lost makes it ten times too strong.";
    if of == StrengthKind::Breaking {
        return format!("Such gear seldom holds more than {most} kN, {lost}");
    }
    let mass = Force::from_kilonewtons(most).map(Force::kilograms_force);
    let mass = mass.map_or_else(|_| String::new(), |mass| digits(mass, 3));
    format!(
        "The {} of such gear is seldom above {most} kN, the weight of {mass} kg, {lost}",
        of.words()
    )
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

/// What is said where nobody has confirmed a figure that such gear hardly ever has.
pub(in crate::domain) fn asked(given: &str, why: &str) -> String {
    format!(
        "Is it really {given}? {why} Write {} if that is meant, or confirm that {given} is what the maker states (programs: \"confirmed\": true beside it).",
        tenth(given)
    )
}

/// Whether it is said that this very figure is what the maker states: yes, or the figure once more.
pub(in crate::domain) fn confirms(said: &str, given: &str) -> bool {
    ticked(said).unwrap_or_else(|| {
        let read = |text| EnteredForce::read_with_weight(text).ok();
        read(said).is_some() && read(said) == read(given)
    })
}

impl RatingDraft {
    /// What kind of rating it is; what is not known breaks it.
    fn of(&self) -> StrengthKind {
        self.strength_kind().unwrap_or(StrengthKind::Breaking)
    }

    /// The value, if it is one of which it is asked whether such gear really has it.
    pub fn far_out(&self, kind: Kind) -> Option<EnteredForce> {
        let force = EnteredForce::read_with_weight(&self.value).ok()?;
        kind.doubts(self.of(), force.quantity()).then_some(force)
    }

    /// Whether it is said that this very value is what the maker states.
    pub fn is_confirmed(&self) -> bool {
        confirms(&self.confirmed, &self.value)
    }

    /// What is asked of a value that such gear hardly ever has, where nobody said that it is so.
    pub(super) fn doubted(&self, kind: Kind) -> Option<String> {
        self.far_out(kind).filter(|_| !self.is_confirmed())?;
        Some(asked(self.value.trim(), &kind.doubt(self.of())))
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
