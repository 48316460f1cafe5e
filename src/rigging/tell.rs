//! Puts names and quantities to what the solver found.

use super::Carried;
use super::envelope::Envelope;
use super::forces::{BodyForce, HandPull, LegForce, PartTension, PositionForce, SheaveForce};
use super::solve::SLACK;
use super::sum::Target;
use super::words::element_words;
use super::{Advantage, Angle, Band, BandError, Force, Forces, Phase, Rig, RigError};

/// The share of what is given beyond which a pull is aside, and not rounded so.
const ASIDE: f64 = 1e-9;

/// Puts names and quantities to the numbers.
pub(super) fn told(
    rig: &Rig,
    given: Band<Force>,
    phase: Phase,
    envelope: &Envelope,
) -> Result<Forces, RigError> {
    let mut forces = Forces {
        phase,
        load: given,
        hand: None,
        hands: Vec::new(),
        advantage: None,
        parts: parts(rig, given, envelope)?,
        sheaves: Vec::new(),
        bodies: Vec::new(),
        positions: Vec::new(),
        legs: Vec::new(),
    };
    let reeving = rig.reeving_in(phase);
    let given_most = given.high().newtons();
    let slack = SLACK * given_most;
    for (sum, seen) in reeving.sums.iter().zip(&envelope.sums) {
        stands(rig, phase, &sum.on, (seen[0], seen[2]), given_most)?;
        tell_sum(rig, &sum.on, band(seen)?, &mut forces)?;
    }
    if phase == Phase::StuckLoad {
        let load = &rig.bodies[reeving.load].key;
        forces.load = forces.on_body(load).unwrap_or(given);
    }
    for hand in &reeving.hands {
        let seen = &envelope.parts[hand.part];
        if seen[2] > slack {
            let rope = reeving.parts[hand.part].rope;
            forces.hands.push(HandPull {
                rope: rig.positions[rig.ropes[rope].position].key.clone(),
                pull: band(seen)?,
            });
        }
    }
    let pulls = forces.hands.iter().map(|hand| hand.pull);
    forces.hand = pulls.max_by(|a, b| a.high().newtons().total_cmp(&b.high().newtons()));
    // Of two ropes that may catch, one may be in a hand and the other in a device.
    if let [only] = forces.hands.as_slice()
        && only.pull.low().newtons() > 0.0
    {
        forces.advantage = Some(advantage(forces.load, only.pull)?);
    }
    Ok(forces)
}

/// Every part that is tight.
fn parts(rig: &Rig, given: Band<Force>, envelope: &Envelope) -> Result<Vec<PartTension>, RigError> {
    let slack = SLACK * given.high().newtons();
    let parts = rig.reeving.parts.iter().zip(&envelope.parts);
    parts
        .filter(|(_, seen)| seen[2] >= slack)
        .map(|(part, seen)| {
            let rope = &rig.ropes[part.rope];
            Ok(PartTension {
                rope: rig.positions[rope.position].key.clone(),
                part: part.near,
                from: element_words(rig, &rope.path[part.near]),
                to: element_words(rig, &rope.path[part.near + 1]),
                tension: band(seen)?,
            })
        })
        .collect()
}

/// Refuses a leg that would have to push, a tripod that would have to be held down, and a pull aside
/// on legs that must hang in line.
pub(super) fn stands(
    rig: &Rig,
    phase: Phase,
    on: &Target,
    (least, most): (f64, f64),
    given: f64,
) -> Result<(), RigError> {
    let below_nothing = least < -SLACK * given;
    match *on {
        Target::Leg { bridle, leg } if below_nothing => Err(RigError::LegSlack {
            leg: format!(
                "Leg {} of {}",
                leg + 1,
                carried_words(rig, rig.bridles[bridle].carries)
            ),
            bridle,
            phase,
        }),
        Target::Foothold(tripod) if below_nothing => Err(RigError::Tips {
            tripod: rig.positions[rig.tripods[tripod].position].title.clone(),
            position: rig.positions[rig.tripods[tripod].position].key.clone(),
            phase,
        }),
        Target::Aside(bridle) if most > ASIDE * given => Err(RigError::LegsAside {
            place: format!("bridle {}", bridle + 1),
            bridle,
            phase,
        }),
        _ => Ok(()),
    }
}

