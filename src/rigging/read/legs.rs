//! Reads what stands or hangs on legs.

use super::{position_index, read_carried, read_row};
use crate::rigging::Carried;
use crate::rigging::fault::{Notes, Place};
use crate::rigging::legs::{Bridle, Leg, Span, TRIPOD_LEG, Tripod, WIDEST};
use crate::rigging::sheet::{BridleSheet, LineSheet, TripodSheet, count_is_good};
use crate::rigging::{Angle, BodyKind, Length, Rig, RigError, sag};

/// A bridle of two legs or more.
pub(super) fn read_bridle(
    rig: &Rig,
    index: usize,
    sheet: &BridleSheet,
    notes: &mut Notes,
) -> Option<Bridle> {
    let at = Place::entry("bridle", index);
    let words = format!("bridle {}", index + 1);
    let carries = (&sheet.carries_body, &sheet.carries_position);
    let carries = read_still(rig, (&words, &at), carries, notes);
    let count = count_is_good(&format!("the legs of {words}"), sheet.legs.len());
    notes.keep(at.field("leg"), count)?;
    let legs = sheet.legs.iter().enumerate().map(|(number, leg)| {
        let at = at.under("leg", number);
        let words = format!("{words}, leg {}", number + 1);
        let positions = read_row(rig, &words, &leg.positions);
        let positions = notes.keep(at.field("positions"), positions);
        let off = off_is_good(words, leg.off_degrees);
        Some(Leg {
            off: notes.keep(at.field("off_degrees"), off)?,
            positions: positions?,
        })
    });
    // All are looked at, so that each is noted that does not hold.
    let legs: Vec<Option<Leg>> = legs.collect();
    let bridle = Bridle {
        legs: legs.into_iter().collect::<Option<_>>()?,
        carries: carries?,
        span: None,
    };
    notes.keep(at, stands_apart(&words, &bridle))?;
    Some(bridle)
}

fn off_is_good(place: String, angle: Angle) -> Result<Angle, RigError> {
    if angle.degrees() < 90.0 {
        return Ok(angle);
    }
    Err(RigError::Angle {
        place,
        allowed: "at least 0 and below 90",
        angle,
    })
}

/// Legs that a load can pull apart, but not so far that a degree decides.
fn stands_apart(place: &str, bridle: &Bridle) -> Result<(), RigError> {
    if bridle.legs.len() < 2 {
        return Err(RigError::Shape {
            place: place.to_owned(),
            why: "a bridle has two legs or more: write a single one as a chain.",
        });
    }
    let included = bridle.included_degrees();
    // All legs but one may hang in the line of the load; two that do would share by their stretch.
    let mut in_line = bridle.legs.iter().filter(|leg| leg.off.degrees() == 0.0);
    if in_line.nth(1).is_some() {
        return Err(RigError::Shape {
            place: place.to_owned(),
            why: "two legs in one line share the load by their stretch, which no angle tells: give the \
                  angle of each.",
        });
    }
    if included > WIDEST {
        return Err(RigError::Angle {
            place: place.to_owned(),
            allowed: "0 to 170 between two legs",
            angle: Angle::from_degrees(included).expect("two angles below 90 are an angle"),
        });
    }
    Ok(())
}

/// What is carried by what holds only what stands still.
fn read_still(
    rig: &Rig,
    (words, at): (&str, &Place),
    given: (&Option<String>, &Option<String>),
    notes: &mut Notes,
) -> Option<Carried> {
    let carries = read_carried(rig, (words, at), given, notes)?;
    notes.keep(at.clone(), stands_still(rig, words, carries))?;
    Some(carries)
}

/// Legs and lines hold what stands still: their angles would change under what moves.
fn stands_still(rig: &Rig, place: &str, carries: Carried) -> Result<(), RigError> {
    let body = match carries {
        Carried::Body(body) => Some(body),
        Carried::Position(position) => rig.positions[position].body,
    };
    // Where a sheet has no body, one that a position names is noted already and is not there to look at.
    let body = body.and_then(|body| rig.bodies.get(body));
    if body.is_some_and(|body| body.kind == BodyKind::Anchor) {
        return Ok(());
    }
    Err(RigError::Shape {
        place: place.to_owned(),
        why: "legs hold an anchor or an item on one: under what moves their angles would change.",
    })
}

