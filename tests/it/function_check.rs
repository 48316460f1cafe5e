//! The function check: asked by what is in the rig, answered line by line, signed by two different people.

use std::collections::BTreeSet;

use axum::http::{Method, StatusCode, header};
use ropeloft::domain::{Change, Issue, Kind, Known, function_asks, function_sheet};
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

/// The same as a form sends it, behind who signs with which password.
fn typed<'a>(sheet: &'a Value, (sign_in, password): (&'a str, &'a str)) -> Vec<(&'a str, &'a str)> {
    let mut fields = vec![("sign_in", sign_in), ("password", password)];
    for line in sheet["asks"].as_array().unwrap() {
        let name = format!("answers[{}][answer]", line["key"].as_str().unwrap());
        fields.push((name.leak(), "right"));
    }
    fields
}

const PASSWORD: &str = "a long way down the <old> shaft";

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
        // Whoever comes late reads who took it back, and when.
        let page = crew.get(&format!("{path}/check")).await.text;
        assert!(page.contains("This kit was taken back by The crew of the north on 2026-03-01"), "{page}");
    }

    async fn the_second_person_signs_on_the_device_of_the_first(world) {
        world.give_password(&world.officer, PASSWORD).await;
        let crew = world.visitor(&world.crew).await;
        let (_, path) = out(&world, &crew).await;
        let sheet = crew.get(&format!("/api/v1{path}/checks")).await.json();
        let before = crew.get(&format!("{path}/check")).await.text;
        assert!(before.contains("That second signature needs a line") && before.contains("data-later="), "{before}");
        assert!(!before.contains("type=\"password\""), "{before}");
        let beside = format!("{path}/checks/beside");
        let early = crew.post(&beside, &typed(&sheet, ("officer-north", PASSWORD))).await;
        assert_eq!(early.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(early.text.contains("No list waits for a second signature"), "{}", early.text);
        assert_eq!(crew.post(&format!("{path}/checks"), &typed(&sheet, ("", ""))[2..]).await.status, StatusCode::SEE_OTHER);
        let page = crew.get(&format!("{path}/check")).await.text;
        assert!(page.contains("type=\"password\"") && page.contains("Sign as the second person, on this device"), "{page}");
        assert!(page.contains("data-needs-line=") && !page.contains("data-later="), "no queue takes a password: {page}");
        // Somebody else signs on their own device as before.
        let officer = world.visitor(&world.officer).await;
        assert!(!officer.get(&format!("{path}/check")).await.text.contains("type=\"password\""));
        let sessions = crew.get("/settings/sessions").await.text;
        let id = Uuid::now_v7();
        for _ in 0..2 {
            let done = crew.post(&format!("{beside}?id={id}"), &typed(&sheet, (" Officer-North ", PASSWORD))).await;
            assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
            assert_eq!(done.header(header::SET_COOKIE).matches("ropeloft=").count(), 0, "no session: {}", done.header(header::SET_COOKIE));
        }
        assert_eq!(crew.get("/settings/sessions").await.text.matches("<li").count(), sessions.matches("<li").count());
        let two = crew.get(&format!("/api/v1{path}/checks")).await.json();
        assert_eq!((two["by_two"].clone(), two["signed"].as_array().unwrap().len()), (json!(true), 2));
        assert_eq!(two["signed"][1]["by"]["person"], json!(world.officer.person));
        assert_eq!(two["signed"][1]["on_device_of"]["person"], json!(world.crew.person));
        assert!(two["signed"][0]["on_device_of"].is_null());
        let page = crew.get(&format!("{path}/check")).await.text;
        assert!(page.contains("The equipment officer of the north, on the device of The crew of the north"), "{page}");
        let history = crew.get("/history").await.text;
        assert!(history.contains("signed by The equipment officer of the north, on the device of The crew of the north"), "{history}");
        let mut tx = world.database.read(world.team).await.unwrap();
        let size = tx.head().await.unwrap().unwrap().size;
        let entry = tx.entries_after(size - 1, 1).await.unwrap().remove(0).entry::<Change>().unwrap();
        assert_eq!(entry.actor, world.officer.person, "the entry is the signer's");
        drop(tx);
        assert_eq!(again(&world).await.differences, []);
    }

    async fn nobody_signs_beside_who_may_not_and_nothing_is_lost(world) {
        for actor in [&world.officer, &world.crew, &world.auditor, &world.outsider] {
            world.give_password(actor, PASSWORD).await;
        }
        let crew = world.visitor(&world.crew).await;
        let (_, path) = out(&world, &crew).await;
        let sheet = crew.get(&format!("/api/v1{path}/checks")).await.json();
        let beside = format!("{path}/checks/beside");
        assert_eq!(crew.post(&format!("{path}/checks"), &typed(&sheet, ("", ""))[2..]).await.status, StatusCode::SEE_OTHER);
        let before = world.entries().await;
        let note = ("answers[knots][note]", "tail <long>");
        for (given, field, words) in [
            (("officer-north", "not this one"), "password", "The sign-in name or the password is not right"),
            (("nobody", PASSWORD), "password", "The sign-in name or the password is not right"),
            (("", ""), "password", "Write your password"),
            (("crew-north", PASSWORD), "answers", "signed this list already"),
            (("auditor-north", PASSWORD), "sign_in", "is auditor, which signs nothing"),
            (("officer-south", PASSWORD), "sign_in", "of another team"),
        ] {
            let mut fields = typed(&sheet, given);
            fields.push(note);
            let answer = crew.post(&beside, &fields).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{given:?}: {}", answer.text);
            assert!(answer.text.contains(words) && answer.text.contains(&format!("#f-{field}")), "{given:?}: {}", answer.text);
            assert!(answer.text.contains("tail &#60;long&#62;") && answer.text.contains("value=\"right\" checked"), "{given:?}: {}", answer.text);
            assert!(answer.text.contains(&format!("name=\"sign_in\" value=\"{}\"", given.0)), "{given:?}: {}", answer.text);
            assert!(!answer.text.contains(PASSWORD) && !answer.text.contains("not this one"), "{}", answer.text);
        }
        // All that does not hold is said at once.
        let mut fields = typed(&sheet, ("officer-north", "not this one"));
        fields.retain(|(name, _)| *name != "answers[knots][answer]");
        let answer = crew.post(&beside, &fields).await;
        assert!(answer.text.contains("Look, then answer right or not right") && answer.text.contains("is not right. Check both"), "{}", answer.text);
        // The same limit as at the door, and there too.
        for _ in 0..10 {
            crew.post(&beside, &typed(&sheet, ("officer-north", "not this one"))).await;
        }
        let answer = crew.post(&beside, &typed(&sheet, ("officer-north", PASSWORD))).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", answer.text);
        assert!(answer.text.contains("Too many attempts to get in have failed") && answer.text.contains("value=\"right\" checked"), "{}", answer.text);
        let door = world.stranger().post("/sign-in", &[("sign_in", "officer-north"), ("password", PASSWORD)]).await;
        assert_eq!(door.status, StatusCode::TOO_MANY_REQUESTS);
        assert_eq!(world.entries().await, before, "nothing was signed");
        // Nobody asks here who may not sign themselves, or for what is another team's.
        let auditor = world.visitor(&world.auditor).await;
        assert_eq!(auditor.post(&beside, &typed(&sheet, ("crew-north", PASSWORD))).await.status, StatusCode::FORBIDDEN);
        let outsider = world.visitor(&world.outsider).await;
        assert_eq!(outsider.post(&beside, &typed(&sheet, ("officer-south", PASSWORD))).await.status, StatusCode::NOT_FOUND);
    }

    async fn what_is_recalled_since_keeps_the_rig_from_being_signed_and_shows_at_the_count(world) {
        let (crew, officer) = (world.visitor(&world.crew).await, world.visitor(&world.officer).await);
        let (issue, path) = out(&world, &crew).await;
        let checks = format!("/api/v1{path}/checks");
        let sheet = crew.get(&checks).await.json();
        for client in [&crew, &officer] {
            let done = client.json(Method::POST, &checks, &answers(&sheet, &[])).await;
            assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
        }
        let signed = crew.get(&checks).await.json();
        assert_eq!((&signed["by_two"], &signed["since"]), (&json!(true), &json!([])));
        let line = &issue["lines"][1];
        let (item, mark) = (line["item"].as_str().unwrap(), line["mark"].as_str().unwrap());
        let step = json!({"step": "quarantine", "reason": "cam spring"});
        let done = officer.json(Method::POST, &format!("/api/v1/items/{item}/steps"), &step).await;
        assert!(done.status.is_success(), "{}", done.text);
        let words = format!("Not fit any more since it was issued: {mark}");
        let page = crew.get(&format!("{path}/check")).await.text;
        assert!(page.contains(&words) && page.contains("It is in quarantine: have it examined"), "{page}");
        assert!(!page.contains("Signed by") && !page.contains("Sign as"), "{page}");
        let read = crew.get(&checks).await.json();
        assert_eq!((&read["by_two"], &read["since"][0]["item"]), (&json!(false), &json!(item)));
        let before = world.entries().await;
        let refused = crew.json(Method::POST, &checks, &answers(&sheet, &[])).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", refused.text);
        assert!(under(&refused.json(), "kit")[0].starts_with(&format!("Not signed. {mark}: It is in quarantine")), "{}", refused.text);
        assert_eq!(world.entries().await, before);
        // Whoever counts it back sees it too, until it is counted.
        let page = crew.get(&format!("{path}/return")).await.text;
        assert!(page.contains(&words) && page.contains("Keep it apart"), "{page}");
        let returns = format!("/api/v1{path}/returns");
        assert_eq!(crew.get(&returns).await.json()["since"][0]["item"], json!(item));
        let count = json!({"hours": "0", "scanned": mark});
        let done = crew.json(Method::POST, &returns, &count).await;
        assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
        assert_eq!(crew.get(&returns).await.json()["since"], json!([]));
        assert!(!crew.get(&format!("{path}/check")).await.text.contains("Not fit any more"));
    }
}
