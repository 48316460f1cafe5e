//! What the crew needs: its pull, its hands, its rope.

use super::forces::band;
use crate::{
    domain::{KitList, Units, fitness::rope_sum},
    rigging::{Assessment, Phase, Rig},
    view::{part::Facts, words},
};

/// Hand force, people and rope, each with what it comes from.
pub(super) fn needs(assessment: &Assessment, list: &KitList, rig: &Rig, units: Units) -> Facts {
    let hand = |facts: Facts, phase, what: &str, people| {
        match assessment.forces(phase).and_then(|forces| forces.hand) {
            Some(hand) => {
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
            }
            None => facts,
        }
    };
    let rope = &assessment.rope;
    let facts = Facts::default().wide();
    let facts = hand(
        facts,
        Phase::Hauling,
        "Pull at the hand to haul",
        assessment.haulers,
    );
    let facts = hand(
        facts,
        Phase::Lowering,
        "Hold at the hand to lower",
        assessment.lowerers,
    );
    let mut facts = facts
        .and(
            "Advantage without friction",
            format!(
                "{} : 1",
                words::digits(assessment.ideal_advantage.ratio(), 3)
            ),
        )
        .and("Rope through the hand", words::length(rope.hauled, units));
    for need in &rope.ropes {
        let title = rig.position(&need.rope).map(|rope| rope.title());
        facts = facts.and_from(
            format!("Length needed: {}", title.unwrap_or(&need.rope)),
            words::length(need.length, units),
            rope_sum(&list.job, rig, &list.head(), &need.rope).unwrap_or_default(),
        );
    }
    if let Some(resets) = rope.resets {
        facts = facts.and("Times it is set back", resets.to_string());
    }
    facts
}
