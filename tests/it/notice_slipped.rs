//! What a notice put aside does not come back by a correction of the record that takes it out of the notice.

use axum::http::{Method, StatusCode};
use ropeloft::domain::{Change, Item, ItemId, Model, ModelId};
use serde_json::{Value, json};
use uuid::Uuid;

use crate::{
    client::{Answer, Client},
    item_given::one_rope,
    world::World,
};

const REFUSED: &str =
    "is open for RL-0042, and nothing puts it back into service before it is closed for it";

async fn open(officer: &Client) -> String {
    let draft = json!({"title": "Sheath slips", "issuer": "Tarn & Fell", "issued_on": "2026-02-01",
        "maker": "Tarn & Fell", "lots": "L9", "action": "Pull the sheath."});
    let done = officer.json(Method::POST, "/api/v1/notices", &draft).await;
    assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
    format!("/api/v1/notices/{}", done.json()["id"].as_str().unwrap())
}

async fn give_back(officer: &Client, item: &str) -> Answer {
    let step = json!({"step": "return-to-service", "reason": "sheath checked, no slip"});
    let path = format!("/api/v1/items/{item}/steps");
    officer.json(Method::POST, &path, &step).await
}

async fn on_record(world: &World, item: &str) -> (Item, Model) {
    let mut tx = world.database.read(world.team).await.unwrap();
    let item = ItemId(Uuid::parse_str(item).unwrap());
    let item = tx.item(item).await.unwrap().unwrap();
    let model = tx.model(item.model).await.unwrap().unwrap();
    (item, model)
}

/// The item is corrected to be of another lot.
fn other_lot(mut item: Item, _: Model) -> Vec<Change> {
    (item.lot, item.revision) = (Some("L1".to_owned()), item.revision + 1);
    vec![Change::ItemRevised(item)]
}

/// Its model is corrected to be another maker's.
fn other_maker(_: Item, mut model: Model) -> Vec<Change> {
    (model.maker, model.revision) = ("Nordhaken".to_owned(), model.revision + 1);
    vec![Change::ModelRevised(model)]
}

/// The item is corrected to be of another maker's model.
fn other_model(mut item: Item, mut model: Model) -> Vec<Change> {
    (model.id, model.maker) = (ModelId::new(), "Nordhaken".to_owned());
    (item.model, item.revision) = (model.id, item.revision + 1);
    vec![Change::ModelAdded(model), Change::ItemRevised(item)]
}

/// How often a notice stands open, and how it stands for the first that it covers.
async fn stands(officer: &Client, notice: &str) -> (Value, Value) {
    let sheet = officer.get(notice).await.json();
    let first = sheet["covers"][0]["standing"].clone();
    (sheet["open"].clone(), first)
}

on_both_databases! {
    async fn a_corrected_record_lets_nothing_out_of_a_notice(world) {
        let given = one_rope(&world).await;
        for correction in [other_lot, other_maker, other_model] {
            let officer = &given.officer;
            let notice = open(officer).await;
            let (item, model) = on_record(&world, &given.item).await;
            for change in correction(item.clone(), model.clone()) {
                world.record(change).await;
            }
            assert_eq!(stands(officer, &notice).await, (json!(1), json!("still-open")));
            let page = officer.get(notice.trim_start_matches("/api/v1")).await.text;
            assert!(page.contains("It is open for this item still"), "{page}");
            assert!(page.contains(&format!("result[{}]", given.item)), "{page}");
            let refused = give_back(officer, &given.item).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", refused.text);
            assert!(refused.text.contains(REFUSED), "{}", refused.text);
            let looked = [("kind", "periodic"), ("rest", "pass"), ("on", "2026-03-01"), ("findings", "good"), ("verdict", "fit")];
            let form = format!("/items/{}/examinations", given.item);
            let refused = officer.post(&form, &looked).await;
            assert!(refused.text.contains("is open for RL-0042"), "{}", refused.text);
            let asked = notice.trim_start_matches("/api/v1/notices/");
            let told = officer.get(&format!("/api/v1/questions/recalled-lot?notice={asked}")).await;
            assert!(told.text.contains("with the notice still open for it"), "{}", told.text);
            let closing = json!({"result": "of another lot"});
            let done = officer.json(Method::POST, &format!("{notice}/items/{}", given.item), &closing).await;
            assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
            assert_eq!(stands(officer, &notice).await, (json!(0), json!("let-out")));
            let done = give_back(officer, &given.item).await;
            assert_eq!(done.status, StatusCode::OK, "{}", done.text);
            assert_eq!(crate::store_rebuild::again(&world).await.differences, []);
            // As it was, for the next correction; the notices stay closed for it.
            let (now, _) = on_record(&world, &given.item).await;
            let (_, is) = on_record(&world, &given.item).await;
            if is.id == model.id && is != model {
                world.record(Change::ModelRevised(Model { revision: is.revision + 1, ..model })).await;
            }
            world.record(Change::ItemRevised(Item { model: item.model, lot: item.lot, revision: now.revision + 1, ..now })).await;
        }
    }

    async fn a_notice_that_is_corrected_itself_lets_go(world) {
        let given = one_rope(&world).await;
        let officer = &given.officer;
        let notice = open(officer).await;
        let seen = officer.get(&notice).await;
        let tag = seen.headers["etag"].to_str().unwrap().to_owned();
        let told = json!({"title": "Sheath slips", "issuer": "Tarn & Fell", "issued_on": "2026-02-01",
            "maker": "Tarn & Fell", "lots": "L8", "anyway": "yes", "action": "Pull the sheath.", "reason": "the lot was misread"});
        let done = officer.json_if(Method::PUT, &notice, &tag, &told).await;
        assert_eq!(done.status, StatusCode::OK, "{}", done.text);
        let done = give_back(officer, &given.item).await;
        assert_eq!(done.status, StatusCode::OK, "{}", done.text);
    }
}
