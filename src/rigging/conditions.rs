//! What a job asks of a rig: load, weather, the factor that must be met, the way, the crew.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{Force, Length, SafetyFactor};

/// Everything about the job that the answer depends on and that no item knows.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Conditions {
    /// The force of the load: the weight of all that is carried.
    pub load: Force,
    /// Whether the gear may be wet.
    pub wetness: Wetness,
    /// The factor that every part must reach.
    pub required: Requirement,
    /// Positions with a factor of their own, by key.
    pub required_at: BTreeMap<String, Requirement>,
    /// The pull that the team counts for each person.
    pub pull_each: Force,
    /// The way that the load travels.
    pub way: Way,
}

/// Whether the gear may be wet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Wetness {
    /// It stays dry.
    Dry,
    /// It may get wet.
    Wet,
}

/// A safety factor that must be reached, and who asks for it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Requirement {
    /// The factor; a part that has exactly this passes.
    pub factor: SafetyFactor,
    /// The rule, with its source.
    pub source: String,
}

/// The way of the load and the lengths that the rope must cover.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Way {
    /// How far the load is lowered or raised.
    pub depth: Length,
    /// From the edge up to the anchor.
    pub head_gap: Length,
    /// What the blocks and their connectors take off each strand.
    pub block_length: Length,
    /// Rope at the hand, kept free to hold.
    pub tail: Length,
    /// Rope in the knots, the stopper knot among them.
    pub knots: Length,
    /// How far a travelling pulley goes before it is set back. Asked for by rigs that have one.
    pub throw: Option<Length>,
    /// Between two anchors that the same rope visits. Asked for by rigs that have such a part.
    pub between_anchors: Option<Length>,
}
