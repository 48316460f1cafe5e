//! The phases of a rig's work, each with its own forces.

use serde::{Deserialize, Serialize};

/// What is being done with the rig.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Phase {
    /// No friction anywhere: the ideal that others are compared with. Never judged.
    Frictionless,
    /// The crew pulls and the load rises.
    Hauling,
    /// The crew lets out rope and the load sinks.
    Lowering,
    /// The capture holds and the hand is slack, as in a reset. Only rigs with a capture have it.
    Held,
    /// Nothing moves and the hand holds. At each sheave and post by itself friction may stand anywhere
    /// between hauling (not with a rig that only lowers) and lowering, so the split is a band and not a
    /// number; the likely value is the one without friction. So it is while the capture holds.
    AtRest,
    /// The main rope is slack, or has failed, and the belay carries all of the load: nothing moves any more. It is solved
    /// as a catch is, under the load alone.
    OnBelay,
    /// The load is stuck and the crew pulls with all it has.
    StuckLoad,
    /// A rope has failed and another catches the load. It is pulled towards the load: a brake rubs as in
    /// lowering, a sheave on the way likely so too, or at its worst not at all.
    BelayCatch,
}

impl Phase {
    /// The phases of work as planned, in the order in which they are told. Every verdict rests on them.
    pub const JUDGED: [Self; 5] = [
        Self::Hauling,
        Self::Lowering,
        Self::Held,
        Self::AtRest,
        Self::OnBelay,
    ];
    /// What may happen besides. The verdict rests on them where the job gives their numbers.
    pub const EXCEPTIONAL: [Self; 2] = [Self::StuckLoad, Self::BelayCatch];

    /// Whether it is no work as planned.
    pub fn is_exceptional(self) -> bool {
        Self::EXCEPTIONAL.contains(&self)
    }

    /// Whether another rope than the main one holds the load.
    pub fn is_held_by_another(self) -> bool {
        matches!(self, Self::OnBelay | Self::BelayCatch)
    }

    /// The word that files and addresses use; the same as its serialized form.
    pub fn key(self) -> &'static str {
        match self {
            Self::Frictionless => "frictionless",
            Self::Hauling => "hauling",
            Self::Lowering => "lowering",
            Self::Held => "held",
            Self::AtRest => "at-rest",
            Self::OnBelay => "on-belay",
            Self::StuckLoad => "stuck-load",
            Self::BelayCatch => "belay-catch",
        }
    }

    /// The phase in words, to stand in a sentence: "a factor of 9.8 while hauling".
    pub fn words(self) -> &'static str {
        match self {
            Self::Frictionless => "without friction",
            Self::Hauling => "while hauling",
            Self::Lowering => "while lowering",
            Self::Held => "held by the capture",
            Self::AtRest => "at rest",
            Self::OnBelay => "at rest on the belay",
            Self::StuckLoad => "with the load stuck",
            Self::BelayCatch => "in a catch",
        }
    }
}
