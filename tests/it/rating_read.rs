//! How a rating is read: a mass counts as its weight, and where it was read may be not known.

use ropeloft::domain::entered::{EnteredForce, EnteredLength};
use ropeloft::domain::{Kind, RatingDraft, RatingSource};
use serde_json::json;

use crate::{
    fitness_case::{full_kit, job, verdict},
    job_given::planned,
    world::World,
};

#[test]
fn a_mass_is_read_as_its_weight_and_a_unit_of_neither_is_refused() {
    // 1 kgf is 9.80665 N and 1 lbf 4.4482216152605 N: NIST SP 811, B.8.
    for (text, shown, newtons) in [
        ("140 kg", "140 kgf", 140.0 * 9.806_65),
        ("140 KG.", "140 kgf", 140.0 * 9.806_65),
        ("300 lb", "300 lbf", 300.0 * 4.448_221_615_260_5),
        ("22,5 kN", "22.5 kN", 22_500.0),
        ("140 kgf", "140 kgf", 140.0 * 9.806_65),
    ] {
        let force = EnteredForce::read_with_weight(text).unwrap();
        assert_eq!(force.to_string(), shown);
        assert!(
            (force.quantity().newtons() - newtons).abs() < 1e-6,
            "{text}"
        );
    }
    for (text, words) in [
        (
            "140 mm",
            "Write the unit as kN, daN, N, lbf or kgf; \"mm\" is not one of them.",
        ),
        (
            "140",
            "Write the unit behind the number: kN, daN, N, lbf or kgf.",
        ),
        ("heavy", "Write a number and its unit"),
    ] {
        let error = EnteredForce::read_with_weight(text)
            .unwrap_err()
            .to_string();
        assert!(error.contains(words), "{error}");
    }
    let draft = RatingDraft {
        mode: "body".into(),
        value: "140 kg".into(),
        kind: "rated-load".into(),
        source: "not-known".into(),
        ..RatingDraft::default()
    };
    let rating = draft
        .check(Kind::RopeClamp, &Kind::RopeClamp.into())
        .unwrap();
    assert_eq!(rating.source, RatingSource::NotKnown);
    assert_eq!(RatingDraft::from(&rating).value, "140 kgf");
    // What breaks a thing is a force, and no load that it carries.
    let breaking = RatingDraft {
        kind: "breaking".into(),
        ..draft
    };
    let wrong = breaking
        .check(Kind::RopeClamp, &Kind::RopeClamp.into())
        .unwrap_err();
    assert_eq!(wrong.0[0].field, "value");
    assert!(
        wrong.0[0].message.contains("\"kg\" is not one of them"),
        "{wrong}"
    );
}

#[test]
fn a_strength_of_which_nobody_knows_where_it_was_read_counts_and_is_named() {
    let mut kit = full_kit();
    let traced = verdict(&job(|_| {}), &kit);
    assert!(
        !traced
            .assumptions
            .iter()
            .any(|line| line.contains("Nobody noted"))
    );
    kit[2].model.ratings[0].source = RatingSource::NotKnown;
    let said = verdict(&job(|_| {}), &kit);
    assert_eq!(said.sentence, traced.sentence, "the numbers are the same");
    let line = "Nobody noted where these strengths were read, and they are taken as they stand on record: pulley P-2.";
    assert!(
        said.assumptions.iter().any(|one| one == line),
        "{:?}",
        said.assumptions
    );
}

async fn strengths(world: &World, source: &str, value: &str) -> String {
    let mut kit = crate::proposal::strong_kit();
    kit[3].model.ratings.clear();
    world.shelve(&kit).await;
    let officer = world.visitor(&world.officer).await;
    let job = planned(&officer, json!({})).await;
    let here = format!("/jobs/{job}/proposal/facts");
    let tripod = kit[3].model.id;
    let form = officer.get(&here).await.text;
    assert!(
        form.contains("not known where") && form.contains("on the gear itself"),
        "{form}"
    );
    let [revision, holds, kind] = ["revision", "ratings][body][value", "ratings][body][kind"]
        .map(|part| format!("models[{tripod}][{part}]"));
    let fields = [
        ("source", source),
        (revision.as_str(), "1"),
        (holds.as_str(), value),
        (kind.as_str(), "rated-load"),
    ];
    let done = officer.post(&here, &fields).await;
    if done.status.is_client_error() {
        return done.text;
    }
    officer.get(&format!("/models/{tripod}")).await.text
}

on_both_databases! {
    async fn the_form_for_facts_takes_a_load_in_kg_and_a_source_that_is_not_known(world) {
        let page = strengths(&world, "not-known", "900 kg").await;
        // 900 kgf are 8.826 kN.
        assert!(page.contains("900 kgf") && page.contains("not known where"), "{page}");
        assert!(page.contains("8.83"), "{page}");
    }

    async fn what_is_neither_a_load_nor_a_force_is_refused_at_its_field(world) {
        let page = strengths(&world, "marking", "6000 mm").await;
        assert!(page.contains("Write the unit as kN, daN, N, lbf or kgf; &#34;mm&#34; is not one of them."), "{page}");
        assert!(page.contains("value=\"6000 mm\""), "{page}");
    }
}

#[test]
fn a_fraction_in_one_letter_is_read_as_what_it_is() {
    for (text, read) in [
        ("2½ in", "2.5 in"),
        ("¾ in", "0.75 in"),
        ("12 ⅜ in", "12.375 in"),
    ] {
        assert_eq!(EnteredLength::read(text, None).unwrap().to_string(), read);
    }
    for text in [
        "½2 in", "2½½ in", "1.5½ in", "-½ in", "2½", "NaN m", "½5 in",
    ] {
        let why = EnteredLength::read(text, None).unwrap_err().to_string();
        assert!(why.contains("Write"), "{text}: {why}");
    }
}
