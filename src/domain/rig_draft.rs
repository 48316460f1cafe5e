//! A rig as it is typed into a form: everything is text, and no name need be one yet.
//!
//! The names of the fields are those of the sheet, so that a fault of the sheet finds its field. What a
//! chain carries and what an end is tied to are one choice each here: `body:anchor`, `position:head`,
//! `becket:head`. Lists of names are written with commas between, limits one a line.

mod act;
mod read;
mod write;

use serde::{Deserialize, Serialize};

use crate::rigging::{BodyKind, Duty, LoadingMode};

pub use act::Acted;

/// A rig as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct RigDraft {
    /// The short name.
    pub key: String,
    /// The name in plain words.
    pub title: String,
    /// A sentence on when it is used.
    pub when: String,
    /// Its limits, one a line.
    pub limits: String,
    /// `yes` if it is never hauled with.
    pub only_lowers: String,
    /// What ropes pull on, from the top down.
    pub body: Vec<BodyDraft>,
    /// The places that need an item.
    pub position: Vec<PositionDraft>,
    /// The ropes.
    pub rope: Vec<RopeDraft>,
    /// Positions in line.
    pub chain: Vec<ChainDraft>,
    /// What hangs on legs.
    pub bridle: Vec<BridleDraft>,
    /// Lines across a span.
    pub line: Vec<LineDraft>,
    /// What stands on three legs.
    pub tripod: Vec<TripodDraft>,
}

/// A body as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct BodyDraft {
    /// The short name; made from the title if it is empty.
    pub key: String,
    /// The name in plain words.
    pub title: String,
    /// `anchor`, `travelling` or `load`.
    pub kind: String,
    /// How far the line that it travels along is off that of the load, in degrees. May be empty.
    pub line_degrees: String,
}

/// A position as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct PositionDraft {
    /// The short name; made from the title if it is empty.
    pub key: String,
    /// The name in plain words.
    pub title: String,
    /// The kinds of item, commas between.
    pub accepts: String,
    /// How the item is loaded.
    pub loaded: String,
    /// Key of the body that it is part of. May be empty.
    pub body: String,
    /// `yes` if the rig is complete without it.
    pub optional: String,
}

/// A rope as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct RopeDraft {
    /// Key of the position that the rope itself fills.
    pub position: String,
    /// `main`, `belay` or `twin`.
    pub duty: String,
    /// What it meets, from the hand on.
    pub path: Vec<ElementDraft>,
}

/// One thing that a rope meets, as typed in. What does not belong to what it is, is passed over.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct ElementDraft {
    /// `hand`, `sheave`, `post`, `capture`, `grab` or `end`.
    pub meets: String,
    /// Key of the position.
    pub position: String,
    /// Which sheave, from 1; the first if it is empty.
    pub sheave: String,
    /// The angle between the two strands of a sheave, in degrees; parallel if it is empty.
    pub between_degrees: String,
    /// `yes` if the rope is captured at the sheave.
    pub capture: String,
    /// How far the rope goes round a post, in degrees.
    pub wrap_degrees: String,
    /// `yes` if the rope is taken off the post for hauling.
    pub off_in_hauling: String,
    /// What an end is tied to: `body:` or `position:` or `becket:` and a key.
    pub tied: String,
    /// Key of the knot of an end.
    pub knot: String,
}

/// A chain as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct ChainDraft {
    /// What it carries: `body:` or `position:` and a key.
    pub carries: String,
    /// Keys of its positions, commas between.
    pub positions: String,
}

/// A bridle as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct BridleDraft {
    /// What it carries.
    pub carries: String,
    /// Its legs.
    pub leg: Vec<LegDraft>,
}

/// A leg as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct LegDraft {
    /// How far it stands off the line of the load, in degrees.
    pub off_degrees: String,
    /// Keys of its positions, commas between.
    pub positions: String,
}

/// A line across a span as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct LineDraft {
    /// What it carries.
    pub carries: String,
    /// Between its ends; metres if no unit is written.
    pub span_metres: String,
    /// How far what it carries hangs below the ends, under load.
    pub sag_metres: String,
    /// From the first end to what it carries; the middle if it is empty.
    pub from_first_metres: String,
    /// Keys of the positions to the side of the first end, commas between.
    pub first: String,
    /// Keys of the positions to the side of the second end, commas between.
    pub second: String,
}

/// A tripod as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct TripodDraft {
    /// Key of its position.
    pub position: String,
    /// How far its legs stand off the upright, in degrees.
    pub leg_degrees: String,
}

impl RigDraft {
    /// What a new rig begins with: an anchor, the load, and a rope from the hand to the load.
    pub fn blank() -> Self {
        let body = |key: &str, title: &str, kind: BodyKind| BodyDraft {
            key: key.to_owned(),
            title: title.to_owned(),
            kind: super::key_of(kind),
            line_degrees: String::new(),
        };
        let hand = ElementDraft {
            meets: "hand".to_owned(),
            ..ElementDraft::default()
        };
        let end = ElementDraft {
            meets: "end".to_owned(),
            tied: "body:load".to_owned(),
            knot: "figure-eight".to_owned(),
            ..ElementDraft::default()
        };
        Self {
            body: vec![
                body("anchor", "the anchor", BodyKind::Anchor),
                body("load", "the load", BodyKind::Load),
            ],
            position: vec![PositionDraft {
                key: "rope".to_owned(),
                title: "Rope".to_owned(),
                accepts: "rope".to_owned(),
                loaded: super::key_of(LoadingMode::Straight),
                ..PositionDraft::default()
            }],
            rope: vec![RopeDraft {
                position: "rope".to_owned(),
                duty: super::key_of(Duty::Main),
                path: vec![hand, end],
            }],
            ..Self::default()
        }
    }

    /// Gives every body and position without a key one that is made from its title.
    pub fn name_all(&mut self) {
        let mut taken: Vec<String> = self.body.iter().map(|body| body.key.clone()).collect();
        for body in &mut self.body {
            name(&mut body.key, &body.title, &mut taken);
        }
        let mut taken: Vec<String> = self.position.iter().map(|at| at.key.clone()).collect();
        for position in &mut self.position {
            name(&mut position.key, &position.title, &mut taken);
        }
        if self.key.trim().is_empty() {
            self.key = slug(&self.title);
        }
    }
}

/// Makes a key from a title where there is none: "The head pulley" is `the-head-pulley`.
fn name(key: &mut String, title: &str, taken: &mut Vec<String>) {
    let from_title = slug(title);
    if !key.trim().is_empty() || from_title.is_empty() {
        return;
    }
    let free = |key: &String| !taken.contains(key);
    let numbered = (2..).map(|number| format!("{from_title}-{number}"));
    let mut keys = std::iter::once(from_title.clone()).chain(numbered);
    if let Some(free) = keys.find(free) {
        taken.push(free.clone());
        *key = free;
    }
}

/// Lower-case letters and digits of a text with hyphens between its words, as a key is written.
fn slug(text: &str) -> String {
    let lower = super::fold(text);
    let words = lower.split(|c: char| !c.is_ascii_alphanumeric());
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    let key: String = words.join("-").chars().take(50).collect();
    key.trim_end_matches('-').to_owned()
}
