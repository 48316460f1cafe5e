//! What the crew needs: its pull, its hands, its rope.

use super::forces::band;
use crate::{
    domain::{
        KitList, Units,
        fitness::{is_long_enough, rope_sum},
    },
    rigging::{Assessment, Phase, Rig, RopeLength},
    view::{part::Facts, words},
};

/// The pull at the hand to haul and to lower, each with the people that it takes.
pub(super) fn hands(facts: Facts, assessment: &Assessment, list: &KitList, units: Units) -> Facts {
    let hand = |facts: Facts, phase, what: &str, people| {
        let Some(hand) = assessment.forces(phase).and_then(|forces| forces.hand) else {
            return facts;
        };
        let each = words::force(list.job.setup.pull(), units);
        let people = words::count(people as usize, "person", "people");
        let likely = band(hand, units);
        let high = words::force(hand.high(), units);
        // Whoever reads the likely pull and divides by it comes to fewer.
        let aside = if likely == high {
            format!("{people} with {each} each")
        } else {
            format!("{people} with {each} each, at the upper end of the range, {high}")
        };
        facts.and_from(what, likely, aside)
    };
    let facts = hand(
        facts,
        Phase::Hauling,
        "Pull at the hand to haul",
        assessment.haulers,
    );
    hand(
        facts,
        Phase::Lowering,
        "Hold at the hand to lower",
        assessment.lowerers,
    )
}

/// Whether each rope is long enough: what is needed against what the one on the list has.
pub(super) fn ropes(
    facts: Facts,
    assessment: &Assessment,
    list: &KitList,
    rig: &Rig,
    units: Units,
) -> Facts {
    let ropes = assessment.rope.ropes.iter();
    ropes.fold(facts, |facts, need| {
        let needed = words::length(need.length, units);
        let Some(entry) = list.at(&need.rope) else {
            return facts.and(title(rig, need), format!("{needed} needed"));
        };
        let mark = &entry.item.mark;
        let told = match entry.item.attributes.length("length") {
            None => format!("{needed} needed; how long {mark} is, is not known"),
            Some(length) => {
                let verdict = if is_long_enough(length, need.length) {
                    "enough"
                } else {
                    "too short"
                };
                let length = words::length(length.quantity(), units);
                format!("{verdict}: {needed} needed, {mark} is {length} long")
            }
        };
        facts.and(title(rig, need), told)
    })
}

fn title(rig: &Rig, need: &RopeLength) -> String {
    let title = rig.position(&need.rope).map(|rope| rope.title());
    title.unwrap_or(&need.rope).to_owned()
}

/// What lies behind the rope that is needed, and what the rig gains without friction.
pub(super) fn sums(assessment: &Assessment, list: &KitList, rig: &Rig, units: Units) -> Facts {
    let rope = &assessment.rope;
    let mut facts = Facts::default()
        .wide()
        .and(
            "Advantage without friction",
            format!(
                "{} : 1",
                words::digits(assessment.ideal_advantage.ratio(), 3)
            ),
        )
        .and("Rope through the hand", words::length(rope.hauled, units));
    for need in &rope.ropes {
        facts = facts.and_from(
            format!("Length needed: {}", title(rig, need)),
            words::length(need.length, units),
            rope_sum(&list.job, rig, &list.head(), &need.rope).unwrap_or_default(),
        );
    }
    if let Some(resets) = rope.resets {
        facts = facts.and("Times it is set back", resets.to_string());
    }
    facts
}
