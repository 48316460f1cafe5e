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
//! no equation: the rope may pull on the capture as hard as the load asks. A belay is slack
//! (`T_hand = 0`) until it catches, and while it holds what it caught; then the main rope is. Two ropes that share the load do so by a
//! share that nobody knows: each likely half of it, at the ends nothing and all. A stuck load pulls as
//! hard as the crew does, so the tensions of hauling are scaled to the pull of the crew, at both hands
//! together if there are two.

use super::envelope::Envelope;
use super::linear::System;
use super::reeving::{HandEnd, PassageKind, Reeving};
use super::resistance::{Ratio, ratios};
use super::tell::told;
use super::words::part_words;
use super::{Advantage, Band, Duty, Force, Forces, Outfit, Phase, Rig, RigError};

/// The most passages with a range; each doubles the combinations.
pub(super) const MOST_RANGES: usize = 12;
/// The share of the load below which a tension counts as nothing.
pub(super) const SLACK: f64 = 1e-12;

/// Every force in a rig in one phase, under what is given: the force of the load; with a stuck load the
/// pull of the crew; in a catch the peak that the catching rope sees.
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
pub fn solve(rig: &Rig, outfit: &Outfit, given: Force, phase: Phase) -> Result<Forces, RigError> {
    solve_band(rig, outfit, Band::exactly(given), phase)
}

/// As [`solve`], where what is given is a range. Every force grows with it.
pub(super) fn solve_band(
    rig: &Rig,
    outfit: &Outfit,
    given: Band<Force>,
    phase: Phase,
) -> Result<Forces, RigError> {
    let ratios = ratios(rig, outfit, phase)?;
    let mut envelope = Solver::new(rig, given.likely(), phase)?.envelope(&ratios)?;
    if !given.is_exact() {
        let likely = given.likely().newtons();
        envelope.scale(
            given.low().newtons() / likely,
            given.high().newtons() / likely,
        );
    }
    told(rig, given, phase, &envelope)
}

/// Load over hand force without friction.
pub(super) fn ideal_advantage(rig: &Rig) -> Result<Advantage, RigError> {
    let load = one_kilonewton();
    let tensions = &plain_solutions(rig, load, Phase::Frictionless, 1.0)?[0];
    let working = rig.reeving.working();
    let pulled: f64 = working.map(|hand| tensions[hand.part]).sum();
    Advantage::from_ratio(load.newtons() / pulled).map_err(|error| RigError::Bounds {
        place: "the mechanical advantage".to_owned(),
        error,
    })
}

/// How far every body goes, up along its line, while the load goes up one metre.
///
/// By virtual work: a weight pulls at a hand, without friction, with as much of itself as it rises for
/// each metre of rope that comes in there.
pub(super) fn travel(rig: &Rig) -> Result<Vec<f64>, RigError> {
    let load = one_kilonewton();
    let mut solver = Solver::new(rig, load, Phase::Frictionless)?;
    let scenario = solver.scenarios().swap_remove(0);
    let mut ratios = vec![1.0; solver.reeving.passages.len()];
    let hands: Vec<usize> = solver.reeving.working().map(|hand| hand.part).collect();
    let mut rope = Vec::new();
    for (number, &hand) in hands.iter().enumerate() {
        // Where two ropes share the load, this is how the one that carries it all comes in.
        let share = if number == 0 { 1.0 } else { 0.0 };
        ratios.truncate(solver.reeving.passages.len());
        ratios.push(share);
        rope.push(load.newtons() / solver.balance(&ratios, &scenario)?[hand]);
    }
    let mut travel = vec![0.0; rig.bodies.len()];
    for free in &solver.reeving.free {
        solver.weight_on = free.body;
        let pulled = solver.balance(&ratios, &scenario)?;
        let pulled = hands
            .iter()
            .zip(&rope)
            .map(|(&hand, rope)| pulled[hand] * rope);
        travel[free.body] = pulled.sum::<f64>() / load.newtons();
    }
    Ok(travel)
}

