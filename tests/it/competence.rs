//! Who is competent to examine what, held against what is recorded.

use axum::http::{Method, StatusCode};
use ropeloft::domain::{
    Competence, Ended, Holder, Kind, PersonId, Qualification, QualificationDraft, QualificationId,
};
use serde_json::{Value, json};
use time::{Date, macros::date};

use crate::{
    client::Client,
    item_given::{OUTSIDE, item, model, one_rope, rope_fields, store, with},
    store_rebuild::again,
    world::World,
};

/// A qualification of a person from 2025-03-01.
fn one(person: PersonId, kinds: &[Kind], until: Option<Date>) -> Qualification {
    Qualification {
        id: QualificationId::new(),
        holder: Holder::Person(person),
        kinds: kinds.to_vec(),
        from: date!(2025 - 03 - 01),
        until,
        evidence: "course".into(),
        address: String::new(),
        ended: None,
    }
}

#[test]
fn why_somebody_is_not_competent_is_told() {
    let person = PersonId::new();
    let knows = |qualifications| Competence {
        people: vec![(person, "Ada Vell".into())],
        qualifications,
    };
    let says = |competence: &Competence, kind, on| {
        let examiner = competence.examiner("ada vell", (PersonId::new(), "somebody"));
        examiner.covered(kind, on)
    };
    let not = |competence: &Competence, kind, on, why: &str| {
        let said = says(competence, kind, on).unwrap_err();
        assert!(said.contains(why), "{why}: {said}");
    };
    let day = date!(2026 - 02 - 01);
    not(
        &knows(Vec::new()),
        Kind::Rope,
        day,
        "is not recorded as competent",
    );
    let metal = knows(vec![one(person, &[Kind::Connector, Kind::Pulley], None)]);
    not(
        &metal,
        Kind::Rope,
        day,
        "is not for a rope: it is for connector, pulley",
    );
    assert!(says(&metal, Kind::Pulley, day).is_ok());
    not(
        &metal,
        Kind::Pulley,
        date!(2025 - 02 - 28),
        "for a pulley begins on 2025-03-01, after 2025-02-28",
    );
    // The last day is in it, as a due day is; an earlier end goes before it.
    let until = knows(vec![one(person, &[], Some(day))]);
    assert!(says(&until, Kind::AnchorDevice, day).is_ok());
    not(
        &until,
        Kind::AnchorDevice,
        date!(2026 - 02 - 02),
        "for an anchor device ended on 2026-02-01, before 2026-02-02",
    );
    let ended = Ended {
        on: date!(2026 - 01 - 15),
        reason: "left".into(),
    };
    let ended = knows(vec![one(person, &[], Some(day)).ended(ended)]);
    not(&ended, Kind::Rope, day, "ended on 2026-01-15");
    // One that holds goes before one that is over.
    let over = one(person, &[], Some(date!(2025 - 12 - 31)));
    let both = knows(vec![over, one(person, &[Kind::Rope], None)]);
    assert!(says(&both, Kind::Rope, day).is_ok());
    assert_eq!(both.who(Kind::Rope, day), ["Ada Vell"]);
    assert!(both.who(Kind::Helmet, day).is_empty());
}

#[test]
fn every_wrong_field_of_a_qualification_is_named() {
    let draft = QualificationDraft {
        person: "x".into(),
        name: "Somebody".into(),
        kinds: "rope, ladder".into(),
        from: "2026-02-02".into(),
        until: "2026-02-01".into(),
        ..QualificationDraft::default()
    };
    let wrong = draft
        .check(QualificationId::new(), date!(2026 - 03 - 01))
        .unwrap_err();
    let fields: Vec<&str> = wrong.0.iter().map(|one| one.field.as_str()).collect();
    assert_eq!(fields, ["name", "person", "kinds", "until", "evidence"]);
}

