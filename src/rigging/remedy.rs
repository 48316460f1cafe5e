//! What would have to change for a rig to pass.

use serde::Serialize;

use super::{Check, Conditions, Force, Judged, LoadingMode, Phase, StrengthKind};

/// Every change that would do, each by itself where one is enough.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Remedies {
    /// A stronger item at each position that fails. All of them are needed.
    pub stronger: Vec<Remedy>,
    /// The heaviest load with which everything planned passes with these items; `None` where all passes
    /// or where something fails that does not grow with the load.
    pub lighter: Option<Force>,
}

/// The rating that an item would need where one fails.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Remedy {
    /// Key of the position.
    pub position: String,
    /// The position in plain words.
    pub title: String,
    /// The item that fails, as the caller calls it.
    pub item: String,
    /// How it is loaded.
    pub mode: LoadingMode,
    /// What kind of rating is short.
    pub kind: StrengthKind,
    /// The phase that asks for most.
    pub phase: Phase,
    /// The rating that would do, before everything that is taken off it.
    pub needed: Force,
}

/// What would do for the checks that fail.
pub(super) fn remedies(checks: &[Check], conditions: &Conditions) -> Remedies {
    let mut stronger: Vec<Remedy> = Vec::new();
    for check in checks.iter().filter(|check| !check.passes) {
        let Some(needed) = needed(check) else {
            continue;
        };
        let kind = check.strength.rating.kind;
        let same = |other: &&mut Remedy| {
            other.position == check.position && other.mode == check.mode && other.kind == kind
        };
        match stronger.iter_mut().find(same) {
            Some(other) if other.needed >= needed => {}
            Some(other) => (other.needed, other.phase) = (needed, check.phase),
            None => stronger.push(Remedy {
                position: check.position.clone(),
                title: check.title.clone(),
                item: check.item.clone(),
                mode: check.mode,
                kind,
                phase: check.phase,
                needed,
            }),
        }
    }
    Remedies {
        stronger,
        lighter: lighter(checks, conditions),
    }
}

/// The rating that would reach what is asked, if what is taken off it stays the same share.
fn needed(check: &Check) -> Option<Force> {
    let asked = match &check.judged {
        Judged::Factor { required, .. } => required.ratio() * check.force.high().newtons(),
        Judged::Limit { against, .. } => against.newtons(),
    };
    let strength = &check.strength;
    let left = strength.effective.newtons() / strength.rating.force.newtons();
    Force::from_newtons(asked / left).ok()
}

/// As forces grow with the load, the load may be as much of what is planned as the check with the least
/// room leaves. What may go wrong grows otherwise: a crew pulls the same on any load.
fn lighter(checks: &[Check], conditions: &Conditions) -> Option<Force> {
    let (exceptional, planned): (Vec<_>, Vec<_>) = checks
        .iter()
        .partition(|check| check.phase.is_exceptional());
    if exceptional.iter().any(|check| !check.passes) || planned.iter().all(|check| check.passes) {
        return None;
    }
    let least = planned.iter().map(|check| check.room()).fold(1.0, f64::min);
    Force::from_newtons(conditions.load.newtons() * least).ok()
}
