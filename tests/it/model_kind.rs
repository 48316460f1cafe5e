//! A model that was recorded as another kind than it is: what a change does is told first, then it is one entry, and what
//! contradicts it refuses.

use axum::http::{Method, StatusCode};
use ropeloft::domain::{Change, Kind, Model, ModelDraft, ModelId, RatingDraft};
use serde_json::{Value, json};
use time::macros::date;

use crate::{
    client::Client,
    fitness_case::{Thing, connector, full_kit},
    job_given::{fill, planned},
    stock,
    store_rebuild::again,
    world::World,
};

/// A back-up device that a list called a sling, with a strength in a line and a width that no back-up device has.
fn runner() -> Model {
    let draft = ModelDraft {
        kind: "sling".into(),
        maker: "Steinwerk".into(),
        name: "Runner".into(),
        material: "textile".into(),
        life_support: "yes".into(),
        ratings: vec![RatingDraft {
            mode: "straight".into(),
            value: "22 kN".into(),
            kind: "breaking".into(),
            source: "marking".into(),
            ..RatingDraft::default()
        }],
        attributes: [("width".to_owned(), "25 mm".to_owned())].into(),
        note: "From the van list.".into(),
        ..ModelDraft::default()
    };
    draft.check(ModelId::new(), 1).unwrap()
}

/// Two items of it, one examined and with a length.
async fn shelved(world: &World) -> Model {
    let (model, place) = (runner(), stock::store("Van"));
    world.record(Change::ModelAdded(model.clone())).await;
    world.record(Change::StoreAdded(place.clone())).await;
    let mut first = stock::item("B-1", &model, &place);
    let length = Kind::Sling
        .attribute("length")
        .unwrap()
        .read("0.6 m")
        .unwrap();
    first.attributes.0.insert("length".into(), length);
    let seen = stock::examination(world, &first, date!(2026 - 02 - 01));
    world.record(Change::ItemAdded(first)).await;
    world
        .record(Change::ItemAdded(stock::item("B-2", &model, &place)))
        .await;
    world.record(Change::ExaminationRecorded(seen)).await;
    model
}

async fn record(client: &Client, id: ModelId) -> Value {
    client.get(&format!("/api/v1/models/{id}")).await.json()
}

