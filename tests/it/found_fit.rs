//! What did not find an item fit is answered by a later examination that does, and by no reason.

use axum::http::{Method, StatusCode};
use serde_json::{Value, json};

use crate::{
    client::{Answer, Client},
    item_given::{Given, one_rope},
    store_rebuild::again,
};

/// Records an examination: its kind, its day, its verdict. One that is not fit finds a cut.
async fn look(client: &Client, item: &str, (kind, on, verdict): (&str, &str, &str)) -> Value {
    let mut draft = json!({"kind": kind, "on": on, "verdict": verdict, "rest": "pass", "findings": "seen and felt",
        "answers": {"log": {"outcome": "pass", "note": "no mark of it"}}});
    if verdict != "fit" {
        draft["findings"] = json!("sheath cut");
        draft["answers"]["sheath"] = json!({"outcome": "fail", "note": "cut"});
    }
    let path = format!("/api/v1/items/{item}/examinations");
    let done = client.json(Method::POST, &path, &draft).await;
    assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
    done.json()
}

async fn step(client: &Client, item: &str, step: &str) -> Answer {
    let draft = json!({"step": step, "reason": "looked at again"});
    let path = format!("/api/v1/items/{item}/steps");
    client.json(Method::POST, &path, &draft).await
}

async fn drop_it(given: &Given) {
    let event = [
        ("kind", "drop"),
        ("on", "2026-02-20"),
        ("note", "off the bench"),
    ];
    let path = format!("/items/{}/events", given.item);
    let done = given.officer.post(&path, &event).await;
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
}

async fn state(given: &Given) -> Value {
    let path = format!("/api/v1/items/{}", given.item);
    given.officer.get(&path).await.json()["item"]["state"].clone()
}

/// The return is refused by page and API, and the page of the item says why.
async fn is_refused(given: &Given, on: &str) {
    let refused = step(&given.officer, &given.item, "return-to-service").await;
    assert_eq!(
        refused.status,
        StatusCode::UNPROCESSABLE_ENTITY,
        "{}",
        refused.text
    );
    let why = format!(
        "examination on {on} by The equipment officer of the north: sheath cut. No reason lifts that."
    );
    assert!(refused.text.contains(&why), "{}", refused.text);
    let page = format!("/items/{}", given.item);
    let text = given.officer.get(&page).await.text;
    assert!(
        text.contains(&why) && !text.contains("step=return-to-service"),
        "{text}"
    );
    assert!(
        !text.contains("it waits to be returned to service"),
        "{text}"
    );
    let form = given
        .officer
        .get(&format!("{page}/step?step=return-to-service"))
        .await;
    assert_eq!(form.status, StatusCode::CONFLICT);
    assert!(form.text.contains(&why), "{}", form.text);
    assert_eq!(state(given).await, "quarantined");
}

