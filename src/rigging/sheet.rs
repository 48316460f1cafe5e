//! The sheet of a rig: how it is written in a file, before anything is checked.
//!
//! A sheet is TOML. Keys are short names in lower case; angles are in degrees and say so in the name
//! of their field. What the sheet can say is what these types hold, and an unknown field is refused.
//!
//! * A rig with `only_lowers` is never hauled with: brakes that a rope cannot be pulled back through.
//! * Bodies stand in the file from the top down: of two bodies that a strand joins, the first named
//!   is above.
//! * A path begins at the hand, at a made end or at a grab (beyond which the rope hangs slack), and
//!   ends at a made end. `between_degrees` is the angle between the two strands of a sheave: left out
//!   they are parallel, at 90 the rope turns a corner. All bends turn the same way round.
//! * A post (`wrap_degrees`) never turns; with `off_in_hauling` the rope is taken off it for hauling. A capture on a sheave or a clamp holds the load while the
//!   hand is slack; a rig has at most one.
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
//!   load, or along one that is `line_degrees` off it.

use std::collections::BTreeSet;

use serde::Deserialize;

use super::{Angle, BodyKind, Duty, Length, LoadingMode, RigError};

/// The longest list in a sheet; far above any real rig, so that a hostile file stays cheap.
const MOST_ENTRIES: usize = 60;
/// The longest text in a sheet.
const MOST_CHARACTERS: usize = 600;

/// A whole sheet.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Sheet {
    pub key: String,
    pub title: String,
    pub when: String,
    pub limits: Vec<String>,
    #[serde(default)]
    pub only_lowers: bool,
    #[serde(rename = "body")]
    pub bodies: Vec<BodySheet>,
    #[serde(rename = "position")]
    pub positions: Vec<PositionSheet>,
    #[serde(rename = "rope")]
    pub ropes: Vec<RopeSheet>,
    #[serde(rename = "chain", default)]
    pub chains: Vec<ChainSheet>,
    #[serde(rename = "bridle", default)]
    pub bridles: Vec<BridleSheet>,
    #[serde(rename = "line", default)]
    pub lines: Vec<LineSheet>,
    #[serde(rename = "tripod", default)]
    pub tripods: Vec<TripodSheet>,
}

/// A body; the sheet names them from the top down.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BodySheet {
    pub key: String,
    pub title: String,
    pub kind: BodyKind,
    pub line_degrees: Option<Angle>,
}

/// A position. How many sheaves it needs, and whether it needs a becket or a capture, is seen from
/// the ropes.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PositionSheet {
    pub key: String,
    pub title: String,
    pub accepts: Vec<String>,
    pub loaded: LoadingMode,
    pub body: Option<String>,
    #[serde(default)]
    pub optional: bool,
}

/// A rope and its path.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RopeSheet {
    pub position: String,
    #[serde(default)]
    pub duty: Duty,
    pub path: Vec<ElementSheet>,
}

/// One thing that a rope meets.
#[derive(Deserialize)]
#[serde(tag = "meets", rename_all = "kebab-case", deny_unknown_fields)]
pub(super) enum ElementSheet {
    Hand,
    Sheave {
        position: String,
        sheave: Option<u8>,
        between_degrees: Option<Angle>,
        #[serde(default)]
        capture: bool,
    },
    Post {
        position: String,
        wrap_degrees: Angle,
        #[serde(default)]
        off_in_hauling: bool,
    },
    Capture {
        position: String,
    },
    Grab {
        position: String,
    },
    End {
        position: Option<String>,
        body: Option<String>,
        #[serde(default)]
        becket: bool,
        knot: String,
    },
}

/// Positions in line and what they carry: a body or the item at a position.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ChainSheet {
    pub carries_body: Option<String>,
    pub carries_position: Option<String>,
    pub positions: Vec<String>,
}

/// Legs that carry a body or the item at a position.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BridleSheet {
    pub carries_body: Option<String>,
    pub carries_position: Option<String>,
    #[serde(rename = "leg")]
    pub legs: Vec<LegSheet>,
}

/// One leg: how far it stands off the line of the load, and what hangs in it.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct LegSheet {
    pub off_degrees: Angle,
    pub positions: Vec<String>,
}

/// A line across a span, with what hangs in it to each side of what it carries.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct LineSheet {
    pub carries_body: Option<String>,
    pub carries_position: Option<String>,
    pub span_metres: Length,
    pub sag_metres: Length,
    pub from_first_metres: Option<Length>,
    pub first: Vec<String>,
    pub second: Vec<String>,
}

/// A tripod and how far its legs stand off the upright.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct TripodSheet {
    pub position: String,
    pub leg_degrees: Angle,
}

/// A list that is neither empty nor longer than any real rig.
pub(super) fn count_is_good(place: &str, count: usize) -> Result<(), RigError> {
    if (1..=MOST_ENTRIES).contains(&count) {
        return Ok(());
    }
    Err(RigError::Count {
        place: place.to_owned(),
        most: MOST_ENTRIES,
        count,
    })
}

/// A text that says something and is no flood.
pub(super) fn text_is_good(place: &str, text: &str) -> Result<(), RigError> {
    if (1..=MOST_CHARACTERS).contains(&text.trim().chars().count()) {
        return Ok(());
    }
    Err(RigError::Text {
        place: place.to_owned(),
        most: MOST_CHARACTERS,
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

/// Keys that are good and all different.
pub(super) fn keys_are_good<'a>(
    what: &str,
    keys: impl Iterator<Item = &'a str>,
) -> Result<(), RigError> {
    let mut seen = BTreeSet::new();
    for key in keys {
        key_is_good(&format!("a {what}"), key)?;
        if !seen.insert(key) {
            return Err(RigError::Twice {
                place: format!("a {what}"),
                key: key.to_owned(),
            });
        }
    }
    Ok(())
}
