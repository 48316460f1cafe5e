//! What a crew needs of pull, people and rope, as it was worked out for its kit.

use serde::{Deserialize, Serialize};

use crate::domain::{KitList, counted};
use crate::rigging::{Assessment, Phase, digits};

/// One thing that the crew needs, in words.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct IssuedNeed {
    /// What.
    pub what: String,
    /// How much, with its range where there is one: "0.31 kN, at most 0.35 kN: 2 people with 0.25 kN each".
    pub value: String,
}

/// Pull at the hand with its range, people, and the length of each rope; nothing while there is no answer.
pub(super) fn needs(list: &KitList) -> Vec<IssuedNeed> {
    let Some(assessment) = &list.verdict.assessment else {
        return Vec::new();
    };
    let hauling = (
        "Pull at the hand to haul",
        Phase::Hauling,
        assessment.haulers,
    );
    let lowering = (
        "Hold at the hand to lower",
        Phase::Lowering,
        assessment.lowerers,
    );
    let hands = [hauling, lowering].into_iter();
    let mut needs: Vec<IssuedNeed> = hands
        .filter_map(|(what, phase, people)| hand(list, assessment, (what, phase, people)))
        .collect();
    for need in &assessment.rope.ropes {
        let position = list.rig.position(&need.rope);
        let title = position.map_or(need.rope.as_str(), |position| position.title());
        needs.push(IssuedNeed {
            what: format!("Length needed: {title}"),
            value: format!("{} m", digits(need.length.metres(), 3)),
        });
    }
    needs
}

fn hand(
    list: &KitList,
    assessment: &Assessment,
    (what, phase, people): (&str, Phase, u32),
) -> Option<IssuedNeed> {
    let hand = assessment.forces(phase)?.hand?;
    let people = counted(people, "person", "people");
    let each = list.job.setup.pull();
    Some(IssuedNeed {
        what: what.to_owned(),
        value: format!(
            "{}, at least {} and at most {}: {people} with {each} each at the most",
            hand.likely(),
            hand.low(),
            hand.high()
        ),
    })
}
