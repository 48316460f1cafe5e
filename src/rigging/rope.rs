//! Ropes and what they meet.

use serde::{Deserialize, Serialize};

use super::Angle;

/// One rope and its way through the rig.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Rope {
    pub(super) position: usize,
    pub(super) duty: Duty,
    pub(super) path: Vec<Element>,
}

/// What a rope is there for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Duty {
    /// It carries the load, or helps to move it.
    #[default]
    Main,
    /// It stands by, slack, and catches the load if the main rope fails.
    Belay,
    /// One of two that share the load, each with its own hand; each must catch it alone.
    Twin,
}

/// One thing that a rope meets on its way from the hand to its dead end.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "meets")]
pub enum Element {
    /// The crew's hands. Only as the first element.
    Hand,
    /// A sheave of the item at a position.
    Sheave {
        /// Index of the position.
        position: usize,
        /// Which sheave of the item, from 1.
        sheave: u8,
        /// The angle between the two strands; nothing if they are parallel.
        between: Angle,
        /// Whether this is the sheave at which the rope is captured.
        capture: bool,
    },
    /// A post, bar or brake at a position that the rope rubs round.
    Post {
        /// Index of the position.
        position: usize,
        /// How far the rope goes round it.
        wrap: Angle,
        /// Whether the rope is taken off it for hauling.
        off_in_hauling: bool,
    },
    /// A rope clamp on a body that lets the rope pass one way and holds it the other.
    Capture {
        /// Index of the position of the clamp.
        position: usize,
    },
    /// A rope grab that ties the rope to the body it is part of.
    Grab {
        /// Index of the position of the grab.
        position: usize,
    },
    /// A made end, tied to a body or to the item at a position.
    End {
        /// Index of the body that takes the force.
        body: usize,
        /// The position that the end is tied to, if it is one.
        position: Option<usize>,
        /// Whether it is tied to the becket of that position.
        becket: bool,
        /// Key of the knot, see [`knots`](super::knots).
        knot: String,
    },
}

impl Element {
    /// The position of the item that the rope meets here, if there is one.
    pub fn position(&self) -> Option<usize> {
        match *self {
            Self::Hand => None,
            Self::Sheave { position, .. }
            | Self::Post { position, .. }
            | Self::Capture { position }
            | Self::Grab { position } => Some(position),
            Self::End { position, .. } => position,
        }
    }
}

impl Rope {
    /// Index of the position that the rope itself fills.
    pub fn position(&self) -> usize {
        self.position
    }

    /// What it is there for.
    pub fn duty(&self) -> Duty {
        self.duty
    }

    /// What it meets, from the hand to the dead end.
    pub fn path(&self) -> &[Element] {
        &self.path
    }
}
