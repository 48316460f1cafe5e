//! Issuing a kit: frozen with its verdict, two people named, nothing twice, and taken back only with a reason.

use axum::http::{Method, StatusCode};
use ropeloft::{
    domain::{Change, Item, ItemStep, ItemStepped, Model, Person},
    store::StoreError,
};
use serde_json::{Value, json};
use time::{Duration, macros::date};
use uuid::Uuid;

use crate::{
    client::Client,
    fitness_case::{Thing, full_kit, head, tripod},
    job_given::{fill, planned},
    store_rebuild::again,
    world::World,
};

/// A kit for the 4:1 that is strong enough.
pub fn strong_kit() -> Vec<Thing> {
    let mut kit = full_kit();
    kit[1] = head().rated(&["axle|36 kN|breaking", "becket|12 kN|breaking"]);
    kit[3] = tripod().rated(&["body|22 kN|breaking"]);
    kit
}

/// A planned job whose kit passes, and the kit.
pub async fn passing(world: &World, crew: &Client) -> (String, Vec<Thing>) {
    let kit = strong_kit();
    world.shelve(&kit).await;
    let job = planned(crew, json!({})).await;
    fill(crew, &job, &kit).await;
    (job, kit)
}

/// Issues the kit of a job from the officer to the crew, and gives what was frozen.
pub async fn issued(world: &World, crew: &Client, job: &str) -> Value {
    let hands =
        json!({"by": world.officer.person.to_string(), "to": world.crew.person.to_string()});
    let done = crew
        .json(Method::POST, &format!("/api/v1/jobs/{job}/issues"), &hands)
        .await;
    assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
    done.json()
}

/// The sentences under a field of a problem.
pub fn under(answer: &Value, field: &str) -> Vec<String> {
    let fields = answer["fields"].as_array().unwrap().iter();
    let own = fields.filter(|one| one["field"] == field);
    own.map(|one| one["message"].as_str().unwrap().to_owned())
        .collect()
}

