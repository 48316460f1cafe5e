//! Whether a rope leaves the head of a tripod further aside than its rig counts with, as far as plan and record tell.
//!
//! The forces of the rig hold for the angle that it counts with, and whether the tripod stands for no wider one. A rope
//! that leaves further aside is therefore not judged: a belay's catch is left open, any other rope leaves the whole
//! answer open.

use super::{KitGap, KitItem, Plan};
use crate::domain::entered::{EnteredLength, LengthUnit};
use crate::rigging::{Aside, Duty, off_upright};

/// The code of a belay that leaves its head further aside than the rig counts with.
pub(super) const OF_BELAY: &str = "belay-aside";

/// What is not judged of each tripod of the rig, since the distance of the plan makes the rope leave further aside than
/// counted, or is none that reaches the ground.
pub(super) fn gaps(plan: &Plan<'_>, kit: &[KitItem<'_>]) -> Vec<KitGap> {
    let apart = plan.job.setup.between_anchors;
    let Some(apart) = apart.filter(|apart| apart.quantity().metres() > 0.0) else {
        return Vec::new();
    };
    let gap = |aside: Aside<'_>| {
        let mut kit = kit.iter();
        let tripod = kit.find(|item| item.position == Some(aside.tripod.key()))?;
        let on_record = tripod.model.attributes.length("height");
        // Of two heights that do not agree, that of the tripod itself: its feet and the anchor stand on one ground.
        let height = on_record.unwrap_or_else(|| plan.head.counted());
        let whence = match on_record {
            Some(_) => format!(
                "the record of {} has {} under its head",
                tripod.label(),
                told(height)
            ),
            None => format!(
                "{} from the edge up to where the rig hangs, with no height of {} on record",
                told(height),
                tripod.label()
            ),
        };
        let code = match aside.duty {
            Duty::Belay => OF_BELAY,
            Duty::Main | Duty::Twin => "rope-aside",
        };
        let sentence = said(&aside, &whence, (apart, height))?;
        Some(KitGap::at(code, None, sentence))
    };
    plan.rig.asides().into_iter().filter_map(gap).collect()
}

/// A length in metres, as all of them stand in one sentence; who reads in feet is told these beside them.
fn told(length: EnteredLength) -> String {
    length.told_in(LengthUnit::Metre)
}

fn said(
    aside: &Aside<'_>,
    whence: &str,
    (apart, height): (EnteredLength, EnteredLength),
) -> Option<String> {
    let (head, anchor) = (aside.head, aside.anchor);
    let counted = aside.counted.degrees();
    let between = told(apart);
    let Some(off) = off_upright(height.quantity(), apart.quantity()) else {
        return Some(format!(
            "The plan has {between} between {head} and {anchor}, and {whence}: \
             straight from the head to the ground it is further than that. Measure along the rope, not along the ground; \
             how far aside the rope leaves cannot be told, so it is not judged. The rig counts with {counted:.0} degrees."
        ));
    };
    if aside.is_kept(height.quantity(), apart.quantity()) {
        return None;
    }
    let metres = height.quantity().metres();
    let [aside_of_it, straight] = [
        aside.counted.radians().tan(),
        1.0 / aside.counted.radians().cos(),
    ]
    .map(|share| (metres * share * 100.0).floor() / 100.0);
    Some(format!(
        "The rope leaves {head} at {:.0} degrees off the upright, if {anchor} stands as low as the tripod's feet: the plan \
         has {between} straight between the two, and {whence}. The rig counts with \
         {counted:.0} degrees and judges no wider angle: a rope that leaves further aside can pull the tripod over. For {counted:.0} degrees {anchor} stands {aside_of_it:.2} m aside of the point under the head, \
         {straight:.2} m straight from it.",
        off.degrees()
    ))
}
