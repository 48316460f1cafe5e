//! The verdict: every part of a fitted rig against the force on it, in every phase.

use super::assumption::{assumptions, warnings};
use super::catch::arrest;
use super::gap::{Gap, gaps};
use super::need::{people, rope_need};
use super::part::strengths;
use super::remedy::remedies;
use super::solve::solve_band;
use super::{
    Arrest, Assessment, Band, CAUTIONS, Check, Conditions, Fitted, Force, Forces, Judged, Outfit,
    PartStrength, Phase, Position, PositionForce, Requirement, Rig, SafetyFactor, StrengthKind,
    Weakest, safety_factor,
};

/// Two numbers this near are the same: what differs is the rounding of the computer, not the rig.
const SAME: f64 = 1e-9;

/// Judges a fitted rig under the conditions of a job.
///
/// Each position is judged in each phase, for each way in which it is loaded, on the worst force
/// that the given ranges of friction allow. A breaking strength, after everything that is taken off
/// it, must be at least the required factor times the force. A working limit must be at least the
/// force; a rated load, of a device that a rope runs through, at least the load. Exactly the limit
/// passes.
///
/// # Errors
///
/// Everything that is missing, all at once. Nothing is assumed in its place.
pub fn assess(rig: &Rig, outfit: &Outfit, conditions: &Conditions) -> Result<Assessment, Vec<Gap>> {
    let mut missing = gaps(rig, outfit, conditions);
    let rope = match rope_need(rig, &conditions.way) {
        Ok(rope) => Some(rope),
        Err(gaps) => {
            missing.extend(gaps);
            None
        }
    };
    let ideal = rig.ideal_advantage().map_err(Gap::from);
    let (Some(rope), true) = (rope, missing.is_empty()) else {
        return Err(missing);
    };
    let catch = catch(rig, conditions).map_err(|gap| vec![gap])?;
    let phases = all_phases(rig, outfit, conditions, catch.as_ref()).map_err(|gap| vec![gap])?;
    let mut checks = Vec::new();
    for forces in &phases {
        if forces.phase != Phase::Frictionless {
            check_phase(rig, outfit, conditions, forces, &mut checks).map_err(|gap| vec![gap])?;
        }
    }
    let hand = |phase| {
        let forces = phases.iter().find(|forces: &&Forces| forces.phase == phase);
        forces.and_then(|forces| forces.hand)
    };
    let crew = |phase| hand(phase).map_or(0, |hand| people(hand.high(), conditions.pull_each));
    let caught = catch.as_ref().is_none_or(|catch| catch.passes);
    Ok(Assessment {
        rig: rig.key().to_owned(),
        passes: caught && checks.iter().all(|check| check.passes),
        weakest: weakest(&checks),
        strands_at_load: rig.strands_at_load(),
        ideal_advantage: ideal.map_err(|gap| vec![gap])?,
        haulers: crew(Phase::Hauling),
        lowerers: crew(Phase::Lowering),
        rope,
        remedies: remedies(&checks, conditions),
        catch,
        warnings: warnings(rig, &phases, conditions),
        assumptions: assumptions(rig, outfit, conditions),
        cautions: CAUTIONS
            .iter()
            .map(|caution| (*caution).to_owned())
            .collect(),
        phases,
        checks,
    })
}

/// The catch, if the rig has a rope for it and the job gives its numbers.
fn catch(rig: &Rig, conditions: &Conditions) -> Result<Option<Arrest>, Gap> {
    match &conditions.exceptional.catch {
        Some(given) if rig.catches() => arrest(conditions.load, given).map(Some),
        _ => Ok(None),
    }
}

/// The forces of every phase that the rig has and the job asks for, frictionless first.
fn all_phases(
    rig: &Rig,
    outfit: &Outfit,
    conditions: &Conditions,
    catch: Option<&Arrest>,
) -> Result<Vec<Forces>, Gap> {
    let load = Some(Band::exactly(conditions.load));
    let hauls = !rig.only_lowers();
    let stuck = conditions.exceptional.stuck_pull.filter(|_| hauls);
    let phases = [
        (Phase::Frictionless, load),
        (Phase::Hauling, load.filter(|_| hauls)),
        (Phase::Lowering, load),
        (Phase::Held, load.filter(|_| rig.has_capture())),
        (Phase::AtRest, load),
        (Phase::StuckLoad, stuck.map(Band::exactly)),
        (Phase::BelayCatch, catch.map(|catch| catch.peak)),
    ];
    phases
        .into_iter()
        .filter_map(|(phase, given)| Some((phase, given?)))
        .map(|(phase, given)| solve_band(rig, outfit, given, phase).map_err(Gap::from))
        .collect()
}

