//! Reads ropes and what they meet.

use super::{body_index, on_a_body, position_index};
use crate::rigging::fault::{Notes, Place};
use crate::rigging::sheet::{ElementSheet, RopeSheet, count_is_good};
use crate::rigging::{Angle, Duty, Element, Rig, RigError, Rope, knot};

/// A rope, if everything about it holds.
pub(super) fn read_rope(
    rig: &Rig,
    index: usize,
    sheet: &RopeSheet,
    notes: &mut Notes,
) -> Option<Rope> {
    let at = Place::entry("rope", index);
    let words = format!("rope {}", sheet.position);
    let position = position_index(rig, &words, &sheet.position);
    let position = notes.keep(at.field("position"), position);
    let count = count_is_good(&format!("the path of {words}"), sheet.path.len());
    notes.keep(at.field("path"), count)?;
    let met = sheet.path.iter().enumerate().map(|(index, element)| {
        let words = format!("{words}, element {}", index + 1);
        read_element(rig, (&words, &at.under("path", index)), element, notes)
    });
    // All are looked at, so that each is noted that does not hold.
    let path: Vec<Option<Element>> = met.collect();
    let path = path.into_iter().collect::<Option<Vec<Element>>>()?;
    if let Err((element, why)) = path_is_good(&path) {
        let place = words.clone();
        let at = at.under("path", element);
        notes.keep::<()>(at, Err(RigError::Shape { place, why }))?;
    }
    let duty = sheet.duty;
    if duty != Duty::Main && !matches!(path[0], Element::Hand) {
        let no_hand = RigError::Shape {
            place: words,
            why: "a belay and each of two ropes that share the load begin at a hand of their own.",
        };
        notes.keep::<()>(at.field("duty"), Err(no_hand))?;
    }
    Some(Rope {
        position: position?,
        duty,
        path,
    })
}

fn read_element(
    rig: &Rig,
    (words, at): (&str, &Place),
    sheet: &ElementSheet,
    notes: &mut Notes,
) -> Option<Element> {
    let on_body =
        |key: &str, notes: &mut Notes| notes.keep(at.field("position"), on_a_body(rig, words, key));
    match sheet {
        ElementSheet::Hand {} => Some(Element::Hand),
        ElementSheet::Sheave {
            position,
            sheave,
            between_degrees,
            capture,
        } => {
            let position = on_body(position, notes);
            let between = angle_between(words, *between_degrees);
            Some(Element::Sheave {
                between: notes.keep(at.field("between_degrees"), between)?,
                position: position?,
                sheave: sheave.unwrap_or(1),
                capture: *capture,
            })
        }
        ElementSheet::Post {
            position,
            wrap_degrees,
            off_in_hauling,
        } => {
            let position = on_body(position, notes);
            let wrap = wrap_is_good(words, *wrap_degrees);
            Some(Element::Post {
                wrap: notes.keep(at.field("wrap_degrees"), wrap)?,
                position: position?,
                off_in_hauling: *off_in_hauling,
            })
        }
        ElementSheet::Capture { position } => Some(Element::Capture {
            position: on_body(position, notes)?,
        }),
        ElementSheet::Grab { position } => Some(Element::Grab {
            position: on_body(position, notes)?,
        }),
        ElementSheet::End { knot, .. } => {
            let end = read_end(rig, (words, at), sheet, notes);
            if knot::knot(knot).is_none() {
                let unknown = RigError::Unknown {
                    place: words.to_owned(),
                    what: "knot",
                    key: knot.clone(),
                };
                notes.keep::<()>(at.field("knot"), Err(unknown))?;
            }
            end
        }
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

fn wrap_is_good(place: &str, wrap: Angle) -> Result<Angle, RigError> {
    if wrap.degrees() > 0.0 {
        return Ok(wrap);
    }
    Err(RigError::Angle {
        place: place.to_owned(),
        allowed: "above 0",
        angle: wrap,
    })
}

fn read_end(
    rig: &Rig,
    (words, at): (&str, &Place),
    sheet: &ElementSheet,
    notes: &mut Notes,
) -> Option<Element> {
    let ElementSheet::End {
        position,
        body,
        becket,
        knot,
    } = sheet
    else {
        return None;
    };
    let (body, position) = match (position, body) {
        (Some(key), None) => {
            let position = notes.keep(at.field("position"), on_a_body(rig, words, key))?;
            (rig.positions[position].body?, Some(position))
        }
        (None, Some(key)) if !becket => {
            let body = notes.keep(at.field("body"), body_index(rig, words, key));
            (body?, None)
        }
        _ => {
            let untied = RigError::Shape {
                place: words.to_owned(),
                why: "an end is tied either to a body or to the item at a position; only an item has a becket.",
            };
            return notes.keep(at.field("position"), Err(untied));
        }
    };
    Some(Element::End {
        body,
        position,
        becket: *becket,
        knot: knot.clone(),
    })
}

/// A path begins at the hand or at a made end, ends at a made end, and only passes things between.
/// If it does not, which element is wrong, and why.
fn path_is_good(path: &[Element]) -> Result<(), (usize, &'static str)> {
    let [first, middle @ .., last] = path else {
        let why = "a path has a beginning and an end: write at least two elements.";
        return Err((0, why));
    };
    if !matches!(
        first,
        Element::Hand | Element::End { .. } | Element::Grab { .. }
    ) {
        let why = "a path begins at the hand, at a made end or at a grab.";
        return Err((0, why));
    }
    if !matches!(last, Element::End { .. }) {
        let why = "a path ends at a made end: tie it to a body or a position.";
        return Err((path.len() - 1, why));
    }
    let passes = |element: &Element| !matches!(element, Element::Hand | Element::End { .. });
    match middle.iter().position(|element| !passes(element)) {
        None => Ok(()),
        Some(at) => Err((
            at + 1,
            "the hand and made ends stand only first and last in a path.",
        )),
    }
}
