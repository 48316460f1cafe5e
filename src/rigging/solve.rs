//! The solver: one linear system, solved for every combination of the ends of what is not known.
//!
//! One unknown a part of rope; one equation for each sheave, post and capture, `T_far = r T_near`,
//! and one for each free body, the sum of what pulls on it. What the phase changes is only `r`:
//!
//! | | hauling | lowering | at rest |
//! |---|---|---|---|
//! | sheave of efficiency e, wrap w | e^(w/180) | 1 / e^(w/180) | anything between |
//! | one-way sheave, friction mu | e^(w/180) | exp(mu w) | anything between |
//! | post, friction mu | exp(-mu w) | exp(mu w) | anything between |
//!
//! Every tension is a ratio of two expressions that are linear in each single `r`, so over ranges of
//! `r` its largest and smallest values stand at ends of the ranges; a force is the length of a sum of
//! such tensions, so its largest value does too. All combinations of ends are solved, not just "all
//! low" and "all high": a middle strand can be worst when its neighbours differ.
//!
//! While the capture holds, the hand is slack instead (`T_hand = 0`) and the captured passage has
//! no equation: the rope may pull on the capture as hard as the load asks.

use super::forces::{BodyForce, PartTension, PositionForce, SheaveForce};
use super::linear::System;
use super::reeving::{Passage, PassageKind};
use super::resistance::{Ratio, ratios};
use super::sum::{Sum, Target};
use super::words::{element_words, part_words};
use super::{Advantage, Band, BandError, Force, Forces, Outfit, Phase, Rig, RigError};

/// The most passages with a range; each doubles the combinations.
pub(super) const MOST_RANGES: usize = 12;
/// The share of the load below which a tension counts as nothing.
const SLACK: f64 = 1e-12;

/// Every force in a rig in one phase, under a load.
///
/// Only the sheaves and posts of the outfit matter here; strengths may be missing, and an
/// efficiency may be an assumption of the caller.
///
/// ```
/// use ropeloft::rigging::{
///     Band, Efficiency, Fitted, Force, Outfit, Phase, Turning, Wheel, shipped_rig, solve,
/// };
///
/// let rig = shipped_rig("three-to-one").ok_or("no such rig")?;
/// let wheel = Wheel {
///     efficiency: Band::exactly(Efficiency::from_share(0.92)?),
///     source: "common practice".to_owned(),
///     turning: Turning::Free,
/// };
/// let mut outfit = Outfit::default();
/// for position in rig.positions().iter().filter(|position| position.sheaves() > 0) {
///     outfit.fit(position.key(), Fitted::new("a pulley").with_wheel(wheel.clone()));
/// }
/// let forces = solve(rig, &outfit, Force::from_kilonewtons(2.0)?, Phase::Hauling)?;
/// let hand = forces.hand.ok_or("nobody pulls")?;
/// assert!((hand.likely().kilonewtons() - 0.7230).abs() < 0.00005);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
///
/// If something that the phase needs is not given, if a rope would be slack or have to push, or if
/// the rig has no single answer.
pub fn solve(rig: &Rig, outfit: &Outfit, load: Force, phase: Phase) -> Result<Forces, RigError> {
    let ratios = ratios(rig, outfit, phase)?;
    let envelope = Solver::new(rig, load, phase)?.envelope(&ratios)?;
    told(rig, load, phase, &envelope)
}

/// Load over hand force without friction.
pub(super) fn ideal_advantage(rig: &Rig) -> Result<Advantage, RigError> {
    let load = one_kilonewton();
    let tensions = frictionless_tensions(rig, load)?;
    let hand = tensions[rig.reeving.hand];
    Advantage::from_ratio(load.newtons() / hand).map_err(|error| RigError::Bounds {
        place: "the mechanical advantage".to_owned(),
        error,
    })
}

/// The tension of every part without friction.
pub(super) fn frictionless_tensions(rig: &Rig, load: Force) -> Result<Vec<f64>, RigError> {
    let ones = vec![1.0; rig.reeving.passages.len()];
    let mut solver = Solver::new(rig, load, Phase::Frictionless)?;
    solver.tensions(&ones).map(<[f64]>::to_vec)
}

