//! The sheet of a rig: how it is written in a file, before anything is checked.
//!
//! A sheet is TOML, or JSON of the same shape. Keys are short names in lower case; angles are in degrees
//! and lengths in metres, and say so in the name of their field. What the sheet can say is what these
//! types hold, and an unknown field is refused. `rig.schema.json` tells the same to other programs.
//!
//! * A rig with `only_lowers` is never hauled with: brakes that a rope cannot be pulled back through.
//! * Bodies stand in the file from the top down: of two bodies that a strand joins, the first named
//!   is above.
//! * A path begins at the hand, at a made end or at a grab (beyond which the rope hangs slack), and
//!   ends at a made end. `between_degrees` is the angle between the two strands of a sheave: left out
//!   they are parallel, at 90 the rope turns a corner. All bends turn the same way round, clockwise as
//!   one follows the rope from the hand.
//! * A post (`wrap_degrees`) never turns; with `off_in_hauling` the rope is taken off it for hauling and
//!   runs straight past. A capture on a sheave or a clamp holds the load while the hand is slack; the main
//!   ropes have at most one, a belay and each of two ropes that share the load one of their own.
//! * A chain carries a body or the item at a position, and each of its links takes the whole force.
//! * A bridle carries a body or the item at a position on legs that stand off the line of the load, by
//!   `off_degrees` each. Two legs share by their angles, the first to the left and the second to the
//!   right; of three and more, any two must carry all. Each leg is a row of positions.
//! * A line is stretched across a span and carries a body `from_first_metres` from its first end (in
//!   the middle if left out), where it hangs `sag_metres` below its ends, measured under load.
//! * A tripod stands at a position that some chain names, on three legs that are `leg_degrees` off the
//!   upright.
//! * A rope's duty is `main` (if left out), `belay` (stands by slack until it catches) or `twin` (two
//!   ropes, each with its own hand, that share the load). A travelling body moves along the line of the
//!   load, or along one that is `line_degrees` off it, clockwise from straight up.

use serde::{Deserialize, Serialize};

use super::{Angle, BodyKind, Duty, Length, LoadingMode, RigError};

/// The longest list in a sheet; far above any real rig, so that a hostile file stays cheap.
pub(super) const MOST_ENTRIES: usize = 60;
/// The most things that all ropes of a rig may meet together: each is an unknown of the equations.
pub(super) const MOST_MET: usize = 60;
/// The longest text in a sheet.
const MOST_CHARACTERS: usize = 600;

/// The JSON Schema (draft 2020-12) of a sheet, for other programs.
pub const RIG_SCHEMA: &str = include_str!("rig.schema.json");

/// A whole sheet, nothing in it checked yet. [`Rig::from_sheet`](super::Rig::from_sheet) does that.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sheet {
    /// The short name that files and addresses use.
    pub key: String,
    /// The name in plain words.
    pub title: String,
    /// A sentence on when it is used.
    pub when: String,
    /// Its limits, a sentence each.
    #[serde(default)]
    pub limits: Vec<String>,
    /// Whether it is never hauled with.
    #[serde(default, skip_serializing_if = "is_no")]
    pub only_lowers: bool,
    /// What ropes pull on, from the top down.
    #[serde(rename = "body", default)]
    pub bodies: Vec<BodySheet>,
    /// The places that need an item, in the order of a kit list.
    #[serde(rename = "position", default)]
    pub positions: Vec<PositionSheet>,
    /// The ropes.
    #[serde(rename = "rope", default)]
    pub ropes: Vec<RopeSheet>,
    /// Positions in line.
    #[serde(rename = "chain", default, skip_serializing_if = "Vec::is_empty")]
    pub chains: Vec<ChainSheet>,
    /// What hangs on legs.
    #[serde(rename = "bridle", default, skip_serializing_if = "Vec::is_empty")]
    pub bridles: Vec<BridleSheet>,
    /// Lines across a span.
    #[serde(rename = "line", default, skip_serializing_if = "Vec::is_empty")]
    pub lines: Vec<LineSheet>,
    /// What stands on three legs.
    #[serde(rename = "tripod", default, skip_serializing_if = "Vec::is_empty")]
    pub tripods: Vec<TripodSheet>,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde lends the field")]
fn is_no(given: &bool) -> bool {
    !given
}

/// A body; the sheet names them from the top down.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BodySheet {
    /// The short name, unique among the bodies.
    pub key: String,
    /// The name in plain words.
    pub title: String,
    /// Whether it stands, travels or is the load.
    pub kind: BodyKind,
    /// How far the line that it travels along is off the line of the load.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub line_degrees: Option<Angle>,
}

/// A position. How many sheaves it needs, and whether it needs a becket or a capture, is seen from
/// the ropes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PositionSheet {
    /// The short name, unique among the positions.
    pub key: String,
    /// The name in plain words.
    pub title: String,
    /// The kinds of item that may go here; see [`ITEM_KINDS`](super::ITEM_KINDS).
    pub accepts: Vec<String>,
    /// How the item is loaded here.
    pub loaded: LoadingMode,
    /// Key of the body that it is part of; ropes and chain links have none.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub body: Option<String>,
    /// Whether the rig is complete without it.
    #[serde(default, skip_serializing_if = "is_no")]
    pub optional: bool,
}

