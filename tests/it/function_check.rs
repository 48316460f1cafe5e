//! The function check: asked by what is in the rig, answered line by line, signed by two different people.

use std::collections::BTreeSet;

use axum::http::{Method, StatusCode};
use ropeloft::domain::{Issue, Kind, Known, function_asks, function_sheet};
use serde_json::{Value, json};
use uuid::Uuid;

use crate::{
    client::Client,
    issue::{issued, passing, under},
    store_rebuild::again,
    world::World,
};

#[test]
fn the_sheet_reads_and_says_of_every_line_where_it_is_from() {
    let sheet = function_sheet();
    let keys: BTreeSet<&str> = sheet.check.iter().map(|line| line.key.as_str()).collect();
    assert_eq!(keys.len(), sheet.check.len(), "no key comes twice");
    for line in &sheet.check {
        assert!(
            !line.asks.is_empty() && !line.not_right.is_empty(),
            "{}",
            line.key
        );
        assert!(!line.from.source.is_empty(), "{}", line.key);
        // G07 to G12 are common practice without a source; nothing here claims more.
        assert_eq!(line.from.known, Known::Practice, "{}", line.key);
    }
    // G08, G09 and G12.
    for key in [
        "side-plates",
        "free-end",
        "capture-on",
        "capture-kept",
        "brake-hand",
        "lengthened",
    ] {
        assert!(keys.contains(key), "{key}");
    }
}

/// The keys of what is asked.
fn asked(issue: &Issue) -> Vec<&'static str> {
    function_asks(issue)
        .iter()
        .map(|line| line.key.as_str())
        .collect()
}

/// Answers every line, some of them otherwise.
fn answers(sheet: &Value, otherwise: &[(&str, &str)]) -> Value {
    let mut all = serde_json::Map::new();
    for line in sheet["asks"].as_array().unwrap() {
        let key = line["key"].as_str().unwrap();
        let other = otherwise.iter().find(|(one, _)| *one == key);
        all.insert(
            key.to_owned(),
            json!({"answer": other.map_or("right", |(_, answer)| answer)}),
        );
    }
    json!({ "answers": all })
}

/// An issue of the 4:1, and the address of its checks.
async fn out(world: &World, crew: &Client) -> (Value, String) {
    let (job, _) = passing(world, crew).await;
    let issue = issued(world, crew, &job).await;
    let path = format!("/jobs/{job}/issues/{}", issue["id"].as_str().unwrap());
    (issue, path)
}