on_both_databases! {
    async fn a_newer_failed_after_event_examination_counts(world) {
        let given = one_rope(&world).await;
        drop_it(&given).await;
        look(&given.officer, &given.item, ("after-event", "2026-02-21", "fit")).await;
        look(&given.officer, &given.item, ("after-event", "2026-02-22", "quarantine")).await;
        is_refused(&given, "2026-02-22").await;
        // One of an earlier day that is written down now does not undo it, and says so.
        let done = look(&given.officer, &given.item, ("after-event", "2026-02-21", "fit")).await;
        assert!(done.to_string().contains("a thorough examination of a later day did not find it fit"), "{done}");
        is_refused(&given, "2026-02-22").await;
        // One that did not find it fit before one that did is answered.
        look(&given.officer, &given.item, ("after-event", "2026-02-24", "fit")).await;
        look(&given.officer, &given.item, ("after-event", "2026-02-23", "quarantine")).await;
        assert_eq!(step(&given.officer, &given.item, "return-to-service").await.status, StatusCode::OK);
        assert_eq!(again(&world).await.differences, []);
    }

    async fn a_back_dated_examination_answers_no_event_after_a_failed_one(world) {
        let given = one_rope(&world).await;
        drop_it(&given).await;
        look(&given.officer, &given.item, ("after-event", "2026-02-22", "quarantine")).await;
        look(&given.officer, &given.item, ("after-event", "2026-02-21", "fit")).await;
        let refused = step(&given.officer, &given.item, "return-to-service").await;
        assert_eq!(refused.status, StatusCode::CONFLICT, "{}", refused.text);
        // On the same day the order of the record decides.
        look(&given.officer, &given.item, ("after-event", "2026-02-22", "fit")).await;
        assert_eq!(step(&given.officer, &given.item, "return-to-service").await.status, StatusCode::OK);
    }

    async fn what_fails_while_it_is_held_for_something_else_is_answered_too(world) {
        let given = one_rope(&world).await;
        look(&given.officer, &given.item, ("intake", "2026-01-10", "fit")).await;
        let draft = json!({"title": "Sheath slips", "issuer": "Tarn & Fell", "issued_on": "2026-02-01",
            "maker": "Tarn & Fell", "lots": "L9", "action": "Pull the sheath."});
        let notice = given.officer.json(Method::POST, "/api/v1/notices", &draft).await.json()["id"].clone();
        look(&given.officer, &given.item, ("periodic", "2026-03-01", "quarantine")).await;
        let path = format!("/api/v1/notices/{}/items/{}", notice.as_str().unwrap(), given.item);
        let closed = given.officer.json(Method::POST, &path, &json!({"result": "the lot is fine"})).await;
        assert_eq!(closed.status, StatusCode::CREATED, "{}", closed.text);
        is_refused(&given, "2026-03-01").await;
        // A later one of the same day brings it back, and its day due is the new one.
        look(&given.officer, &given.item, ("periodic", "2026-03-01", "fit")).await;
        assert_eq!(state(&given).await, "in-service");
        let item = given.officer.get(&format!("/api/v1/items/{}", given.item)).await.json();
        assert_eq!(item["item"]["last_passed_on"], "2026-03-01");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn a_failed_periodic_examination_is_lifted_by_no_reason_also_on_a_piece(world) {
        let given = one_rope(&world).await;
        look(&given.officer, &given.item, ("intake", "2026-01-10", "fit")).await;
        look(&given.officer, &given.item, ("periodic", "2026-02-22", "quarantine")).await;
        is_refused(&given, "2026-02-22").await;
        let path = format!("/items/{}/cuts", given.item);
        let cut = [("pieces[0][mark]", "A1"), ("pieces[0][length]", "10 m"), ("rest", "not-known")];
        let done = given.officer.post(&path, &cut).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        let piece = crate::cut::marked(&world, "A1").await.id.to_string();
        let refused = step(&given.officer, &piece, "return-to-service").await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", refused.text);
        look(&given.officer, &piece, ("periodic", "2026-02-27", "fit")).await;
        assert_eq!(step(&given.officer, &piece, "return-to-service").await.status, StatusCode::OK);
    }

    async fn a_look_of_the_crew_in_quarantine_is_told_to_whoever_returns_it(world) {
        let given = one_rope(&world).await;
        let crew = world.visitor(&world.crew).await;
        assert_eq!(step(&crew, &given.item, "quarantine").await.status, StatusCode::OK);
        look(&crew, &given.item, ("pre-use", "2026-03-01", "quarantine")).await;
        let page = format!("/items/{}", given.item);
        let told = "A look did not find it fit: pre-use check on 2026-03-01 by The crew of the north: sheath cut.";
        for path in [page.clone(), format!("{page}/step?step=return-to-service")] {
            let text = given.officer.get(&path).await.text;
            assert!(text.contains(told), "{path}: {text}");
        }
        assert_eq!(step(&given.officer, &given.item, "return-to-service").await.status, StatusCode::OK);
    }
}
