//! What a job asks of a rig: load, weather, the factor that must be met, the way, the crew.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{Force, Length, Mass, SafetyFactor, Speed};

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
    /// Whether the team takes a line across a span into its own hands. Without it such a rig is refused.
    #[serde(default)]
    pub line_accepted: bool,
    /// What may go wrong, and shall be judged too.
    #[serde(default)]
    pub exceptional: Exceptional,
}

/// The numbers of what may go wrong. What is not given is not judged.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Exceptional {
    /// The factor for these phases; the usual one if there is none.
    pub required: Option<Requirement>,
    /// The factor for a catch where the plan sets none of its own.
    #[serde(default)]
    pub in_a_catch: Option<Requirement>,
    /// The load is stuck and the crew pulls with this.
    pub stuck_pull: Option<Force>,
    /// A rope fails and another catches the load.
    pub catch: Option<Catch>,
    /// The belay leaves its head further aside than the rig counts with, or nobody can tell that it does not: it is not
    /// judged then, neither at rest nor in a catch.
    pub belay_aside: bool,
}

/// The fall that a belay stops.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Catch {
    /// How far the load drops before the rope is tight.
    pub slack: Length,
    /// The rope that stretches: from the device to the load.
    pub in_play: Length,
    /// The force that would stretch the rope to twice its length.
    pub modulus: Force,
    /// How the modulus is known.
    pub modulus_source: String,
    /// The most that a body may be stopped with, if somebody says.
    pub limit: Option<ArrestLimit>,
}

/// The most that a body may be stopped with, and who says so.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ArrestLimit {
    /// The force.
    pub force: Force,
    /// The rule, with its source.
    pub source: String,
    /// What one body weighs, who takes its share of the peak; without it the whole load is one body.
    #[serde(default)]
    pub body: Option<Mass>,
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
    /// Between two anchors that the same rope visits, straight along the rope. It sets the rope's length, no angle. Asked for by rigs that have such a part.
    pub between_anchors: Option<Length>,
    /// How fast rope goes through the hands, if the team counts with a speed.
    #[serde(default)]
    pub hand_speed: Option<Speed>,
}
