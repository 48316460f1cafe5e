//! The verdict: every part of a fitted rig against the force on it, in every phase.

use super::assumption::{assumptions, warnings};
use super::catch::arrest;
use super::gap::{Gap, gaps};
use super::held::{self, grips};
use super::need::{people, rope_need};
use super::part::{is_by_approval, strengths};
use super::remedy::remedies;
use super::solve::solve_band;
use super::{
    Arrest, Assessment, BELAY_OPEN, Band, ByApproval, CATCH_OPEN, CAUTIONS, Check, Conditions,
    FALL_OPEN, Fitted, Force, Forces, Judged, Outfit, PartStrength, Phase, Position, PositionForce,
    Requirement, Rig, SafetyFactor, Strength, StrengthKind, Unjudged, Weakest, safety_factor,
};

/// Two numbers this near are the same: what differs is the rounding of the computer, not the rig.
const SAME: f64 = 1e-9;

/// Judges a fitted rig under the conditions of a job.
///
/// Each position is judged in each phase, for each way in which it is loaded, on the worst force
/// that the given ranges of friction allow. A breaking strength, after everything that is taken off
/// it, must be at least the required factor times the force. A working limit must be at least the
/// force; a rated load, of a device that a rope runs through, at least the load. A rated load that is a mass must be at
/// least the load too, and in work as planned the force; a catch and a stuck load are no load that is carried, so they
/// are held against strengths alone, and what has none is not judged there. Exactly the limit
/// passes. In a catch a breaking strength is held to a factor for a catch alone: where none is set it is not judged,
/// but fails where it is below the force. What an approval stands for is in no check.
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
    let (mut checks, mut unjudged) = (Vec::new(), Vec::new());
    for forces in phases.iter().filter(|one| one.phase != Phase::Frictionless) {
        let judged = (&mut checks, &mut unjudged);
        check_phase(rig, outfit, conditions, forces, judged).map_err(|gap| vec![gap])?;
    }
    if catch.is_none() {
        unjudged.extend(never_caught(rig, outfit, &checks).map_err(|gap| vec![gap])?);
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
        open: open_words(
            rig,
            conditions,
            catch.is_none() || leave_catch_open(rig, &unjudged),
        ),
        warnings: warnings(rig, &phases, conditions)
            .into_iter()
            .chain(held::warnings(rig, outfit, &phases))
            .collect(),
        unjudged,
        by_approval: by_approval(rig, outfit),
        catch,
        assumptions: assumptions(rig, outfit, conditions),
        cautions: CAUTIONS
            .iter()
            .map(|caution| (*caution).to_owned())
            .collect(),
        phases,
        checks,
    })
}

/// Whether it can be told how the load hangs on a belay.
fn hangs_on_belay(rig: &Rig, conditions: &Conditions) -> bool {
    rig.has_belay() && !conditions.exceptional.belay_aside
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
        (
            Phase::OnBelay,
            load.filter(|_| hangs_on_belay(rig, conditions)),
        ),
        (Phase::StuckLoad, stuck.map(Band::exactly)),
        (Phase::BelayCatch, catch.map(|catch| catch.peak)),
    ];
    phases
        .into_iter()
        .filter_map(|(phase, given)| Some((phase, given?)))
        .map(|(phase, given)| solve_band(rig, outfit, given, phase).map_err(Gap::from))
        .collect()
}

pub(super) fn check_phase(
    rig: &Rig,
    outfit: &Outfit,
    conditions: &Conditions,
    forces: &Forces,
    (checks, unjudged): (&mut Vec<Check>, &mut Vec<Unjudged>),
) -> Result<(), Gap> {
    let grips = grips(rig, forces);
    for on in forces.positions.iter().chain(&grips) {
        let position = rig.position(&on.position);
        // A position that may stay empty, or that nothing pulls on in this phase, has no check.
        let (Some(position), Some(item)) = (position, outfit.item_at(&on.position)) else {
            continue;
        };
        if on.force.high().newtons() <= SAME * conditions.load.newtons() {
            continue;
        }
        let known = strengths(item, on.mode, on.knot.as_deref(), conditions.wetness);
        if forces.phase.is_exceptional() && is_of_load_alone(position, &known) {
            note(
                unjudged,
                Unjudged::at(position, item, (forces.phase, on), None),
            );
        }
        for strength in known {
            let asked = required(conditions, position, forces.phase);
            let is_open = asked.is_none() && strength.rating.kind == StrengthKind::Breaking;
            let times = safety_factor(strength.effective, on.force.high())?;
            if is_open && reaches(times.ratio(), 1.0) {
                note(
                    unjudged,
                    Unjudged::at(position, item, (forces.phase, on), Some(&strength)),
                );
                continue;
            }
            let asked = asked.cloned().unwrap_or_else(no_less_than_the_force);
            let on = (forces.phase, on);
            checks.push(check(
                (position, item),
                conditions.load,
                on,
                strength,
                &asked,
            )?);
        }
    }
    Ok(())
}

/// The items that are judged by no number, since an approval stands in the place of a rating.
fn by_approval(rig: &Rig, outfit: &Outfit) -> Vec<ByApproval> {
    let positions = rig.positions().iter().enumerate();
    let fitted = positions.filter_map(|(index, position)| {
        let item = outfit.at(position.key())?;
        let mut modes = rig.modes_of(index).into_iter();
        let approval = item.by_approval.clone()?;
        modes
            .any(|mode| is_by_approval(item, mode))
            .then(|| ByApproval {
                position: position.key().to_owned(),
                title: position.title().to_owned(),
                item: item.label.clone(),
                approval,
            })
    });
    fitted.collect()
}

