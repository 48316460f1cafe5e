//! Reads a sheet into a rig: every name found, every use counted, every angle inside its limits.

use std::collections::BTreeSet;

use super::reeving::Reeving;
use super::rig::{Carried, Chain, ITEM_KINDS};
use super::sheet::{
    ChainSheet, ElementSheet, PositionSheet, RopeSheet, Sheet, count_is_good, key_is_good,
    keys_are_good, text_is_good,
};
use super::{Angle, Body, BodyKind, Element, Position, Rig, RigError, Rope};
use super::{knot, reeving, solve};

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
        bodies,
        positions: Vec::new(),
        ropes: Vec::new(),
        chains: Vec::new(),
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
    note_needs(&mut rig)?;
    uses_are_good(&rig)?;
    rig.reeving = reeving::derive(&rig)?;
    solve::answers(&rig)?;
    Ok(rig)
}

fn bodies(sheet: &Sheet) -> Result<Vec<Body>, RigError> {
    count_is_good("the list of bodies", sheet.bodies.len())?;
    let keys = sheet.bodies.iter().map(|body| body.key.as_str());
    keys_are_good("body", keys)?;
    for body in &sheet.bodies {
        text_is_good(&format!("the title of body {}", body.key), &body.title)?;
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
        })
        .collect())
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
    Ok(Rope { position, path })
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
    count_is_good(&format!("the positions of {place}"), sheet.positions.len())?;
    let carries = match (&sheet.carries_body, &sheet.carries_position) {
        (Some(body), None) => Carried::Body(body_index(rig, &place, body)?),
        (None, Some(position)) => Carried::Position(on_a_body(rig, &place, position)?),
        _ => {
            return Err(RigError::Shape {
                place,
                why: "a chain carries either one body or the item at one position: name just one.",
            });
        }
    };
    let positions = sheet
        .positions
        .iter()
        .map(|key| position_index(rig, &place, key))
        .collect::<Result<_, _>>()?;
    Ok(Chain { carries, positions })
}

/// Writes down what the ropes ask of the item at each position.
fn note_needs(rig: &mut Rig) -> Result<(), RigError> {
    let mut taken = BTreeSet::new();
    for rope in &rig.ropes {
        let rope_key = rig.positions[rope.position].key.clone();
        for (index, element) in rope.path.iter().enumerate() {
            match *element {
                Element::Sheave {
                    position,
                    sheave,
                    capture,
                    ..
                } => {
                    if !taken.insert((position, sheave)) {
                        return Err(RigError::SheaveTwice {
                            place: format!("rope {rope_key}, element {}", index + 1),
                            position: rig.positions[position].key.clone(),
                            sheave,
                        });
                    }
                    let needs = &mut rig.positions[position];
                    needs.sheaves = needs.sheaves.max(sheave);
                    needs.capture |= capture;
                }
                Element::Capture { position } => rig.positions[position].capture = true,
                Element::End {
                    position: Some(position),
                    becket: true,
                    ..
                } => rig.positions[position].becket = true,
                _ => {}
            }
        }
    }
    for (index, position) in rig.positions.iter().enumerate() {
        let missing = (1..=position.sheaves).find(|sheave| !taken.contains(&(index, *sheave)));
        // Sheave 0 would be counted by none of the numbers above.
        if let Some(sheave) = missing.or(taken.contains(&(index, 0)).then_some(1)) {
            return Err(RigError::SheaveMissing {
                position: position.key.clone(),
                sheave,
            });
        }
    }
    Ok(())
}

/// Each position is used, and in one way only: as a rope, on a rope's path, or in a chain.
fn uses_are_good(rig: &Rig) -> Result<(), RigError> {
    for (index, position) in rig.positions.iter().enumerate() {
        let as_rope = rig.ropes.iter().filter(|rope| rope.position == index);
        let in_chains = rig.chains.iter().flat_map(|chain| &chain.positions);
        let met = rig.ropes.iter().flat_map(|rope| &rope.path);
        let met = met.filter(|element| element.position() == Some(index));
        // A pulley is met by several strands; any other device by one.
        let met = match position.sheaves {
            0 => met.count(),
            _ => met.count().min(1),
        };
        let uses = as_rope.count() + in_chains.filter(|used| **used == index).count() + met;
        let position = position.key.clone();
        match uses {
            0 => return Err(RigError::NothingLoads { position }),
            1 => {}
            _ => return Err(RigError::TwoUses { position }),
        }
    }
    Ok(())
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
