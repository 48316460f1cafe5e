//! The verdict: every part of a fitted rig against the force on it, in every phase.

use serde::Serialize;

use super::gap::Gap;
use super::{
    Advantage, Band, Conditions, Force, Forces, LoadingMode, Outfit, PartStrength, Phase, Rig,
    RopeNeed, SafetyFactor,
};

/// The answer for one rig, fitted with items, under given conditions.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Assessment {
    /// Key of the rig.
    pub rig: String,
    /// Whether every check passes.
    pub passes: bool,
    /// The check with the smallest factor on a breaking strength; `None` if no part has one.
    pub weakest: Option<Weakest>,
    /// How many strands carry the load.
    pub strands_at_load: usize,
    /// Load over hand force without friction.
    pub ideal_advantage: Advantage,
    /// The forces of each phase; frictionless first, then those that are judged.
    pub phases: Vec<Forces>,
    /// Every check of every position in every phase.
    pub checks: Vec<Check>,
    /// People needed to haul, at the pull that the conditions count for each.
    pub haulers: u32,
    /// People needed to hold the rope in lowering, at the same pull.
    pub lowerers: u32,
    /// The rope that the way needs.
    pub rope: RopeNeed,
    /// What makes the result worse than it looks, a sentence each.
    pub warnings: Vec<String>,
    /// What the numbers rest on, a sentence each.
    pub assumptions: Vec<String>,
    /// What no such result can know, a sentence each.
    pub cautions: Vec<String>,
}

/// One strength of one item against the force on it in one phase.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Check {
    /// Key of the position.
    pub position: String,
    /// The position in plain words.
    pub title: String,
    /// The item, as the caller calls it.
    pub item: String,
    /// The phase.
    pub phase: Phase,
    /// How the item is loaded.
    pub mode: LoadingMode,
    /// Where on the item, in words.
    pub spot: String,
    /// The force on it.
    pub force: Band<Force>,
    /// What it holds, with everything that was taken off.
    pub strength: PartStrength,
    /// The comparison.
    pub judged: Judged,
    /// Whether it passes; exactly the limit passes.
    pub passes: bool,
}

/// How a check compares; breaking strengths and limits never mix.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "by")]
pub enum Judged {
    /// A breaking strength by its safety factor; the verdict rests on the low end of the band.
    Factor {
        /// Effective strength over force.
        factor: Band<SafetyFactor>,
        /// What must be reached.
        required: SafetyFactor,
        /// Who asks for it.
        source: String,
    },
    /// A working limit or rated load by what it is held against.
    Limit {
        /// The force that must not exceed the limit.
        against: Force,
        /// What that force is, in words.
        what: String,
    },
}

/// The weakest link.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Weakest {
    /// Key of the position.
    pub position: String,
    /// The position in plain words.
    pub title: String,
    /// The item, as the caller calls it.
    pub item: String,
    /// The phase.
    pub phase: Phase,
    /// How the item is loaded there.
    pub mode: LoadingMode,
    /// Its factor on the worst force.
    pub factor: SafetyFactor,
}

/// Judges a fitted rig under the conditions of a job.
///
/// # Errors
///
/// Everything that is missing, all at once.
pub fn assess(rig: &Rig, outfit: &Outfit, conditions: &Conditions) -> Result<Assessment, Vec<Gap>> {
    let _ = (rig, outfit, conditions);
    todo!("lands next")
}