/// A rope and its path.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RopeSheet {
    /// Key of the position that the rope itself fills.
    pub position: String,
    /// What it is there for.
    #[serde(default, skip_serializing_if = "is_main")]
    pub duty: Duty,
    /// What it meets, from the hand to the dead end.
    pub path: Vec<ElementSheet>,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde lends the field")]
fn is_main(duty: &Duty) -> bool {
    *duty == Duty::Main
}

/// One thing that a rope meets.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "meets", rename_all = "kebab-case", deny_unknown_fields)]
pub enum ElementSheet {
    /// The crew's hands. A variant with fields, if with none: only those refuse an unknown one.
    Hand {},
    /// A sheave.
    Sheave {
        /// Key of the position.
        position: String,
        /// Which sheave of the item; the first if left out.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        sheave: Option<u8>,
        /// The angle between the two strands; parallel if left out.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        between_degrees: Option<Angle>,
        /// Whether the rope is captured here.
        #[serde(default, skip_serializing_if = "is_no")]
        capture: bool,
    },
    /// A post, bar or brake.
    Post {
        /// Key of the position.
        position: String,
        /// How far the rope goes round it.
        wrap_degrees: Angle,
        /// Whether the rope is taken off it for hauling.
        #[serde(default, skip_serializing_if = "is_no")]
        off_in_hauling: bool,
    },
    /// A clamp that holds the rope one way.
    Capture {
        /// Key of the position.
        position: String,
    },
    /// A grab that ties the rope to a body.
    Grab {
        /// Key of the position.
        position: String,
    },
    /// A made end.
    End {
        /// Key of the position that it is tied to.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        position: Option<String>,
        /// Key of the body that it is tied to, where it is no item.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        body: Option<String>,
        /// Whether it is tied to the becket of the position.
        #[serde(default, skip_serializing_if = "is_no")]
        becket: bool,
        /// Key of the knot, see [`knots`](super::knots).
        knot: String,
    },
}

/// Positions in line and what they carry: a body or the item at a position.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ChainSheet {
    /// Key of the body that it carries.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub carries_body: Option<String>,
    /// Key of the position that it carries.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub carries_position: Option<String>,
    /// Keys of its positions.
    pub positions: Vec<String>,
}

/// Legs that carry a body or the item at a position.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BridleSheet {
    /// Key of the body that they carry.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub carries_body: Option<String>,
    /// Key of the position that they carry.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub carries_position: Option<String>,
    /// The legs; of two, the first stands to the left.
    #[serde(rename = "leg", default)]
    pub legs: Vec<LegSheet>,
}

/// One leg: how far it stands off the line of the load, and what hangs in it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LegSheet {
    /// How far it stands off the line of the load.
    pub off_degrees: Angle,
    /// Keys of its positions.
    pub positions: Vec<String>,
}

/// A line across a span, with what hangs in it to each side of what it carries.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LineSheet {
    /// Key of the body that it carries.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub carries_body: Option<String>,
    /// Key of the position that it carries.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub carries_position: Option<String>,
    /// Between its two ends, which are level.
    pub span_metres: Length,
    /// How far what it carries hangs below the ends, under load.
    pub sag_metres: Length,
    /// From its first end to what it carries; the middle if left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from_first_metres: Option<Length>,
    /// Keys of the positions to the side of the first end.
    pub first: Vec<String>,
    /// Keys of the positions to the side of the second end.
    pub second: Vec<String>,
}

/// A tripod and how far its legs stand off the upright.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TripodSheet {
    /// Key of the position that it stands at.
    pub position: String,
    /// How far its legs stand off the upright.
    pub leg_degrees: Angle,
}

/// A list that is neither empty nor longer than any real rig.
pub(super) fn count_is_good(place: &str, count: usize) -> Result<(), RigError> {
    within(place, count, 1..=MOST_ENTRIES)
}

/// A list that may be empty, and is not longer than any real rig's.
pub(super) fn few_enough(place: &str, count: usize) -> Result<(), RigError> {
    within(place, count, 0..=MOST_ENTRIES)
}

/// A count that is inside its limits.
pub(super) fn within(
    place: &str,
    count: usize,
    limits: std::ops::RangeInclusive<usize>,
) -> Result<(), RigError> {
    if limits.contains(&count) {
        return Ok(());
    }
    Err(RigError::Count {
        place: place.to_owned(),
        least: *limits.start(),
        most: *limits.end(),
        count,
    })
}

/// A text that says something, stands on one line and is no flood.
pub(super) fn text_is_good(place: &str, text: &str) -> Result<(), RigError> {
    let count = text.trim().chars().count();
    if (1..=MOST_CHARACTERS).contains(&count) && !text.chars().any(char::is_control) {
        return Ok(());
    }
    Err(RigError::Text {
        place: place.to_owned(),
        most: MOST_CHARACTERS,
        count,
    })
}

/// A key of plain letters, digits and hyphens.
pub(super) fn key_is_good(place: &str, key: &str) -> Result<(), RigError> {
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    if (1..=60).contains(&key.len()) && key.chars().all(plain) {
        return Ok(());
    }
    Err(RigError::Key {
        place: place.to_owned(),
        key: key.chars().take(60).collect(),
    })
}
