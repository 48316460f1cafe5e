//! A team's own rigs through their doors: added, changed, withdrawn, taken away; another team sees none of it.

use axum::http::{Method, StatusCode, header};
use ropeloft::{
    domain::RigForm,
    rigging::{RIG_SCHEMA, Rig, shipped_rig},
};
use serde_json::{Value, json};

use crate::{client::Client, store_rebuild::again, store_rig::own_rig};

/// The sheet of the shipped 2:1 under another key, as a program sends it.
pub fn sheet(key: &str) -> Value {
    let mut sheet = shipped_rig("two-to-one").unwrap().sheet();
    key.clone_into(&mut sheet.key);
    serde_json::to_value(sheet).unwrap()
}

/// Adds a rig and gives the answer's body.
pub async fn added(client: &Client, key: &str) -> Value {
    let body = json!({"sheet": sheet(key), "note": "for the pump well"});
    let made = client.json(Method::POST, "/api/v1/rigs", &body).await;
    assert_eq!(made.status, StatusCode::CREATED, "{}", made.text);
    made.json()
}

/// Writes the next version, in which the rope ends in another knot.
pub async fn revised(client: &Client, key: &str, mark: &str, knot: &str) -> Value {
    let mut sheet = sheet(key);
    sheet["rope"][0]["path"][2]["knot"] = json!(knot);
    let path = format!("/api/v1/rigs/{key}");
    let done = client
        .json_if(Method::PUT, &path, mark, &json!({"sheet": sheet}))
        .await;
    assert_eq!(done.status, StatusCode::OK, "{}", done.text);
    done.json()
}