/// Refuses a rig that has no answer even without friction, or that leaves a position idle.
pub(super) fn answers(rig: &Rig) -> Result<(), RigError> {
    let load = one_kilonewton();
    let tensions = frictionless_tensions(rig, load)?;
    for (index, position) in rig.positions.iter().enumerate() {
        let loads_it = |sum: &Sum| {
            let on_it = matches!(sum.on, Target::Position { position, .. } if position == index);
            on_it && sum.force(&tensions) > SLACK * load.newtons()
        };
        // A clamp is passed freely until it holds, and a post that the rope leaves straight on is
        // loaded only by what it rubs off.
        let passed_freely = |passage: &Passage| {
            passage.position == index && !matches!(passage.kind, PassageKind::Sheave { .. })
        };
        let idle = !rig.reeving.sums.iter().any(loads_it);
        if idle && !rig.reeving.passages.iter().any(passed_freely) {
            return Err(RigError::NothingLoads {
                position: position.key.clone(),
            });
        }
    }
    Ok(())
}

fn one_kilonewton() -> Force {
    Force::from_kilonewtons(1.0).expect("one kilonewton is inside the limits of a force")
}

/// The extremes of every tension and every force.
struct Envelope {
    parts: Vec<[f64; 3]>,
    sums: Vec<[f64; 3]>,
}

/// The equations of one rig in one phase.
struct Solver<'a> {
    rig: &'a Rig,
    load: f64,
    phase: Phase,
    system: System,
}

impl<'a> Solver<'a> {
    fn new(rig: &'a Rig, load: Force, phase: Phase) -> Result<Self, RigError> {
        if phase == Phase::Held && rig.reeving.capture.is_none() {
            return Err(RigError::NoCapture);
        }
        if load.newtons() <= 0.0 {
            return Err(RigError::NoLoad);
        }
        Ok(Self {
            rig,
            load: load.newtons(),
            phase,
            system: System::new(rig.reeving.parts.len()),
        })
    }

    /// Solves for every combination of ends of the ratios.
    fn envelope(&mut self, ratios: &[Ratio]) -> Result<Envelope, RigError> {
        let reeving = &self.rig.reeving;
        let held = self.held_passage();
        let open: Vec<usize> = (0..ratios.len())
            .filter(|&index| Some(index) != held && ratios[index].low < ratios[index].high)
            .collect();
        if open.len() > MOST_RANGES {
            return Err(RigError::TooManyRanges {
                count: open.len(),
                most: MOST_RANGES,
            });
        }
        let mut chosen: Vec<f64> = ratios.iter().map(|ratio| ratio.likely).collect();
        let likely = self.tensions(&chosen)?;
        let mut envelope = Envelope {
            parts: likely.iter().map(|&tension| [tension; 3]).collect(),
            sums: reeving
                .sums
                .iter()
                .map(|sum| [sum.force(likely); 3])
                .collect(),
        };
        if open.is_empty() {
            return Ok(envelope);
        }
        for combination in 0_u32..1 << open.len() {
            for (bit, &index) in open.iter().enumerate() {
                chosen[index] = match combination >> bit & 1 {
                    0 => ratios[index].low,
                    _ => ratios[index].high,
                };
            }
            let tensions = self.tensions(&chosen)?;
            for (seen, &tension) in envelope.parts.iter_mut().zip(tensions) {
                widen(seen, tension);
            }
            for (seen, sum) in envelope.sums.iter_mut().zip(&reeving.sums) {
                widen(seen, sum.force(tensions));
            }
        }
        Ok(envelope)
    }

    /// The passage that has no equation in this phase.
    fn held_passage(&self) -> Option<usize> {
        match self.phase {
            Phase::Held => self.rig.reeving.capture,
            _ => None,
        }
    }