on_both_databases! {
    async fn what_it_does_is_told_before_and_done_in_one_entry(world) {
        let model = shelved(&world).await;
        let officer = world.visitor(&world.officer).await;
        let path = format!("/models/{}", model.id);
        let form = officer.get(&format!("{path}/edit")).await.text;
        assert!(form.contains(&format!("href=\"{path}/kind\"")), "{form}");
        let asked = officer.get(&format!("{path}/kind")).await.text;
        assert!(asked.contains("It is on record as sling") && !asked.contains("What it does</h2>"), "{asked}");
        let told = officer.get(&format!("{path}/kind?kind=back-up-device")).await.text;
        for words in [
            "From sling to back-up device",
            "Each of its 2 items is a back-up device from then on.",
            "examined by the list for a back-up device",
            "&#34;Length&#34; of 1 item is asked of no back-up device",
            "22 kN",
            "Width or diameter: 25 mm",
            "Make it a back-up device",
        ] {
            assert!(told.contains(words), "{words}\n{told}");
        }
        assert_eq!(record(&officer, model.id).await["kind"], "sling", "nothing is done by looking");
        let before = world.entries().await;
        let fields = [("revision", "1"), ("kind", "back-up-device"), ("reason", "The list called it a runner.")];
        let done = officer.post(&format!("{path}/kind"), &fields).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        assert_eq!(world.entries().await, before + 1);
        let after = record(&officer, model.id).await;
        assert_eq!(after["kind"], "back-up-device");
        assert_eq!(after["revision"], 2);
        assert_eq!(after["ratings"], json!([]));
        assert_eq!(
            after["note"],
            "From the van list.\nAs a sling it had: 22 kN breaking strength, in a straight line (on the gear itself); Width or diameter: 25 mm."
        );
        // The items are listed as what they are, and keep what was recorded.
        let listed = officer.get("/api/v1/items?kind=back-up-device").await.json();
        assert_eq!(listed["rows"].as_array().unwrap().len(), 2, "{listed}");
        assert_eq!(officer.get("/api/v1/items?kind=sling").await.json()["rows"], json!([]));
        let page = officer.get(&path).await.text;
        assert!(page.contains("back-up device"), "{page}");
        let history = officer.get("/history").await.text;
        assert!(history.contains("The model Steinwerk Runner is a back-up device, and was on record as a sling"), "{history}");
        assert!(history.contains("The list called it a runner."), "{history}");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn what_is_on_a_kit_list_keeps_its_kind(world) {
        let kit = full_kit();
        world.shelve(&kit).await;
        let officer = world.visitor(&world.officer).await;
        let job = planned(&officer, json!({"title": "Sump"})).await;
        fill(&officer, &job, &kit).await;
        let model = kit.iter().find(|thing| thing.item.mark == "C-1").unwrap().model.clone();
        let path = format!("/models/{}/kind", model.id);
        let told = officer.get(&format!("{path}?kind=swivel")).await.text;
        assert!(told.contains("C-1 is on the kit list of &#34;Sump&#34;"), "{told}");
        assert!(told.contains(&format!("href=\"/jobs/{job}\"")) && !told.contains("Make it a swivel"), "{told}");
        let fields = [("revision", "1"), ("kind", "swivel"), ("reason", "slip")];
        let refused = officer.post(&path, &fields).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(refused.text.contains("C-1 on &#34;Sump&#34;"), "{}", refused.text);
        assert_eq!(record(&officer, model.id).await["kind"], "connector");
        // Once the job is over its list holds nothing.
        officer.post(&format!("/jobs/{job}/end"), &[("state", "cancelled"), ("reason", "rain")]).await;
        let done = officer.post(&path, &fields).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
    }

    async fn it_is_refused_without_a_reason_another_kind_or_the_record_as_it_is_now(world) {
        let spare: Thing = connector("C-9", "head-connector");
        world.shelve(std::slice::from_ref(&spare)).await;
        let id = spare.model.id;
        let officer = world.visitor(&world.officer).await;
        let path = format!("/api/v1/models/{id}/kind");
        let refused = async |mark: &str, body: Value, status: StatusCode, words: &str| {
            let answer = officer.json_if(Method::POST, &path, mark, &body).await;
            assert_eq!(answer.status, status, "{}", answer.text);
            assert!(answer.text.contains(words), "{words}: {}", answer.text);
        };
        let invalid = StatusCode::UNPROCESSABLE_ENTITY;
        refused("\"1\"", json!({"kind": "swivel"}), invalid, "Write the reason").await;
        refused("\"1\"", json!({"kind": "connector", "reason": "x"}), invalid, "It is a connector already").await;
        refused("\"1\"", json!({"kind": "teapot", "reason": "x"}), invalid, "teapot").await;
        refused("\"7\"", json!({"kind": "swivel", "reason": "x"}), StatusCode::PRECONDITION_FAILED, "changed").await;
        assert_eq!(record(&officer, id).await["revision"], 1);
        let crew = world.visitor(&world.crew).await;
        let forbidden = crew.json_if(Method::POST, &path, "\"1\"", &json!({"kind": "swivel", "reason": "x"})).await;
        assert_eq!(forbidden.status, StatusCode::FORBIDDEN);
        let done = officer.json_if(Method::POST, &path, "\"1\"", &json!({"kind": "swivel", "reason": "read its marking"})).await;
        assert_eq!(done.status, StatusCode::OK, "{}", done.text);
        assert_eq!(done.json()["kind"], "swivel");
    }
}
