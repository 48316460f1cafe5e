//! Reads a sheet into a rig: every name found, every use counted, every angle inside its limits.

mod legs;
mod uses;

use super::reeving::Reeving;
use super::rig::{Carried, Chain, ITEM_KINDS};
use super::sheet::{
    BodySheet, ChainSheet, ElementSheet, PositionSheet, RopeSheet, Sheet, count_is_good,
    key_is_good, keys_are_good, text_is_good,
};
use super::{Angle, Body, BodyKind, Duty, Element, Position, Rig, RigError, Rope};
use super::{idle, knot, reeving};
use legs::{read_bridle, read_line, read_tripod};
use uses::{note_needs, uses_are_good};

/// Reads and checks a sheet.
pub(super) fn read(text: &str) -> Result<Rig, RigError> {
    let sheet: Sheet = toml::from_str(text).map_err(|error| RigError::Unreadable {
        why: error.to_string(),
    })?;
    key_is_good("the rig", &sheet.key)?;
    text_is_good("the title of the rig", &sheet.title)?;
    text_is_good("the sentence on when the rig is used", &sheet.when)?;
    for limit in &sheet.limits {
        text_is_good("a limit of the rig", limit)?;
    }
    let bodies = bodies(&sheet)?;
    let mut rig = Rig {
        key: sheet.key,
        title: sheet.title,
        when: sheet.when,
        limits: sheet.limits,
        only_lowers: sheet.only_lowers,
        bodies,
        positions: Vec::new(),
        ropes: Vec::new(),
        chains: Vec::new(),
        bridles: Vec::new(),
        tripods: Vec::new(),
        reeving: Reeving::default(),
    };
    rig.positions = positions(&rig, sheet.positions)?;
    count_is_good("the list of ropes", sheet.ropes.len())?;
    for rope in &sheet.ropes {
        let rope = read_rope(&rig, rope)?;
        rig.ropes.push(rope);
    }
    for (index, chain) in sheet.chains.iter().enumerate() {
        let chain = read_chain(&rig, index, chain)?;
        rig.chains.push(chain);
    }
    for (index, bridle) in sheet.bridles.iter().enumerate() {
        let bridle = read_bridle(&rig, index, bridle)?;
        rig.bridles.push(bridle);
    }
    for (index, line) in sheet.lines.iter().enumerate() {
        let line = read_line(&rig, index, line)?;
        rig.bridles.push(line);
    }
    for (index, tripod) in sheet.tripods.iter().enumerate() {
        let tripod = read_tripod(&rig, index, tripod)?;
        rig.tripods.push(tripod);
    }
    note_needs(&mut rig)?;
    uses_are_good(&rig)?;
    rig.reeving = reeving::derive(&rig)?;
    idle::answers(&rig)?;
    Ok(rig)
}

fn bodies(sheet: &Sheet) -> Result<Vec<Body>, RigError> {
    count_is_good("the list of bodies", sheet.bodies.len())?;
    let keys = sheet.bodies.iter().map(|body| body.key.as_str());
    keys_are_good("body", keys)?;
    for body in &sheet.bodies {
        let place = format!("body {}", body.key);
        text_is_good(&format!("the title of {place}"), &body.title)?;
        line_is_good(place, body)?;
    }
    let loads = sheet
        .bodies
        .iter()
        .filter(|body| body.kind == BodyKind::Load);
    match loads.count() {
        1 => Ok(()),
        count => Err(RigError::Loads { count }),
    }?;
    Ok(sheet
        .bodies
        .iter()
        .map(|body| Body {
            key: body.key.clone(),
            title: body.title.clone(),
            kind: body.kind,
            line: body.line_degrees.unwrap_or(Angle::NONE),
        })
        .collect())
}

/// Only a travelling body may move along another line than the load.
fn line_is_good(place: String, body: &BodySheet) -> Result<(), RigError> {
    match body.line_degrees {
        Some(_) if body.kind != BodyKind::Travelling => Err(RigError::Shape {
            place,
            why: "only a travelling body has a line of its own; the load pulls straight down.",
        }),
        Some(angle) if angle.degrees() >= 360.0 => Err(RigError::Angle {
            place,
            allowed: "at least 0 and below 360",
            angle,
        }),
        _ => Ok(()),
    }
}