on_both_databases! {
    async fn an_issue_stays_as_it_was_whatever_changes_later(world) {
        let crew = world.visitor(&world.crew).await;
        let (job, kit) = passing(&world, &crew).await;
        let before = crew.get(&format!("/api/v1/jobs/{job}")).await.json();
        let issue = issued(&world, &crew, &job).await;
        assert_eq!(issue["verdict"]["sentence"], before["sentence"]);
        let answer: Value = serde_json::from_str(issue["verdict"]["answer"].as_str().unwrap()).unwrap();
        assert_eq!(answer["assessment"]["weakest"]["title"], before["verdict"]["assessment"]["weakest"]["title"]);
        let factor = |answer: &Value| answer["weakest"]["factor"].as_f64().unwrap();
        assert!((factor(&answer["assessment"]) - factor(&before["verdict"]["assessment"])).abs() < 1e-9);
        assert_eq!(issue["lines"].as_array().unwrap().len(), kit.len());
        assert_eq!((&issue["verdict"]["captures"], &issue["verdict"]["belayed"]), (&json!(true), &json!(false)));
        let path = format!("/api/v1/jobs/{job}/issues/{}", issue["id"].as_str().unwrap());
        // The model, the item and a person change; the record does not.
        let mut tx = world.database.read(world.team).await.unwrap();
        let item = tx.item(kit[1].item.id).await.unwrap().unwrap();
        let model = tx.model(item.model).await.unwrap().unwrap();
        let person = tx.person(world.crew.person).await.unwrap().unwrap();
        drop(tx);
        world.record(Change::ModelRevised(Model { revision: model.revision + 1, name: "Other".into(), ratings: vec![], ..model })).await;
        world.record(Change::ItemRevised(Item { revision: item.revision + 1, mark: "X-9".into(), ..item })).await;
        world.record(Change::PersonRevised(Person { name: "Somebody else".into(), ..person })).await;
        let read = crew.get(&path).await.json();
        assert_eq!(read["issue"], issue);
        let page = crew.get(&format!("/jobs/{job}/issues/{}", issue["id"].as_str().unwrap())).await;
        assert!(page.text.contains(&kit[1].item.mark) && !page.text.contains("X-9"), "{}", page.text);
        assert!(page.text.contains("The crew of the north"), "{}", page.text);
        assert!(page.text.contains(&kit[1].model.title()), "{}", page.text);
        assert_eq!(again(&world).await.differences, []);
    }

    async fn a_kit_that_does_not_pass_is_refused_with_every_reason(world) {
        let crew = world.visitor(&world.crew).await;
        let (job, kit) = passing(&world, &crew).await;
        let entries = world.entries().await;
        for mark in [&kit[0], &kit[2]] {
            let step = json!({"step": "quarantine", "reason": "soft spot"});
            let officer = world.visitor(&world.officer).await;
            officer.json(Method::POST, &format!("/api/v1/items/{}/steps", mark.item.id), &step).await;
        }
        let hands = json!({"to": world.crew.person.to_string()});
        let done = crew.json(Method::POST, &format!("/api/v1/jobs/{job}/issues"), &hands).await;
        assert_eq!(done.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", done.text);
        let reasons = under(&done.json(), "kit");
        assert_eq!(reasons.len(), 2, "{reasons:?}");
        assert!(reasons[0].starts_with(&format!("{}: It is in quarantine", kit[0].item.mark)), "{reasons:?}");
        // Whoever sends it hands out, so it cannot be taken by the same person.
        assert!(under(&done.json(), "to")[0].contains("cannot hand out to themselves"), "{}", done.text);
        let page = crew.get(&format!("/jobs/{job}/issues")).await;
        assert!(page.text.contains("This kit cannot be issued: 2 reasons"), "{}", page.text);
        assert!(!page.text.contains("Issue the kit</button>"));
        let weak = planned(&crew, json!({"title": "Weak", "starts_at": "2026-04-02T08:00", "ends_at": "2026-04-02T10:00"})).await;
        let empty = crew.get(&format!("/api/v1/jobs/{weak}/issues")).await.json();
        assert_eq!(empty["reasons"], json!(["Nothing is on the kit list."]));
        fill(&crew, &weak, &kit[1..2]).await;
        let half = crew.get(&format!("/api/v1/jobs/{weak}/issues")).await.json();
        assert!(half["reasons"][0].as_str().unwrap().starts_with("The verdict is no pass. Cannot say yet"), "{half}");
        assert_eq!(world.entries().await, entries + 4);
    }

    async fn two_people_are_named_unless_the_team_has_one(world) {
        let crew = world.visitor(&world.crew).await;
        let (job, _) = passing(&world, &crew).await;
        let path = format!("/api/v1/jobs/{job}/issues");
        let auditor = world.auditor.person.to_string();
        for (hands, field) in [(json!({"to": ""}), "to"), (json!({"to": auditor}), "to"), (json!({"by": auditor, "to": world.officer.person.to_string()}), "by"), (json!({"to": "x"}), "to")] {
            let done = crew.json(Method::POST, &path, &hands).await;
            assert_eq!(done.status, StatusCode::UNPROCESSABLE_ENTITY, "{hands}");
            assert!(under(&done.json(), field)[0].starts_with("Choose somebody"), "{}", done.text);
        }
        for actor in [&world.officer, &world.admin] {
            let mut tx = world.database.read(world.team).await.unwrap();
            let person = tx.person(actor.person).await.unwrap().unwrap();
            drop(tx);
            world.record(Change::PersonRevised(Person { active: false, ..person })).await;
        }
        let page = crew.get(&format!("/jobs/{job}/issues")).await;
        assert!(page.text.contains("One person hands out and takes"), "{}", page.text);
        let done = crew.json(Method::POST, &path, &json!({"to": world.crew.person.to_string()})).await;
        assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
        assert_eq!(done.json()["alone"], true);
        let page = crew.get(&format!("/jobs/{job}/issues/{}", done.json()["id"].as_str().unwrap())).await;
        assert!(page.text.contains("the team had nobody else"), "{}", page.text);
    }

    async fn a_form_sent_twice_issues_once_and_then_kit_and_plan_stay(world) {
        let crew = world.visitor(&world.crew).await;
        let (job, kit) = passing(&world, &crew).await;
        let fields = [("by", world.officer.person.to_string()), ("to", world.crew.person.to_string())];
        let fields = fields.each_ref().map(|(name, text)| (*name, text.as_str()));
        let id = Uuid::now_v7();
        for _ in 0..2 {
            let done = crew.post(&format!("/jobs/{job}/issues?id={id}"), &fields).await;
            assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        }
        let all = crew.get(&format!("/api/v1/jobs/{job}/issues")).await.json();
        assert_eq!(all["issues"].as_array().unwrap().len(), 1);
        let other = crew.post(&format!("/jobs/{job}/issues?id={}", Uuid::now_v7()), &fields).await;
        assert_eq!(other.status, StatusCode::CONFLICT);
        let sheet = crew.get(&format!("/api/v1/jobs/{job}")).await.json();
        let line = sheet["kit"][0]["line"]["id"].as_str().unwrap();
        let off = crew.post(&format!("/jobs/{job}/kit/{line}/remove"), &[]).await;
        assert_eq!(off.status, StatusCode::CONFLICT, "{}", off.text);
        let on = crew.post(&format!("/jobs/{job}/kit"), &[("item", &kit[0].item.mark), ("position", "")]).await;
        assert_eq!(on.status, StatusCode::CONFLICT, "{}", on.text);
        let page = crew.get(&format!("/jobs/{job}")).await;
        assert!(page.text.contains("Issued to The crew of the north"), "{}", page.text);
        assert!(!page.text.contains("Put it on") && page.text.contains("Close the job"), "{}", page.text);
        let end = crew.post(&format!("/jobs/{job}/end"), &[("state", "closed"), ("reason", "all went well")]).await;
        assert_eq!(end.status, StatusCode::UNPROCESSABLE_ENTITY);
        for thing in &kit {
            assert!(end.text.contains(&thing.item.mark), "{}: {}", thing.item.mark, end.text);
        }
        assert!(end.text.contains("not accounted for") && end.text.contains("all went well"), "{}", end.text);
        // The item's page and the list say where it is.
        let page = crew.get(&format!("/items/{}", kit[0].item.id)).await;
        assert!(page.text.contains("with the crew of the job &#34;Pump well&#34;"), "{}", page.text);
        let list = crew.get("/items").await;
        assert_eq!(list.text.matches("out with <a").count(), kit.len(), "{}", list.text);
        let home = crew.get("/").await;
        assert!(home.text.contains("Kits with crews") && home.text.contains("out until 2026-03-02 16:00"), "{}", home.text);
    }

    async fn an_issue_is_taken_back_with_a_reason_and_the_kit_may_change(world) {
        let crew = world.visitor(&world.crew).await;
        let (job, kit) = passing(&world, &crew).await;
        let issue = issued(&world, &crew, &job).await;
        let path = format!("/jobs/{job}/issues/{}", issue["id"].as_str().unwrap());
        let bare = crew.post(&format!("{path}/take-back"), &[("reason", " ")]).await;
        assert_eq!(bare.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(bare.text.contains("Write the reason"), "{}", bare.text);
        for _ in 0..2 {
            let done = crew.post(&format!("{path}/take-back"), &[("reason", "longer rope needed")]).await;
            assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        }
        let history = crew.get(&format!("/api/v1/jobs/{job}/history")).await.json();
        assert_eq!((&history["entries"][0]["kind"], &history["entries"][1]["kind"]), (&json!("issue-taken-back"), &json!("kit-issued")));
        let page = crew.get(&path).await;
        assert!(page.text.contains("This issue was taken back") && page.text.contains("longer rope needed"), "{}", page.text);
        let sheet = crew.get(&format!("/api/v1/jobs/{job}")).await.json();
        let line = sheet["kit"][0]["line"]["id"].as_str().unwrap();
        assert_eq!(crew.post(&format!("/jobs/{job}/kit/{line}/remove"), &[]).await.status, StatusCode::SEE_OTHER);
        fill(&crew, &job, &kit[0..1]).await;
        issued(&world, &crew, &job).await;
        assert_eq!(again(&world).await.differences, []);
    }

    async fn no_two_jobs_have_one_item_out(world) {
        let crew = world.visitor(&world.crew).await;
        let (first, kit) = passing(&world, &crew).await;
        let second = planned(&crew, json!({"title": "Next day", "starts_at": "2026-03-03T08:00", "ends_at": "2026-03-03T16:00"})).await;
        fill(&crew, &second, &kit).await;
        issued(&world, &crew, &first).await;
        let hands = json!({"by": world.officer.person.to_string(), "to": world.crew.person.to_string()});
        let done = crew.json(Method::POST, &format!("/api/v1/jobs/{second}/issues"), &hands).await;
        assert_eq!(done.status, StatusCode::UNPROCESSABLE_ENTITY);
        let reasons = under(&done.json(), "kit");
        assert_eq!(reasons.len(), kit.len(), "{reasons:?}");
        assert!(reasons[0].contains("out with the crew of \"Pump well\""), "{reasons:?}");
        // Past the deed there is the key of the table.
        let mut tx = world.database.read(world.team).await.unwrap();
        let there = tx.issues(first.parse().unwrap()).await.unwrap().remove(0);
        let job = tx.job(second.parse().unwrap()).await.unwrap().unwrap();
        drop(tx);
        let twice = Change::KitIssued(Box::new(ropeloft::domain::Issue { id: ropeloft::domain::IssueId::new(), job, ..there }));
        let refused = world.record_as(&world.crew, twice).await.unwrap_err();
        assert!(matches!(refused, StoreError::Taken), "{refused:?}");
    }

    async fn what_is_unfit_while_it_is_out_shows_at_once(world) {
        let crew = world.visitor(&world.crew).await;
        let (job, kit) = passing(&world, &crew).await;
        let issue = issued(&world, &crew, &job).await;
        let step = ItemStepped { item: kit[0].item.id, step: ItemStep::Retire, reason: "core shot seen".into(), on: date!(2026 - 03 - 01), retired_for: None };
        world.record(Change::ItemStepped(step)).await;
        let home = crew.get("/").await;
        assert!(home.text.contains("Out of service while with a crew: 1 item"), "{}", home.text);
        assert!(home.text.contains("retired: core shot seen"), "{}", home.text);
        let page = crew.get(&format!("/jobs/{job}")).await;
        assert!(page.text.contains("1 item on the list may not go"), "{}", page.text);
        let record = crew.get(&format!("/jobs/{job}/issues/{}", issue["id"].as_str().unwrap())).await;
        assert!(record.text.contains(&format!("Not fit any more since it was issued: {}", kit[0].item.mark)), "{}", record.text);
        let read = crew.get(&format!("/api/v1/jobs/{job}/issues/{}", issue["id"].as_str().unwrap())).await.json();
        assert_eq!(read["since"][0]["item"], json!(kit[0].item.id));
        assert_eq!(read["issue"]["lines"][0]["state"], "in-service");
        // Past its time and not counted back, the start says so.
        world.clock.advance(Duration::days(3));
        let crew = world.visitor(&world.crew).await;
        let home = crew.get("/").await;
        assert!(home.text.contains("and not counted back"), "{}", home.text);
    }

    async fn an_auditor_reads_and_another_team_finds_nothing(world) {
        let crew = world.visitor(&world.crew).await;
        let (job, _) = passing(&world, &crew).await;
        let issue = issued(&world, &crew, &job).await;
        let path = format!("/jobs/{job}/issues/{}", issue["id"].as_str().unwrap());
        let auditor = world.visitor(&world.auditor).await;
        let page = auditor.get(&path).await;
        assert!(page.status == StatusCode::OK && !page.text.contains("Take it back"), "{}", page.text);
        assert_eq!(auditor.post(&format!("{path}/take-back"), &[("reason", "x")]).await.status, StatusCode::FORBIDDEN);
        let outsider = world.visitor(&world.outsider).await;
        for page in [path.clone(), format!("/jobs/{job}/issues"), format!("/api/v1{path}")] {
            assert_eq!(outsider.get(&page).await.status, StatusCode::NOT_FOUND, "{page}");
        }
        assert_eq!(outsider.post(&format!("{path}/take-back"), &[("reason", "x")]).await.status, StatusCode::NOT_FOUND);
    }
}
