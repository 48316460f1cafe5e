//! The forces in a rig in one phase, as the solver answers them.

use serde::Serialize;

use super::{Advantage, Band, Force, LoadingMode, Phase};

/// Every force in one phase. A band runs over all combinations of the given ranges of friction.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Forces {
    /// The phase.
    pub phase: Phase,
    /// The force of the load.
    pub load: Force,
    /// The pull of the crew; `None` while the capture holds.
    pub hand: Option<Band<Force>>,
    /// Load over hand force; `None` while the capture holds.
    pub advantage: Option<Band<Advantage>>,
    /// The tension in every part of every rope, from the hand on. A part that is slack while the
    /// capture holds is left out.
    pub parts: Vec<PartTension>,
    /// The force on every sheave and post.
    pub sheaves: Vec<SheaveForce>,
    /// What pulls on every body that stands still, and on the load.
    pub bodies: Vec<BodyForce>,
    /// The force on every position, once for each way in which it is loaded.
    pub positions: Vec<PositionForce>,
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
