//! What is corrected of a rope that was cut reaches its pieces.

use axum::http::{Method, StatusCode};
use ropeloft::domain::{Item, ItemState};
use serde_json::{Value, json};
use uuid::Uuid;

use crate::{
    client::Client,
    cut::{cut_rope, marked},
    item_given::{examine, model, one_rope},
    store_rebuild::again,
};

/// Changes the record of an item: `changes` in place of what is on record.
async fn correct(officer: &Client, item: &Item, changes: Value) -> Value {
    let mut draft = serde_json::to_value(item.draft()).unwrap();
    for (field, text) in changes.as_object().unwrap() {
        draft[field] = text.clone();
    }
    let path = format!("/api/v1/items/{}", item.id);
    let tag = format!("\"{}\"", item.revision);
    let done = officer.json_if(Method::PUT, &path, &tag, &draft).await;
    assert_eq!(done.status, StatusCode::OK, "{}", done.text);
    done.json()
}

/// Cuts 10 m off a piece.
async fn cut_again(officer: &Client, piece: &Item) {
    let path = format!("/items/{}/cuts?id={}", piece.id, Uuid::now_v7());
    let fields = [
        ("pieces[0][mark]", "A1"),
        ("pieces[0][length]", "10 m"),
        ("rest", "not-known"),
    ];
    let done = officer.post(&path, &fields).await;
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
}

async fn open(officer: &Client, lot: &str) -> String {
    let draft = json!({"title": "Sheath slips", "issuer": "Tarn & Fell", "issued_on": "2026-02-01",
        "maker": "Tarn & Fell", "lots": lot, "anyway": "yes", "action": "Pull the sheath."});
    let done = officer.json(Method::POST, "/api/v1/notices", &draft).await;
    assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
    format!("/api/v1/notices/{}", done.json()["id"].as_str().unwrap())
}

const OLDER: &str = "2016-05-01";

on_both_databases! {
    async fn a_correction_of_a_cut_rope_reaches_its_pieces(world) {
        let (given, [a, b]) = cut_rope(&world).await;
        let officer = &given.officer;
        cut_again(officer, &a).await;
        open(officer, "L6").await;
        // What is corrected of a piece by itself is its own from then on.
        correct(officer, &b, json!({"lot": "L7"})).await;
        let rope = marked(&world, "RL-0042").await;
        let changes = json!({"lot": "L6", "made": OLDER, "bought_on": "2016-06-01", "first_used_on": "2017-01-01",
            "arduous": "salt water", "serial": "S-78"});
        let told = correct(officer, &rope, changes).await["told"].to_string();
        assert!(told.contains("What was cut from it was corrected alike: A1, RL-0042A, RL-0042B."), "{told}");
        assert!(told.contains("RL-0042B keeps its own lot: its record says otherwise than that of RL-0042 did."), "{told}");
        let rope = marked(&world, "RL-0042").await;
        for (mark, lot, serial, state) in [
            ("RL-0042A", "L6", "S-78/1", ItemState::Retired),
            ("A1", "L6", "S-78/1/1", ItemState::Quarantined),
            ("RL-0042B", "L7", "S-78/2", ItemState::InService),
        ] {
            let piece = marked(&world, mark).await;
            assert_eq!((piece.lot.as_deref(), piece.serial.as_deref()), (Some(lot), Some(serial)), "{mark}");
            assert_eq!((piece.made, piece.bought_on, piece.first_used_on), (rope.made, rope.bought_on, rope.first_used_on));
            assert_eq!((&piece.arduous, piece.maker_serial()), (&rope.arduous, Some("S-78")), "{mark}");
            assert_eq!(piece.state, state, "{mark}: {}", piece.state_reason);
        }
        let length = marked(&world, "RL-0042B").await.attributes.length("length").unwrap().to_string();
        assert_eq!(length, "24 m");
        let page = officer.get(&format!("/items/{}/history", b.id)).await.text;
        assert!(page.contains("Record of RL-0042B changed (version 3)"), "{page}");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn a_notice_opened_later_covers_the_pieces_of_a_corrected_rope(world) {
        let (given, [a, b]) = cut_rope(&world).await;
        let officer = &given.officer;
        let rope = marked(&world, "RL-0042").await;
        let mut fields = rope.draft();
        "L6".clone_into(&mut fields.lot);
        let typed = serde_json::to_value(&fields).unwrap();
        let mut form: Vec<(String, String)> = vec![("revision".to_owned(), rope.revision.to_string())];
        for (name, value) in typed.as_object().unwrap() {
            match value {
                Value::Object(parts) => form.extend(parts.iter().map(|(key, text)| (format!("{name}[{key}]"), text.as_str().unwrap().to_owned()))),
                text => form.push((name.clone(), text.as_str().unwrap().to_owned())),
            }
        }
        let form: Vec<(&str, &str)> = form.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
        let done = officer.post(&format!("/items/{}", rope.id), &form).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        let page = officer.follow(&done).await.text;
        assert!(page.contains("What was cut from it was corrected alike: RL-0042A, RL-0042B."), "{page}");
        open(officer, "L6").await;
        for piece in [&a, &b] {
            assert_eq!(marked(&world, &piece.mark).await.state, ItemState::Quarantined);
        }
        // What it put aside does not come back by another correction.
        let rope = marked(&world, "RL-0042").await;
        correct(officer, &rope, json!({"lot": "L1"})).await;
        let step = json!({"step": "return-to-service", "reason": "of another lot"});
        let refused = officer.json(Method::POST, &format!("/api/v1/items/{}/steps", a.id), &step).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", refused.text);
        assert_eq!(again(&world).await.differences, []);
    }

    async fn what_is_moved_to_another_kind_is_examined_as_that(world) {
        let given = one_rope(&world).await;
        let officer = &given.officer;
        examine(officer, &given.item, &[("kind", "intake"), ("on", "2026-01-10"), ("verdict", "fit")]).await;
        let sling = model(officer, &[("kind", "sling"), ("maker", "Tarn & Fell"), ("name", "Loop 12"), ("life_support", "yes")]).await;
        let other = model(officer, &[("kind", "rope"), ("maker", "Tarn & Fell"), ("name", "Line 10"), ("life_support", "yes"),
            ("attributes[diameter]", "10 mm")]).await;
        let rope = marked(&world, "RL-0042").await;
        let passed = rope.last_passed_on;
        // Another model of the same kind is asked nothing more.
        let done = correct(officer, &rope, json!({"model": other})).await;
        assert_eq!(done["told"], json!([]));
        let rope = marked(&world, "RL-0042").await;
        assert_eq!(rope.last_passed_on, passed);
        let done = correct(officer, &rope, json!({"model": sling, "attributes": {}})).await;
        let told = done["told"].to_string();
        assert!(told.contains("RL-0042 is a sling now, and was on record as a rope"), "{told}");
        let page = officer.get(&format!("/items/{}", rope.id)).await.text;
        assert!(page.contains("Not to be used: no passed examination is on record"), "{page}");
        let then = officer.get(&format!("/api/v1/items/{}/then?on=2026-03-01", rope.id)).await.text;
        assert!(!then.contains("2026-01-10"), "{then}");
        examine(officer, &given.item, &[("kind", "periodic"), ("on", "2026-03-01"), ("verdict", "fit")]).await;
        let page = officer.get(&format!("/items/{}", rope.id)).await.text;
        assert!(page.contains("In date, but no job will take it"), "{page}");
        assert_eq!(again(&world).await.differences, []);
    }
}
