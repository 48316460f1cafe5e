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
    /// The same in a few words, for what a yes leaves open; none where nothing is.
    #[serde(skip)]
    pub open: Option<&'static str>,
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
    let on_list: Vec<String> = kit
        .iter()
        .filter(|item| is_worn(item))
        .map(KitItem::label)
        .collect();
    let is_known = people.is_some();
    let others = people.is_none_or(|people| usize::from(people) > on_list.len());
    let sentence = match place {
        _ if is_own && !on_list.is_empty() => beside_own(&on_list, others),
        _ if is_own && (place.is_some() || !has_place) => {
            "The plan says that who hangs on the rope wears an own harness, which is not in this register: nothing here \
             judges it. Whoever wears it sees to it."
                .to_owned()
        }
        Some(place) => {
            let whom = match plan.job.load {
                Load::Persons(_) => "what a person hangs in",
                Load::Mass(_) | Load::Force(_) => "what a person of this load would hang in",
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
    let open = match (is_own, is_known) {
        (true, _) if on_list.is_empty() => {
            Some("the harness is the wearer's own and is not judged")
        }
        (true, _) => {
            others.then_some("the harnesses of the others are their own and are not judged")
        }
        (false, true) => Some("the harness is not judged, since none is on the list"),
        (false, false) => None,
    };
    Some(Unworn {
        open,
        position: place.map(|place| place.key().to_owned()),
        is_own,
        sentence,
    })
}

/// Whether it is what a person hangs in, at a position.
fn is_worn(item: &KitItem<'_>) -> bool {
    item.position.is_some() && matches!(item.model.kind, Kind::Harness | Kind::Litter)
}

/// What is said where own harnesses are planned and something is on the list all the same.
fn beside_own(on_list: &[String], others: bool) -> String {
    let named = on_list.join(" and ");
    let judged = if on_list.len() == 1 {
        format!("On the list is {named}, which is judged.")
    } else {
        format!("On the list are {named}, which are judged.")
    };
    let rest = if others {
        "The plan says that own harnesses are worn too, which are not in this register: the others' are their own, and \
         nothing here judges them. Whoever wears one sees to it."
    } else {
        "The plan says too that an own harness is worn, which is not in this register: if so, take off the list what \
         nobody hangs in."
    };
    format!("{judged} {rest}")
}

/// What a yes leaves open, each in a few words: that the load is light for its people, what the mechanics leave open, what is judged by its approval alone, and the harness where it is known that
/// a person hangs there. Nothing where there is no answer yet.
pub(super) fn all_open(
    answer: Option<&Assessment>,
    (light, unworn): (Option<String>, Option<&Unworn>),
) -> Vec<String> {
    let Some(answer) = answer else {
        return Vec::new();
    };
    let worn = unworn.and_then(|unworn| unworn.open).map(str::to_owned);
    let by_approval = answer.by_approval.iter().map(|one| {
        format!(
            "{} is approved to {} and not judged by a number",
            one.item, one.approval
        )
    });
    let open = light.into_iter().chain(answer.open.iter().cloned());
    let open = open.chain(by_approval).chain(answer.of_load_alone());
    open.chain(worn).collect()
}
