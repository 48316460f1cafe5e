//! What nobody said of a strop or a sling that goes round something: the rest is judged without it.

use super::{KitGap, KitItem, Plan};
use crate::domain::Kind;
use crate::domain::fitness::{lies_round, takes_strop};

/// That the plan does not say how thick the body is that a strop goes round; or, where it does, that what stands there
/// has no length by which it is known as a strop.
pub(super) fn unsaid(plan: &Plan<'_>, kit: &[KitItem<'_>]) -> Option<KitGap> {
    let (code, sentence) = match plan.job.setup.anchor_girth {
        None => {
            let goes = that_go(kit, |item| lies_round(item, plan))?;
            let sentence = format!(
                "Nobody said how thick the body is that {goes} round, so whether it is long enough is not judged. Write \
                 the girth of the anchor in the plan, and what is too short for it is refused."
            );
            ("no-girth", sentence)
        }
        Some(girth) => {
            let goes = that_go(kit, |item| is_of_no_length(item, plan))?;
            let sentence = format!(
                "Whether {goes} round {girth} is not judged: no length is on record, as of a plate or a clamp. If it is \
                 a strop, write its length on its record."
            );
            ("no-strop", sentence)
        }
    };
    Some(KitGap::at(code, None, sentence))
}

/// Those of the kit by their names, with the verb: "SL-3 goes", "SL-3 and SL-4 go".
fn that_go(kit: &[KitItem<'_>], is: impl Fn(&KitItem<'_>) -> bool) -> Option<String> {
    let found = kit.iter().filter(|item| is(item));
    let named = found.map(|item| match item.item.attributes.length("length") {
        Some(length) => format!("{} ({length})", item.label()),
        None => item.label(),
    });
    let named: Vec<String> = named.collect();
    match named.as_slice() {
        [] => None,
        [one] => Some(format!("{one} goes")),
        more => Some(format!("{} go", more.join(" and "))),
    }
}

fn is_of_no_length(item: &KitItem<'_>, plan: &Plan<'_>) -> bool {
    let place = item.position.and_then(|key| plan.rig.position(key));
    item.model.kind == Kind::AnchorDevice
        && place.is_some_and(takes_strop)
        && !lies_round(item, plan)
}
