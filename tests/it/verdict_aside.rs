//! What a rig asks for stands beside its verdict, and how far aside a belay leaves the head of a tripod is told.

use axum::http::StatusCode;
use ropeloft::domain::Job;
use ropeloft::rigging::{Length, off_upright, shipped};
use serde_json::json;

use crate::{
    fitness_case::{Thing, job, verdict},
    job_given::{fill, planned},
    paper_reader::text_of,
    strength_of_kit_coverage::belayed,
};

fn metres(metres: f64) -> Length {
    Length::from_metres(metres).unwrap()
}

/// The kit of the tripod with a belay, and how high its head stands.
fn of_height(height: &str) -> Vec<Thing> {
    let mut kit = belayed();
    kit[3] = kit[3].clone().with(&[("height", height)]);
    kit
}

fn apart(distance: &str) -> Job {
    job(|draft| {
        draft.rig = "tripod-with-belay".into();
        draft.between_anchors = distance.into();
        draft.catch_slack = "0.3 m".into();
        draft.catch_rope = "6 m".into();
        draft.exceptional_factor = "2".into();
    })
}

/// What is said of the angle: it leaves the catch open, and never the rest.
fn said(distance: &str, kit: &[Thing]) -> Option<String> {
    let answer = verdict(&apart(distance), kit);
    let assessment = answer.assessment.as_ref();
    let assessment = assessment.unwrap_or_else(|| panic!("{:?}", answer.gaps));
    let mut lacks = answer.catch_lacks.iter();
    let wide = lacks.find(|gap| gap.code == "belay-aside")?;
    assert!(assessment.catch.is_none());
    assert!(
        answer.open.iter().any(|open| open.contains("belay")),
        "{:?}",
        answer.open
    );
    assert!(
        !answer.sentence.starts_with("Strong enough"),
        "{}",
        answer.sentence
    );
    Some(wide.sentence.clone())
}

#[test]
fn the_angle_is_that_of_the_triangle() {
    // Whole-numbered triangles, height and hypotenuse: 3-4-5, 5-12-13, 8-15-17; the angle by its tangent, the other way.
    for (height, aside, straight) in [(3.0, 4.0, 5.0), (12.0, 5.0, 13.0), (15.0, 8.0, 17.0)] {
        let found = off_upright(metres(height), metres(straight)).unwrap();
        assert!((found.radians() - f64::atan2(aside, height)).abs() < 1e-9);
    }
    assert!(off_upright(metres(2.0), metres(2.0)).unwrap().degrees() < 1e-6);
    assert!(off_upright(metres(2.0), metres(1.99)).is_none());
}

#[test]
fn the_tripods_count_their_belay_at_fifteen_degrees() {
    for rig in shipped() {
        let asides = rig.asides();
        let is_tripod = rig.key().starts_with("tripod-with-belay");
        assert_eq!(asides.len(), usize::from(is_tripod), "{}", rig.key());
        for aside in asides {
            assert!((aside.counted.degrees() - 15.0).abs() < 1e-9);
            assert_eq!(
                (aside.tripod.key(), aside.anchor),
                ("tripod", "the anchor of the belay")
            );
        }
    }
}

#[test]
fn a_belay_that_leaves_wider_than_counted_is_told_with_both_angles() {
    // acos(2.3 / 3) is 39.94 degrees; 2.3 m times tan 15 degrees is 0.616 m, and over cos 15 degrees 2.381 m, both cut.
    let wide = said("3 m", &of_height("2.3 m")).unwrap();
    for part in [
        "leaves the head of the tripod at 40 degrees off the upright",
        "The rig counts with 15 degrees",
        "0.61 m aside",
        "2.38 m straight",
        "judges no wider angle",
        "tripod T-1 has 2.3 m under its head",
    ] {
        assert!(wide.contains(part), "{part}: {wide}");
    }
    // acos(2.3 / 2.38) is 14.9 degrees.
    assert_eq!(said("2.38 m", &of_height("2.3 m")), None);
    let short = said("1.5 m", &of_height("2.3 m")).unwrap();
    assert!(
        short.contains("Measure along the rope") && short.contains("cannot be told"),
        "{short}"
    );
    // Without a height on record the one of the plan counts: acos(2.1 / 3) is 45.6 degrees, and 2.1 / 2.17 is 14.6.
    let planned = said("3 m", &belayed()).unwrap();
    assert!(
        planned.contains("at 46 degrees")
            && planned.contains("2.1 m from the edge up to where the rig hangs, with no height of tripod T-1 on record"),
        "{planned}"
    );
    assert_eq!(said("2.17 m", &belayed()), None);
}

