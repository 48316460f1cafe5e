//! A rig: a reeving written down as bodies, positions, ropes and chains.
//!
//! A *body* is what ropes pull on: an anchor, the load, or something that travels between them. A
//! *position* is a place that needs an item. A *rope* is a path from the hand (or a made end) to its
//! dead end, over sheaves and posts and through grabs. A *chain* is a row of positions in line that
//! carries one body or one device. How many strands carry the load and what the rig gains are worked
//! out from this, never written in it.

use serde::{Deserialize, Serialize};

use super::read::read;
use super::reeving::Reeving;
use super::solve::ideal_advantage;
use super::sum::Target;
use super::{Advantage, Angle, LoadingMode, RigError};

/// A checked rig. Made by [`Rig::parse`] from a sheet, or taken from [`shipped`](super::shipped()).
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Rig {
    pub(super) key: String,
    pub(super) title: String,
    pub(super) when: String,
    pub(super) limits: Vec<String>,
    pub(super) bodies: Vec<Body>,
    pub(super) positions: Vec<Position>,
    pub(super) ropes: Vec<Rope>,
    pub(super) chains: Vec<Chain>,
    #[serde(skip)]
    pub(super) reeving: Reeving,
}

/// The kinds of item that a position may ask for, as records name them.
pub const ITEM_KINDS: [&str; 13] = [
    "rope",
    "pulley",
    "rope clamp",
    "connector",
    "sling",
    "anchor device",
    "tripod",
    "descender",
    "swivel",
    "rigging plate",
    "harness",
    "litter",
    "lanyard",
];

/// What kind of body it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum BodyKind {
    /// Does not move; takes whatever force comes.
    Anchor,
    /// The load; there is exactly one.
    Load,
    /// Moves with the rope: a pulley on a rope grab.
    Travelling,
}

/// Something that ropes pull on. Bodies stand in the order from the top down.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Body {
    pub(super) key: String,
    pub(super) title: String,
    pub(super) kind: BodyKind,
}

/// A place in a rig that needs an item.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Position {
    pub(super) key: String,
    pub(super) title: String,
    pub(super) accepts: Vec<String>,
    pub(super) body: Option<usize>,
    pub(super) sheaves: u8,
    pub(super) becket: bool,
    pub(super) capture: bool,
    pub(super) optional: bool,
    pub(super) loaded: LoadingMode,
}

/// One rope and its way through the rig.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Rope {
    pub(super) position: usize,
    pub(super) path: Vec<Element>,
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

/// Positions in line, each of which takes the whole force of what the chain carries.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Chain {
    pub(super) carries: Carried,
    pub(super) positions: Vec<usize>,
}

/// What a chain carries.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Carried {
    /// A body, with everything that pulls on it.
    Body(usize),
    /// The item at one position.
    Position(usize),
}

impl Rig {
    /// Reads a rig from its sheet.
    ///
    /// # Errors
    ///
    /// Names the place in the sheet that is wrong, and what to do.
    pub fn parse(sheet: &str) -> Result<Self, RigError> {
        read(sheet)
    }

    /// How many strands pull on the load.
    pub fn strands_at_load(&self) -> usize {
        let load = self.reeving.load;
        self.reeving.pulls_on(load).count()
    }

    /// Whether a capture can hold the load with the hand slack.
    pub fn has_capture(&self) -> bool {
        self.reeving.capture.is_some()
    }

    /// Every way in which the item at a position is loaded, each once: how it hangs, and a becket or
    /// a rope's end if there is one. An item needs a rating for each.
    pub fn modes(&self, position: &str) -> Vec<LoadingMode> {
        let index = self
            .positions
            .iter()
            .position(|found| found.key == position);
        index.map_or_else(Vec::new, |index| self.modes_of(index))
    }

    /// As [`modes`](Self::modes), by index.
    pub(super) fn modes_of(&self, index: usize) -> Vec<LoadingMode> {
        let mut modes = Vec::new();
        for sum in &self.reeving.sums {
            if let Target::Position { position, mode, .. } = &sum.on
                && *position == index
                && !modes.contains(mode)
            {
                modes.push(*mode);
            }
        }
        modes
    }

    /// Load over hand force if nothing rubbed.
    pub fn ideal_advantage(&self) -> Result<Advantage, RigError> {
        ideal_advantage(self)
    }

    /// The short name that files and addresses use.
    pub fn key(&self) -> &str {
        &self.key
    }

    /// The name in plain words.
    pub fn title(&self) -> &str {
        &self.title
    }

    /// A sentence on when it is used.
    pub fn when(&self) -> &str {
        &self.when
    }

    /// Its limits, a sentence each.
    pub fn limits(&self) -> &[String] {
        &self.limits
    }

    /// The bodies from the top down.
    pub fn bodies(&self) -> &[Body] {
        &self.bodies
    }

    /// The positions in the order that a kit list shows them.
    pub fn positions(&self) -> &[Position] {
        &self.positions
    }

    /// The position with this key.
    pub fn position(&self, key: &str) -> Option<&Position> {
        self.positions.iter().find(|position| position.key == key)
    }

    /// The ropes.
    pub fn ropes(&self) -> &[Rope] {
        &self.ropes
    }

    /// The chains.
    pub fn chains(&self) -> &[Chain] {
        &self.chains
    }
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

impl Body {
    /// The short name.
    pub fn key(&self) -> &str {
        &self.key
    }

    /// The name in plain words.
    pub fn title(&self) -> &str {
        &self.title
    }

    /// Whether it stands, travels or is the load.
    pub fn kind(&self) -> BodyKind {
        self.kind
    }
}

impl Position {
    /// The short name, unique in the rig.
    pub fn key(&self) -> &str {
        &self.key
    }

    /// The name in plain words.
    pub fn title(&self) -> &str {
        &self.title
    }

    /// The kinds of item that may go here, such as "pulley" or "rope clamp".
    pub fn accepts(&self) -> &[String] {
        &self.accepts
    }

    /// Index of the body it is part of; ropes and chain links have none.
    pub fn body(&self) -> Option<usize> {
        self.body
    }

    /// How many sheaves the item needs.
    pub fn sheaves(&self) -> u8 {
        self.sheaves
    }

    /// Whether the item needs a becket.
    pub fn needs_becket(&self) -> bool {
        self.becket
    }

    /// Whether the item must capture the rope one way.
    pub fn needs_capture(&self) -> bool {
        self.capture
    }

    /// Whether the rig is complete without it.
    pub fn is_optional(&self) -> bool {
        self.optional
    }

    /// How the item is loaded here.
    pub fn loaded(&self) -> LoadingMode {
        self.loaded
    }
}

impl Rope {
    /// Index of the position that the rope itself fills.
    pub fn position(&self) -> usize {
        self.position
    }

    /// What it meets, from the hand to the dead end.
    pub fn path(&self) -> &[Element] {
        &self.path
    }
}

impl Chain {
    /// What it carries.
    pub fn carries(&self) -> Carried {
        self.carries
    }

    /// Indices of its positions.
    pub fn positions(&self) -> &[usize] {
        &self.positions
    }
}
