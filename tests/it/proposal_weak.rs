//! Kits of which some part is not strong enough: what is taken in its place, and what is said to stand in the way.

use std::collections::BTreeSet;

use ropeloft::domain::{ItemId, ModelId, proposal::Proposal};

use crate::{
    fitness_case::{connector, head, job},
    proposal::{head_of, marks, proposed, strong_kit},
};

#[test]
fn what_is_not_strong_enough_is_passed_over() {
    let mut things = strong_kit();
    // Fit for its place by every rule of the register, and too weak for the factor that is asked.
    things[1] = head().rated(&["axle|16 kN|breaking", "becket|12 kN|breaking"]);
    let weak = proposed(&job(|draft| draft.load = "200 kg".into()), &things);
    assert!(
        !weak.verdict.passes && weak.missing.is_empty(),
        "{}",
        weak.verdict.sentence
    );
    things.push(head_of("P-9"));
    let strong = proposed(&job(|draft| draft.load = "200 kg".into()), &things);
    assert!(strong.is_whole(), "{}", strong.verdict.sentence);
    assert!(marks(&strong, &things).contains(&"head=P-9".to_owned()));
}

#[test]
fn what_stands_in_the_way_is_what_cannot_be_helped() {
    let heavy = job(|draft| draft.load = "200 kg".into());
    let mut things = strong_kit();
    // The only pulley for the head is too weak. So is the connector that comes first by its mark, and one stands behind it.
    things[1] = head().rated(&["axle|16 kN|breaking", "becket|12 kN|breaking"]);
    let strong = things[4].clone();
    things[4] = connector("C-0", "head-connector").rated(&["major-axis|20 kN|breaking"]);
    things[4].model.id = ModelId::new();
    things[4].item.model = things[4].model.id;
    things[4].item.id = ItemId::new();
    let fails = |proposal: &Proposal| -> BTreeSet<String> {
        let answer = proposal.verdict.assessment.as_ref().unwrap();
        answer
            .failing()
            .map(|check| check.position.clone())
            .collect()
    };
    things.push(strong);
    let proposal = proposed(&heavy, &things);
    assert!(proposal.missing.is_empty() && !proposal.is_whole());
    assert_eq!(
        fails(&proposal),
        BTreeSet::from(["head".to_owned()]),
        "{}",
        proposal.verdict.sentence
    );
}
