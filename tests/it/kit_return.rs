//! Counting a kit back: every item told of once, its use logged, states and events by the rules that exist.

use axum::http::{Method, StatusCode};
use serde_json::{Value, json};
use uuid::Uuid;

use crate::{
    client::Client,
    fitness_case::Thing,
    issue::{issued, passing, under},
    job_given::{fill, planned},
    store_rebuild::again,
    world::World,
};

/// A kit that is out: the job, what is on it, and the address of its issue.
async fn out(world: &World, crew: &Client) -> (String, Vec<Thing>, String) {
    let (job, kit) = passing(world, crew).await;
    let issue = issued(world, crew, &job).await;
    let path = format!("/jobs/{job}/issues/{}", issue["id"].as_str().unwrap());
    // The crew is out for the morning.
    world.clock.advance(time::Duration::hours(3));
    (job, kit, path)
}

async fn count(crew: &Client, path: &str, draft: &Value) -> Value {
    let done = crew
        .json(Method::POST, &format!("/api/v1{path}/returns"), draft)
        .await;
    assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
    done.json()
}

async fn state_of(crew: &Client, thing: &Thing) -> Value {
    crew.get(&format!("/api/v1/items/{}", thing.item.id))
        .await
        .json()["item"]
        .clone()
}

on_both_databases! {
    async fn each_item_follows_the_rules_that_exist(world) {
        let crew = world.visitor(&world.crew).await;
        let (job, kit, path) = out(&world, &crew).await;
        let line = |thing: &Thing, fields: Value| (thing.item.id.to_string(), fields);
        let lines: serde_json::Map<String, Value> = [
            line(&kit[1], json!({"condition": "damaged", "note": "side plate bent"})),
            line(&kit[2], json!({"condition": "look-at", "note": "sheave feels rough", "hours": "1", "uses": "2"})),
            line(&kit[3], json!({"condition": "missing"})),
            line(&kit[0], json!({"condition": "fine", "water": "yes", "hours": "0", "uses": "0"})),
        ].into_iter().collect();
        let draft = json!({"hours": "2:30", "uses": "1", "loads": "4", "rest": "fine", "lines": lines, "note": "muddy"});
        let told = count(&crew, &path, &draft).await;
        assert_eq!(told["lines"].as_array().unwrap().len(), kit.len());
        assert_eq!(state_of(&crew, &kit[1]).await["state"], "quarantined");
        assert!(state_of(&crew, &kit[1]).await["state_reason"].as_str().unwrap().contains("side plate bent; muddy"));
        assert_eq!(state_of(&crew, &kit[3]).await["state"], "missing");
        let rough = state_of(&crew, &kit[2]).await;
        assert_eq!((&rough["state"], &rough["look_asked"]["note"]), (&json!("in-service"), &json!("sheave feels rough")));
        assert_eq!(rough["usage"], json!({"minutes": 60, "uses": 2, "falls": 0, "loads": 4}));
        // Under water: the rule for that event, not one of its own.
        let wet = state_of(&crew, &kit[0]).await;
        assert_eq!((&wet["state"], &wet["usage"]["loads"]), (&json!("quarantined"), &json!(4)));
        let events = crew.get(&format!("/api/v1/items/{}/events", kit[0].item.id)).await.json();
        assert_eq!(events["events"][0]["kind"], "water");
        // The rest is fine and has the use of the whole kit.
        let fine = state_of(&crew, &kit[4]).await;
        assert_eq!((&fine["state"], &fine["usage"]), (&json!("in-service"), &json!({"minutes": 150, "uses": 1, "falls": 0, "loads": 4})));
        let page = crew.get(&format!("{path}/return")).await;
        assert!(page.text.contains("accounted for") && page.text.contains("side plate bent"), "{}", page.text);
        let end = crew.post(&format!("/jobs/{job}/end"), &[("state", "closed"), ("reason", "done")]).await;
        assert_eq!(end.status, StatusCode::SEE_OTHER, "{}", end.text);
        assert_eq!(again(&world).await.differences, []);
        let home = crew.get("/").await;
        assert!(home.text.contains("1 item came back from a job to be looked at"), "{}", home.text);
        assert!(crew.get("/due").await.text.contains("1 item came back from a job to be looked at"));
        let list = crew.get("/items?waits=look").await;
        assert!(list.text.contains(&kit[2].item.mark) && !list.text.contains(&kit[4].item.mark), "{}", list.text);
    }

    async fn what_is_to_be_looked_at_goes_on_no_job_until_it_was(world) {
        let (crew, officer) = (world.visitor(&world.crew).await, world.visitor(&world.officer).await);
        world.hold_competent().await;
        let (job, kit, path) = out(&world, &crew).await;
        let draft = json!({"hours": "1", "rest": "fine", "lines": {kit[2].item.id.to_string(): {"condition": "look-at", "note": "rough"}}});
        count(&crew, &path, &draft).await;
        crew.post(&format!("/jobs/{job}/end"), &[("state", "closed"), ("reason", "done")]).await;
        let next = planned(&crew, json!({"title": "Next"})).await;
        let wanted = json!({"item": kit[2].item.mark, "position": kit[2].position.clone().unwrap()});
        let refused = crew.json(Method::POST, &format!("/api/v1/jobs/{next}/kit"), &wanted).await;
        assert_eq!(refused.status, StatusCode::CONFLICT, "{}", refused.text);
        let codes: Vec<Value> = refused.json()["refusals"].as_array().unwrap().iter().map(|one| one["code"].clone()).collect();
        assert_eq!(codes, ["look-asked"]);
        let page = crew.get(&format!("/items/{}", kit[2].item.id)).await;
        assert!(page.text.contains("Whoever counted it back wants it looked at"), "{}", page.text);
        // What else is written on its record does not answer that.
        let mut tx = world.database.read(world.team).await.unwrap();
        let draft = tx.item(kit[2].item.id).await.unwrap().unwrap().draft();
        drop(tx);
        let draft = serde_json::to_value(ropeloft::domain::ItemDraft { note: "in the red bag".into(), ..draft }).unwrap();
        let revised = officer.json_if(Method::PUT, &format!("/api/v1/items/{}", kit[2].item.id), "*", &draft).await;
        assert_eq!(revised.status, StatusCode::OK, "{}", revised.text);
        assert_eq!(state_of(&crew, &kit[2]).await["look_asked"]["note"], "rough");
        let look = [("kind", "after-event"), ("on", "2026-03-01"), ("examiner", crate::item_given::OUTSIDE), ("findings", "grit washed out"), ("verdict", "fit"), ("next_due_on", "2026-09-01")];
        crate::item_given::examine(&officer, &kit[2].item.id.to_string(), &look).await;
        assert_eq!(state_of(&crew, &kit[2]).await["look_asked"], Value::Null);
        fill(&crew, &next, &kit[2..3]).await;
        assert!(!crew.get("/").await.text.contains("came back from a job to be looked at"));
    }

    async fn it_is_counted_by_scan_in_parts_and_a_form_sent_twice_counts_once(world) {
        let crew = world.visitor(&world.crew).await;
        let (job, kit, path) = out(&world, &crew).await;
        let scanned = format!("{}\r\n\r\n {} \r\n{}", kit[0].item.mark, kit[1].item.mark.to_lowercase(), kit[0].item.mark);
        let id = Uuid::now_v7();
        for _ in 0..2 {
            let fields = [("scanned", scanned.as_str()), ("rest", ""), ("hours", "2"), ("uses", "1")];
            let done = crew.post(&format!("{path}/returns?id={id}"), &fields).await;
            assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        }
        assert_eq!(state_of(&crew, &kit[0]).await["usage"]["minutes"], 120);
        let returns = crew.get(&format!("/api/v1{path}/returns")).await.json();
        assert_eq!(returns["out"].as_array().unwrap().len(), kit.len() - 2);
        let end = crew.post(&format!("/jobs/{job}/end"), &[("state", "closed"), ("reason", "done")]).await;
        assert_eq!(end.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(end.text.contains(&kit[2].item.mark) && end.text.contains(&format!("{} items are not accounted for", kit.len() - 2)), "{}", end.text);
        // Some of it is counted: the issue cannot be taken back any more.
        let back = crew.post(&format!("{path}/take-back"), &[("reason", "x")]).await;
        assert_eq!(back.status, StatusCode::CONFLICT, "{}", back.text);
        let twice = [("scanned", kit[0].item.mark.as_str()), ("hours", "2")];
        let wrong = crew.post(&format!("{path}/returns"), &twice).await;
        assert!(wrong.text.contains("is counted already: take its line out"), "{}", wrong.text);
        let rest = json!({"hours": "2", "rest": "fine"});
        count(&crew, &path, &rest).await;
        let over = crew.json(Method::POST, &format!("/api/v1{path}/returns"), &rest).await;
        assert_eq!(over.status, StatusCode::CONFLICT, "{}", over.text);
        // The kit may change again, and be issued for the second day.
        assert!(crew.get(&format!("/jobs/{job}")).await.text.contains("Put it on"));
        issued(&world, &crew, &job).await;
        assert_eq!(again(&world).await.differences, []);
    }

    async fn every_wrong_field_is_named_and_nothing_typed_is_lost(world) {
        let crew = world.visitor(&world.crew).await;
        let (_, kit, path) = out(&world, &crew).await;
        let before = world.entries().await;
        let name = |field: &str, thing: &Thing| format!("lines[{}][{field}]", thing.item.id);
        let (condition, note, hours, odd) = (name("condition", &kit[1]), name("note", &kit[2]), name("hours", &kit[2]), name("condition", &kit[2]));
        let fields = [
            ("on", "2027-01-01"), ("hours", "ten"), ("scanned", "NO-SUCH\nX-1"), ("rest", "gone"), ("chemical", "yes"),
            (condition.as_str(), "damaged"), (note.as_str(), "<b>rough</b>"), (hours.as_str(), "-1"), (odd.as_str(), "broken"),
        ];
        let page = crew.post(&format!("{path}/returns"), &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        for said in ["not &#34;ten&#34;", "&#34;NO-SUCH&#34;", "Choose whether what has no answer", "Write what was seen on", "Choose how it came back, not &#34;broken&#34;", "value=\"&#60;b&#62;rough&#60;/b&#62;\"", "NO-SUCH\nX-1</textarea>", "value=\"damaged\" checked"] {
            assert!(page.text.contains(said), "{said}: {}", page.text);
        }
        let bare = crew.json(Method::POST, &format!("/api/v1{path}/returns"), &json!({})).await;
        assert!(under(&bare.json(), "hours")[0].contains("0 where it was not used"), "{}", bare.text);
        let none = crew.json(Method::POST, &format!("/api/v1{path}/returns"), &json!({"hours": "0"})).await;
        assert!(under(&none.json(), "scanned")[0].starts_with("Nothing was counted"), "{}", none.text);
        let acid = crew.json(Method::POST, &format!("/api/v1{path}/returns"), &json!({"hours": "0", "rest": "fine", "chemical": "yes"})).await;
        assert!(under(&acid.json(), "note")[0].contains("which chemical"), "{}", acid.text);
        let strange = json!({"hours": "0", "lines": {Uuid::now_v7().to_string(): {"condition": "fine"}}});
        let wrong = crew.json(Method::POST, &format!("/api/v1{path}/returns"), &strange).await;
        assert!(wrong.text.contains("did not go along with this issue"), "{}", wrong.text);
        assert_eq!(world.entries().await, before);
        let outsider = world.visitor(&world.outsider).await;
        assert_eq!(outsider.json(Method::POST, &format!("/api/v1{path}/returns"), &json!({"hours": "0", "rest": "fine"})).await.status, StatusCode::NOT_FOUND);
        let auditor = world.visitor(&world.auditor).await;
        assert!(!auditor.get(&format!("{path}/return")).await.text.contains("Count it back"));
    }

    async fn what_was_retired_while_it_was_out_is_counted_and_stays_retired(world) {
        let (crew, officer) = (world.visitor(&world.crew).await, world.visitor(&world.officer).await);
        let (_, kit, path) = out(&world, &crew).await;
        let step = json!({"step": "retire", "reason": "core shot"});
        officer.json(Method::POST, &format!("/api/v1/items/{}/steps", kit[0].item.id), &step).await;
        let draft = json!({"hours": "1", "rest": "fine", "water": "yes", "lines": {kit[0].item.id.to_string(): {"condition": "damaged", "note": "core shot"}}});
        count(&crew, &path, &draft).await;
        let rope = state_of(&crew, &kit[0]).await;
        assert_eq!((&rope["state"], &rope["state_reason"]), (&json!("retired"), &json!("core shot")));
        assert_eq!(state_of(&crew, &kit[1]).await["state"], "quarantined");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn what_cannot_be_of_a_count_is_refused_with_its_figures(world) {
        let crew = world.visitor(&world.crew).await;
        let (_, kit, path) = out(&world, &crew).await;
        let before = world.entries().await;
        let returns = format!("/api/v1{path}/returns");
        let own = json!({kit[0].item.id.to_string(): {"condition": "fine", "hours": "5:01"}});
        let both = json!({kit[1].item.id.to_string(): {"condition": "damaged", "note": "bent"}});
        for (draft, field, said) in [
            (json!({"hours": "1", "rest": "fine", "on": "2026-02-28"}), "on".to_owned(), "that of the issue, 2026-03-01"),
            (json!({"hours": "1", "rest": "fine", "on": "2026-03-02"}), "on".to_owned(), "2026-03-02"),
            (json!({"hours": "9999", "rest": "fine"}), "hours".to_owned(), "3:00 hours ago, and 9999:00 hours"),
            (json!({"hours": "1", "lines": own}), format!("lines[{}][hours]", kit[0].item.id), "5:01 hours"),
            (json!({"hours": "1", "scanned": kit[1].item.mark, "lines": both}), format!("lines[{}][condition]", kit[1].item.id), "scanned as back and fine, and is answered for as damaged"),
        ] {
            let wrong = crew.json(Method::POST, &returns, &draft).await;
            assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY, "{draft}: {}", wrong.text);
            let under = under(&wrong.json(), &field).join(" ");
            assert!(under.contains(said), "{draft}: {}", wrong.text);
        }
        assert_eq!(world.entries().await, before);
        // So long, with what is to spare.
        count(&crew, &path, &json!({"hours": "5", "rest": "fine", "on": "2026-03-01"})).await;
    }

    async fn of_several_things_that_it_met_the_graver_stands_first_and_each_is_named(world) {
        let crew = world.visitor(&world.crew).await;
        let (_, kit, path) = out(&world, &crew).await;
        let met = json!({"condition": "fine", "water": "yes", "chemical": "yes"});
        let bent = json!({"condition": "damaged", "note": "bent", "water": "yes", "chemical": "yes"});
        let lines = json!({kit[1].item.id.to_string(): met, kit[2].item.id.to_string(): bent});
        count(&crew, &path, &json!({"hours": "1", "lines": lines, "note": "sludge, pH not known"})).await;
        let why = async |thing| state_of(&crew, thing).await["state_reason"].as_str().unwrap().to_owned();
        let first = why(&kit[1]).await;
        assert!(first.starts_with("met a chemical: ") && first.contains("was under water") && first.contains("sludge"), "{first}");
        let second = why(&kit[2]).await;
        assert!(second.contains("bent; met a chemical and was under water; sludge"), "{second}");
        assert_eq!(again(&world).await.differences, []);
    }
}