/// The tension of every part in each way in which a phase comes about, where no sheave rubs and every
/// post has this ratio.
pub(super) fn plain_solutions(
    rig: &Rig,
    load: Force,
    phase: Phase,
    round_post: f64,
) -> Result<Vec<Vec<f64>>, RigError> {
    let ratios = ratios(rig, &Outfit::default(), Phase::Frictionless)?;
    let mut chosen: Vec<f64> = ratios.iter().map(|ratio| ratio.likely).collect();
    for (ratio, passage) in chosen.iter_mut().zip(&rig.reeving.passages) {
        if matches!(passage.kind, PassageKind::Post { .. }) {
            *ratio = round_post;
        }
    }
    let mut solver = Solver::new(rig, load, phase)?;
    let scenarios = solver.scenarios();
    let solved = scenarios
        .iter()
        .map(|scenario| Ok(solver.tensions(&chosen, scenario)?.to_vec()));
    solved.collect()
}

pub(super) fn one_kilonewton() -> Force {
    Force::from_kilonewtons(1.0).expect("one kilonewton is inside the limits of a force")
}

/// The equations of one rig in one phase.
struct Solver<'a> {
    rig: &'a Rig,
    reeving: &'a Reeving,
    given: f64,
    /// The body that the weight is on: the load.
    weight_on: usize,
    phase: Phase,
    system: System,
}

/// One way in which a phase comes about; a catch has one for each rope that may have to hold alone.
struct Scenario {
    /// The hand of the rope system that carries.
    working: usize,
    /// Passages that hold a rope while its hand is slack: the passage and the part at the hand.
    held: Vec<(usize, usize)>,
    /// Whether the second hand shares the load with the first.
    shared: bool,
}

impl<'a> Solver<'a> {
    fn new(rig: &'a Rig, given: Force, phase: Phase) -> Result<Self, RigError> {
        if phase == Phase::Held && !rig.has_capture() {
            return Err(RigError::NoCapture);
        }
        if rig.only_lowers && matches!(phase, Phase::Hauling | Phase::StuckLoad) {
            return Err(RigError::OnlyLowers);
        }
        if phase.is_held_by_another() && !rig.catches() {
            return Err(RigError::NoBelay);
        }
        if given.newtons() <= 0.0 {
            return Err(RigError::NoLoad);
        }
        let reeving = rig.reeving_in(phase);
        Ok(Self {
            rig,
            reeving,
            given: given.newtons(),
            weight_on: reeving.load,
            phase,
            system: System::new(reeving.parts.len()),
        })
    }

    /// Every way in which the phase comes about.
    fn scenarios(&self) -> Vec<Scenario> {
        let hands = &self.reeving.hands;
        let shared = hands[0].duty == Duty::Twin;
        let holds = |hand: &HandEnd| Some((hand.capture?, hand.part));
        if !self.phase.is_held_by_another() {
            let held = self.reeving.working().filter_map(holds);
            return vec![Scenario {
                working: 0,
                held: held.filter(|_| self.phase == Phase::Held).collect(),
                shared,
            }];
        }
        let catching = hands.iter().enumerate();
        let catching = catching.filter(|(_, hand)| hand.duty != Duty::Main);
        catching
            .map(|(working, hand)| Scenario {
                working,
                held: holds(hand).into_iter().collect(),
                shared: false,
            })
            .collect()
    }

    /// Solves every scenario for every combination of ends of the ratios.
    fn envelope(&mut self, ratios: &[Ratio]) -> Result<Envelope, RigError> {
        let reeving = self.reeving;
        let mut envelope = Envelope::new(reeving.parts.len(), reeving.sums.len());
        for scenario in self.scenarios() {
            let open: Vec<usize> = (0..ratios.len())
                .filter(|&index| !ratios[index].is_exact() && self.matters(&scenario, index))
                .collect();
            if open.len() > MOST_RANGES {
                return Err(RigError::TooManyRanges {
                    count: open.len(),
                    most: MOST_RANGES,
                });
            }
            let mut chosen: Vec<f64> = ratios.iter().map(|ratio| ratio.likely).collect();
            let likely = self.tensions(&chosen, &scenario)?;
            envelope.see(likely, &reeving.sums, true);
            if open.is_empty() {
                continue;
            }
            for combination in 0_u32..1 << open.len() {
                for (bit, &index) in open.iter().enumerate() {
                    chosen[index] = match combination >> bit & 1 {
                        0 => ratios[index].low,
                        _ => ratios[index].high,
                    };
                }
                let tensions = self.tensions(&chosen, &scenario)?;
                envelope.see(tensions, &reeving.sums, false);
            }
        }
        Ok(envelope)
    }