on_both_databases! {
    async fn a_rig_is_added_changed_and_withdrawn_and_every_version_stays(world) {
        let officer = world.visitor(&world.officer).await;
        let made = added(&officer, "our-lift").await;
        assert_eq!(made["own"]["revision"], 1);
        assert_eq!(made["sheet"]["key"], "our-lift");
        assert_eq!(made["outline"]["strands_at_load"], 2);
        let now = revised(&officer, "our-lift", "\"1\"", "bowline").await;
        assert_eq!(now["own"]["revision"], 2);
        let older = officer.get("/api/v1/rigs/our-lift?version=1").await;
        assert_eq!(older.header(header::ETAG), "\"1\"");
        assert_eq!(older.json()["sheet"], made["sheet"]);
        let newest = officer.get("/api/v1/rigs/our-lift").await;
        assert_eq!(newest.header(header::ETAG), "\"2\"");
        assert_eq!(newest.json()["sheet"], now["sheet"]);
        let stale = officer.json_if(Method::PUT, "/api/v1/rigs/our-lift", "\"1\"", &json!({"sheet": sheet("our-lift")})).await;
        assert_eq!(stale.status, StatusCode::PRECONDITION_FAILED, "{}", stale.text);
        let blind = officer.json(Method::PUT, "/api/v1/rigs/our-lift", &json!({"sheet": sheet("our-lift")})).await;
        assert_eq!(blind.status, StatusCode::PRECONDITION_REQUIRED);
        let path = "/api/v1/rigs/our-lift/withdraw";
        let silent = officer.json(Method::POST, path, &json!({})).await;
        assert_eq!(silent.status, StatusCode::UNPROCESSABLE_ENTITY);
        let gone = officer.json(Method::POST, path, &json!({"reason": "the post is sold"})).await;
        assert_eq!(gone.json()["own"]["withdrawn"], true, "{}", gone.text);
        let twice = officer.json(Method::POST, path, &json!({"reason": "again"})).await;
        assert_eq!(twice.status, StatusCode::CONFLICT);
        let change = officer.json_if(Method::PUT, "/api/v1/rigs/our-lift", "*", &json!({"sheet": sheet("our-lift")})).await;
        assert_eq!(change.status, StatusCode::CONFLICT);
        let list = officer.get("/api/v1/rigs").await.json();
        assert_eq!(list["own"][0]["key"], "our-lift");
        assert!(list["rigs"].as_array().unwrap().len() >= 13);
        assert_eq!(again(&world).await.differences, []);
        let history = officer.get("/history").await.text;
        for words in ["added", "changed (version 2)", "withdrawn"] {
            let title = shipped_rig("two-to-one").unwrap().title();
            assert!(history.contains(&format!("Rig {title} {words}")), "{words}");
        }
    }

    async fn a_key_that_is_taken_is_refused_whoever_has_it(world) {
        let officer = world.visitor(&world.officer).await;
        added(&officer, "our-lift").await;
        for key in ["three-to-one", "new", "preview", "our-lift"] {
            let made = officer.json(Method::POST, "/api/v1/rigs", &json!({"sheet": sheet(key)})).await;
            assert_eq!(made.status, StatusCode::UNPROCESSABLE_ENTITY, "{key}");
            let wrong = &made.json()["fields"][0];
            assert_eq!((wrong["field"].as_str(), wrong["code"].as_str()), (Some("key"), Some("taken")), "{wrong}");
        }
        let other = json!({"sheet": sheet("another")});
        let moved = officer.json_if(Method::PUT, "/api/v1/rigs/our-lift", "\"1\"", &other).await;
        assert_eq!(moved.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", moved.text);
        assert_eq!(moved.json()["fields"][0]["field"], "key");
        let shipped = officer.json_if(Method::PUT, "/api/v1/rigs/three-to-one", "*", &other).await;
        assert_eq!(shipped.status, StatusCode::NOT_FOUND);
    }

    async fn a_form_that_is_sent_twice_adds_one_rig(world) {
        let officer = world.visitor(&world.officer).await;
        let id = own_rig("x", "X").id;
        let path = format!("/api/v1/rigs?id={id}");
        for _ in 0..2 {
            let made = officer.json(Method::POST, &path, &json!({"sheet": sheet("our-lift")})).await;
            assert_eq!(made.status, StatusCode::CREATED, "{}", made.text);
        }
        assert_eq!(officer.get("/api/v1/rigs").await.json()["own"].as_array().unwrap().len(), 1);
    }

    async fn another_team_finds_nothing(world) {
        let officer = world.visitor(&world.officer).await;
        added(&officer, "our-lift").await;
        let outsider = world.visitor(&world.outsider).await;
        for path in ["/rigs/our-lift", "/rigs/our-lift/edit", "/rigs/our-lift/sheet/toml", "/api/v1/rigs/our-lift",
            "/api/v1/rigs/our-lift?version=1"] {
            assert_eq!(outsider.get(path).await.status, StatusCode::NOT_FOUND, "{path}");
        }
        let path = "/api/v1/rigs/our-lift";
        let put = outsider.json_if(Method::PUT, path, "\"1\"", &json!({"sheet": sheet("our-lift")})).await;
        assert_eq!(put.status, StatusCode::NOT_FOUND);
        let gone = outsider.post("/rigs/our-lift/withdraw", &[("reason", "x")]).await;
        assert_eq!(gone.status, StatusCode::NOT_FOUND);
        assert_eq!(outsider.get("/api/v1/rigs").await.json()["own"], json!([]));
        assert!(!outsider.get("/rigs").await.text.contains("our-lift"));
        added(&outsider, "our-lift").await;
    }
}

#[tokio::test]
async fn who_may_not_keep_the_register_reads_rigs_and_changes_none() {
    crate::world::on_sqlite(async |world| {
        let officer = world.visitor(&world.officer).await;
        added(&officer, "our-lift").await;
        let crew = world.visitor(&world.crew).await;
        let page = crew.get("/rigs/our-lift").await;
        assert_eq!(page.status, StatusCode::OK);
        assert!(!page.text.contains("/rigs/our-lift/edit") && !page.text.contains("Withdraw"));
        assert!(!crew.get("/rigs").await.text.contains("/rigs/new"));
        for path in ["/rigs/new", "/rigs/our-lift/edit"] {
            assert_eq!(crew.get(path).await.status, StatusCode::FORBIDDEN, "{path}");
        }
        let body = json!({"sheet": sheet("other")});
        let made = crew.json(Method::POST, "/api/v1/rigs", &body).await;
        assert_eq!(made.status, StatusCode::FORBIDDEN);
        let look = crew.json(Method::POST, "/api/v1/rigs/preview", &body).await;
        assert_eq!(look.status, StatusCode::FORBIDDEN, "a look helps to write");
    })
    .await;
}

#[tokio::test]
async fn a_look_tells_what_a_sheet_comes_to_or_every_fault_as_a_field() {
    crate::world::on_sqlite(async |world| {
        let officer = world.visitor(&world.officer).await;
        let look = |sheet: Value| {
            let officer = officer.clone();
            async move {
                let body = json!({ "sheet": sheet });
                officer
                    .json(Method::POST, "/api/v1/rigs/preview", &body)
                    .await
            }
        };
        let text = RigForm::Toml.write(&shipped_rig("five-to-one").unwrap().sheet());
        let good = look(json!(text)).await;
        assert_eq!(good.status, StatusCode::OK, "{}", good.text);
        assert_eq!(good.json()["outline"]["ideal_advantage"], 5.0);
        let mut wrong = sheet("our-lift");
        wrong["position"][1]["accepts"] = json!(["string"]);
        wrong["rope"][0]["path"][1]["position"] = json!("nowhere");
        let answer = look(wrong).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        let answer = answer.json();
        let fields: Vec<&str> = answer["fields"]
            .as_array()
            .unwrap()
            .iter()
            .map(|field| field["field"].as_str().unwrap())
            .collect();
        assert_eq!(
            fields,
            ["position[1][accepts]", "rope[0][path][1][position]"]
        );
        for odd in [
            json!(3),
            json!(null),
            json!({}),
            json!("["),
            json!("x".repeat(60_000)),
        ] {
            assert_eq!(look(odd).await.status, StatusCode::UNPROCESSABLE_ENTITY);
        }
        let list = officer.get("/api/v1/rigs").await.json();
        assert_eq!(list["own"], json!([]), "a look stores nothing");
    })
    .await;
}

#[tokio::test]
async fn any_rig_is_taken_away_as_a_file_and_sent_back() {
    crate::world::on_sqlite(async |world| {
        let auditor = world.visitor(&world.auditor).await;
        for form in RigForm::ALL {
            let file = auditor
                .get(&format!("/rigs/nine-to-one/sheet/{}", form.ending()))
                .await;
            assert_eq!(file.status, StatusCode::OK);
            let name = format!("attachment; filename=\"nine-to-one.{}\"", form.ending());
            assert_eq!(file.header(header::CONTENT_DISPOSITION), name);
            let again = ropeloft::domain::read_rig(file.text.as_bytes()).unwrap();
            assert_eq!(again.rig, *shipped_rig("nine-to-one").unwrap());
        }
        assert_eq!(
            auditor.get("/rigs/nine-to-one/sheet/xml").await.status,
            StatusCode::NOT_FOUND
        );
        // What was written in TOML is given back to the letter, remarks and all.
        let officer = world.visitor(&world.officer).await;
        let text = format!(
            "# Ours since 2024.\n{}",
            own_rig("our-lift", "Our lift").sheet
        );
        let body = json!({ "sheet": text });
        let made = officer.json(Method::POST, "/api/v1/rigs", &body).await;
        assert_eq!(made.status, StatusCode::CREATED, "{}", made.text);
        assert_eq!(auditor.get("/rigs/our-lift/sheet/toml").await.text, text);
        let schema = world.stranger().get("/schemas/rig.json").await;
        assert_eq!(schema.text, RIG_SCHEMA);
        assert_eq!(
            schema.header(header::CONTENT_TYPE),
            "application/schema+json"
        );
        let rig: &Rig = shipped_rig("nine-to-one").unwrap();
        assert!(
            auditor
                .get("/rigs/nine-to-one")
                .await
                .text
                .contains(rig.title())
        );
    })
    .await;
}