/// Whether a rating says which load may be carried with the part, and nothing of what the part holds.
fn is_of_load(position: &Position, rating: &Strength) -> bool {
    rating.kind == StrengthKind::RatedLoad && (position.body().is_some() || rating.of_mass)
}

/// Whether all that is known of a part is the load that may be carried with it.
fn is_of_load_alone(position: &Position, known: &[PartStrength]) -> bool {
    let mut ratings = known.iter().map(|strength| &strength.rating);
    !known.is_empty() && ratings.all(|rating| is_of_load(position, rating))
}

/// What a rated load is held against. A maker rates a device by the load that is carried with it, however the rope
/// runs. Of what only hangs in the rig, work as planned may ask more than the load.
fn carried(
    position: &Position,
    load: Force,
    (phase, worst): (Phase, Force),
) -> (Force, &'static str) {
    let is_device = position.body().is_some() || phase.is_exceptional();
    if is_device || reaches(load.newtons(), worst.newtons()) {
        (load, "the load that is carried")
    } else {
        (worst, "the force on the item")
    }
}

fn check(
    (position, item): (&Position, &Fitted),
    load: Force,
    (phase, on): (Phase, &PositionForce),
    strength: PartStrength,
    required: &Requirement,
) -> Result<Check, Gap> {
    let worst = on.force.high();
    let (judged, passes) = match strength.rating.kind {
        StrengthKind::Breaking => {
            let reached = safety_factor(strength.effective, worst)?;
            let judged = Judged::Factor {
                factor: reached,
                likely: safety_factor(strength.effective, on.force.likely()).ok(),
                required: required.factor,
                source: required.source.clone(),
            };
            (judged, reaches(reached.ratio(), required.factor.ratio()))
        }
        StrengthKind::RatedLoad if is_of_load(position, &strength.rating) => {
            let (against, what) = carried(position, load, (phase, worst));
            limit(&strength, against, what)
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

/// The factor that a position must reach in a phase: its own, that of what may go wrong, or the usual. The usual factor
/// is made for what hangs still or moves slowly and says nothing of a catch: without one for it there is none.
fn required<'a>(
    conditions: &'a Conditions,
    position: &Position,
    phase: Phase,
) -> Option<&'a Requirement> {
    let exceptional = &conditions.exceptional;
    let own = exceptional
        .required
        .as_ref()
        .filter(|_| phase.is_exceptional());
    if phase == Phase::BelayCatch {
        return own.or(exceptional.in_a_catch.as_ref());
    }
    own.or_else(|| conditions.required_at.get(position.key()))
        .or(Some(&conditions.required))
}

/// What is asked where no factor is set: whatever factor somebody sets, a part that breaks does not hold.
fn no_less_than_the_force() -> Requirement {
    Requirement {
        factor: SafetyFactor::from_ratio(1.0).expect("one is a factor"),
        source: "no factor for a catch is set; a part that holds less than the peak breaks"
            .to_owned(),
    }
}

/// Keeps of each position and phase what has the least room.
fn note(unjudged: &mut Vec<Unjudged>, one: Unjudged) {
    let same = |other: &&mut Unjudged| (&other.position, other.phase) == (&one.position, one.phase);
    match unjudged.iter_mut().find(same) {
        Some(other) if other.times() <= one.times() => {}
        Some(other) => *other = one,
        None => unjudged.push(one),
    }
}

/// The items that carry nothing until the main rope fails, where no catch is asked for: that they hold the load at rest
/// says nothing of a fall.
fn never_caught(rig: &Rig, outfit: &Outfit, checks: &[Check]) -> Result<Vec<Unjudged>, Gap> {
    let loaded = rig.loaded_in_a_catch().map_err(Gap::from)?;
    let works = |key: &str| {
        let mut planned = checks.iter().filter(|check| check.phase != Phase::OnBelay);
        planned.any(|check| check.position == key)
    };
    let unchecked = loaded.into_iter().filter(|key| !works(key));
    let one = |key| {
        Some(Unjudged::without_a_catch(
            rig.position(key)?,
            outfit.item_at(key)?,
        ))
    };
    Ok(unchecked.filter_map(one).collect())
}

/// Whether what is not judged leaves a catch open. What only hangs in the rig and is known by the load alone that it may
/// carry is named by itself: what stops the load is judged without it.
fn leave_catch_open(rig: &Rig, unjudged: &[Unjudged]) -> bool {
    let hangs = |one: &Unjudged| {
        let position = rig.position(&one.position);
        one.is_of_load_alone() && position.is_some_and(|position| position.body().is_none())
    };
    let mut of_catch = unjudged.iter().filter(|one| one.phase == Phase::BelayCatch);
    of_catch.any(|one| !hangs(one))
}

/// What a yes leaves open: whether another rope holds what it catches.
fn open_words(rig: &Rig, conditions: &Conditions, is_open: bool) -> Option<String> {
    let words = match (rig.has_belay(), hangs_on_belay(rig, conditions)) {
        (true, true) => FALL_OPEN,
        (true, false) => BELAY_OPEN,
        (false, _) => CATCH_OPEN,
    };
    (is_open && rig.catches()).then(|| words.to_owned())
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

/// The smallest factor; of equal ones the first, so that hauling is named before at rest. Where some part fails it is one
/// of those: a smaller factor that is enough in a catch is not what breaks first.
fn weakest(checks: &[Check]) -> Option<Weakest> {
    let fails = checks
        .iter()
        .any(|check| !check.passes && check.factor().is_some());
    let mut weakest: Option<(SafetyFactor, &Check)> = None;
    for check in checks.iter().filter(|check| !(fails && check.passes)) {
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