/// Records a qualification through its door and gives its id.
async fn qualified(client: &Client, draft: Value) -> String {
    let made = client
        .json(Method::POST, "/api/v1/qualifications", &draft)
        .await;
    assert_eq!(made.status, StatusCode::CREATED, "{}", made.text);
    made.json()["id"].as_str().unwrap().to_owned()
}

async fn rope(world: &World, officer: &Client) -> String {
    let store = store(officer, "Bay 9").await;
    let model = model(
        officer,
        &with(&crate::item_given::ROPE, &[("name", "Line 9")]),
    )
    .await;
    let fields = with(
        &rope_fields(&model, &store),
        &[("mark", "Q-1"), ("serial", "q1")],
    );
    let id = item(officer, &fields).await;
    assert!(world.entries().await > 0);
    id
}

/// A periodic examination that passes everything.
async fn looked(client: &Client, item: &str, changes: Value) -> (StatusCode, Value) {
    let mut draft =
        json!({"kind": "periodic", "on": "2026-02-27", "verdict": "fit", "rest": "pass"});
    for (name, value) in changes.as_object().unwrap() {
        draft[name] = value.clone();
    }
    let path = format!("/api/v1/items/{item}/examinations");
    let answer = client.json(Method::POST, &path, &draft).await;
    (answer.status, answer.json())
}

fn why(answer: &Value) -> &str {
    assert_eq!(answer["fields"][0]["field"], "examiner", "{answer}");
    answer["fields"][0]["message"].as_str().unwrap()
}

