//! A kit as a file of our own: what hangs at each position of a rig, and what the job asks of it. TOML.
//!
//! Every quantity is a text with its unit, as a person writes it: `"22 kN"`, `"150 kg"`, `"12 m"`.
//! Shares, factors and coefficients are plain numbers. [`KIT_EXAMPLE`] shows every field.

mod fitted;

use std::collections::BTreeMap;

use serde::{Deserialize, Deserializer, de::Error as _};

use super::Kind;
use super::entered::{
    EnteredError, EnteredForce, EnteredLength, EnteredMass, MassUnit, split_number,
};
use crate::rigging::{
    ArrestLimit, Catch, Conditions, Exceptional, Force, Length, Mark, Mass, Outfit, Requirement,
    Rig, Speed, Way, Wetness,
};
use fitted::FittedSheet;

/// A kit for the shipped rig `three-to-one`, with a word on every field.
pub const KIT_EXAMPLE: &str = include_str!("kit_file.toml");

/// What a kit file says.
#[derive(Clone, Debug, PartialEq)]
pub struct KitFile {
    /// What the job asks.
    pub conditions: Conditions,
    /// What hangs where, its labels and sources in the words of the file.
    pub outfit: Outfit,
}

/// Why a text is no kit.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{}{why}", spot(*mark))]
pub struct KitFileError {
    /// Where reading stopped.
    pub mark: Option<Mark>,
    /// What was met there.
    pub why: String,
}

fn spot(mark: Option<Mark>) -> String {
    mark.map_or_else(String::new, |Mark { line, column }| {
        format!("line {line}, column {column}: ")
    })
}

impl KitFile {
    /// Reads a kit.
    ///
    /// # Errors
    /// Where reading stopped, and why.
    pub fn parse(text: &str) -> Result<Self, KitFileError> {
        Self::read(text, |_| Vec::new())
    }

    /// Reads a kit for a rig, whose positions say of which kinds the gear is.
    ///
    /// # Errors
    /// As [`parse`](Self::parse).
    pub fn parse_for(rig: &Rig, text: &str) -> Result<Self, KitFileError> {
        Self::read(text, |key| {
            let mut positions = rig.positions().iter();
            let position = positions.find(|position| position.key() == key);
            let accepts = position.into_iter().flat_map(|position| position.accepts());
            accepts.filter_map(|word| Kind::from_word(word)).collect()
        })
    }

    fn read(text: &str, kinds: impl Fn(&str) -> Vec<Kind>) -> Result<Self, KitFileError> {
        let sheet: KitSheet = toml::from_str(text).map_err(|error| KitFileError {
            mark: error.span().map(|span| Mark::of(text, span.start)),
            why: error.message().to_owned(),
        })?;
        sheet
            .conditions
            .check()
            .map_err(|why| KitFileError { mark: None, why })?;
        let mut outfit = Outfit::default();
        for (position, item) in sheet.position {
            item.check(&kinds(&position)).map_err(|why| KitFileError {
                mark: None,
                why: format!("position {position}: {why}"),
            })?;
            outfit.fit(position, item.fitted());
        }
        Ok(Self {
            conditions: sheet.conditions.conditions(),
            outfit,
        })
    }
}

/// Reads what hangs on the rope: a mass, whose weight it is, or a force.
///
/// # Errors
/// What is neither.
pub fn read_weight(text: &str) -> Result<Force, EnteredError> {
    let unit = split_number(text).map_or("", |(_, unit)| unit);
    if MassUnit::from_symbol(unit).is_some() {
        return EnteredMass::read_load(text).map(|mass| mass.quantity().weight());
    }
    match EnteredForce::read(text, None) {
        Ok(force) => Ok(force.quantity()),
        Err(EnteredError::Unit { unit, .. }) => Err(EnteredError::Unit {
            units: FORCE_OR_MASS,
            unit,
        }),
        Err(EnteredError::NoUnit { given, .. }) => Err(EnteredError::NoUnit {
            units: FORCE_OR_MASS,
            given,
        }),
        Err(other) => Err(other),
    }
}

/// The least that hangs on a rope, in kilograms: less is a slip, as in the plan of a job. Common practice, no source.
const LEAST_LOAD: f64 = 1.0;

/// The most, in kilograms, as in the plan of a job.
const MOST_LOAD: f64 = 2000.0;

/// Refuses a load that is next to nothing, and one that no rig is planned for.
///
/// # Errors
/// A sentence with the limit and what was given.
pub fn keep_load(load: Force, given: &str) -> Result<Force, String> {
    let mass = load.kilograms_force();
    let bound = if mass < LEAST_LOAD * (1.0 - 1e-9) {
        format!("least the weight of {LEAST_LOAD} kg")
    } else if mass > MOST_LOAD * (1.0 + 1e-9) {
        format!("most the weight of {MOST_LOAD} kg")
    } else {
        return Ok(load);
    };
    let given = given.trim();
    Err(format!("The load must be at {bound}, not {given}."))
}

