//! Strengths that gear hardly ever has, and ratings that do not agree: refused in every door, unless it is said that the
//! maker states just this.

use axum::http::{Method, StatusCode};
use ropeloft::domain::{Change, FieldErrors, Kind, ModelDraft, ModelId, RatingDraft};
use ropeloft::rigging::Phase;
use serde_json::json;

use crate::item_given::{ROPE, model, with};

pub fn rating(mode: &str, value: &str, kind: &str) -> RatingDraft {
    RatingDraft {
        mode: mode.to_owned(),
        value: value.to_owned(),
        kind: kind.to_owned(),
        source: "marking".to_owned(),
        ..RatingDraft::default()
    }
}

pub fn draft(kind: Kind, ratings: Vec<RatingDraft>) -> ModelDraft {
    ModelDraft {
        kind: kind.key().to_owned(),
        maker: "Fellside".to_owned(),
        name: "Oval".to_owned(),
        life_support: "yes".to_owned(),
        ratings,
        ..ModelDraft::default()
    }
}

pub fn wrong(draft: &ModelDraft) -> Vec<(String, String)> {
    let FieldErrors(wrong) = draft.check(ModelId::new(), 1).unwrap_err();
    let pair = |error: ropeloft::domain::FieldError| (error.field, error.message);
    wrong.into_iter().map(pair).collect()
}

#[test]
fn a_lost_decimal_mark_is_asked_about_with_the_limit_and_what_was_given() {
    let typed = draft(
        Kind::Connector,
        vec![rating("major-axis", "225 kN", "breaking")],
    );
    assert_eq!(
        wrong(&typed),
        [(
            "ratings[0][value]".to_owned(),
            "Is it really 225 kN? Such gear seldom holds more than 100 kN, and a decimal mark that was lost makes it ten times too strong. Write 22.5 kN if that is meant, or confirm that 225 kN is what the maker states.".to_owned()
        )]
    );
}

#[test]
fn what_was_confirmed_holds_for_that_value_alone_and_comes_back_as_it_went_in() {
    let mut typed = draft(
        Kind::Connector,
        vec![rating("major-axis", "225 kN", "breaking")],
    );
    for said in ["yes", "225 kN", "225000 N"] {
        said.clone_into(&mut typed.ratings[0].confirmed);
        assert_eq!(typed.check(ModelId::new(), 1).is_ok(), said != "225000 N");
    }
    "225 kN".clone_into(&mut typed.ratings[0].confirmed);
    let model = typed.check(ModelId::new(), 1).unwrap();
    assert!(model.ratings[0].confirmed);
    let mut again = model.draft();
    assert_eq!(again.check(model.id, 2).unwrap().ratings, model.ratings);
    "2250 lbf".clone_into(&mut again.ratings[0].value);
    assert!(!again.check(model.id, 2).unwrap().ratings[0].confirmed);
    "250 kN".clone_into(&mut again.ratings[0].value);
    assert_eq!(wrong(&again)[0].0, "ratings[0][value]");
}

#[test]
fn ratings_that_do_not_agree_are_refused_at_the_second() {
    for (first, second, words) in [
        (
            ("axle", "15 kN", "breaking"),
            ("axle", "16 kN", "working-limit"),
            "is at most the breaking strength so loaded, 15 kN, not 16 kN.",
        ),
        (
            ("axle", "36 kN", "breaking"),
            ("axle", "25 kN", "breaking"),
            "is there already: 36 kN, and 25 kN here.",
        ),
    ] {
        let ratings = [first, second].map(|(mode, value, kind)| rating(mode, value, kind));
        let found = wrong(&draft(Kind::Pulley, ratings.into()));
        assert_eq!(found[0].0, "ratings[1][value]");
        assert!(found[0].1.contains(words), "{found:?}");
    }
    let ratings = [
        ("axle", "16 kN", "breaking"),
        ("axle", "16 kN", "working-limit"),
    ];
    let ratings = ratings.map(|(mode, value, kind)| rating(mode, value, kind));
    // As much as breaks it is no contradiction, but asked about.
    let mut same = draft(Kind::Pulley, ratings.into());
    assert!(wrong(&same)[0].1.starts_with("Is it really 16 kN?"));
    "yes".clone_into(&mut same.ratings[1].confirmed);
    same.check(ModelId::new(), 1).unwrap();
    // A connector is never stronger across or open than along its closed axis.
    for (mode, value) in [("minor-axis", "75 kN"), ("gate-open", "30.1 kN")] {
        let ratings = [("major-axis", "30 kN"), (mode, value)];
        let ratings = ratings.map(|(mode, value)| rating(mode, value, "breaking"));
        let found = wrong(&draft(Kind::Connector, ratings.into()));
        assert_eq!(found[0].0, "ratings[1][value]");
        let words = format!("is at most the one along its closed axis, 30 kN, not {value}.");
        assert!(found[0].1.contains(&words), "{found:?}");
    }
    let swivel = draft(Kind::Swivel, vec![rating("body", "225 kN", "breaking")]);
    assert!(wrong(&swivel)[0].1.starts_with("Is it really 225 kN?"));
}

