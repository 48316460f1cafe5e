//! The forces in a rig in one phase, as the solver answers them.

use serde::Serialize;

use super::{Advantage, Band, Force, LoadingMode, Phase};

/// Every force in one phase. A band runs over all combinations of the given ranges of friction.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Forces {
    /// The phase.
    pub phase: Phase,
    /// What the ropes put on the load: its weight, or what a stuck load or a catch makes of it.
    pub load: Band<Force>,
    /// The pull of the hand that pulls most; `None` while nobody pulls.
    pub hand: Option<Band<Force>>,
    /// Every hand that pulls, by its rope.
    pub hands: Vec<HandPull>,
    /// Load over hand force; `None` unless exactly one hand pulls.
    pub advantage: Option<Band<Advantage>>,
    /// The tension in every part of every rope, from the hand on. A part that is slack in this phase is
    /// left out.
    pub parts: Vec<PartTension>,
    /// The force on every sheave and post.
    pub sheaves: Vec<SheaveForce>,
    /// What pulls on every body that stands still, and on the load.
    pub bodies: Vec<BodyForce>,
    /// The force on every position, once for each way in which it is loaded.
    pub positions: Vec<PositionForce>,
    /// The force along every leg of bridles, lines and tripods.
    pub legs: Vec<LegForce>,
}

/// The pull of one hand.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HandPull {
    /// Key of the rope's position.
    pub rope: String,
    /// The pull.
    pub pull: Band<Force>,
}

/// The force along one leg: a pull in a bridle, a push in a tripod.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LegForce {
    /// What stands on the legs, in words: the anchor, or the item at a position.
    pub of: String,
    /// Number of the leg from 1; 0 for the leg of a tripod that is pushed most.
    pub leg: usize,
    /// How far it stands off the line of the load, in degrees.
    pub off_degrees: f64,
    /// The force along it.
    pub along: Band<Force>,
    /// The part of it that pulls its anchor, or pushes its foot, to the side.
    pub aside: Band<Force>,
}

/// The tension in one part of a rope: a length between two things that the rope meets.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PartTension {
    /// Key of the rope's position.
    pub rope: String,
    /// Number of the part, from 0 at the hand.
    pub part: usize,
    /// What it runs from, on the side of the hand, in words.
    pub from: String,
    /// What it runs to, in words.
    pub to: String,
    /// The tension.
    pub tension: Band<Force>,
}

/// The force on one sheave or post: the vector sum of its two strands.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SheaveForce {
    /// Key of the position.
    pub position: String,
    /// Number of the sheave from 1; 0 for a post.
    pub sheave: u8,
    /// The force.
    pub force: Band<Force>,
}

/// The force that ropes put on a body.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct BodyForce {
    /// Key of the body.
    pub body: String,
    /// The force.
    pub force: Band<Force>,
}

/// The force on a position, loaded in one way.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PositionForce {
    /// Key of the position.
    pub position: String,
    /// How it is loaded.
    pub mode: LoadingMode,
    /// Where on the item, in words.
    pub spot: String,
    /// For a rope's end: the key of the knot.
    pub knot: Option<String>,
    /// The force.
    pub force: Band<Force>,
}

impl Forces {
    /// The force on a position in one mode; the largest if there are several, as two ends of a rope.
    pub fn on(&self, position: &str, mode: LoadingMode) -> Option<Band<Force>> {
        self.positions
            .iter()
            .filter(|force| force.position == position && force.mode == mode)
            .map(|force| force.force)
            .max_by(|a, b| a.high().newtons().total_cmp(&b.high().newtons()))
    }

    /// The force on a body.
    pub fn on_body(&self, body: &str) -> Option<Band<Force>> {
        self.bodies
            .iter()
            .find(|force| force.body == body)
            .map(|force| force.force)
    }
}
