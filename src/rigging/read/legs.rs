//! Reads what stands or hangs on legs.

use super::{position_index, read_carried, read_row};
use crate::rigging::legs::{Bridle, Leg, Span, TRIPOD_LEG, Tripod, WIDEST};
use crate::rigging::rig::Carried;
use crate::rigging::sheet::{BridleSheet, LineSheet, TripodSheet, count_is_good};
use crate::rigging::{Angle, BodyKind, Length, Rig, RigError, sag};

/// A bridle of two legs or more.
pub(super) fn read_bridle(
    rig: &Rig,
    index: usize,
    sheet: &BridleSheet,
) -> Result<Bridle, RigError> {
    let place = format!("bridle {}", index + 1);
    let carries = read_carried(rig, &place, (&sheet.carries_body, &sheet.carries_position))?;
    stands_still(rig, &place, carries)?;
    count_is_good(&format!("the legs of {place}"), sheet.legs.len())?;
    let legs = sheet.legs.iter().enumerate().map(|(number, leg)| {
        let place = format!("{place}, leg {}", number + 1);
        if leg.off_degrees.degrees() >= 90.0 {
            return Err(RigError::Angle {
                place,
                allowed: "at least 0 and below 90",
                angle: leg.off_degrees,
            });
        }
        Ok(Leg {
            off: leg.off_degrees,
            positions: read_row(rig, &place, &leg.positions)?,
        })
    });
    let bridle = Bridle {
        carries,
        legs: legs.collect::<Result<_, _>>()?,
        span: None,
    };
    stands_apart(&place, &bridle)?;
    Ok(bridle)
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

/// Legs and lines hold what stands still: their angles would change under what moves.
fn stands_still(rig: &Rig, place: &str, carries: Carried) -> Result<(), RigError> {
    let body = match carries {
        Carried::Body(body) => Some(body),
        Carried::Position(position) => rig.positions[position].body,
    };
    if body.is_some_and(|body| rig.bodies[body].kind == BodyKind::Anchor) {
        return Ok(());
    }
    Err(RigError::Shape {
        place: place.to_owned(),
        why: "legs hold an anchor or an item on one: under what moves their angles would change.",
    })
}

/// A line across a span: two legs at the angles that its sag gives.
pub(super) fn read_line(rig: &Rig, index: usize, sheet: &LineSheet) -> Result<Bridle, RigError> {
    let place = format!("line {}", index + 1);
    let carries = read_carried(rig, &place, (&sheet.carries_body, &sheet.carries_position))?;
    stands_still(rig, &place, carries)?;
    let measures = (sheet.span_metres, sheet.sag_metres);
    let (span, sag) = sag::sensible(measures.0, measures.1).map_err(|_| RigError::Shape {
        place: place.clone(),
        why: "the sag must be from 0.5 % to 50 % of a span that is more than nothing.",
    })?;
    let from_first = sheet.from_first_metres.map_or(span / 2.0, Length::metres);
    let beyond = span - from_first;
    // Nearer to an end than the sag, the short side hangs steeper than half a right angle and the line is
    // no line any more.
    if from_first.min(beyond) < sag {
        return Err(RigError::Shape {
            place,
            why: "what the line carries must stand at least as far from each end as the line sags.",
        });
    }
    let leg = |aside: f64, keys: &[String]| {
        Ok(Leg {
            off: Angle::from_radians((aside / sag).atan()).expect("below a right angle"),
            positions: read_row(rig, &place, keys)?,
        })
    };
    Ok(Bridle {
        carries,
        legs: vec![leg(from_first, &sheet.first)?, leg(beyond, &sheet.second)?],
        span: Some(Span {
            across: measures.0,
            sag: measures.1,
            from_first: Length::from_metres(from_first).expect("a part of a length"),
        }),
    })
}

/// A tripod under the item at a position that hangs in a chain of an anchor.
pub(super) fn read_tripod(
    rig: &Rig,
    index: usize,
    sheet: &TripodSheet,
) -> Result<Tripod, RigError> {
    let place = format!("tripod {}", index + 1);
    let position = position_index(rig, &place, &sheet.position)?;
    if !TRIPOD_LEG.contains(&sheet.leg_degrees.degrees()) {
        return Err(RigError::Angle {
            place,
            allowed: "5 to 45 off the upright",
            angle: sheet.leg_degrees,
        });
    }
    let chain = rig
        .chains
        .iter()
        .find(|chain| chain.positions.contains(&position));
    match chain {
        Some(chain) => stands_still(rig, &place, chain.carries)?,
        None => {
            return Err(RigError::Shape {
                place,
                why: "a tripod stands at a position of a chain, which says what it carries.",
            });
        }
    }
    Ok(Tripod {
        position,
        off: sheet.leg_degrees,
    })
}