#[test]
fn what_no_pulley_has_is_refused_by_its_field() {
    for (key, text, words) in [
        ("sheaves", "0", "from 1 to 10, not \"0\""),
        ("sheaves", "1000", "from 1 to 10, not \"1000\""),
        ("efficiency", "0.0001", "from 0.1 to 1"),
        ("efficiency", "1.2", "not \"1.2\""),
    ] {
        let mut typed = draft(Kind::Pulley, vec![rating("axle", "0 kN", "breaking")]);
        typed.attributes.insert(key.to_owned(), text.to_owned());
        let found = wrong(&typed);
        assert_eq!(
            found[0],
            (
                "ratings[0][value]".to_owned(),
                "A rating must be above 0, not 0 kN.".to_owned()
            )
        );
        assert_eq!(found[1].0, format!("attributes[{key}]"));
        assert!(found[1].1.contains(words), "{found:?}");
    }
}

on_both_databases! {
    async fn the_form_asks_and_keeps_what_was_typed_and_takes_the_tick(world) {
        let officer = world.visitor(&world.officer).await;
        let before = world.entries().await;
        let fields = with(&ROPE, &[("ratings[0][value]", "300 kN")]);
        let answer = officer.post("/models", &fields).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(world.entries().await, before);
        assert!(answer.text.contains("Is it really 300 kN?"), "{}", answer.text);
        let tick = "name=\"ratings[0][confirmed]\" value=\"300 kN\"";
        assert!(answer.text.contains(tick) && !answer.text.contains(&format!("{tick} checked")), "{}", answer.text);
        let typed = answer.text.split("<input").find(|one| one.contains("name=\"ratings[0][value]\"")).unwrap();
        assert!(typed.contains("value=\"300 kN\""), "what was typed stands there: {typed}");
        let id = model(&officer, &with(&fields, &[("ratings[0][confirmed]", "300 kN")])).await;
        let page = officer.get(&format!("/models/{id}")).await.text;
        assert!(page.contains("300 kN, confirmed"), "{page}");
        let history = officer.get("/history").await.text;
        let who = "Confirmed as the maker states: 300 kN, breaking strength, in a straight line";
        assert!(history.contains(who), "{history}");
        let form = officer.get(&format!("/models/{id}/edit")).await.text;
        assert!(form.contains(&format!("{tick} checked")), "{form}");
    }

    async fn programs_say_it_with_true_and_the_record_replays(world) {
        let officer = world.visitor(&world.officer).await;
        let body = |confirmed: serde_json::Value| json!({
            "kind": "connector", "maker": "Fellside", "name": "Oval", "life_support": "yes",
            "ratings": [{ "mode": "major-axis", "value": "225 kN", "kind": "breaking", "source": "paper", "confirmed": confirmed }],
        });
        let wrong = officer.json(Method::POST, "/api/v1/models", &body(json!(false))).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(wrong.json()["fields"][0]["field"], "ratings[0][value]");
        let asked = &wrong.json()["fields"][0];
        // What programs send is theirs alone: the sentence is shown to people.
        assert!(asked["message"].as_str().unwrap().ends_with(" is what the maker states."), "{asked}");
        assert_eq!(asked["beside"], "\"confirmed\": true", "{asked}");
        let loaded = json!({
            "kind": "descender", "maker": "Fellside", "name": "Let down", "life_support": "yes",
            "approvals": [{ "standard": "EN 12841", "class": "C", "rated_load": "2400 kg" }],
        });
        let wrong = officer.json(Method::POST, "/api/v1/models", &loaded).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(wrong.json()["fields"][0]["field"], "approvals[0][rated_load]");
        let mut sure = loaded;
        sure["approvals"][0]["confirmed"] = json!(true);
        let made = officer.json(Method::POST, "/api/v1/models", &sure).await;
        assert_eq!(made.status, StatusCode::CREATED, "{}", made.text);
        assert_eq!(made.json()["approvals"][0]["confirmed"], true);
        let made = officer.json(Method::POST, "/api/v1/models", &body(json!(true))).await;
        assert_eq!(made.status, StatusCode::CREATED, "{}", made.text);
        assert_eq!(made.json()["ratings"][0]["confirmed"], true);
        let open = officer.get("/api/v1/openapi.json").await.json();
        let said = &open["components"]["schemas"]["RatingDraft"]["properties"]["confirmed"];
        assert_eq!(said["type"], "boolean", "{said}");
    }

    async fn programs_are_told_every_phase_of_a_verdict(world) {
        let open = world.stranger().get("/api/v1/openapi.json").await.json();
        let told = open["components"]["schemas"]["JobSheetJson"]["properties"]["verdict"]["description"].to_string();
        let phases = Phase::JUDGED.into_iter().chain(Phase::EXCEPTIONAL).chain([Phase::Frictionless]);
        for phase in phases {
            assert!(told.contains(&format!("`{}`", phase.key())), "{told}");
        }
    }

    async fn an_older_record_without_the_word_is_read_as_it_stands(world) {
        let typed = draft(Kind::Connector, vec![RatingDraft { confirmed: "yes".to_owned(), ..rating("major-axis", "225 kN", "breaking") }]);
        let mut old = typed.check(ModelId::new(), 1).unwrap();
        old.ratings[0].confirmed = false;
        old.ratings.push(old.ratings[0].clone());
        let now = world.clock.now();
        let mut tx = world.database.write(world.team).await.unwrap();
        tx.record(&world.officer, now, Change::ModelAdded(old.clone())).await.unwrap();
        tx.commit().await.unwrap();
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.model(old.id).await.unwrap(), Some(old.clone()));
        drop(tx);
        assert_eq!(crate::store_rebuild::again(&world).await.differences, []);
    }
}