fn positions(rig: &Rig, sheets: Vec<PositionSheet>) -> Result<Vec<Position>, RigError> {
    count_is_good("the list of positions", sheets.len())?;
    keys_are_good("position", sheets.iter().map(|sheet| sheet.key.as_str()))?;
    sheets
        .into_iter()
        .map(|sheet| {
            let place = format!("position {}", sheet.key);
            text_is_good(&format!("the title of {place}"), &sheet.title)?;
            count_is_good(
                &format!("the kinds that {place} accepts"),
                sheet.accepts.len(),
            )?;
            let stranger = sheet
                .accepts
                .iter()
                .find(|kind| !ITEM_KINDS.contains(&kind.as_str()));
            if let Some(kind) = stranger {
                return Err(RigError::Unknown {
                    place,
                    what: "kind of item",
                    key: kind.clone(),
                });
            }
            let body = match &sheet.body {
                Some(key) => Some(body_index(rig, &place, key)?),
                None => None,
            };
            Ok(Position {
                key: sheet.key,
                title: sheet.title,
                accepts: sheet.accepts,
                body,
                sheaves: 0,
                becket: false,
                capture: false,
                optional: sheet.optional,
                loaded: sheet.loaded,
            })
        })
        .collect()
}

fn read_rope(rig: &Rig, sheet: &RopeSheet) -> Result<Rope, RigError> {
    let place = format!("rope {}", sheet.position);
    let position = position_index(rig, &place, &sheet.position)?;
    count_is_good(&format!("the path of {place}"), sheet.path.len())?;
    let path = sheet
        .path
        .iter()
        .enumerate()
        .map(|(index, element)| {
            read_element(rig, &format!("{place}, element {}", index + 1), element)
        })
        .collect::<Result<Vec<_>, _>>()?;
    path_is_good(&place, &path)?;
    let duty = sheet.duty;
    if duty != Duty::Main && !matches!(path[0], Element::Hand) {
        return Err(RigError::Shape {
            place,
            why: "a belay and each of two ropes that share the load begin at a hand of their own.",
        });
    }
    Ok(Rope {
        position,
        duty,
        path,
    })
}

fn read_element(rig: &Rig, place: &str, sheet: &ElementSheet) -> Result<Element, RigError> {
    match sheet {
        ElementSheet::Hand => Ok(Element::Hand),
        ElementSheet::Sheave {
            position,
            sheave,
            between_degrees,
            capture,
        } => Ok(Element::Sheave {
            position: on_a_body(rig, place, position)?,
            sheave: sheave.unwrap_or(1),
            between: angle_between(place, *between_degrees)?,
            capture: *capture,
        }),
        ElementSheet::Post {
            position,
            wrap_degrees,
            off_in_hauling,
        } => {
            if wrap_degrees.degrees() == 0.0 {
                return Err(RigError::Angle {
                    place: place.to_owned(),
                    allowed: "above 0",
                    angle: *wrap_degrees,
                });
            }
            Ok(Element::Post {
                position: on_a_body(rig, place, position)?,
                wrap: *wrap_degrees,
                off_in_hauling: *off_in_hauling,
            })
        }
        ElementSheet::Capture { position } => Ok(Element::Capture {
            position: on_a_body(rig, place, position)?,
        }),
        ElementSheet::Grab { position } => Ok(Element::Grab {
            position: on_a_body(rig, place, position)?,
        }),
        ElementSheet::End {
            position,
            body,
            becket,
            knot,
        } => read_end(
            rig,
            place,
            (position.as_deref(), body.as_deref()),
            *becket,
            knot,
        ),
    }
}

/// At 180 degrees a rope passes straight by and does not touch the sheave.
fn angle_between(place: &str, given: Option<Angle>) -> Result<Angle, RigError> {
    let angle = given.unwrap_or(Angle::NONE);
    if angle.degrees() < 180.0 {
        Ok(angle)
    } else {
        Err(RigError::Angle {
            place: place.to_owned(),
            allowed: "at least 0 and below 180",
            angle,
        })
    }
}

