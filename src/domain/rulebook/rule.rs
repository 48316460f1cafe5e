//! The rules of a rulebook that are neither an approval nor a minimum strength.

use serde::{Deserialize, Serialize};

use super::kept::{Ends, Paper};
use crate::domain::entered::{EnteredForce, EnteredLength, EnteredMass};
use crate::domain::{Cited, Kind, Material, key_of};
use crate::rigging::SafetyFactor;

/// The mass of one person with kit, as planned with.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PersonMass {
    /// The mass.
    pub mass: EnteredMass,
    /// Why this mass.
    pub reason: String,
    /// Where it is from.
    pub from: Cited,
}

/// The factor that every breaking strength must reach over the force on it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Factor {
    /// The factor; exactly it passes.
    pub value: SafetyFactor,
    /// Why this factor.
    pub reason: String,
    /// Where it is from.
    pub from: Cited,
}

/// How working limits and rated loads are judged, which have a factor of the maker's inside them.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LimitRule {
    /// The rule in words.
    pub rule: String,
    /// Where it is from.
    pub from: Cited,
}

/// Something that must be known of an item before it may hold a person.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Mark {
    /// The maker's serial.
    Serial,
    /// The maker's serial or lot; the team's own mark tells items of one lot apart.
    SerialOrLot,
    /// When it was made.
    Made,
    /// Markings that can be read.
    Markings,
}

impl Mark {
    /// All marks.
    pub const ALL: [Self; 4] = [Self::Serial, Self::SerialOrLot, Self::Made, Self::Markings];

    /// The words for people.
    pub fn words(self) -> &'static str {
        match self {
            Self::Serial => "the serial",
            Self::SerialOrLot => "the serial or the lot",
            Self::Made => "when it was made",
            Self::Markings => "readable markings",
        }
    }
}

impl Identity {
    /// Whether it asks for a mark, or for one that says more.
    pub fn covers(&self, mark: Mark) -> bool {
        self.asks.contains(&mark) || mark == Mark::SerialOrLot && self.asks.contains(&Mark::Serial)
    }

    /// What must be known, in words.
    pub fn words(&self) -> String {
        let words: Vec<&str> = self.asks.iter().map(|mark| mark.words()).collect();
        words.join(", ")
    }
}

/// What must be known of every item.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Identity {
    /// What must be known.
    pub asks: Vec<Mark>,
    /// Where the rule is from.
    pub from: Cited,
}

/// The longest way down that is planned without saying why; a job that goes deeper is told so.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DepthLimit {
    /// The depth, as printed.
    pub at_most: EnteredLength,
    /// The same in another unit, as printed beside it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub or_printed: Option<EnteredLength>,
    /// What is asked of a job that goes deeper.
    pub rule: String,
    /// Where it is from.
    pub from: Cited,
}

impl DepthLimit {
    /// Whether a depth is no deeper; held against the number that is printed in its own unit where
    /// there is one.
    pub fn holds(&self, depth: EnteredLength) -> bool {
        let beside = self
            .or_printed
            .filter(|beside| beside.unit() == depth.unit());
        depth.quantity() <= beside.unwrap_or(self.at_most).quantity()
    }
}

/// The most that a person may be stopped with when a rope catches; held against the catch that a job plans.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ArrestRule {
    /// The force on one person, as printed.
    pub at_most: EnteredForce,
    /// The same in another unit, as printed beside it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub or_printed: Option<EnteredForce>,
    /// Why this force.
    pub reason: String,
    /// Where it is from.
    pub from: Cited,
}

/// The longest time between thorough examinations.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Interval {
    /// Which gear it is for, in a few words; no two intervals of a rulebook say the same.
    pub of: String,
    /// Calendar months.
    pub months: u16,
    /// The kinds that it binds; empty is all.
    #[serde(default)]
    pub kinds: Vec<Kind>,
    /// Only what is made of this.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub material: Option<Material>,
    /// Only for hard use: it binds an item whose record says so.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub harsh: bool,
    /// Where it is from.
    pub from: Cited,
}

impl Interval {
    /// Which gear it is for, in words.
    pub fn scope(&self) -> String {
        let harsh = if self.harsh { " in hard use" } else { "" };
        format!("{}{harsh}", scope(&self.kinds, self.material))
    }

    /// Whether it binds gear of this kind and material, in usual use or in arduous use. What is used beside the rig is
    /// bound where it is named.
    pub fn binds(&self, kind: Kind, material: Material, arduous: bool) -> bool {
        let named = !kind.is_beside_the_rig() || self.kinds.contains(&kind);
        named && (arduous || !self.harsh) && speaks(&self.kinds, self.material, kind, material)
    }
}

