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
//! (`T_hand = 0`) until it catches; then the main rope is. Two ropes that share the load do so by a
//! share that nobody knows: likely half, at the ends nothing and all. A stuck load pulls as hard as the
//! crew does, so the tensions of hauling are scaled to the pull of the crew.

use super::envelope::Envelope;
use super::linear::System;
use super::reeving::{PassageKind, Reeving};
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
    let tensions = frictionless_tensions(rig, load)?;
    // Two hands that share pay in rope at the same speed.
    let pulled: f64 = rig
        .reeving
        .hands
        .iter()
        .filter(|hand| hand.duty != Duty::Belay)
        .map(|hand| tensions[hand.part])
        .sum();
    Advantage::from_ratio(load.newtons() / pulled).map_err(|error| RigError::Bounds {
        place: "the mechanical advantage".to_owned(),
        error,
    })
}

/// The tension of every part without friction.
pub(super) fn frictionless_tensions(rig: &Rig, load: Force) -> Result<Vec<f64>, RigError> {
    let mut solutions = plain_solutions(rig, load, Phase::Frictionless, 1.0)?;
    Ok(solutions.swap_remove(0))
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
    given: f64,
    phase: Phase,
    system: System,
}

/// One way in which a phase comes about; a catch has one for each rope that may have to hold alone.
struct Scenario {
    /// The hand of the rope system that carries.
    working: usize,
    /// The passage that holds it while its hand is slack.
    held: Option<usize>,
    /// Whether the second hand shares the load with the first.
    shared: bool,
}

impl<'a> Solver<'a> {
    fn new(rig: &'a Rig, given: Force, phase: Phase) -> Result<Self, RigError> {
        if phase == Phase::Held && rig.reeving.capture.is_none() {
            return Err(RigError::NoCapture);
        }
        if rig.only_lowers && matches!(phase, Phase::Hauling | Phase::StuckLoad) {
            return Err(RigError::OnlyLowers);
        }
        if phase == Phase::BelayCatch && !rig.catches() {
            return Err(RigError::NoBelay);
        }
        if given.newtons() <= 0.0 {
            return Err(RigError::NoLoad);
        }
        Ok(Self {
            rig,
            given: given.newtons(),
            phase,
            system: System::new(rig.reeving.parts.len()),
        })
    }

    /// Every way in which the phase comes about.
    fn scenarios(&self) -> Vec<Scenario> {
        let hands = &self.rig.reeving.hands;
        let shared = hands[0].duty == Duty::Twin;
        if self.phase != Phase::BelayCatch {
            let held = hands[0].capture.filter(|_| self.phase == Phase::Held);
            return vec![Scenario {
                working: 0,
                held,
                shared,
            }];
        }
        let catching = hands.iter().enumerate();
        let catching = catching.filter(|(_, hand)| hand.duty != Duty::Main);
        catching
            .map(|(working, hand)| Scenario {
                working,
                held: hand.capture,
                shared: false,
            })
            .collect()
    }

    /// Solves every scenario for every combination of ends of the ratios.
    fn envelope(&mut self, ratios: &[Ratio]) -> Result<Envelope, RigError> {
        let reeving = &self.rig.reeving;
        let mut envelope = Envelope::new(reeving.parts.len(), reeving.sums.len());
        for scenario in self.scenarios() {
            let open: Vec<usize> = (0..ratios.len())
                .filter(|&index| Some(index) != scenario.held && !ratios[index].is_exact())
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

    /// The tension of every part for these ratios: one for each passage, and the share of the first of
    /// two ropes that carry together.
    fn tensions(&mut self, ratios: &[f64], scenario: &Scenario) -> Result<&[f64], RigError> {
        let reeving = &self.rig.reeving;
        self.system.clear();
        for (row, (passage, ratio)) in reeving.passages.iter().zip(ratios).enumerate() {
            if Some(row) == scenario.held {
                let hand = &reeving.hands[scenario.working];
                self.system.add(row, hand.part, 1.0);
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
                self.system.set_right(row, self.given);
            }
        }
        let mut row = reeving.passages.len() + reeving.free.len();
        for (index, hand) in reeving.hands.iter().enumerate() {
            if index == scenario.working {
                continue;
            }
            if scenario.shared && index == 1 {
                // Each rope's strand at the load is the last of its parts.
                let share = ratios[reeving.passages.len()];
                let at_load = |hand: usize| reeving.at_load(hand);
                self.system.add(row, at_load(0), 1.0 - share);
                self.system.add(row, at_load(1), -share);
            } else {
                self.system.add(row, hand.part, 1.0);
            }
            row += 1;
        }
        let (phase, given, pulling) = (self.phase, self.given, reeving.hands[0].part);
        let tensions = self.system.solve().ok_or(RigError::Singular)?;
        if phase == Phase::StuckLoad {
            // What is given is the pull of the crew, and every tension is in proportion to it.
            let scale = given / tensions[pulling];
            for tension in tensions.iter_mut() {
                *tension *= scale;
            }
        }
        self.rig
            .reeving
            .none_pushes(self.rig, phase, given, tensions)?;
        Ok(tensions)
    }
}

impl Reeving {
    /// The part of the rope of a hand that pulls on the load.
    fn at_load(&self, hand: usize) -> usize {
        let rope = self.parts[self.hands[hand].part].rope;
        let last = self.parts.iter().rposition(|part| part.rope == rope);
        last.expect("a rope has at least one part")
    }

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
            let works =
                rope.duty == Duty::Main && !matches!(phase, Phase::Held | Phase::BelayCatch);
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