on_both_databases! {
    async fn a_new_team_says_first_whom_it_holds_competent(world) {
        let officer = world.visitor(&world.officer).await;
        let id = rope(&world, &officer).await;
        let form = officer.get(&format!("/items/{id}/examinations/new")).await.text;
        assert!(form.contains("Nobody of your team is recorded as competent") && form.contains("href=\"/competence\""), "{form}");
        let before = world.entries().await;
        let (status, answer) = looked(&officer, &id, json!({})).await;
        assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(why(&answer).contains("is not recorded as competent to examine"), "{answer}");
        // To take it out of use, and to look before use, nobody needs to be.
        let (status, _) = looked(&officer, &id, json!({"kind": "pre-use"})).await;
        assert_eq!((status, world.entries().await), (StatusCode::CREATED, before + 1));
        let admin = world.visitor(&world.admin).await;
        let page = admin.get("/competence").await.text;
        assert!(page.contains("Nobody is recorded as competent yet"), "{page}");
        let person = world.officer.person.to_string();
        let fields = [("person", person.as_str()), ("kinds", "rope"), ("kinds", "cord"), ("evidence", "course <b>of</b> 2024"), ("from", "2024-05-01")];
        let made = admin.post("/competence", &fields).await;
        assert_eq!(made.status, StatusCode::SEE_OTHER, "{}", made.text);
        for page in ["/competence".to_owned(), format!("/people/{person}")] {
            let page = admin.get(&page).await.text;
            assert!(page.contains("rope, cord") && page.contains("course &#60;b&#62;of&#60;/b&#62; 2024"), "{page}");
        }
        let (status, done) = looked(&officer, &id, json!({})).await;
        assert_eq!(status, StatusCode::CREATED, "{done}");
        assert!(done["qualification"].is_string());
        let (_, answer) = looked(&officer, &id, json!({"on": "2024-04-30"})).await;
        assert!(why(&answer).contains("begins on 2024-05-01"), "{answer}");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn an_end_is_kept_and_what_was_done_before_stands(world) {
        let given = one_rope(&world).await;
        let admin = world.visitor(&world.admin).await;
        let all = admin.get("/api/v1/qualifications").await.json();
        let all = all["qualifications"].as_array().unwrap();
        let outside = all.iter().find(|one| one["name"] == OUTSIDE).unwrap();
        let id = outside["record"]["id"].as_str().unwrap();
        let look = |on: &str| json!({"on": on, "examiner": OUTSIDE.to_uppercase()});
        assert_eq!(looked(&given.officer, &given.item, look("2026-02-20")).await.0, StatusCode::CREATED);
        let end = async |on: &'static str, reason: &'static str| {
            admin.post(&format!("/competence/{id}/end"), &[("on", on), ("reason", reason)]).await.status
        };
        assert_eq!(end("2026-02-20", "").await, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(end("2026-03-02", "left").await, StatusCode::UNPROCESSABLE_ENTITY, "that is after today");
        assert_eq!(end("2026-02-20", "gave it up").await, StatusCode::SEE_OTHER);
        assert_eq!(end("2026-02-20", "twice").await, StatusCode::CONFLICT);
        assert_eq!(looked(&given.officer, &given.item, look("2026-02-20")).await.0, StatusCode::CREATED, "that day is in it");
        let (_, answer) = looked(&given.officer, &given.item, look("2026-02-21")).await;
        assert!(why(&answer).contains("ended on 2026-02-20, before 2026-02-21"), "{answer}");
        // One that was ended as of an earlier day since covers what was done later no more, and page and report say so.
        assert_eq!(looked(&given.officer, &given.item, json!({"on": "2026-02-26"})).await.0, StatusCode::CREATED);
        let mine = all.iter().find(|one| one["name"] == "The equipment officer of the north").unwrap();
        let mine = mine["record"]["id"].as_str().unwrap();
        let path = format!("/api/v1/items/{}/examinations", given.item);
        let last = admin.get(&path).await.json()["examinations"][0]["id"].clone();
        let page = format!("/items/{}/examinations/{}", given.item, last.as_str().unwrap());
        let before = admin.get(&page).await.text;
        assert!(before.contains("recorded as competent for this kind on that day"), "{before}");
        let fields = [("on", "2026-02-25"), ("reason", "the course was void")];
        assert_eq!(admin.post(&format!("/competence/{mine}/end"), &fields).await.status, StatusCode::SEE_OTHER);
        let after = admin.get(&page).await.text;
        let words = "the qualification was ended as of 2026-02-25 since then, a day before this examination: the course was void";
        assert!(after.contains(words) && !after.contains("for this kind on that day"), "{after}");
        let told = admin.get("/history").await.text;
        assert!(told.contains("qualification of A. Brook &#38; Co ended; it held until 2026-02-20") && told.contains("gave it up"), "{told}");
        let (_, answer) = looked(&given.officer, &given.item, json!({"examiner": "Nobody Known"})).await;
        assert!(why(&answer).contains("Nobody Known is not recorded as competent"), "{answer}");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn only_whoever_keeps_the_people_says_who_is_competent(world) {
        let admin = world.visitor(&world.admin).await;
        let draft = json!({"name": "Tol Brannick", "body": "Rope House", "evidence": "paper 7", "kinds": "rope"});
        let id = qualified(&admin, draft.clone()).await;
        for actor in [&world.officer, &world.crew, &world.auditor] {
            let other = world.visitor(actor).await;
            let page = other.get("/competence").await;
            assert!(page.status == StatusCode::OK && page.text.contains("Tol Brannick (Rope House)") && !page.text.contains("Record a qualification"), "{}", page.text);
            assert_eq!(other.json(Method::POST, "/api/v1/qualifications", &draft).await.status, StatusCode::FORBIDDEN);
            let end = other.json(Method::POST, &format!("/api/v1/qualifications/{id}/end"), &json!({"reason": "x"})).await;
            assert_eq!(end.status, StatusCode::FORBIDDEN);
        }
        let outsider = world.visitor(&world.outsider).await;
        assert_eq!(outsider.get(&format!("/competence/{id}")).await.status, StatusCode::NOT_FOUND);
        let stranger = json!({"person": world.outsider.person.to_string(), "evidence": "x"});
        let refused = admin.json(Method::POST, "/api/v1/qualifications", &stranger).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", refused.text);
    }

    async fn a_return_from_quarantine_needs_a_competent_person(world) {
        let officer = world.visitor(&world.officer).await;
        let id = rope(&world, &officer).await;
        let step = async |client: &Client, step: &'static str, reason: &'static str| {
            client.post(&format!("/items/{id}/step"), &[("step", step), ("reason", reason)]).await
        };
        assert_eq!(step(&officer, "quarantine", "wet").await.status, StatusCode::SEE_OTHER);
        let refused = step(&officer, "return-to-service", "dried").await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(refused.text.contains("Only a competent person returns it to service"), "{}", refused.text);
        world.hold_competent().await;
        assert_eq!(step(&officer, "return-to-service", "dried").await.status, StatusCode::SEE_OTHER);
        assert!(!officer.get(&format!("/items/{id}")).await.text.contains("in quarantine since"));
    }

    async fn a_team_may_have_a_second_person_confirm_a_return(world) {
        let given = one_rope(&world).await;
        let admin = world.visitor(&world.admin).await;
        let settle = [("name", "North"), ("rulebook", "european"), ("return_by_two", "yes")];
        assert_eq!(admin.post("/team", &settle).await.status, StatusCode::SEE_OTHER);
        assert_eq!(admin.get("/api/v1/team").await.json()["return_by_two"], true);
        let page = format!("/items/{}", given.item);
        let step = async |client: &Client, step: &'static str, reason: &'static str| {
            client.post(&format!("{page}/step"), &[("step", step), ("reason", reason)]).await.status
        };
        step(&given.officer, "quarantine", "wet").await;
        assert_eq!(step(&given.officer, "return-to-service", "dried & felt").await, StatusCode::SEE_OTHER);
        let text = given.officer.get(&page).await.text;
        assert!(text.contains("in quarantine since") && text.contains("asked for its return to service") && text.contains("dried &#38; felt"), "{text}");
        assert_eq!(step(&given.officer, "return-to-service", "again").await, StatusCode::CONFLICT, "not the same person");
        assert_eq!(step(&admin, "return-to-service", "felt it too").await, StatusCode::SEE_OTHER);
        let text = given.officer.get(&page).await.text;
        assert!(!text.contains("in quarantine since") && !text.contains("asked for its return"), "{text}");
        let told = given.officer.get(&format!("{page}/history")).await.text;
        assert!(told.contains("Return of RL-0042 to service asked for") && told.contains("felt it too"), "{told}");
        // An examination that finds it fit asks too, and does not bring it back by itself.
        step(&given.officer, "quarantine", "wet again").await;
        let today = json!({"on": "2026-03-01", "kind": "after-event", "findings": "sound",
            "answers": {"log": {"outcome": "pass", "note": "no mark of it"}}});
        assert_eq!(looked(&given.officer, &given.item, today.clone()).await.0, StatusCode::CREATED);
        assert!(given.officer.get(&page).await.text.contains("asked for its return to service"));
        // What happens to it meanwhile takes the asking away.
        let event = [("kind", "drop"), ("on", "2026-03-01"), ("note", "off the bench")];
        given.officer.post(&format!("{page}/events"), &event).await;
        assert!(!given.officer.get(&page).await.text.contains("asked for its return to service"));
        // What happened is looked at first, then returned by two as before.
        assert_eq!(looked(&given.officer, &given.item, today).await.0, StatusCode::CREATED);
        assert_eq!(step(&given.officer, "return-to-service", "sound").await, StatusCode::SEE_OTHER);
        assert_eq!(step(&admin, "return-to-service", "sound to me too").await, StatusCode::SEE_OTHER);
        assert!(!given.officer.get(&page).await.text.contains("in quarantine since"));
        // Another one's examination confirms as well.
        step(&given.officer, "quarantine", "wet once more").await;
        let periodic = json!({"on": "2026-03-01", "findings": "dry"});
        for client in [&given.officer, &admin] {
            assert_eq!(looked(client, &given.item, periodic.clone()).await.0, StatusCode::CREATED);
        }
        assert!(!given.officer.get(&page).await.text.contains("in quarantine since"));
        assert_eq!(again(&world).await.differences, []);
    }
}
