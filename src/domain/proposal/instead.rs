//! What would fill a position where a rope and a device do not take each other: one more of what is wanted there that takes
//! what is chosen, or another at the other's position.

use std::collections::{BTreeMap, BTreeSet};

use super::missing::{Judged, shorten, wanted};
use crate::domain::fitness::{Clash, KitItem, Plan, clashes};
use crate::domain::{Refusal, RefusalCode};
use crate::rigging::Position;

/// What would fill a position until a day, where some that might stand there are kept from it only since a rope and a device
/// refuse each other.
pub(super) fn instead(
    plan: &Plan<'_>,
    kit: &[KitItem<'_>],
    position: &Position,
    judged: &[Judged<'_>],
    until: &str,
) -> Option<String> {
    let clashing: Vec<Clash<'_>> = judged
        .iter()
        .filter(|(_, refusals)| !refusals.is_empty() && refusals.iter().all(is_of_rope))
        .flat_map(|(offered, _)| {
            let candidate = KitItem {
                item: offered.item,
                model: offered.model,
                position: Some(position.key()),
            };
            clashes(candidate, kit, plan)
        })
        .collect();
    let is_rope = clashing.first()?.rope.position == Some(position.key());
    let mut asked: BTreeSet<String> = BTreeSet::new();
    let mut others: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for clash in &clashing {
        let (rope, device) = (
            format!(", {}", clash.takes()),
            format!(" that takes {}", clash.gives()),
        );
        let (here, there, own, other) = if is_rope {
            (clash.rope, clash.device, rope, device)
        } else {
            (clash.device, clash.rope, device, rope)
        };
        asked.insert(format!("{own} ({})", there.item.mark));
        let place = there.position.and_then(|key| plan.rig.position(key));
        let Some(place) = place else { continue };
        let too = if !is_rope && clash.meets_others {
            " that the other devices on it take too"
        } else {
            ""
        };
        let what = format!(
            "{}{other} at \"{}\"{too}",
            wanted(plan, place),
            place.title()
        );
        others.entry(what).or_default().push(here.item.mark.clone());
    }
    let others = others.into_iter().map(|(what, mut marks)| {
        shorten(&mut marks);
        format!("{what}, with which {} may go here", marks.join(" or "))
    });
    Some(format!(
        "What would fill it is one more {}{}, fit until {until}; or else {}.",
        wanted(plan, position),
        asked.into_iter().collect::<Vec<_>>().join(" and"),
        others.collect::<Vec<_>>().join(", or ")
    ))
}

fn is_of_rope(refusal: &Refusal) -> bool {
    matches!(
        refusal.code,
        RefusalCode::RopeDiameter | RefusalCode::RopeKind
    )
}
