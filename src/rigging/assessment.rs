//! The answer for a fitted rig.

use serde::Serialize;

use super::{
    Advantage, Arrest, Band, Fitted, Force, Forces, LoadingMode, PartStrength, Phase, Position,
    PositionForce, Remedies, RopeNeed, SafetyFactor,
};

/// What is left open where a belay is not judged.
pub const BELAY_OPEN: &str = "the belay is not judged";
/// What is left open where a belay is judged at rest alone.
pub const FALL_OPEN: &str = "a fall into the belay is not judged";
/// What is left open where the catch of one of two ropes that share the load is not judged.
pub const CATCH_OPEN: &str = "whether one rope catches the load alone is not judged";

/// The answer for one rig, fitted with items, under given conditions.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Assessment {
    /// Key of the rig.
    pub rig: String,
    /// Whether every check passes. It says nothing of what is `unjudged`.
    pub passes: bool,
    /// What is left open beside the checks, in a few words: [`BELAY_OPEN`] or [`CATCH_OPEN`]; none where nothing is.
    pub open: Option<String>,
    /// What a catch loads and nothing judges, one a position.
    pub unjudged: Vec<Unjudged>,
    /// What is judged by no number, since its approval stands in the place of a rating.
    pub by_approval: Vec<ByApproval>,
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
    /// The catch, where the job asks for it.
    pub catch: Option<Arrest>,
    /// What would have to change for every check to pass; nothing where all pass.
    pub remedies: Remedies,
    /// What makes the result worse than it looks, a sentence each.
    pub warnings: Vec<String>,
    /// What the numbers rest on, a sentence each.
    pub assumptions: Vec<String>,
    /// What no such result can know, a sentence each.
    pub cautions: Vec<String>,
}

/// An item that a catch or a stuck load pulls on and that is not judged there, and why.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Unjudged {
    /// Key of the position.
    pub position: String,
    /// The position in plain words.
    pub title: String,
    /// The item, as the caller calls it.
    pub item: String,
    /// The catch, or the load stuck.
    pub phase: Phase,
    /// The force in it and what the item holds of it; none where no catch is planned.
    pub caught: Option<Caught>,
}

/// An item that is judged by no number.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ByApproval {
    /// Key of the position.
    pub position: String,
    /// The position in plain words.
    pub title: String,
    /// The item, as the caller calls it.
    pub item: String,
    /// The approval that stands in the place of a rating.
    pub approval: String,
}

/// A force in a catch, or with the load stuck, beside a breaking strength.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Caught {
    /// The force on the item.
    pub force: Band<Force>,
    /// What it holds, with everything that was taken off; none where only the load is known that may be carried with it,
    /// which says nothing of the peak.
    pub strength: Option<PartStrength>,
}

impl Assessment {
    /// What a catch or a stuck load pulls on and of which only the load is known that it may carry, a few words each:
    /// "harness W-1 is not judged by a number in a catch". What leaves the whole catch open is not among it.
    pub fn of_load_alone(&self) -> impl Iterator<Item = String> {
        let is_open = self.open.is_some();
        let alone = self.unjudged.iter().filter(|one| one.is_of_load_alone());
        let alone = alone.filter(move |one| !is_open || one.phase != Phase::BelayCatch);
        alone.map(|one| {
            format!(
                "{} is not judged by a number {}",
                one.item,
                one.phase.words()
            )
        })
    }
}

impl Unjudged {
    /// Where no catch is planned.
    pub(super) fn without_a_catch(position: &Position, item: &Fitted) -> Self {
        Self {
            position: position.key().to_owned(),
            title: position.title().to_owned(),
            item: item.label.clone(),
            phase: Phase::BelayCatch,
            caught: None,
        }
    }

    /// Where no factor for the catch is set, or no strength is known that a factor could be held against.
    pub(super) fn at(
        position: &Position,
        item: &Fitted,
        (phase, on): (Phase, &PositionForce),
        strength: Option<&PartStrength>,
    ) -> Self {
        Self {
            phase,
            caught: Some(Caught {
                force: on.force,
                strength: strength.cloned(),
            }),
            ..Self::without_a_catch(position, item)
        }
    }

    /// Whether all that is known of the item is the load that may be carried with it.
    pub fn is_of_load_alone(&self) -> bool {
        let caught = self.caught.as_ref();
        caught.is_some_and(|caught| caught.strength.is_none())
    }

    /// How many times the highest force the item holds; none where no catch is planned or no strength is known.
    pub fn times(&self) -> Option<f64> {
        let caught = self.caught.as_ref()?;
        let strength = caught.strength.as_ref()?;
        Some(strength.effective.newtons() / caught.force.high().newtons())
    }
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
    /// A breaking strength by its safety factor.
    Factor {
        /// Effective strength over the worst force. The verdict rests on it.
        factor: SafetyFactor,
        /// Effective strength over the likely force; `None` if that force is nothing.
        likely: Option<SafetyFactor>,
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
    /// Where on the item, in words.
    pub spot: String,
    /// Its factor on the worst force.
    pub factor: SafetyFactor,
}

impl Assessment {
    /// The forces of one phase; `None` if the rig does not have that phase.
    pub fn forces(&self, phase: Phase) -> Option<&Forces> {
        self.phases.iter().find(|forces| forces.phase == phase)
    }

    /// The checks that fail.
    pub fn failing(&self) -> impl Iterator<Item = &Check> {
        self.checks.iter().filter(|check| !check.passes)
    }

    /// The check of a position with the least room: its strength over what is asked of it.
    pub fn worst_of(&self, position: &str) -> Option<&Check> {
        let checks = self
            .checks
            .iter()
            .filter(|check| check.position == position);
        checks.min_by(|a, b| a.room().total_cmp(&b.room()))
    }
}

impl Check {
    /// The factor on the worst force, for a breaking strength.
    pub fn factor(&self) -> Option<SafetyFactor> {
        match &self.judged {
            Judged::Factor { factor, .. } => Some(*factor),
            Judged::Limit { .. } => None,
        }
    }

    /// The factor that is asked for, of a breaking strength.
    pub fn required(&self) -> Option<SafetyFactor> {
        match self.judged {
            Judged::Factor { required, .. } => Some(required),
            Judged::Limit { .. } => None,
        }
    }

    /// How much room is left: strength over what is asked of it. Below one it fails.
    pub fn room(&self) -> f64 {
        match &self.judged {
            Judged::Factor {
                factor, required, ..
            } => factor.ratio() / required.ratio(),
            Judged::Limit { against, .. } => self.strength.effective.newtons() / against.newtons(),
        }
    }
}
