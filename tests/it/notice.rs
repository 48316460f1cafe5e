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

    async fn lots_that_are_written_close_together_are_all_covered(world) {
        let given = one_rope(&world).await;
        let fields = |mark: &'static str, lot: &'static str| {
            let own = [("mark", mark), ("serial", mark), ("lot", lot)];
            with(&rope_fields(&given.model, &given.store), &own)
        };
        for (mark, lot) in [("RL-1", "B1"), ("RL-5", "B5"), ("RL-9", "B9")] {
            item(&given.officer, &fields(mark, lot)).await;
        }
        for (lots, covered) in [
            ("B1 B5", ["RL-1", "RL-5"].as_slice()),
            ("B1/B9", &["RL-1", "RL-9"]),
            ("Lot B5", &["RL-5"]),
            ("B9-B1", &["RL-1", "RL-5", "RL-9"]),
        ] {
            let id = open(&given.officer, &with(&NOTICE, &[("lots", lots)])).await;
            let page = given.officer.get(&format!("/notices/{id}")).await.text;
            for mark in ["RL-1", "RL-5", "RL-9"] {
                assert_eq!(page.contains(&format!(">{mark}<")), covered.contains(&mark), "{lots}: {mark}: {page}");
            }
        }
        let reversed = with(&NOTICE, &[("lots", "B9 to B1")]);
        let answer = given.officer.post("/notices", &reversed).await;
        assert!(answer.text.contains("The first of a range must not be above the last; B9 is above B1."), "{}", answer.text);
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

    async fn what_the_register_does_not_have_is_asked_before_a_notice_opens(world) {
        let given = one_rope(&world).await;
        let form = given.officer.get("/notices/new").await.text;
        assert!(form.contains("<datalist id=\"known-makers\"><option value=\"Tarn &#38; Fell\">") && form.contains("list=\"known-models\""), "{form}");
        assert!(!form.contains("name=\"anyway\""), "{form}");
        let before = world.entries().await;
        let slip = with(&NOTICE, &[("maker", "Tarn & Fel"), ("lots", "")]);
        let asked = given.officer.post("/notices", &slip).await;
        assert_eq!((asked.status, world.entries().await), (StatusCode::UNPROCESSABLE_ENTITY, before));
        for words in ["The register has no maker &#34;Tarn &#38; Fel&#34;; do you mean Tarn &#38; Fell (1 item)?", "name=\"anyway\"", "Send them back</textarea>"] {
            assert!(asked.text.contains(words), "{words}: {}", asked.text);
        }
        let api = given.officer.json(Method::POST, "/api/v1/notices", &json!({"title": "x", "issuer": "y", "issued_on": "2026-02-01",
            "maker": "Tarn & Fell", "model_name": "Line 12", "action": "z"})).await;
        assert_eq!((api.status, api.json()["fields"][0]["field"].clone()), (StatusCode::UNPROCESSABLE_ENTITY, json!("model_name")));
        assert!(api.text.contains("no model \\\"Line 12\\\" of Tarn & Fell; do you mean Line 11 (1 item)?"), "{}", api.text);
        // It may be bought later: then it opens all the same, and says that it covers nothing yet.
        let id = open(&given.officer, &with(&slip, &[("anyway", "yes")])).await;
        let page = given.officer.get(&format!("/notices/{id}")).await.text;
        assert!(page.contains("It covers no item of yours"), "{page}");
    }

    async fn a_lot_or_serial_that_no_item_has_is_asked_before_a_notice_opens(world) {
        let given = one_rope(&world).await;
        let before = world.entries().await;
        for (field, text, told) in [
            ("lots", "newer than L1", "No item of tarn &#38; fell has the lot &#34;newer than L1&#34; (one without a lot counts as covered)"),
            ("lots", "L 9", "do you mean L9 (1 item)? If it is right and may be bought later, tick"),
            ("lots", "L9, L?", "has the lot &#34;L?&#34;"),
            ("lots", "L9, newer", "has the lot &#34;newer&#34;"),
            ("lots", "L7, L8", "has the lots &#34;L7&#34;, &#34;L8&#34; (one"),
            ("lots", "L1 to L8", "has the lot &#34;L1 to L8&#34;"),
            ("serials", "older than S-1", "has the serial &#34;older than S-1&#34; (one without a serial counts as covered)"),
        ] {
            let asked = given.officer.post("/notices", &with(&NOTICE, &[("lots", ""), (field, text)])).await;
            assert_eq!((asked.status, world.entries().await), (StatusCode::UNPROCESSABLE_ENTITY, before), "{text}");
            for words in [told, "name=\"anyway\"", &format!("{text}</textarea>"), &format!("id=\"f-{field}-wrong-1\"")] {
                assert!(asked.text.contains(words), "{text}: {words}: {}", asked.text);
            }
        }
        let api = given.officer.json(Method::POST, "/api/v1/notices", &json!({"title": "x", "issuer": "y", "issued_on": "2026-02-01",
            "maker": "Tarn & Fell", "model_name": "Line 11", "lots": "unknown", "action": "z"})).await;
        let wrong = &api.json()["fields"][0];
        assert_eq!((api.status, &wrong["field"], &wrong["code"]), (StatusCode::UNPROCESSABLE_ENTITY, &json!("lots"), &json!("unknown")));
        assert!(api.text.contains("No item of Tarn & Fell, Line 11 has the lot \\\"unknown\\\""), "{}", api.text);
        // A notice names lots that others have, and what may be bought later opens all the same.
        open(&given.officer, &with(&NOTICE, &[("lots", "L2, L9, L30 to L40")])).await;
        open(&given.officer, &with(&NOTICE, &[("lots", "L7"), ("anyway", "yes")])).await;
    }

    async fn a_notice_is_corrected_and_withdrawn_and_nothing_comes_back_by_itself(world) {
        let given = one_rope(&world).await;
        let fields = with(&rope_fields(&given.model, &given.store), &[("mark", "RL-0050"), ("serial", "S-50"), ("lot", "L7")]);
        let other = item(&given.officer, &fields).await;
        let state = async |id: &str| given.officer.get(&format!("/api/v1/items/{id}")).await.json()["item"]["state"].clone();
        let id = open(&given.officer, &NOTICE).await;
        assert_eq!((state(&given.item).await, state(&other).await), (json!("quarantined"), json!("in-service")));
        let path = format!("/notices/{id}/correct");
        let form = given.officer.get(&path).await.text;
        for words in ["Correct a safety notice", "name=\"revision\" value=\"0\"", "L8, L9</textarea>", "Why it is corrected"] {
            assert!(form.contains(words), "{words}: {form}");
        }
        let corrected = with(&NOTICE, &[("lots", "L7"), ("revision", "0")]);
        let silent = given.officer.post(&path, &corrected).await;
        assert_eq!(silent.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(silent.text.contains("id=\"f-reason-wrong-1\"") && silent.text.contains("L7</textarea>"), "{}", silent.text);
        let told = with(&corrected, &[("reason", "the maker named the wrong lot")]);
        let done = given.officer.post(&path, &told).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        let said = given.officer.follow(&done).await.text;
        assert!(said.contains("1 item more is in quarantine") && said.contains("It covers 1 item in quarantine no more"), "{said}");
        assert!(said.contains("Open for 1 of 1 item") && said.contains("RL-0050") && !said.contains("RL-0042"), "{said}");
        assert_eq!((state(&given.item).await, state(&other).await), (json!("quarantined"), json!("quarantined")));
        // Who has not seen that is told, and nothing typed is lost.
        let stale = given.officer.post(&path, &with(&told, &[("title", "Typed <late>")])).await;
        assert_eq!(stale.status, StatusCode::CONFLICT);
        assert!(stale.text.contains("Somebody corrected this notice") && stale.text.contains("Typed &#60;late&#62;") && stale.text.contains("value=\"1\""), "{}", stale.text);
        let path = format!("/notices/{id}/withdraw");
        assert_eq!(given.officer.post(&path, &[("reason", "")]).await.status, StatusCode::UNPROCESSABLE_ENTITY);
        let done = given.officer.post(&path, &[("reason", "it was for <another> maker")]).await;
        let said = given.officer.follow(&done).await.text;
        assert!(said.contains("1 item that it held stays in quarantine") && said.contains("Withdrawn: it covers nothing any more"), "{said}");
        assert!(said.contains("it was for &#60;another&#62; maker") && !said.contains("/withdraw\""), "{said}");
        assert_eq!(state(&other).await, "quarantined");
        assert_eq!(given.officer.post(&path, &[("reason", "again")]).await.status, StatusCode::CONFLICT);
        assert_eq!(given.officer.json(Method::POST, &format!("/api/v1/notices/{id}/withdrawal"), &json!({"reason": "again"})).await.status, StatusCode::CONFLICT);
        let step = json!({"step": "return-to-service", "reason": "sound"});
        assert_eq!(given.officer.json(Method::POST, &format!("/api/v1/items/{other}/steps"), &step).await.status, StatusCode::OK);
        let history = given.officer.get("/history").await.text;
        for words in ["Safety notice corrected: Sheath slips &#60;early&#62;", "the maker named the wrong lot", "Safety notice Sheath slips &#60;early&#62; withdrawn"] {
            assert!(history.contains(words), "{words}: {history}");
        }
        for actor in [&world.crew, &world.auditor] {
            let client = world.visitor(actor).await;
            assert_eq!(client.post(&path, &[("reason", "no")]).await.status, StatusCode::FORBIDDEN);
            assert_eq!(client.get(&format!("/notices/{id}/correct")).await.status, StatusCode::FORBIDDEN);
        }
        assert_eq!(crate::store_rebuild::again(&world).await.differences, []);
    }

    async fn nothing_returns_under_an_open_notice_and_papers_name_it(world) {
        let given = one_rope(&world).await;
        let fit = [("kind", "intake"), ("on", "2026-02-27"), ("verdict", "fit")];
        crate::item_given::examine(&given.officer, &given.item, &fit).await;
        let id = open(&given.officer, &NOTICE).await;
        let before = world.entries().await;
        let step = json!({"step": "return-to-service", "reason": "sound"});
        let path = format!("/api/v1/items/{}/steps", given.item);
        let look = json!({"kind": "periodic", "on": "2026-03-01", "verdict": "fit", "rest": "pass", "findings": "whole"});
        let looks = format!("/api/v1/items/{}/examinations", given.item);
        for (path, draft, field) in [(&path, &step, "reason"), (&looks, &look, "verdict")] {
            let answer = given.officer.json(Method::POST, path, draft).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", answer.text);
            let wrong = answer.json()["fields"][0].clone();
            assert_eq!((&wrong["field"], &wrong["code"]), (&json!(field), &json!("notice")));
            assert!(wrong["message"].as_str().unwrap().contains("is open for RL-0042, and nothing puts it back into service before it is closed for it"), "{wrong}");
        }
        assert_eq!(world.entries().await, before);
        let last = given.officer.get(&looks).await.json();
        let report = format!("/examinations/{}/report.pdf", last["examinations"][0]["id"].as_str().unwrap());
        let texts = async || {
            let mut texts = Vec::new();
            for path in [report.clone(), format!("/items/{}/record.pdf", given.item)] {
                let paper = given.officer.get(&path).await;
                crate::paper_reader::checked(&paper.bytes);
                let text = crate::paper_reader::text_of(&paper.bytes)?;
                texts.push(crate::paper_reader::flat(&text));
            }
            Some(texts)
        };
        if let Some(texts) = texts().await {
            assert!(texts[0].contains("Safe to operate no: the safety notice \"Sheath slips <early>\" of 2026-02-01 is open for it, though the examiner found it fit"), "{}", texts[0]);
            assert!(texts[1].contains("Open safety notices Sheath slips <early>; Tarn & Fell, 2026-02-01"), "{}", texts[1]);
        }
        let closing = format!("/api/v1/notices/{id}/items/{}", given.item);
        assert_eq!(given.officer.json(Method::POST, &closing, &json!({"result": "sheath holds"})).await.status, StatusCode::CREATED);
        assert_eq!(given.officer.json(Method::POST, &looks, &look).await.status, StatusCode::CREATED);
        if let Some(texts) = texts().await {
            assert!(texts[0].contains("Safe to operate yes, as the examiner found"), "{}", texts[0]);
        }
        // What happened to it since is said on the paper, which whoever holds it reads as of today.
        let step = json!({"step": "quarantine", "reason": "it was run over"});
        assert_eq!(given.officer.json(Method::POST, &format!("/api/v1/items/{}/steps", given.item), &step).await.status, StatusCode::OK);
        if let Some(texts) = texts().await {
            let said = "Safe to operate no: it is quarantined now (it was run over), though the examiner found it fit";
            assert!(texts[0].contains(said), "{}", texts[0]);
        }
    }
}