on_both_databases! {
    async fn what_is_asked_follows_from_what_is_in_the_rig(world) {
        let crew = world.visitor(&world.crew).await;
        let (issue, path) = out(&world, &crew).await;
        let mut issue: Issue = serde_json::from_value(issue).unwrap();
        let whole = asked(&issue);
        for key in ["side-plates", "free-end", "capture-on", "brake-hand", "lengthened", "connectors", "knots", "anchors", "voice"] {
            assert!(whole.contains(&key), "{key}: {whole:?}");
        }
        assert!(!whole.contains(&"belay-apart") && !whole.contains(&"litter"), "{whole:?}");
        issue.verdict.captures = false;
        assert!(!asked(&issue).iter().any(|key| ["capture-on", "capture-kept", "lengthened", "free-end"].contains(key)));
        issue.verdict.belayed = true;
        assert!(asked(&issue).contains(&"belay-apart"));
        // A spare asks for nothing.
        for line in &mut issue.lines {
            if line.kind == Kind::Pulley {
                line.position = None;
            }
        }
        assert!(!asked(&issue).contains(&"side-plates"));
        let page = crew.get(&format!("{path}/check")).await;
        assert_eq!(page.status, StatusCode::OK, "{}", page.text);
        assert!(page.text.contains("common practice, no source") && page.text.contains("Nobody has signed"), "{}", page.text);
    }

    async fn two_different_people_sign_and_each_looks_at_everything(world) {
        let (crew, officer) = (world.visitor(&world.crew).await, world.visitor(&world.officer).await);
        let (_, path) = out(&world, &crew).await;
        let checks = format!("/api/v1{path}/checks");
        let sheet = crew.get(&checks).await.json();
        let id = Uuid::now_v7();
        for _ in 0..2 {
            let done = crew.json(Method::POST, &format!("{checks}?id={id}"), &answers(&sheet, &[])).await;
            assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
            assert_eq!(done.json()["looked"].as_array().unwrap().len(), sheet["asks"].as_array().unwrap().len());
        }
        let same = crew.json(Method::POST, &checks, &answers(&sheet, &[])).await;
        assert_eq!(same.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(under(&same.json(), "answers")[0].contains("signed this list already"), "{}", same.text);
        let one = crew.get(&checks).await.json();
        assert_eq!((&one["by_two"], one["signed"].as_array().unwrap().len()), (&json!(false), 1));
        let page = crew.get(&format!("{path}/check")).await;
        // The job is tomorrow: signed early, and it says so.
        assert!(page.text.contains("Signed by The crew of the north alone") && page.text.contains("signed before the job"), "{}", page.text);
        let done = officer.json(Method::POST, &checks, &answers(&sheet, &[])).await;
        assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
        let two = crew.get(&checks).await.json();
        assert_eq!(two["by_two"], true);
        let page = crew.get(&format!("{path}/check")).await;
        assert!(page.text.contains("Signed by The crew of the north and The equipment officer of the north"), "{}", page.text);
        let history = crew.get("/api/v1/history").await.json();
        assert_eq!(history["entries"][0]["kind"], "function-check-signed");
        assert_eq!(again(&world).await.differences, []);
        // Whoever changes the rig begins a new list.
        let next = crew.json(Method::POST, &checks, &answers(&sheet, &[])).await;
        assert_eq!(next.status, StatusCode::CREATED, "{}", next.text);
        assert_eq!(crew.get(&checks).await.json()["by_two"], false);
    }

    async fn a_line_that_is_not_right_keeps_the_list_unsigned_and_says_what_to_do(world) {
        let crew = world.visitor(&world.crew).await;
        let (_, path) = out(&world, &crew).await;
        let before = world.entries().await;
        let fields = [
            ("answers[side-plates][answer]", "not-right"), ("answers[side-plates][note]", "plate of the foot pulley <open>"),
            ("answers[capture-on][answer]", "maybe"), ("answers[knots][answer]", "right"), ("at", "2026-02-01T08:00"),
        ];
        let page = crew.post(&format!("{path}/checks"), &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.text.contains("Not signed. Take the load off, close and lock the plate"), "{}", page.text);
        assert!(page.text.contains("plate of the foot pulley &#60;open&#62;"), "{}", page.text);
        assert!(page.text.contains("Answer right or not right, not &#34;maybe&#34;") && page.text.contains("Look, then answer"), "{}", page.text);
        assert!(page.text.contains("Write a time from the issue, 2026-03-01 09:30"), "{}", page.text);
        assert!(page.text.contains("value=\"right\" checked"), "what was answered stays: {}", page.text);
        let sheet = crew.get(&format!("/api/v1{path}/checks")).await.json();
        let wrong = crew.json(Method::POST, &format!("/api/v1{path}/checks"), &answers(&sheet, &[("voice", "not-right")])).await;
        let said = under(&wrong.json(), "answers[voice][answer]");
        assert!(said[0].starts_with("Not signed. Name who commands"), "{said:?}");
        let strange = json!({"answers": {"paint": {"answer": "right"}}});
        let wrong = crew.json(Method::POST, &format!("/api/v1{path}/checks"), &strange).await;
        assert!(under(&wrong.json(), "answers")[0].contains("paint"), "{}", wrong.text);
        assert_eq!(world.entries().await, before);
    }

    async fn nothing_is_signed_for_a_kit_that_is_not_out(world) {
        let crew = world.visitor(&world.crew).await;
        let (_, path) = out(&world, &crew).await;
        let sheet = crew.get(&format!("/api/v1{path}/checks")).await.json();
        let auditor = world.visitor(&world.auditor).await;
        assert!(!auditor.get(&format!("{path}/check")).await.text.contains("Sign as"));
        assert_eq!(auditor.json(Method::POST, &format!("/api/v1{path}/checks"), &answers(&sheet, &[])).await.status, StatusCode::FORBIDDEN);
        let outsider = world.visitor(&world.outsider).await;
        assert_eq!(outsider.get(&format!("{path}/check")).await.status, StatusCode::NOT_FOUND);
        assert_eq!(outsider.json(Method::POST, &format!("/api/v1{path}/checks"), &answers(&sheet, &[])).await.status, StatusCode::NOT_FOUND);
        crew.post(&format!("{path}/take-back"), &[("reason", "other rope")]).await;
        let late = crew.json(Method::POST, &format!("/api/v1{path}/checks"), &answers(&sheet, &[])).await;
        assert_eq!(late.status, StatusCode::CONFLICT, "{}", late.text);
        assert!(crew.get(&format!("{path}/check")).await.text.contains("This kit is not out any more"));
    }
}
