//! How many people hang on the rope is counted once, and a load that cannot be theirs is not taken for theirs.

use axum::http::{Method, StatusCode};
use ropeloft::domain::fitness::Plan;
use ropeloft::domain::proposal::propose;
use ropeloft::domain::{JobDraft, Kind, RefusalCode};
use serde_json::json;

use crate::{
    fitness_case::{Case, Thing, foot, job, verdict},
    issue::under,
    job_given::plan,
    proposal::{stock, strong_kit},
};

/// A double pulley that is approved for one person at once.
fn for_one() -> Thing {
    foot()
        .rated(&["axle|60 kN|breaking"])
        .approved(&["EN 12278||8 mm|13 mm||||1"])
}

/// The European rulebook counts one person with 120 kg, so that 240 kg are two, whether a plan says so or not.
fn weighing(load: &str, case: &str) -> impl Fn(&mut JobDraft) {
    let (load, case) = (load.to_owned(), case.to_owned());
    move |draft| {
        draft.load.clone_from(&load);
        draft.case.clone_from(&case);
    }
}

#[test]
fn people_are_counted_alike_by_refusal_proposal_and_verdict() {
    for (load, case, persons) in [
        ("120 kg", "", 1),
        ("121 kg", "", 2),
        ("240 kg", "", 2),
        ("120 kg", "one-person", 1),
        ("240 kg", "one-person", 2),
        ("150 kg", "rescue", 2),
    ] {
        let asked = Case::of(for_one()).on(weighing(load, case));
        let mut kit = strong_kit();
        kit[2] = for_one();
        let job = job(weighing(load, case));
        assert_eq!(verdict(&job, &kit).asked.persons, persons, "{load} {case}");
        let plan = Plan::of(&job).unwrap();
        let proposed = propose(&plan, &stock(&kit, &[]));
        let is_picked = proposed
            .picks
            .iter()
            .any(|pick| pick.item == kit[2].item.id);
        assert_eq!(is_picked, persons == 1, "{load} {case}: {proposed:?}");
        if persons == 1 {
            asked.is_fit();
            continue;
        }
        let refusals = asked.refused(&[RefusalCode::RatedLoad]);
        let sentence = &refusals[0].sentence;
        assert!(
            sentence.contains("is for 1 person at once") && sentence.contains("2 persons"),
            "{sentence}"
        );
    }
}

#[test]
fn a_rated_load_is_held_against_no_less_than_the_people_of_the_plan() {
    let clamp = |rated: &str| {
        let approval = format!("EN 567||8 mm|13 mm||{rated}");
        Thing::new(
            Kind::RopeClamp,
            "RC-1",
            &[&approval],
            &["body|15 kN|breaking"],
        )
    };
    for (rated, load, case, fits) in [
        ("200 kg", "150 kg", "rescue", false),
        ("240 kg", "150 kg", "rescue", true),
        // What the plan says of no people is held against what it weighs alone.
        ("200 kg", "150 kg", "", true),
        ("240 kg", "250 kg", "rescue", false),
    ] {
        let codes = Case::of(clamp(rated)).on(weighing(load, case)).codes();
        let is_refused = codes.contains(&RefusalCode::RatedLoad);
        assert_eq!(is_refused, !fits, "{rated} {load} {case}: {codes:?}");
    }
}

#[test]
fn a_load_below_that_of_its_people_stands_in_the_headline() {
    let kit = strong_kit();
    let light = verdict(&job(weighing("150 kg", "rescue")), &kit);
    let words = "the load is 150 kg, not the 240 kg that the rulebook counts for 2 persons";
    assert!(
        light.passes && light.sentence.contains(words),
        "{}",
        light.sentence
    );
    assert_eq!(light.open[0], words);
    // 240 kg are 529.1 lb, and 120 kg 264.6 lb: told in the unit that the load was typed in.
    let pounds = verdict(&job(weighing("330 lb", "rescue")), &kit);
    assert_eq!(
        pounds.open[0],
        "the load is 330 lb, not the 529 lb that the rulebook counts for 2 persons"
    );
    let light = pounds.light.unwrap();
    assert!(
        light
            .contains("is 330 lb, less than the 529 lb that the rulebook counts with 265 lb each:")
            && !light.contains("kg"),
        "{light}"
    );
    let whole = verdict(&job(weighing("240 kg", "rescue")), &kit);
    assert!(
        !whole.sentence.contains("the load is"),
        "{}",
        whole.sentence
    );
}

on_both_databases! {
    async fn a_load_that_cannot_be_that_of_its_people_is_not_planned(world) {
        let crew = world.visitor(&world.crew).await;
        for (load, case, asked) in [("20 kg", "rescue", "240 kg"), ("1 kg", "one-person", "120 kg"), ("119 kg", "two-persons", "240 kg")] {
            let draft = plan(&json!({"load": load, "case": case}));
            let done = crew.json(Method::POST, "/api/v1/jobs", &draft).await;
            assert_eq!(done.status, StatusCode::UNPROCESSABLE_ENTITY, "{load}: {}", done.text);
            let said = under(&done.json(), "load").join(" ");
            assert!(said.contains(load) && said.contains(asked) && said.contains("less than half"), "{said}");
        }
        // Half of it is said beside the verdict; what names no people may weigh anything.
        for (load, case) in [("120 kg", "two-persons"), ("20 kg", "")] {
            let done = crew.json(Method::POST, "/api/v1/jobs", &plan(&json!({"load": load, "case": case}))).await;
            assert_eq!(done.status, StatusCode::CREATED, "{load}: {}", done.text);
        }
        let id = crate::job_given::planned(&crew, json!({"load": "", "case": "rescue"})).await;
        let draft = plan(&json!({"load": "20 kg", "case": "rescue"}));
        let done = crew.json_if(Method::PUT, &format!("/api/v1/jobs/{id}"), "\"1\"", &draft).await;
        assert_eq!(done.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", done.text);
    }
}
