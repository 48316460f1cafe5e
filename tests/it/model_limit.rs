//! A maker's limit that is tightened: what was measured beyond it is put aside.

use axum::http::{Method, StatusCode};
use serde_json::{Value, json};

use crate::{
    checklist::{connector, examined, oval},
    item_given::{model, one_rope, rope_fields, with},
    store_rebuild::again,
};

on_both_databases! {
    async fn what_was_measured_beyond_a_limit_goes_to_quarantine_when_the_limit_is_written(world) {
        let given = one_rope(&world).await;
        let id = connector(&given.officer, &given.store).await;
        let look = json!({"answers": {"groove-depth": {"outcome": "pass", "values": ["0.4", "0.9"]}}, "rest": "pass"});
        let (status, done) = examined(&given.officer, &id, look).await;
        assert_eq!(status, StatusCode::CREATED, "{done}");
        // Nothing is measured by it, so what was measured before stands.
        let (status, done) = examined(&given.officer, &id, json!({"kind": "pre-use", "rest": "pass"})).await;
        assert_eq!(status, StatusCode::CREATED, "{done}");
        let sheet = async || given.officer.get(&format!("/api/v1/items/{id}")).await.json();
        let oval_id = sheet().await["model"]["id"].as_str().unwrap().to_owned();
        let revised = async |groove: &str, version: &str| {
            let fields = oval(groove);
            let fields = with(&fields, &[("revision", version)]);
            let done = given.officer.post(&format!("/models/{oval_id}"), &fields).await;
            assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
            given.officer.follow(&done).await.text
        };
        let said = "In quarantine now, since more was measured of them than it allows: C-1";
        assert!(!revised("0.9 mm", "1").await.contains(said), "what is allowed stays");
        assert_eq!(sheet().await["item"]["state"], "in-service");
        let page = revised("0.8 mm", "2").await;
        assert!(page.contains(said), "{page}");
        let told = sheet().await;
        assert_eq!(told["item"]["state"], "quarantined", "{told}");
        let why = told["item"]["state_reason"].as_str().unwrap();
        assert!(why.contains("0.9 mm was measured on 2026-02-27") && why.contains("allows at most 0.8 mm now"), "{why}");
        assert!(!revised("0.7 mm", "3").await.contains(said), "what is out already is not put aside twice");
        // No reason lifts it, a look that measures it within does, and so does a limit that was a slip.
        let back = json!({"step": "return-to-service", "reason": "it looks good"});
        let back = async || given.officer.json(Method::POST, &format!("/api/v1/items/{id}/steps"), &back).await;
        let refused = back().await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", refused.text);
        assert!(refused.text.contains("at most 0.7 mm now. No reason lifts that"), "{}", refused.text);
        revised("0.95 mm", "4").await;
        assert_eq!(back().await.status, StatusCode::OK);
        assert_eq!(again(&world).await.differences, []);
    }

    async fn an_item_of_another_model_is_held_against_the_limits_of_that(world) {
        let given = one_rope(&world).await;
        let id = connector(&given.officer, &given.store).await;
        let look = json!({"answers": {"groove-depth": {"values": ["0.4", "0.9"]}}, "rest": "pass"});
        assert_eq!(examined(&given.officer, &id, look).await.0, StatusCode::CREATED);
        let tight = model(&given.officer, &with(&oval("0.5 mm"), &[("name", "Oval tight")])).await;
        let fields = [("mark", "C-1"), ("serial", "C1"), ("attributes[length]", ""), ("revision", "2")];
        let done = given.officer.post(&format!("/items/{id}"), &with(&rope_fields(&tight, &given.store), &fields)).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        let page = given.officer.follow(&done).await.text;
        assert!(page.contains("C-1 is in quarantine now.") && page.contains("at most 0.5 mm"), "{page}");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn programs_are_told_what_went_to_quarantine(world) {
        let given = one_rope(&world).await;
        let id = connector(&given.officer, &given.store).await;
        let look = json!({"answers": {"groove-depth": {"values": ["0.4", "0.9"]}}, "rest": "pass"});
        assert_eq!(examined(&given.officer, &id, look).await.0, StatusCode::CREATED);
        let record = given.officer.get(&format!("/api/v1/items/{id}")).await.json()["model"].clone();
        let draft = json!({
            "kind": "connector", "maker": record["maker"], "name": record["name"], "material": "metal", "life_support": "yes",
            "ratings": [{"mode": "major-axis", "value": "30 kN", "kind": "breaking", "source": "paper"}],
            "limits": [{"criterion": "groove-depth", "most": "0.5 mm", "source": "paper, page 8"}],
        });
        let path = format!("/api/v1/models/{}", record["id"].as_str().unwrap());
        let revised = given.officer.json_if(Method::PUT, &path, "\"1\"", &draft).await;
        assert_eq!(revised.status, StatusCode::OK, "{}", revised.text);
        assert_eq!(revised.json()["beyond"], json!(["C-1"]), "{}", revised.text);
        assert_eq!(revised.json()["name"], record["name"]);
        let again = given.officer.json_if(Method::PUT, &path, "\"2\"", &draft).await;
        assert_eq!(again.json().get("beyond"), None::<&Value>, "{}", again.text);
    }
}