fn tell_sum(
    rig: &Rig,
    on: &Target,
    force: Band<Force>,
    forces: &mut Forces,
) -> Result<(), RigError> {
    match on {
        Target::Sheave { position, sheave } => forces.sheaves.push(SheaveForce {
            position: rig.positions[*position].key.clone(),
            sheave: *sheave,
            force,
        }),
        Target::Body(body) => forces.bodies.push(BodyForce {
            body: rig.bodies[*body].key.clone(),
            force,
        }),
        Target::Position {
            position,
            mode,
            spot,
            knot,
        } => forces.positions.push(PositionForce {
            position: rig.positions[*position].key.clone(),
            mode: *mode,
            spot: spot.clone(),
            knot: knot.clone(),
            force,
        }),
        Target::Leg { bridle, leg } => {
            let bridle = &rig.bridles[*bridle];
            let of = carried_words(rig, bridle.carries).to_owned();
            let told = leg_force(of, leg + 1, bridle.legs[*leg].off, force)?;
            forces.legs.push(told);
        }
        Target::TripodLeg(tripod) => {
            let tripod = &rig.tripods[*tripod];
            let of = rig.positions[tripod.position].title.clone();
            forces.legs.push(leg_force(of, 0, tripod.off, force)?);
        }
        Target::Foothold(_) | Target::Aside(_) => {}
    }
    Ok(())
}

/// What a bridle carries, in words.
pub(super) fn carried_words(rig: &Rig, carried: Carried) -> &str {
    match carried {
        Carried::Body(body) => &rig.bodies[body].title,
        Carried::Position(position) => &rig.positions[position].title,
    }
}

fn leg_force(of: String, leg: usize, off: Angle, along: Band<Force>) -> Result<LegForce, RigError> {
    let aside = |force: Force| force.newtons() * off.radians().sin();
    Ok(LegForce {
        of,
        leg,
        off_degrees: off.degrees(),
        along,
        aside: band(&[along.low(), along.likely(), along.high()].map(aside))?,
    })
}

/// The force below which nothing pulls, in newtons: the weight of a tenth of a milligram.
const NOTHING: f64 = 1e-6;

/// A tension or force; a hair beside nothing, from rounding, is nothing.
fn band(seen: &[f64; 3]) -> Result<Band<Force>, RigError> {
    let force = |newtons: f64| {
        let newtons = if newtons < NOTHING { 0.0 } else { newtons };
        Force::from_newtons(newtons).map_err(|error| RigError::Bounds {
            place: "a force in the rig".to_owned(),
            error,
        })
    };
    ordered(Band::new(force(seen[0])?, force(seen[1])?, force(seen[2])?))
}

/// Load over hand force. The load is known, or the hand force is, so the ends of the other give the ends.
fn advantage(load: Band<Force>, hand: Band<Force>) -> Result<Band<Advantage>, RigError> {
    let over = |load: Force, pull: Force| {
        Advantage::from_ratio(load.newtons() / pull.newtons()).map_err(|error| RigError::Bounds {
            place: "the mechanical advantage".to_owned(),
            error,
        })
    };
    ordered(Band::new(
        over(load.low(), hand.high())?,
        over(load.likely(), hand.likely())?,
        over(load.high(), hand.low())?,
    ))
}

/// Extremes are taken in order, so a band out of order has met something that is no number.
fn ordered<T>(band: Result<Band<T>, BandError>) -> Result<Band<T>, RigError> {
    band.map_err(|BandError| RigError::Singular)
}
