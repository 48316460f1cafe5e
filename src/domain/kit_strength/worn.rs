//! What a person hangs in: whether it is on the list, and what is said where it is not.

use serde::Serialize;

use super::{KitItem, Plan};
use crate::domain::fitness::is_right_kind;
use crate::domain::{Kind, Load};
use crate::rigging::{Assessment, Position, Rig};

/// That what a person hangs in is not on the list, so that nothing judges it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Unworn {
    /// The key of the position that stands empty; none where the rig has no place for it.
    pub position: Option<String>,
    /// Whether the plan says that an own harness is meant, which is not in the register.
    pub is_own: bool,
    /// The same in a sentence.
    pub sentence: String,
}

/// The optional positions for what people hang in that stand empty while so many people hang on the rope, in the order
/// of the rig: harnesses, and where the rig has no place for one, litters.
pub(in crate::domain) fn places_unworn(
    rig: &Rig,
    people: u8,
    is_filled: impl Fn(&str) -> bool,
) -> Vec<&Position> {
    let positions = rig.positions();
    let takes_harness = |position: &&Position| is_right_kind(Kind::Harness, position);
    let is_open = |position: &&Position| position.is_optional() && !is_filled(position.key());
    let there = positions.iter().filter(|position| carries(position));
    let there = there.filter(|position| !is_open(position)).count();
    let has_harness = positions.iter().any(|position| takes_harness(&position));
    let open = positions.iter().filter(is_open);
    let open =
        open.filter(|position| carries(position) && (takes_harness(position) || !has_harness));
    open.take(usize::from(people).saturating_sub(there))
        .collect()
}

/// Whether a person hangs in what stands at a position.
fn carries(position: &Position) -> bool {
    [Kind::Harness, Kind::Litter]
        .into_iter()
        .any(|kind| is_right_kind(kind, position))
}

/// What nothing on the list stands for, where a person of this load would hang in it.
pub(super) fn unworn(plan: &Plan<'_>, kit: &[KitItem<'_>]) -> Option<Unworn> {
    let people = plan.job.people();
    let is_own = plan.job.setup.own_harness;
    let is_filled = |key: &str| kit.iter().any(|item| item.position == Some(key));
    let open = places_unworn(plan.rig, people.unwrap_or(1), is_filled);
    let has_place = plan.rig.positions().iter().any(carries);
    let place = open.first();
    let sentence = match place {
        _ if is_own && (place.is_some() || !has_place) => {
            "The plan says that who hangs on the rope wears an own harness, which is not in this register: nothing here \
             judges it. Whoever wears it sees to it."
                .to_owned()
        }
        Some(place) => {
            let whom = match plan.job.load {
                Load::Persons(_) => "what a person hangs in",
                Load::Mass(_) => "what a person of this load would hang in",
            };
            format!(
                "\"{}\" is empty: {whom} is not on the list, and nothing here judges it. Choose it, or say in the plan \
                 that an own harness is worn.",
                place.title()
            )
        }
        None if !has_place && people.is_some() => {
            "The rig has no place for what a person hangs in: nothing here judges it. Give the rig a place for it, or say in \
             the plan that an own harness is worn."
                .to_owned()
        }
        None => return None,
    };
    Some(Unworn {
        position: place.map(|place| place.key().to_owned()),
        is_own,
        sentence,
    })
}

/// What a yes leaves open, each in a few words: what the mechanics leave open, what is judged by its approval alone, and the harness where it is known that
/// a person hangs there. Nothing where there is no answer yet.
pub(super) fn all_open(
    plan: &Plan<'_>,
    answer: Option<&Assessment>,
    unworn: Option<&Unworn>,
) -> Vec<String> {
    let Some(answer) = answer else {
        return Vec::new();
    };
    let is_known = plan.job.people().is_some();
    let worn = unworn.and_then(|unworn| match (unworn.is_own, is_known) {
        (true, _) => Some("the harness is the wearer's own and is not judged"),
        (false, true) => Some("the harness is not judged, since none is on the list"),
        (false, false) => None,
    });
    let worn = worn.map(str::to_owned);
    let by_approval = answer.by_approval.iter().map(|one| {
        format!(
            "{} is approved to {} and not judged by a number",
            one.item, one.approval
        )
    });
    let open = answer.open.iter().cloned();
    open.chain(by_approval).chain(worn).collect()
}
