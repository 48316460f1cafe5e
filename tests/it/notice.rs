//! Safety notices through their doors.

use axum::http::{Method, StatusCode};
use ropeloft::domain::{Change, Ended, Holder, QualificationEnd};
use serde_json::json;
use time::macros::date;
use uuid::Uuid;

use crate::{
    client::Client,
    item_given::{item, one_rope, rope_fields, with},
};

const NOTICE: [(&str, &str); 6] = [
    ("title", "Sheath slips <early>"),
    ("issuer", "Tarn & Fell"),
    ("issued_on", "2026-02-01"),
    ("maker", "tarn & fell"),
    ("lots", "L8, L9"),
    ("action", "Send them back"),
];

async fn open(client: &Client, fields: &[(&str, &str)]) -> String {
    let id = Uuid::now_v7().to_string();
    let answer = client.post(&format!("/notices?id={id}"), fields).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
    id
}

on_both_databases! {
    async fn a_notice_comes_back_and_holds_what_it_covers(world) {
        let given = one_rope(&world).await;
        let fields = with(&rope_fields(&given.model, &given.store), &[
            ("mark", "RL-0050"), ("serial", "S-50"), ("lot", "L7"),
        ]);
        let other = item(&given.officer, &fields).await;
        let id = open(&given.officer, &NOTICE).await;
        let page = given.officer.get(&format!("/notices/{id}")).await.text;
        assert!(page.contains("Open for 1 of 1 item"), "{page}");
        for words in ["Sheath slips &#60;early&#62;", "L8, L9", "2026-02-01", "Send them back", "RL-0042"] {
            assert!(page.contains(words), "{words}: {page}");
        }
        assert!(!page.contains("RL-0050"));
        let text = given.officer.get(&format!("/items/{}", given.item)).await.text;
        assert!(text.contains("in quarantine since 2026-03-01"), "{text}");
        assert!(text.contains(&format!("/notices/{id}")) && text.contains("close it for this item"));
        let text = given.officer.get(&format!("/items/{other}")).await.text;
        assert!(!text.contains("in quarantine since"));
        assert!(given.officer.get("/notices").await.text.contains(&format!("/notices/{id}")));
    }

    async fn a_notice_is_closed_item_by_item_with_a_result(world) {
        let given = one_rope(&world).await;
        let id = open(&given.officer, &NOTICE).await;
        let path = format!("/notices/{id}/closings");
        let field = format!("result[{}]", given.item);
        let before = world.entries().await;
        let close = async |client: &Client, result: &str| {
            client.post(&path, &[("item", &given.item), (&field, result)]).await
        };
        let long = "z".repeat(10_000);
        for result in ["", long.as_str()] {
            let answer = close(&given.officer, result).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
            let wrong = format!("id=\"f-result-{}-wrong-1\"", given.item);
            assert!(answer.text.contains(&wrong), "{}", answer.text);
            assert!(answer.text.contains(&format!("{result}</textarea>")));
        }
        assert_eq!(close(&world.visitor(&world.crew).await, "ok").await.status, StatusCode::FORBIDDEN);
        assert_eq!(world.entries().await, before);
        assert_eq!(close(&given.officer, "tested <well>").await.status, StatusCode::SEE_OTHER);
        let page = given.officer.get(&format!("/notices/{id}")).await.text;
        assert!(page.contains("Closed for all 1 item") && page.contains("tested &#60;well&#62;"), "{page}");
        assert_eq!(close(&given.officer, "again").await.status, StatusCode::CONFLICT);
        let text = given.officer.get(&format!("/items/{}", given.item)).await.text;
        assert!(text.contains("closed for this item") && !text.contains("is not closed for it"));
    }

    async fn whoever_closes_a_notice_is_competent_for_what_may_be_used_again(world) {
        let given = one_rope(&world).await;
        let id = open(&given.officer, &NOTICE).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        let mine = tx.qualifications().await.unwrap().into_iter().find(|one| one.holder == Holder::Person(world.officer.person)).unwrap();
        drop(tx);
        let ended = Ended { on: date!(2026-02-28), reason: "left the course".into() };
        world.record(Change::QualificationEnded(QualificationEnd { qualification: mine.id, ended })).await;
        let before = world.entries().await;
        let path = format!("/notices/{id}/closings");
        let field = format!("result[{}]", given.item);
        let close = async || given.officer.post(&path, &[("item", given.item.as_str()), (field.as_str(), "looked at <twice>")]).await;
        let answer = close().await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        for words in [
            "Only a competent person closes a notice for what may be used again", "ended on 2026-02-28, before 2026-03-01",
            "<p><a href=\"/competence\">Competent people</a></p>", "looked at &#60;twice&#62;</textarea>",
        ] {
            assert!(answer.text.contains(words), "{words}: {}", answer.text);
        }
        let program = format!("/api/v1/notices/{id}/items/{}", given.item);
        let answer = given.officer.json(Method::POST, &program, &json!({"result": "looked at"})).await;
        assert_eq!((answer.status, answer.json()["fields"][0]["code"].clone()), (StatusCode::UNPROCESSABLE_ENTITY, json!("competence")));
        assert_eq!(world.entries().await, before);
        // The same sentence keeps it in quarantine, with the same way out.
        let step = [("step", "return-to-service"), ("reason", "looked at")];
        let answer = given.officer.post(&format!("/items/{}/step", given.item), &step).await;
        assert!(answer.text.contains("Only a competent person returns it to service") && answer.text.contains("href=\"/competence\">Competent people"), "{}", answer.text);
        // What is retired is used no more: what became of it is only written down.
        let step = [("step", "retire"), ("reason", "sent back to the maker")];
        assert_eq!(given.officer.post(&format!("/items/{}/step", given.item), &step).await.status, StatusCode::SEE_OTHER);
        let answer = close().await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
    }

    async fn every_wrong_field_of_a_notice_is_named(world) {
        let officer = world.visitor(&world.officer).await;
        let before = world.entries().await;
        let fields = with(&NOTICE, &[
            ("title", ""), ("issuer", "two\nlines"), ("issued_on", "2026-03-02"), ("maker", ""),
            ("made_from", "2026"), ("made_until", "x"), ("action", ""), ("model_name", "<i>kept</i>"),
        ]);
        let answer = officer.post("/notices", &fields).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        for field in ["title", "issuer", "issued_on", "maker", "made_from", "made_until", "action"] {
            assert!(answer.text.contains(&format!("id=\"f-{field}-wrong-1\"")), "{field}: {}", answer.text);
        }
        assert!(answer.text.contains("&#60;i&#62;kept&#60;/i&#62;"));
        let lots = "L1,".repeat(600);
        let answer = officer.post("/notices", &with(&NOTICE, &[("lots", &lots)])).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(world.entries().await, before);
    }

    async fn another_team_sees_no_notice(world) {
        let given = one_rope(&world).await;
        let id = open(&given.officer, &NOTICE).await;
        let outsider = world.visitor(&world.outsider).await;
        assert_eq!(outsider.get(&format!("/notices/{id}")).await.status, StatusCode::NOT_FOUND);
        let field = format!("result[{}]", given.item);
        let fields = [("item", given.item.as_str()), (field.as_str(), "mine")];
        let answer = outsider.post(&format!("/notices/{id}/closings"), &fields).await;
        assert_eq!(answer.status, StatusCode::NOT_FOUND);
        assert!(!outsider.get("/notices").await.text.contains("Sheath"));
        let nothing = given.officer.post(&format!("/notices/{id}/closings"), &[]).await;
        assert_eq!(nothing.status, StatusCode::NOT_FOUND);
    }

    async fn only_those_who_keep_the_register_open_notices(world) {
        for actor in [&world.crew, &world.auditor] {
            let client = world.visitor(actor).await;
            assert_eq!(client.get("/notices").await.status, StatusCode::OK);
            assert_eq!(client.get("/notices/new").await.status, StatusCode::FORBIDDEN);
            assert_eq!(client.post("/notices", &NOTICE).await.status, StatusCode::FORBIDDEN);
        }
    }

    async fn what_a_notice_covers_is_shown_page_by_page(world) {
        let given = one_rope(&world).await;
        for at in 0..60 {
            let (mark, serial) = (format!("P-{at:03}"), format!("N{at}"));
            let fields = with(&rope_fields(&given.model, &given.store), &[("mark", mark.as_str()), ("serial", serial.as_str())]);
            item(&given.officer, &fields).await;
        }
        let id = open(&given.officer, &NOTICE).await;
        let marks = |page: &str| -> Vec<String> {
            let rows = page.split("<h3><a href=\"").skip(1);
            rows.map(|row| row.split('>').nth(1).unwrap().split('<').next().unwrap().to_owned()).collect()
        };
        let first = given.officer.get(&format!("/notices/{id}")).await.text;
        assert!(first.contains("Open for 61 of 61 items") && first.contains("50 of 61 items"), "{first}");
        let next = first.split(" rel=\"next\"").next().unwrap().rsplit("href=\"").next().unwrap();
        let next = next.trim_end_matches('"').to_owned();
        let second = given.officer.get(&next).await.text;
        let mut all = marks(&first);
        assert_eq!(all.len(), 50);
        all.extend(marks(&second));
        let mut sorted = all.clone();
        sorted.sort();
        sorted.dedup();
        assert_eq!((all.len(), &sorted), (61, &all), "by mark, each once");
        assert!(second.contains("Open for 61 of 61 items") && second.contains("Back to the first"), "{second}");
        // Closing one on the second page comes back to that page.
        let close = second.split("<form method=\"post\" action=\"").nth(1).unwrap().split('"').next().unwrap();
        let field = format!("result[{}]", given.item);
        let done = given.officer.post(close, &[("item", &given.item), (&field, "sent back")]).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        assert_eq!(done.location(), next);
        assert!(given.officer.get(&next).await.text.contains("Open for 60 of 61 items"));
        let api = given.officer.get(&format!("/api/v1/notices/{id}")).await.json();
        assert_eq!((api["all"].as_u64(), api["open"].as_u64()), (Some(61), Some(60)));
        assert_eq!(api["covers"].as_array().unwrap().len(), 50);
        let rest = given.officer.get(&format!("/api/v1/notices/{id}?after={}", api["next"].as_str().unwrap())).await.json();
        assert_eq!(rest["covers"].as_array().unwrap().len(), 11);
        assert!(rest["next"].is_null());
        for wrong in ["xyz", "7b7d"] {
            let answer = given.officer.get(&format!("/notices/{id}?after={wrong}")).await;
            assert_eq!(answer.status, StatusCode::BAD_REQUEST, "{wrong}");
        }
    }
}