    /// Whether a ratio makes a difference: not at a capture that holds, and in a catch not where another
    /// rope hangs slack.
    fn matters(&self, scenario: &Scenario, index: usize) -> bool {
        let (parts, passages) = (&self.reeving.parts, &self.reeving.passages);
        let held = scenario.held.iter().any(|(passage, _)| *passage == index);
        let catching = parts[self.reeving.hands[scenario.working].part].rope;
        let slack = |index: usize| parts[passages[index].far].rope != catching;
        !held && (!self.phase.is_held_by_another() || (index < passages.len() && !slack(index)))
    }

    /// As [`balance`](Self::balance), to what is given, and refused if a rope would push or do nothing.
    fn tensions(&mut self, ratios: &[f64], scenario: &Scenario) -> Result<&[f64], RigError> {
        let (reeving, rig, phase, given) = (self.reeving, self.rig, self.phase, self.given);
        let tensions = self.balance(ratios, scenario)?;
        reeving.none_pushes(rig, phase, given, tensions)?;
        if phase == Phase::StuckLoad {
            // What is given is the pull of the crew, and every tension is in proportion to it.
            let pulled: f64 = reeving.working().map(|hand| tensions[hand.part]).sum();
            let scale = given / pulled;
            for tension in tensions.iter_mut() {
                *tension *= scale;
            }
        }
        Ok(tensions)
    }

    /// The tension of every part for these ratios: one for each passage, and the share of the first of
    /// two ropes that carry together.
    fn balance(&mut self, ratios: &[f64], scenario: &Scenario) -> Result<&mut [f64], RigError> {
        let reeving = self.reeving;
        self.system.clear();
        for (row, (passage, ratio)) in reeving.passages.iter().zip(ratios).enumerate() {
            let held = scenario.held.iter().find(|(passage, _)| *passage == row);
            if let Some((_, at_hand)) = held {
                self.system.add(row, *at_hand, 1.0);
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
            if body.body == self.weight_on {
                self.system.set_right(row, self.given);
            }
        }
        let mut row = reeving.passages.len() + reeving.free.len();
        for (index, hand) in reeving.hands.iter().enumerate() {
            if index == scenario.working {
                continue;
            }
            if scenario.shared && index == 1 {
                let share = ratios[reeving.passages.len()];
                let first = reeving.parts[reeving.hands[0].part].rope;
                for (part, sign) in reeving.pulls_on_load() {
                    let is_first = reeving.parts[part].rope == first;
                    let weight = if is_first { 1.0 - share } else { -share };
                    self.system.add(row, part, sign * weight);
                }
            } else {
                self.system.add(row, hand.part, 1.0);
            }
            row += 1;
        }
        self.system.solve().ok_or(RigError::Singular)
    }
}

impl Reeving {
    /// Refuses tensions below nothing, and slack where a rope must work.
    fn none_pushes(
        &self,
        rig: &Rig,
        phase: Phase,
        given: f64,
        tensions: &[f64],
    ) -> Result<(), RigError> {
        let least = SLACK * given;
        for (part, &tension) in self.parts.iter().zip(tensions) {
            let (rope, element) = (&rig.ropes[part.rope], part.near + 1);
            let key = || rig.positions[rope.position].key.clone();
            let words = || part_words(rig, part.rope, part.near);
            if tension.is_nan() || tension < -least {
                let (part, rope) = (words(), key());
                return Err(RigError::Pushes {
                    part,
                    rope,
                    element,
                    phase,
                });
            }
            let hangs = phase == Phase::Held || phase.is_held_by_another();
            let works = rope.duty == Duty::Main && !hangs;
            if works && tension < least {
                let (part, rope) = (words(), key());
                return Err(RigError::Slack {
                    part,
                    rope,
                    element,
                    phase,
                });
            }
        }
        Ok(())
    }
}