/// A line across a span: two legs at the angles that its sag gives.
pub(super) fn read_line(
    rig: &Rig,
    index: usize,
    sheet: &LineSheet,
    notes: &mut Notes,
) -> Option<Bridle> {
    let at = Place::entry("line", index);
    let words = format!("line {}", index + 1);
    let carries = (&sheet.carries_body, &sheet.carries_position);
    let carries = read_still(rig, (&words, &at), carries, notes);
    let first = read_row(rig, &words, &sheet.first);
    let first = notes.keep(at.field("first"), first);
    let second = read_row(rig, &words, &sheet.second);
    let second = notes.keep(at.field("second"), second);
    let (span, sag, from_first) = read_span(&words, sheet, &at, notes)?;
    let leg = |aside: f64, positions: Vec<usize>| Leg {
        off: Angle::from_radians((aside / sag).atan()).expect("below a right angle"),
        positions,
    };
    Some(Bridle {
        carries: carries?,
        legs: vec![leg(from_first, first?), leg(span - from_first, second?)],
        span: Some(Span {
            across: sheet.span_metres,
            sag: sheet.sag_metres,
            from_first: Length::from_metres(from_first).expect("a part of a length"),
        }),
    })
}

/// Span, sag, and the way from the first end to what the line carries, in metres.
fn read_span(
    place: &str,
    sheet: &LineSheet,
    at: &Place,
    notes: &mut Notes,
) -> Option<(f64, f64, f64)> {
    let shape = |why| RigError::Shape {
        place: place.to_owned(),
        why,
    };
    let sensible = sag::sensible(sheet.span_metres, sheet.sag_metres).map_err(|_| {
        shape("the sag must be from 0.5 % to 50 % of a span that is more than nothing.")
    });
    let (span, sag) = notes.keep(at.field("sag_metres"), sensible)?;
    let from_first = sheet.from_first_metres.map_or(span / 2.0, Length::metres);
    // Nearer to an end than the sag, the short side hangs steeper than half a right angle and the line is
    // no line any more.
    let far_enough = if from_first.min(span - from_first) < sag {
        Err(shape(
            "what the line carries must stand at least as far from each end as the line sags.",
        ))
    } else {
        Ok((span, sag, from_first))
    };
    notes.keep(at.field("from_first_metres"), far_enough)
}

/// A tripod under the item at a position that hangs in a chain of an anchor.
pub(super) fn read_tripod(
    rig: &Rig,
    index: usize,
    sheet: &TripodSheet,
    notes: &mut Notes,
) -> Option<Tripod> {
    let at = Place::entry("tripod", index);
    let words = format!("tripod {}", index + 1);
    let leg = if TRIPOD_LEG.contains(&sheet.leg_degrees.degrees()) {
        Ok(sheet.leg_degrees)
    } else {
        Err(RigError::Angle {
            place: words.clone(),
            allowed: "5 to 45 off the upright",
            angle: sheet.leg_degrees,
        })
    };
    let off = notes.keep(at.field("leg_degrees"), leg);
    let position = tripod_stands(rig, &words, &sheet.position);
    Some(Tripod {
        position: notes.keep(at.field("position"), position)?,
        off: off?,
    })
}

/// The position of a tripod: one of a chain, which says what it carries.
fn tripod_stands(rig: &Rig, place: &str, key: &str) -> Result<usize, RigError> {
    let position = position_index(rig, place, key)?;
    let mut chains = rig.chains.iter();
    match chains.find(|chain| chain.positions.contains(&position)) {
        Some(chain) => stands_still(rig, place, chain.carries).map(|()| position),
        None => Err(RigError::Shape {
            place: place.to_owned(),
            why: "a tripod stands at a position of a chain, which says what it carries.",
        }),
    }
}