/// The units of what hangs on the rope, in words.
const FORCE_OR_MASS: &str = "kN, daN, N, lbf, kgf, kg or lb";

/// A quantity that is written as a text with its unit.
struct Written<T>(T);

/// How a quantity is read from its text.
trait Read: Sized {
    fn read(text: &str) -> Result<Self, EnteredError>;
}

/// A force, or the weight of a mass; whether it was written as a mass; and as it was written.
struct Weight(Force, bool, String);

impl Read for Weight {
    fn read(text: &str) -> Result<Self, EnteredError> {
        let is_force = EnteredForce::read(text, None).is_ok();
        read_weight(text).map(|weight| Self(weight, !is_force, text.trim().to_owned()))
    }
}

impl Read for Force {
    fn read(text: &str) -> Result<Self, EnteredError> {
        EnteredForce::read(text, None).map(EnteredForce::quantity)
    }
}

impl Read for Mass {
    fn read(text: &str) -> Result<Self, EnteredError> {
        EnteredMass::read(text, None).map(EnteredMass::quantity)
    }
}

impl Read for Length {
    fn read(text: &str) -> Result<Self, EnteredError> {
        EnteredLength::read_planned(text).map(EnteredLength::quantity)
    }
}

impl<'de, T: Read> Deserialize<'de> for Written<T> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let text = String::deserialize(from)?;
        T::read(&text).map(Self).map_err(D::Error::custom)
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct KitSheet {
    conditions: ConditionsSheet,
    #[serde(default)]
    position: BTreeMap<String, FittedSheet>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ConditionsSheet {
    load: Written<Weight>,
    #[serde(default)]
    wet: bool,
    required: Requirement,
    #[serde(default)]
    required_at: BTreeMap<String, Requirement>,
    pull_each: Written<Force>,
    depth: Written<Length>,
    head_gap: Written<Length>,
    block_length: Written<Length>,
    tail: Written<Length>,
    knots: Written<Length>,
    throw: Option<Written<Length>>,
    between_anchors: Option<Written<Length>>,
    hand_metres_per_second: Option<Speed>,
    #[serde(default)]
    line_accepted: bool,
    exceptional_required: Option<Requirement>,
    stuck_pull: Option<Written<Force>>,
    catch: Option<CatchSheet>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct CatchSheet {
    slack: Written<Length>,
    in_play: Written<Length>,
    modulus: Written<Force>,
    modulus_source: String,
    limit: Option<LimitSheet>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LimitSheet {
    force: Written<Force>,
    source: String,
    body: Option<Written<Mass>>,
}

impl ConditionsSheet {
    /// What nobody plans with: a load of nothing, and a factor below 1, with which the part breaks as planned.
    fn check(&self) -> Result<(), String> {
        let Weight(load, _, given) = &self.load.0;
        keep_load(*load, given).map_err(|why| format!("conditions.load: {why}"))?;
        let named = |name: &str, asked: &Requirement| (format!("conditions.{name}"), asked.factor);
        let positions = self.required_at.iter();
        let positions =
            positions.map(|(position, asked)| named(&format!("required_at.{position}"), asked));
        let exceptional = self.exceptional_required.iter();
        let exceptional = exceptional.map(|asked| named("exceptional_required", asked));
        let all = [named("required", &self.required)].into_iter();
        let mut all = all.chain(positions).chain(exceptional);
        match all.find(|(_, factor)| factor.ratio() < 1.0) {
            Some((field, factor)) => Err(format!(
                "{field}: The factor must be at least 1, not {}: below 1 the part breaks as planned.",
                factor.ratio()
            )),
            None => Ok(()),
        }
    }

    fn conditions(self) -> Conditions {
        Conditions {
            load: self.load.0.0,
            wetness: if self.wet { Wetness::Wet } else { Wetness::Dry },
            required: self.required,
            required_at: self.required_at,
            pull_each: self.pull_each.0,
            way: Way {
                depth: self.depth.0,
                head_gap: self.head_gap.0,
                block_length: self.block_length.0,
                tail: self.tail.0,
                knots: self.knots.0,
                throw: self.throw.map(|length| length.0),
                between_anchors: self.between_anchors.map(|length| length.0),
                hand_speed: self.hand_metres_per_second,
            },
            line_accepted: self.line_accepted,
            exceptional: Exceptional {
                required: self.exceptional_required,
                in_a_catch: None,
                stuck_pull: self.stuck_pull.map(|pull| pull.0),
                catch: self.catch.map(CatchSheet::catch),
                // The rig says that, which a kit does not know.
                belay_aside: false,
            },
        }
    }
}

impl CatchSheet {
    fn catch(self) -> Catch {
        Catch {
            slack: self.slack.0,
            in_play: self.in_play.0,
            modulus: self.modulus.0,
            modulus_source: self.modulus_source,
            limit: self.limit.map(|limit| ArrestLimit {
                force: limit.force.0,
                source: limit.source,
                body: limit.body.map(|mass| mass.0),
            }),
        }
    }
}
