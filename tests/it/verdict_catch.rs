//! What is missing to judge a catch, and what is judged without it.

use ropeloft::domain::kit_strength::{KitVerdict, Outcome};
use ropeloft::domain::{Job, Kind, Zone};
use ropeloft::rigging::Phase;
use serde_json::json;

use crate::{
    fitness_case::{Thing, verdict},
    job_given::{fill, planned},
    strength_of_kit_coverage::{belayed, caught},
};

/// The kit with a belay, its ropes without what their elongation was measured with.
fn unmeasured() -> Vec<Thing> {
    let mut kit = belayed();
    for thing in kit
        .iter_mut()
        .filter(|thing| thing.model.kind == Kind::Rope)
    {
        thing.model.attributes.0.remove("elongation-test");
    }
    kit
}

fn lacks(verdict: &KitVerdict) -> Vec<&'static str> {
    verdict.catch_lacks.iter().map(|gap| gap.code).collect()
}

/// The job of [`caught`] without slack, rope and factor.
fn without_a_catch() -> Job {
    let mut draft = caught().draft(&Zone::UTC);
    draft.catch_slack.clear();
    draft.catch_rope.clear();
    draft.exceptional_factor.clear();
    draft.check(caught().id, 1, &Zone::UTC).unwrap()
}

#[test]
fn without_its_elongation_only_the_catch_stays_open() {
    let open = verdict(&caught(), &unmeasured());
    assert_eq!(open.outcome, Outcome::StrongEnough, "{:?}", open.gaps);
    let first = "Rig strong enough; a fall into the belay is not judged: of the rest, the weakest link is the ";
    assert!(open.sentence.starts_with(first), "{}", open.sentence);
    assert_eq!(lacks(&open), ["no-modulus"]);
    let said = &open.catch_lacks[0];
    assert!(
        said.sentence
            .contains("How the elongation was measured of rope R-2"),
        "{}",
        said.sentence
    );
    assert!(!said.sentence.contains("do without"), "{}", said.sentence);
    assert_eq!(said.position.as_deref(), Some("belay-rope"));
    assert_eq!(open.catch, None);
    // Everything but the catch is the same number as with it.
    let whole = verdict(&caught(), &belayed());
    let (open, whole) = (open.assessment.unwrap(), whole.assessment.unwrap());
    assert!(open.forces(Phase::BelayCatch).is_none());
    assert!(whole.forces(Phase::BelayCatch).is_some());
    for phase in [Phase::Hauling, Phase::Lowering, Phase::Held, Phase::AtRest] {
        assert_eq!(open.forces(phase), whole.forces(phase), "{phase:?}");
    }
    let belay = |one: &str| open.unjudged.iter().any(|other| other.position == one);
    assert!(belay("belay-rope") && belay("belay-device"));
}

#[test]
fn all_that_a_catch_needs_is_named_together() {
    let nothing = verdict(&without_a_catch(), &unmeasured());
    assert_eq!(
        lacks(&nothing),
        [
            "no-catch-slack",
            "no-catch-rope",
            "no-catch-factor",
            "no-modulus"
        ]
    );
    assert!(nothing.gaps.is_empty(), "{:?}", nothing.gaps);
    assert!(nothing.passes, "{}", nothing.sentence);
    assert!(lacks(&verdict(&caught(), &belayed())).is_empty());
    // Where nothing catches, nothing is missing for it.
    let plain = crate::fitness_case::job(|_| {});
    assert!(lacks(&verdict(&plain, &crate::fitness_case::full_kit())).is_empty());
}

on_both_databases! {
    async fn what_a_catch_needs_stands_together_with_the_ways_to_it(world) {
        let kit = unmeasured();
        world.shelve(&kit).await;
        let officer = world.visitor(&world.officer).await;
        let job = planned(&officer, json!({
            "rig": "tripod-with-belay", "between_anchors": "2.17 m", "catch_slack": "0.3 m", "catch_rope": "6 m",
        })).await;
        fill(&officer, &job, &kit).await;
        let page = officer.get(&format!("/jobs/{job}/verdict")).await.text;
        assert!(page.contains("Rig strong enough; a fall into the belay is not judged: "), "{page}");
        assert!(page.contains("not judged: how the belay rope stretches is not on record"), "{page}");
        let list = page.split_once("What is missing to judge a catch").unwrap().1;
        let list = list.split_once("</ul>").unwrap().0;
        let belay = kit.iter().find(|thing| thing.item.mark == "R-2").unwrap();
        for way in [
            format!("/models/{}/edit", belay.model.id),
            format!("/jobs/{job}/edit?part=catch#f-exceptional_factor"),
        ] {
            assert!(list.contains(&way), "{way}: {list}");
        }
        assert!(!list.contains("#f-catch_slack"), "what is given is not asked for: {list}");
        // Where nothing of a catch is planned, all of it is asked for at once.
        let plain = planned(&officer, json!({
            "rig": "tripod-with-belay", "between_anchors": "2.17 m", "starts_at": "2026-03-03T08:00", "ends_at": "2026-03-03T16:00",
        })).await;
        fill(&officer, &plain, &kit).await;
        let page = officer.get(&format!("/jobs/{plain}/verdict")).await.text;
        for field in ["catch_slack", "catch_rope", "exceptional_factor"] {
            assert!(page.contains(&format!("/jobs/{plain}/edit?part=catch#f-{field}")), "{field}: {page}");
        }
    }
}

/// Of a catch less is asked than of work as planned: there a small factor may have much to spare, and the smallest margin is
/// elsewhere. Both are said, whoever reads the sentence.
#[test]
fn the_smallest_margin_is_said_where_the_weakest_link_has_much_to_spare() {
    use ropeloft::domain::kit_strength::{in_one_sentence, tightest};
    let whole = verdict(&caught(), &belayed());
    let answer = whole.assessment.clone().unwrap();
    let weakest = answer.weakest.clone().unwrap();
    assert!(weakest.phase.is_exceptional(), "{weakest:?}");
    let least = tightest(&answer.checks).unwrap();
    assert!(!least.phase.is_exceptional(), "{least:?}");
    let margin = whole.margin.clone().unwrap();
    assert!(
        margin.starts_with("The smallest margin is at the "),
        "{margin}"
    );
    assert!(margin.contains(&least.item), "{margin}");
    for said in [
        &whole.sentence,
        &in_one_sentence(&Ok(answer)),
        &whole.whole(),
    ] {
        assert!(said.contains("in a catch; 2 is asked for."), "{said}");
        assert_eq!(said.matches(&margin).count(), 1, "{said}");
    }
}