fn read_end(
    rig: &Rig,
    place: &str,
    tied_to: (Option<&str>, Option<&str>),
    becket: bool,
    knot: &str,
) -> Result<Element, RigError> {
    if knot::knot(knot).is_none() {
        return Err(RigError::Unknown {
            place: place.to_owned(),
            what: "knot",
            key: knot.to_owned(),
        });
    }
    let (body, position) = match tied_to {
        (Some(key), None) => {
            let position = on_a_body(rig, place, key)?;
            (rig.positions[position].body, Some(position))
        }
        (None, Some(key)) if !becket => (Some(body_index(rig, place, key)?), None),
        _ => (None, None),
    };
    let body = body.ok_or_else(|| RigError::Shape {
        place: place.to_owned(),
        why: "an end is tied either to a body or to the item at a position; only an item has a becket.",
    })?;
    Ok(Element::End {
        body,
        position,
        becket,
        knot: knot.to_owned(),
    })
}

/// A path begins at the hand or at a made end, ends at a made end, and only passes things between.
fn path_is_good(place: &str, path: &[Element]) -> Result<(), RigError> {
    let shape = |why| {
        Err(RigError::Shape {
            place: place.to_owned(),
            why,
        })
    };
    let [first, middle @ .., last] = path else {
        return shape("a path has a beginning and an end: write at least two elements.");
    };
    if !matches!(
        first,
        Element::Hand | Element::End { .. } | Element::Grab { .. }
    ) {
        return shape("a path begins at the hand, at a made end or at a grab.");
    }
    if !matches!(last, Element::End { .. }) {
        return shape("a path ends at a made end: tie it to a body or a position.");
    }
    if middle
        .iter()
        .any(|element| matches!(element, Element::Hand | Element::End { .. }))
    {
        return shape("the hand and made ends stand only first and last in a path.");
    }
    Ok(())
}

fn read_chain(rig: &Rig, index: usize, sheet: &ChainSheet) -> Result<Chain, RigError> {
    let place = format!("chain {}", index + 1);
    Ok(Chain {
        carries: read_carried(rig, &place, (&sheet.carries_body, &sheet.carries_position))?,
        positions: read_row(rig, &place, &sheet.positions)?,
    })
}

/// What a chain or a bridle carries.
fn read_carried(
    rig: &Rig,
    place: &str,
    given: (&Option<String>, &Option<String>),
) -> Result<Carried, RigError> {
    match given {
        (Some(body), None) => Ok(Carried::Body(body_index(rig, place, body)?)),
        (None, Some(position)) => Ok(Carried::Position(on_a_body(rig, place, position)?)),
        _ => Err(RigError::Shape {
            place: place.to_owned(),
            why: "it carries either one body or the item at one position: name just one.",
        }),
    }
}

/// Positions in line.
fn read_row(rig: &Rig, place: &str, keys: &[String]) -> Result<Vec<usize>, RigError> {
    count_is_good(&format!("the positions of {place}"), keys.len())?;
    keys.iter()
        .map(|key| position_index(rig, place, key))
        .collect()
}

fn position_index(rig: &Rig, place: &str, key: &str) -> Result<usize, RigError> {
    let found = rig
        .positions
        .iter()
        .position(|position| position.key == key);
    found.ok_or_else(|| RigError::Unknown {
        place: place.to_owned(),
        what: "position",
        key: key.to_owned(),
    })
}

/// A position that a rope meets must say which body it is part of.
fn on_a_body(rig: &Rig, place: &str, key: &str) -> Result<usize, RigError> {
    let index = position_index(rig, place, key)?;
    if rig.positions[index].body.is_some() {
        Ok(index)
    } else {
        Err(RigError::Shape {
            place: format!("{place}, position {key}"),
            why: "a rope meets it, so it must name the body that it is part of.",
        })
    }
}

fn body_index(rig: &Rig, place: &str, key: &str) -> Result<usize, RigError> {
    let found = rig.bodies.iter().position(|body| body.key == key);
    found.ok_or_else(|| RigError::Unknown {
        place: place.to_owned(),
        what: "body",
        key: key.to_owned(),
    })
}