/// Which gear a rule is for, in words: "every kind", "rope, sling of textile".
fn scope(kinds: &[Kind], material: Option<Material>) -> String {
    let words: Vec<&str> = kinds.iter().map(|kind| kind.word()).collect();
    let kinds = if words.is_empty() {
        "every kind".to_owned()
    } else {
        words.join(", ")
    };
    match material {
        None => kinds,
        Some(material) => format!("{kinds} of {}", material.key()),
    }
}

/// Whether a rule for these kinds (none is all) of this material (none is any) speaks of a thing.
fn speaks(kinds: &[Kind], made_of: Option<Material>, kind: Kind, material: Material) -> bool {
    (kinds.is_empty() || kinds.contains(&kind)) && made_of.is_none_or(|made_of| made_of == material)
}

/// From when years of life are counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LifeFrom {
    /// The day it was made.
    Made,
    /// The day of its first use; before that the years have not begun.
    FirstUse,
}

/// Whether a rule on life counts beside the maker's own limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LifeBinds {
    /// Only where the maker says nothing.
    MakerSilent,
    /// Whatever the maker says; the earlier day counts.
    Always,
}

/// How long gear lives.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LifeRule {
    /// Which gear it is for, in a few words; no two of a rulebook say the same.
    pub of: String,
    /// The kinds that it binds; empty is all.
    #[serde(default)]
    pub kinds: Vec<Kind>,
    /// Only what is made of this.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub material: Option<Material>,
    /// Whether it counts beside the maker's own limit.
    pub binds: LifeBinds,
    /// From when the years are counted.
    pub counts_from: LifeFrom,
    /// The years; none is by its condition.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub years: Option<u16>,
    /// Where it is from.
    pub from: Cited,
}

impl LifeRule {
    /// Which gear it is for and how it binds, in words.
    pub fn scope(&self) -> String {
        let binds = match self.binds {
            LifeBinds::MakerSilent => "where the maker sets no limit",
            LifeBinds::Always => "whatever the maker says",
        };
        let from = match self.counts_from {
            LifeFrom::Made => "from the day made",
            LifeFrom::FirstUse => "from the first use",
        };
        format!("{}, {from}, {binds}", scope(&self.kinds, self.material))
    }

    /// Whether it speaks of gear of this kind and material.
    pub fn speaks_of(&self, kind: Kind, material: Material) -> bool {
        speaks(&self.kinds, self.material, kind, material)
    }
}

/// When a look is asked for that no interval sets.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LookWhen {
    /// Before each use.
    EachUse,
    /// Before the first use in each work shift.
    EachShift,
    /// After something out of the ordinary.
    AfterEvent,
}

impl LookWhen {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::EachUse, Self::EachShift, Self::AfterEvent];

    /// The words for people.
    pub fn words(self) -> &'static str {
        match self {
            Self::EachUse => "before each use",
            Self::EachShift => "before the first use in each work shift",
            Self::AfterEvent => "after something out of the ordinary",
        }
    }
}

/// A look that is asked for beside the thorough examinations; for people to do.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Look {
    /// At what, in a few words; no two looks of a rulebook at one time say the same.
    pub of: String,
    /// When.
    pub when: LookWhen,
    /// Whether it must be written down.
    pub written: bool,
    /// What is looked at and what follows, in words of our own.
    pub says: String,
    /// Where it is from.
    pub from: Cited,
}

/// How long a paper must be kept. The register deletes nothing, so it keeps all of them.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Retention {
    /// Which paper; no two of a rulebook say the same.
    pub of: String,
    /// Calendar months.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub months: Option<u16>,
    /// Until what; where months stand too, the later of the two counts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub until: Option<String>,
    /// Which record of the register it is; none where the register has none, or cannot tell.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub paper: Option<Paper>,
    /// What ends its keeping: `until`, as the register can tell it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ends: Option<Ends>,
    /// Calendar months more, behind that.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub then_months: Option<u16>,
    /// Where it is from.
    pub from: Cited,
}

impl Retention {
    /// How the register counts it, in words behind `until`; empty where people do.
    pub(super) fn counted(&self) -> String {
        let paper = self.paper.map(|paper| format!(" for {}", key_of(paper)));
        let ends = self
            .ends
            .map(|ends| format!(", counted{}: {}", paper.unwrap_or_default(), ends.words()));
        let then = self
            .then_months
            .map(|months| format!(" and {months} months more"));
        [ends, then].into_iter().flatten().collect()
    }
}
