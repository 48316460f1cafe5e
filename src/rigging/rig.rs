//! A rig: a reeving written down as bodies, positions, ropes and chains.
//!
//! A *body* is what ropes pull on: an anchor, the load, or something that travels between them. A
//! *position* is a place that needs an item. A *rope* is a path from the hand (or a made end) to its
//! dead end, over sheaves and posts and through grabs. A *chain* is a row of positions in line that
//! carries one body or one device. How many strands carry the load and what the rig gains are worked
//! out from this, never written in it.

use serde::{Deserialize, Serialize};

use super::fault::Faults;
use super::read::{read, read_toml};
use super::reeving::{self, Reeving};
use super::solve::ideal_advantage;
use super::sum::Target;
use super::tell::carried_words;
use super::{
    Advantage, Angle, Bridle, Chain, Duty, Element, LoadingMode, Phase, RigError, Rope, Sheet,
    Tripod,
};

/// A checked rig. Made by [`Rig::parse`] from a sheet, or taken from [`shipped`](super::shipped()).
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Rig {
    pub(super) key: String,
    pub(super) title: String,
    pub(super) when: String,
    pub(super) limits: Vec<String>,
    pub(super) only_lowers: bool,
    pub(super) bodies: Vec<Body>,
    pub(super) positions: Vec<Position>,
    pub(super) ropes: Vec<Rope>,
    pub(super) chains: Vec<Chain>,
    pub(super) bridles: Vec<Bridle>,
    pub(super) tripods: Vec<Tripod>,
    #[serde(skip)]
    pub(super) reeving: Reeving,
    /// How the ropes lie in hauling, if otherwise.
    #[serde(skip)]
    pub(super) hauled: Option<Reeving>,
}

/// The kinds of item that a position may ask for, as records name them.
pub const ITEM_KINDS: [&str; 14] = [
    "rope",
    "pulley",
    "rope clamp",
    "back-up device",
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
    pub(super) line: Angle,
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

impl Rig {
    /// Reads a rig from its sheet in TOML.
    ///
    /// # Errors
    ///
    /// The first thing that is wrong, and what to do.
    pub fn parse(sheet: &str) -> Result<Self, RigError> {
        Self::from_toml(sheet).map_err(Faults::into_first)
    }

    /// As [`parse`](Self::parse), with everything that is wrong, and where in the text.
    ///
    /// # Errors
    ///
    /// What is no sheet at all; else every entry that does not hold by itself; else the first thing
    /// that is wrong with how they go together.
    pub fn from_toml(sheet: &str) -> Result<Self, Faults> {
        read_toml(sheet)
    }

    /// Checks a sheet.
    ///
    /// # Errors
    ///
    /// As [`from_toml`](Self::from_toml), without spots in a text.
    pub fn from_sheet(sheet: Sheet) -> Result<Self, Faults> {
        read(sheet)
    }

    /// How many strands carry the load. A belay does not; of two ropes that share it, either may come
    /// to carry it alone, so the fewer strands of the two are counted.
    pub fn strands_at_load(&self) -> usize {
        let load = self.reeving.load;
        let strands = |duty, rope: Option<usize>| {
            let pulls = self.reeving.pulls_on(load);
            pulls
                .map(|part| self.reeving.parts[part].rope)
                .filter(|&of| self.ropes[of].duty == duty && rope.is_none_or(|rope| rope == of))
                .count()
        };
        let twins = self.ropes.iter().enumerate();
        let twins = twins.filter(|(_, rope)| rope.duty == Duty::Twin);
        twins
            .map(|(rope, _)| strands(Duty::Twin, Some(rope)))
            .min()
            .unwrap_or_else(|| strands(Duty::Main, None))
    }

    /// Whether a capture can hold the load with the hand slack; of two ropes that share it, each has one.
    pub fn has_capture(&self) -> bool {
        self.reeving.working().all(|hand| hand.capture.is_some())
    }

    /// Whether some rope catches the load if another fails.
    pub fn catches(&self) -> bool {
        self.ropes.iter().any(|rope| rope.duty != Duty::Main)
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

    /// Whether it is never hauled with.
    pub fn only_lowers(&self) -> bool {
        self.only_lowers
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

    /// The bridles, and the lines across a span.
    pub fn bridles(&self) -> &[Bridle] {
        &self.bridles
    }

    /// The bodies, other than the load, that a belay and a main rope both pull on, in words.
    pub fn shared_with_belay(&self) -> Vec<&str> {
        let pulls = |belay: bool, body: usize| {
            let ropes = self.ropes.iter();
            ropes
                .filter(|rope| (rope.duty == Duty::Belay) == belay)
                .flat_map(|rope| &rope.path)
                .any(|element| reeving::body_of(self, element) == Some(body))
        };
        let bodies = self.bodies.iter().enumerate();
        bodies
            .filter(|(_, body)| body.kind != BodyKind::Load)
            .filter(|(index, _)| pulls(true, *index) && pulls(false, *index))
            .map(|(_, body)| body.title.as_str())
            .collect()
    }

    /// Whether a rope rubs on the item at a position as on a post.
    pub fn rubs(&self, position: &str) -> bool {
        let met = self.ropes.iter().flat_map(|rope| &rope.path);
        let mut posts = met.filter(|element| matches!(element, Element::Post { .. }));
        posts.any(|post| {
            post.position()
                .is_some_and(|index| self.positions[index].key == position)
        })
    }

    /// What a bridle carries, in words.
    pub(super) fn words_of_bridle(&self, bridle: usize) -> &str {
        carried_words(self, self.bridles[bridle].carries)
    }

    /// The same rig with the legs of one bridle at other angles.
    pub(super) fn with_legs_moved(
        &self,
        bridle: usize,
        moved: impl Fn(Angle) -> Angle,
    ) -> Result<Self, RigError> {
        let mut rig = self.clone();
        for leg in &mut rig.bridles[bridle].legs {
            leg.off = moved(leg.off);
        }
        rig.reeve()?;
        Ok(rig)
    }

    /// Works out what follows from the paths.
    pub(super) fn reeve(&mut self) -> Result<(), RigError> {
        self.reeving = reeving::derive(self, false)?;
        let mut met = self.ropes.iter().flat_map(|rope| &rope.path);
        let leaves_posts = met.any(|element| {
            matches!(element, Element::Post { off_in_hauling, wrap, .. }
                if *off_in_hauling && wrap.degrees() % 360.0 != 0.0)
        });
        self.hauled = if leaves_posts && !self.only_lowers {
            Some(reeving::derive(self, true)?)
        } else {
            None
        };
        Ok(())
    }

    /// How the ropes lie in a phase.
    pub(super) fn reeving_in(&self, phase: Phase) -> &Reeving {
        let hauled = self.hauled.as_ref();
        let hauled = hauled.filter(|_| matches!(phase, Phase::Hauling | Phase::StuckLoad));
        hauled.unwrap_or(&self.reeving)
    }

    /// The tripods.
    pub fn tripods(&self) -> &[Tripod] {
        &self.tripods
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

    /// How far the line that it moves along is off the line of the load.
    pub fn line(&self) -> Angle {
        self.line
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