    /// The tension of every part for these ratios.
    fn tensions(&mut self, ratios: &[f64]) -> Result<&[f64], RigError> {
        let reeving = &self.rig.reeving;
        let held = self.held_passage();
        self.system.clear();
        for (row, (passage, ratio)) in reeving.passages.iter().zip(ratios).enumerate() {
            if Some(row) == held {
                self.system.add(row, reeving.hand, 1.0);
            } else {
                self.system.add(row, passage.far, 1.0);
                self.system.add(row, passage.near, -ratio);
            }
        }
        for (index, body) in reeving.free.iter().enumerate() {
            let row = reeving.passages.len() + index;
            for &(part, sign) in &body.pulls {
                self.system.add(row, part, sign);
            }
            if body.body == reeving.load {
                self.system.set_right(row, self.load);
            }
        }
        let tensions = self.system.solve().ok_or(RigError::Singular)?;
        let least = SLACK * self.load;
        for (index, &tension) in tensions.iter().enumerate() {
            let part = &reeving.parts[index];
            let words = || part_words(self.rig, part.rope, part.near);
            let phase = self.phase;
            if tension.is_nan() || tension < -least {
                return Err(RigError::Pushes {
                    part: words(),
                    phase,
                });
            }
            if phase != Phase::Held && tension < least {
                return Err(RigError::Slack {
                    part: words(),
                    phase,
                });
            }
        }
        Ok(tensions)
    }
}

/// Takes a value into a low, likely and high.
fn widen(seen: &mut [f64; 3], value: f64) {
    seen[0] = seen[0].min(value);
    seen[2] = seen[2].max(value);
}

/// Puts names and quantities to the numbers.
fn told(rig: &Rig, load: Force, phase: Phase, envelope: &Envelope) -> Result<Forces, RigError> {
    let reeving = &rig.reeving;
    let mut forces = Forces {
        phase,
        load,
        hand: None,
        advantage: None,
        parts: Vec::with_capacity(reeving.parts.len()),
        sheaves: Vec::new(),
        bodies: Vec::new(),
        positions: Vec::new(),
    };
    let slack = SLACK * load.newtons();
    for (part, seen) in reeving.parts.iter().zip(&envelope.parts) {
        if seen[2] < slack {
            continue;
        }
        let path = &rig.ropes[part.rope].path;
        forces.parts.push(PartTension {
            rope: rig.positions[rig.ropes[part.rope].position].key.clone(),
            part: part.near,
            from: element_words(rig, &path[part.near]),
            to: element_words(rig, &path[part.near + 1]),
            tension: band(seen)?,
        });
    }
    for (sum, seen) in reeving.sums.iter().zip(&envelope.sums) {
        let force = band(seen)?;
        match &sum.on {
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
        }
    }
    if phase != Phase::Held {
        let hand = band(&envelope.parts[reeving.hand])?;
        forces.advantage = Some(advantage(load, hand)?);
        forces.hand = Some(hand);
    }
    Ok(forces)
}

/// A tension or force; a hair below nothing, from rounding, is nothing.
fn band(seen: &[f64; 3]) -> Result<Band<Force>, RigError> {
    let force = |newtons: f64| {
        Force::from_newtons(newtons.max(0.0)).map_err(|error| RigError::Bounds {
            place: "a force in the rig".to_owned(),
            error,
        })
    };
    ordered(Band::new(force(seen[0])?, force(seen[1])?, force(seen[2])?))
}

fn advantage(load: Force, hand: Band<Force>) -> Result<Band<Advantage>, RigError> {
    let over = |pull: Force| {
        Advantage::from_ratio(load.newtons() / pull.newtons()).map_err(|error| RigError::Bounds {
            place: "the mechanical advantage".to_owned(),
            error,
        })
    };
    ordered(Band::new(
        over(hand.high())?,
        over(hand.likely())?,
        over(hand.low())?,
    ))
}

/// Extremes are taken in order, so a band out of order has met something that is no number.
fn ordered<T>(band: Result<Band<T>, BandError>) -> Result<Band<T>, RigError> {
    band.map_err(|BandError| RigError::Singular)
}