#[test]
fn all_lengths_of_the_sentence_are_in_one_unit_and_told_beside_in_the_readers() {
    use ropeloft::domain::Units;
    // 10 ft are 3.048 m, and 7.5 ft are 2.286 m: acos(0.75) is 41.4 degrees.
    let wide = said("10 ft", &of_height("7.5 ft")).unwrap();
    assert!(
        wide.contains("has 3.05 m straight") && wide.contains("has 2.29 m under its head"),
        "{wide}"
    );
    assert!(
        wide.contains("41 degrees") && !wide.contains(" ft"),
        "{wide}"
    );
    let american = Units::Us.beside(&wide);
    assert!(american.contains("3.05 m (10 ft) straight"), "{american}");
}

on_both_databases! {
    async fn what_the_rig_asks_for_stands_on_the_verdict_and_on_paper(world) {
        let kit = of_height("2.3 m");
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let plan = json!({
            "rig": "tripod-with-belay", "between_anchors": "3 m", "load": "100 kg",
            "catch_slack": "0.3 m", "catch_rope": "6 m", "exceptional_factor": "2",
        });
        let job = planned(&crew, plan).await;
        fill(&crew, &job, &kit).await;
        let page = crew.get(&format!("/jobs/{job}/verdict")).await.text;
        let limit = "The belay leaves the head at 15 degrees off the load";
        let (asks, cautions) = (page.find("What this rig asks for"), page.find("What this does not tell you"));
        assert!(asks.is_some() && asks < cautions && page.contains(limit), "{page}");
        let lacks = page.split_once("What is missing to judge a catch").unwrap().1;
        assert!(lacks.contains("40 degrees off the upright") && lacks.contains("edit#f-between_anchors"), "{page}");
        assert!(page.contains("the belay leaves the tripod further aside than the rig counts with"), "{page}");
        assert!(page.contains("cut, not rounded"), "{page}");
        let sheet = crew.get(&format!("/api/v1/jobs/{job}")).await.json();
        let asks = sheet["verdict"]["rig_asks"].as_array().unwrap();
        assert!(asks.iter().any(|one| one.as_str().unwrap().starts_with(limit)), "{asks:?}");
        let file = crew.get(&format!("/jobs/{job}/kit.pdf")).await;
        assert_eq!(file.status, StatusCode::OK);
        let Some(text) = text_of(&file.bytes) else { return };
        assert!(text.contains("What this rig asks for") && text.contains("The belay leaves the head at 15 degrees"), "{text}");
    }

    async fn a_load_lighter_than_a_person_takes_the_whole_peak(world) {
        let kit = belayed();
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let plan = json!({
            "rig": "tripod-with-belay", "between_anchors": "2.17 m", "load": "100 kg",
            "catch_slack": "0.3 m", "catch_rope": "6 m", "exceptional_factor": "2",
        });
        let job = planned(&crew, plan).await;
        fill(&crew, &job, &kit).await;
        let page = crew.get(&format!("/jobs/{job}/verdict")).await.text;
        assert!(page.contains("The whole load of 100 kg is counted as one person"), "{page}");
        assert!(!page.contains("takes that share"), "{page}");
        // Of a catch a factor of 2 is asked here: where the least is to spare is said too.
        assert!(page.contains("In work as planned it is the") || page.contains("The smallest margin is at the"), "{page}");
    }

    async fn a_heavier_load_says_whose_share_it_is(world) {
        let kit = belayed();
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let plan = json!({
            "rig": "tripod-with-belay", "between_anchors": "2.17 m", "load": "180 kg",
            "catch_slack": "0.3 m", "catch_rope": "6 m", "exceptional_factor": "2",
        });
        let job = planned(&crew, plan).await;
        fill(&crew, &job, &kit).await;
        let page = crew.get(&format!("/jobs/{job}/verdict")).await.text;
        assert!(page.contains("All of the load of 180 kg is slowed down alike") && page.contains("that the rulebook plans for, takes that share of the peak"), "{page}");
        let form = crew.get(&format!("/jobs/{job}/edit")).await.text;
        assert!(form.contains("from the head of the tripod to the belay&#39;s anchor, not along the ground"), "{form}");
    }
}
