//! What a story about jobs begins with: a register that holds a whole kit for the 4:1, everything fit.

use axum::http::{Method, StatusCode};
use ropeloft::domain::{Change, ItemDetails};
use serde_json::{Value, json};
use time::Duration;

use crate::{
    client::Client,
    fitness_case::{Thing, full_kit},
    stock::{examination, store},
    world::{START, World},
};

/// A plan: the entry of a well, one day after the test begins. `changes` replace fields.
pub fn plan(changes: &Value) -> Value {
    let mut plan = json!({
        "title": "Pump well", "place": "South works",
        "starts_at": "2026-03-02T08:00", "ends_at": "2026-03-02T16:00",
        "depth": "15 m", "load": "120 kg", "rulebook": "european", "rig": "four-to-one-pull-down",
    });
    for (name, value) in changes.as_object().unwrap() {
        plan[name] = value.clone();
    }
    plan
}

/// Plans a job and gives its id.
pub async fn planned(client: &Client, changes: Value) -> String {
    let made = client
        .json(Method::POST, "/api/v1/jobs", &plan(&changes))
        .await;
    assert_eq!(made.status, StatusCode::CREATED, "{}", made.text);
    made.json()["id"].as_str().unwrap().to_owned()
}

impl World {
    /// Records every thing of a kit, each with its model and an intake examination that it passed.
    pub async fn shelve(&self, kit: &[Thing]) {
        let place = store("Bay");
        self.record(Change::StoreAdded(place.clone())).await;
        let mut models = Vec::new();
        for thing in kit {
            if !models.contains(&thing.model.id) {
                models.push(thing.model.id);
                self.record(Change::ModelAdded(thing.model.clone())).await;
            }
            let item = thing.item.clone();
            let details = ItemDetails {
                model: item.model,
                mark: item.mark.clone(),
                store: place.id,
                serial: item.serial.clone(),
                lot: item.lot.clone(),
                made: item.made,
                bought_on: None,
                first_used_on: None,
                markings_readable: item.markings_readable,
                attributes: item.attributes.clone(),
                arduous: None,
                note: item.note.clone(),
            };
            let item = details.into_item(item.id, START);
            self.record(Change::ItemAdded(item.clone())).await;
            let on = (START - Duration::days(60)).date();
            let passed = examination(self, &item, on);
            self.record(Change::ExaminationRecorded(passed)).await;
        }
    }

    /// The same for the kit of the 4:1, which it gives back.
    pub async fn shelved_kit(&self) -> Vec<Thing> {
        let kit = full_kit();
        self.shelve(&kit).await;
        kit
    }
}

/// Puts every thing at its position and asserts that it may go.
pub async fn fill(client: &Client, job: &str, kit: &[Thing]) {
    for thing in kit {
        let line = json!({"item": thing.item.mark, "position": thing.position.clone().unwrap_or_default()});
        let path = format!("/api/v1/jobs/{job}/kit");
        let added = client.json(Method::POST, &path, &line).await;
        assert_eq!(
            added.status,
            StatusCode::CREATED,
            "{}: {}",
            thing.item.mark,
            added.text
        );
    }
}
