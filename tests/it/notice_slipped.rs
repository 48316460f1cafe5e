//! What a notice put aside does not come back by a correction of the record that takes it out of the notice.

use axum::http::{Method, StatusCode};
use ropeloft::domain::{Change, Item, ItemId, ItemState, Model, ModelId};
use serde_json::{Value, json};
use time::macros::date;
use uuid::Uuid;

use crate::{
    client::{Answer, Client},
    item_given::{one_rope, rope_fields, with},
    stock,
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

/// Corrects a title and the lots of the notice, and gives what came of it.
async fn correct(officer: &Client, notice: &str, title: &str, lots: &str) -> Value {
    let seen = officer.get(notice).await;
    let tag = seen.headers["etag"].to_str().unwrap().to_owned();
    let told = json!({"title": title, "issuer": "Tarn & Fell", "issued_on": "2026-02-01", "maker": "Tarn & Fell",
        "lots": lots, "anyway": "yes", "action": "Pull the sheath.", "reason": "it was misread"});
    let done = officer.json_if(Method::PUT, notice, &tag, &told).await;
    assert_eq!(done.status, StatusCode::OK, "{}", done.text);
    done.json()
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

    async fn a_notice_lets_go_where_it_is_not_about_what_was_on_record(world) {
        let given = one_rope(&world).await;
        let officer = &given.officer;
        let notice = open(officer).await;
        let (item, model) = on_record(&world, &given.item).await;
        world.record(other_lot(item, model).remove(0)).await;
        // Wide enough to cover it again, and narrow again: it is held all the while.
        for (title, lots) in [("Sheath slips", ""), ("Sheath slips on the core", "L9"), ("Sheath slips", "L9, L8")] {
            let corrected = correct(officer, &notice, title, lots).await;
            assert_eq!(corrected["left"], 0, "{title}, {lots}: {corrected}");
            if lots.is_empty() {
                continue;
            }
            assert_eq!(stands(officer, &notice).await, (json!(1), json!("still-open")), "{title}, {lots}");
            assert_eq!(give_back(officer, &given.item).await.status, StatusCode::UNPROCESSABLE_ENTITY);
        }
        let sheet = officer.get(&format!("/api/v1/items/{}", given.item)).await.json();
        assert_eq!(sheet["open_notices"][0]["title"], "Sheath slips", "{sheet}");
        let page = officer.get(&format!("/items/{}", given.item)).await.text;
        assert!(page.contains("is open for it still") && page.contains("open still: its record was corrected"), "{page}");
        let past = officer.get(&format!("/api/v1/items/{}/then?on=2026-03-01", given.item)).await.json();
        assert!(past["answer"].as_str().unwrap().contains("under the open notice \"Sheath slips\""), "{past}");
        assert!(sheet["let_go"].is_null(), "{sheet}");
        let corrected = correct(officer, &notice, "Sheath slips", "L8").await;
        assert_eq!(corrected["left"], 1, "it is let go: {corrected}");
        let done = give_back(officer, &given.item).await;
        assert_eq!(done.status, StatusCode::OK, "{}", done.text);
    }

    async fn what_it_was_closed_for_and_corrected_since_is_held_where_something_else_is_asked(world) {
        let given = one_rope(&world).await;
        let officer = &given.officer;
        let notice = open(officer).await;
        let closing = json!({"result": "looked at"});
        let done = officer.json(Method::POST, &format!("{notice}/items/{}", given.item), &closing).await;
        assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
        assert_eq!(give_back(officer, &given.item).await.status, StatusCode::OK);
        let (item, model) = on_record(&world, &given.item).await;
        world.record(other_lot(item, model).remove(0)).await;
        let seen = officer.get(&notice).await;
        let tag = seen.headers["etag"].to_str().unwrap().to_owned();
        let told = json!({"title": "Sheath slips", "issuer": "Tarn & Fell", "issued_on": "2026-02-01", "maker": "Tarn & Fell",
            "lots": "L9", "anyway": "yes", "action": "Destroy it.", "reason": "the maker says so"});
        let done = officer.json_if(Method::PUT, &notice, &tag, &told).await;
        assert_eq!((done.status, &done.json()["held"]), (StatusCode::OK, &json!(1)), "{}", done.text);
        assert_eq!(on_record(&world, &given.item).await.0.state, ItemState::Quarantined);
        assert_eq!(stands(officer, &notice).await, (json!(1), json!("still-open")));
    }

    async fn pieces_of_a_corrected_rope_stay_under_its_notice(world) {
        let given = one_rope(&world).await;
        let officer = &given.officer;
        let notice = open(officer).await;
        let (item, model) = on_record(&world, &given.item).await;
        world.record(other_lot(item, model).remove(0)).await;
        let cut = [("pieces[0][mark]", "RL-0042A"), ("pieces[0][length]", "35 m"), ("pieces[1][mark]", "RL-0042B"),
            ("pieces[1][length]", "24 m"), ("waste", "1 m"), ("marked", "yes"), ("reason", "worn at the middle")];
        let path = format!("/items/{}/cuts?id={}", given.item, Uuid::now_v7());
        assert_eq!(officer.post(&path, &cut).await.status, StatusCode::SEE_OTHER);
        let mut tx = world.database.read(world.team).await.unwrap();
        let piece = tx.item_marked("RL-0042A").await.unwrap().unwrap().id.to_string();
        drop(tx);
        assert_eq!(stands(officer, &notice).await, (json!(2), json!("still-open")));
        assert_eq!(give_back(officer, &piece).await.status, StatusCode::UNPROCESSABLE_ENTITY);
        let history = officer.get(&format!("/items/{piece}/history")).await.text;
        assert!(history.contains("Safety notice opened: Sheath slips"), "{history}");
        let past = officer.get(&format!("/api/v1/items/{piece}/then?on=2026-03-01")).await.json();
        assert!(past["answer"].as_str().unwrap().contains("under the open notice"), "{past}");
    }

    async fn what_is_in_service_is_held_as_its_record_is_corrected(world) {
        let given = one_rope(&world).await;
        let officer = &given.officer;
        // As a record from elsewhere may have it: covered, and not put aside.
        let mut notice = stock::notice("Tarn & Fell", date!(2026 - 02 - 01));
        notice.lots = vec!["L9".to_owned()];
        world.record(Change::NoticeOpened(notice)).await;
        let seen = officer.get(&format!("/api/v1/items/{}", given.item)).await.json();
        let revision = seen["item"]["revision"].to_string();
        let fields = with(&rope_fields(&given.model, &given.store), &[("lot", "L1"), ("revision", revision.as_str())]);
        let path = format!("/items/{}", given.item);
        let done = officer.post(&path, &fields).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        assert_eq!(on_record(&world, &given.item).await.0.state, ItemState::Quarantined);
    }
}
