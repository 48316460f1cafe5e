//! The rulebook that a plan begins with: the team's own, unless the approvals of the register say otherwise.

use ropeloft::domain::rulebook::rulebook;
use ropeloft::domain::{Kind, Model};

use crate::fitness_case::{Thing, full_kit};

fn american(mark: &str) -> Model {
    Thing::new(
        Kind::RopeClamp,
        mark,
        &["NFPA 2500|rope grab G"],
        &["body|22 kN|breaking"],
    )
    .model
}

fn european() -> Vec<Model> {
    full_kit().into_iter().map(|thing| thing.model).collect()
}

#[test]
fn a_plan_begins_with_the_rulebook_whose_approvals_most_models_carry() {
    let book = |key: &str| rulebook(key).unwrap();
    let suits = |home: &str, models: &[Model]| {
        let suited = book(home).suited(models);
        (suited.book.key().to_owned(), suited.why)
    };
    // Nothing to tell by, or told alike: what the team works by.
    assert_eq!(suits("european", &[]).0, "european");
    assert_eq!(
        suits("us-rescue", &[]).1,
        "It is the rulebook that your team works by."
    );
    for home in ["european", "uk-lifting", "rope-access"] {
        let (key, why) = suits(home, &european());
        assert_eq!(key, home);
        assert!(why.contains("6 of the 6 approved models"), "{why}");
    }
    let (key, why) = suits("us-rescue", &european());
    assert_eq!(key, "european", "the first of those that ask alike");
    assert!(
        why.starts_with("Chosen by the register: 6 of its 6 approved models carry"),
        "{why}"
    );
    assert!(why.contains(book("us-rescue").title()), "{why}");
    let clamps: Vec<Model> = ["G-1", "G-2", "G-3"].map(american).into();
    assert_eq!(suits("european", &clamps).0, "us-rescue");
    // As many of the one as of the other: the team's.
    let mixed: Vec<Model> = clamps
        .iter()
        .cloned()
        .chain(european().into_iter().take(3))
        .collect();
    assert_eq!(suits("european", &mixed).0, "european");
    assert_eq!(suits("us-rescue", &mixed).0, "us-rescue");
    // A law that asks for no approvals is not outvoted by them.
    assert_eq!(suits("us-general", &european()).0, "us-general");
}

on_both_databases! {
    async fn the_form_of_a_job_says_why_its_rulebook_stands_there(world) {
        let crew = world.visitor(&world.crew).await;
        let form = crew.get("/jobs/new").await.text;
        assert!(form.contains("<option value=\"european\" selected>"), "{form}");
        assert!(form.contains("It is the rulebook that your team works by."), "{form}");
        let clamps: Vec<Thing> = ["G-1", "G-2"]
            .map(|mark| Thing::new(Kind::RopeClamp, mark, &["NFPA 2500|rope grab G"], &["body|22 kN|breaking"]))
            .into();
        world.shelve(&clamps).await;
        let form = crew.get("/jobs/new").await.text;
        assert!(form.contains("<option value=\"us-rescue\" selected>"), "{form}");
        assert!(form.contains("Chosen by the register: 2 of its 2 approved models"), "{form}");
    }
}