fn check_phase(
    rig: &Rig,
    outfit: &Outfit,
    conditions: &Conditions,
    forces: &Forces,
    checks: &mut Vec<Check>,
) -> Result<(), Gap> {
    for on in &forces.positions {
        let position = rig.position(&on.position);
        // A position that may stay empty, or that nothing pulls on in this phase, has no check.
        let (Some(position), Some(item)) = (position, outfit.at(&on.position)) else {
            continue;
        };
        if on.force.high().newtons() <= SAME * conditions.load.newtons() {
            continue;
        }
        for strength in strengths(item, on.mode, on.knot.as_deref(), conditions.wetness) {
            checks.push(check(
                position,
                item,
                conditions,
                (forces.phase, on),
                strength,
            )?);
        }
    }
    Ok(())
}

fn check(
    position: &Position,
    item: &Fitted,
    conditions: &Conditions,
    (phase, on): (Phase, &PositionForce),
    strength: PartStrength,
) -> Result<Check, Gap> {
    let worst = on.force.high();
    let (judged, passes) = match strength.rating.kind {
        StrengthKind::Breaking => {
            let required = required(conditions, position, phase);
            let reached = safety_factor(strength.effective, worst)?;
            let judged = Judged::Factor {
                factor: reached,
                likely: safety_factor(strength.effective, on.force.likely()).ok(),
                required: required.factor,
                source: required.source.clone(),
            };
            (judged, reaches(reached.ratio(), required.factor.ratio()))
        }
        // A maker rates a device by the load that is carried with it, however the rope runs.
        StrengthKind::RatedLoad if position.body().is_some() => {
            limit(&strength, conditions.load, "the load that is carried")
        }
        StrengthKind::WorkingLimit | StrengthKind::RatedLoad => {
            limit(&strength, worst, "the force on the item")
        }
    };
    Ok(Check {
        position: position.key().to_owned(),
        title: position.title().to_owned(),
        item: item.label.clone(),
        phase,
        mode: on.mode,
        spot: on.spot.clone(),
        force: on.force,
        strength,
        judged,
        passes,
    })
}

/// The factor that a position must reach in a phase: its own, that of what may go wrong, or the usual.
fn required<'a>(conditions: &'a Conditions, position: &Position, phase: Phase) -> &'a Requirement {
    let exceptional = conditions.exceptional.required.as_ref();
    exceptional
        .filter(|_| phase.is_exceptional())
        .or_else(|| conditions.required_at.get(position.key()))
        .unwrap_or(&conditions.required)
}

fn limit(strength: &PartStrength, against: Force, what: &str) -> (Judged, bool) {
    let judged = Judged::Limit {
        against,
        what: what.to_owned(),
    };
    let passes = reaches(strength.effective.newtons(), against.newtons());
    (judged, passes)
}

/// Whether a number reaches a limit; exactly the limit does.
pub(super) fn reaches(number: f64, limit: f64) -> bool {
    number >= limit * (1.0 - SAME)
}

/// The smallest factor; of equal ones the first, so that hauling is named before at rest.
fn weakest(checks: &[Check]) -> Option<Weakest> {
    let mut weakest: Option<(SafetyFactor, &Check)> = None;
    for check in checks {
        let Some(factor) = check.factor() else {
            continue;
        };
        let smaller =
            |(least, _): (SafetyFactor, &Check)| factor.ratio() < least.ratio() * (1.0 - SAME);
        if weakest.is_none_or(smaller) {
            weakest = Some((factor, check));
        }
    }
    weakest.map(|(factor, check)| Weakest {
        position: check.position.clone(),
        title: check.title.clone(),
        item: check.item.clone(),
        phase: check.phase,
        mode: check.mode,
        spot: check.spot.clone(),
        factor,
    })
}
