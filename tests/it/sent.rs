//! A form, or a program, that sends other words under an id which was done already is told so, and what was done stays.

use axum::http::{Method, StatusCode};
use ropeloft::domain::{Checklist, function_sheet};
use serde_json::json;
use uuid::Uuid;

use crate::item_given::one_rope;

on_both_databases! {
    async fn what_was_changed_after_a_step_back_is_not_taken_for_what_was_recorded(world) {
        let given = one_rope(&world).await;
        let crew = world.visitor(&world.crew).await;
        let path = format!("/items/{}/events?id={}&back=%2Fitems", given.item, Uuid::now_v7());
        // What was refused may be mended under the same id.
        let wrong = crew.post(&path, &[("kind", "heat"), ("on", "2026-03-01"), ("note", "")]).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", wrong.text);
        let first = [("kind", "heat"), ("on", "2026-03-01"), ("note", "by the stove")];
        let before = world.entries().await;
        for _ in 0..2 {
            let answer = crew.post(&path, &first).await;
            assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        }
        assert_eq!(world.entries().await, before + 1);
        let other = [("kind", "chemical"), ("on", "2026-03-01"), ("note", "acid on it")];
        let answer = crew.post(&path, &other).await;
        assert_eq!(answer.status, StatusCode::CONFLICT, "{}", answer.text);
        assert!(answer.text.contains("what you have changed since is not"), "{}", answer.text);
        // All that was typed is there, and may make a record of its own.
        assert!(answer.text.contains("<dt>Note</dt><dd>acid on it</dd>"), "{}", answer.text);
        assert!(answer.text.contains("name=\"kind\" value=\"chemical\""), "{}", answer.text);
        let (_, form) = answer.text.split_once("class=\"sheet\" method=\"post\" action=\"").unwrap();
        let anew = form.split('"').next().unwrap().replace("&#38;", "&");
        assert!(anew.starts_with(&format!("/items/{}/events?", given.item)) && !path.ends_with(&anew) && anew.contains("back=%2Fitems"), "{anew}");
        assert_eq!(world.entries().await, before + 1);
        // Under its new id it is recorded.
        assert_eq!(crew.post(&anew, &other).await.status, StatusCode::SEE_OTHER);
        assert_eq!(world.entries().await, before + 2);
    }

    async fn what_somebody_else_sends_from_the_same_form_is_not_taken_for_the_first(world) {
        let given = one_rope(&world).await;
        let crew = world.visitor(&world.crew).await;
        let page = format!("/items/{}/events?id={}", given.item, Uuid::now_v7());
        let program = format!("/api/v1/items/{}/events?id={}", given.item, Uuid::now_v7());
        let wet = [("kind", "water"), ("on", "2026-03-01"), ("note", "in the sump")];
        let as_json = |fields: &[(&str, &str)]| json!(fields.iter().copied().collect::<std::collections::BTreeMap<_, _>>());
        assert_eq!(crew.post(&page, &wet).await.status, StatusCode::SEE_OTHER);
        assert!(crew.json(Method::POST, &program, &as_json(&wet)).await.status.is_success());
        let before = world.entries().await;
        // Neither other words nor the same: they would stand under the name of whoever was first.
        let fall = [("kind", "fall-held"), ("on", "2026-03-01"), ("note", "held a fall")];
        for sent in [&fall, &wet] {
            let answer = given.officer.post(&page, sent).await;
            assert_eq!(answer.status, StatusCode::CONFLICT, "{}", answer.text);
            assert!(answer.text.contains("by you or by somebody else"), "{}", answer.text);
            let answer = given.officer.json(Method::POST, &program, &as_json(sent)).await;
            assert_eq!(answer.status, StatusCode::CONFLICT, "{}", answer.text);
        }
        // Whoever was first may still send it twice.
        assert_eq!(crew.post(&page, &wet).await.status, StatusCode::SEE_OTHER);
        assert_eq!(world.entries().await, before);
    }

    async fn an_id_makes_one_record_whatever_the_address_and_the_moment(world) {
        let given = one_rope(&world).await;
        let id = Uuid::now_v7();
        let path = format!("/api/v1/items/{}/events?id={id}", given.item);
        let told = |note: String| json!({"kind": "heat", "on": "2026-03-01", "note": note});
        let before = world.entries().await;
        // Of several at once one is recorded, and only that one is told so.
        let officer = &given.officer;
        let send = async |note: &str| officer.json(Method::POST, &path, &told(note.to_owned())).await.status;
        let (a, b, c) = tokio::join!(send("by the stove"), send("by the lamp"), send("by the exhaust"));
        let done = [a, b, c].into_iter().filter(|status| status.is_success()).count();
        let refused = [a, b, c].into_iter().filter(|status| *status == StatusCode::CONFLICT).count();
        assert_eq!((done, refused), (1, 2), "{a} {b} {c}");
        let recorded = world.entries().await;
        let other = format!("/items/{}/events?id={}", given.item, id.to_string().to_uppercase());
        let fields = [("kind", "chemical"), ("on", "2026-03-01"), ("note", "acid on it")];
        assert_eq!(officer.post(&other, &fields).await.status, StatusCode::CONFLICT);
        let other = format!("/api/v1/items/{}/usage?id={id}", given.item);
        let used = json!({"on": "2026-03-01", "hours": "2"});
        assert_eq!(officer.json(Method::POST, &other, &used).await.status, StatusCode::CONFLICT);
        assert!(recorded > before && world.entries().await == recorded);
    }

    async fn what_was_typed_names_items_and_people_as_people_do(world) {
        let given = one_rope(&world).await;
        let mark = "RL-0042";
        let path = format!("/items/{}/events?id={}", given.item, Uuid::now_v7());
        let first = [("kind", "heat"), ("on", "2026-03-01"), ("note", "by the stove")];
        assert_eq!(given.officer.post(&path, &first).await.status, StatusCode::SEE_OTHER);
        let (line, who) = (format!("lines[{}][condition]", given.item), world.crew.person.to_string());
        let other = [("kind", "heat"), (line.as_str(), "damaged"), ("examiner", who.as_str()), ("not-one", given.item.as_str())];
        let answer = given.officer.post(&path, &other).await;
        assert_eq!(answer.status, StatusCode::CONFLICT, "{}", answer.text);
        for (name, text) in [
            (format!("Lines, {mark}, condition"), "damaged"),
            ("Examiner".to_owned(), "The crew of the north"),
            ("Not one".to_owned(), mark),
        ] {
            assert!(answer.text.contains(&format!("<dt>{name}</dt><dd>{text}</dd>")), "{name}: {}", answer.text);
        }
    }

    async fn what_was_answered_stands_under_what_was_asked(world) {
        let given = one_rope(&world).await;
        let first = [("kind", "heat"), ("on", "2026-03-01"), ("note", "by the stove")];
        let list = Checklist::of("rope@1".parse().unwrap(), None).unwrap();
        let criterion = &list.criteria[0];
        let line = &function_sheet().check[0];
        for (key, words, checklist) in [
            (&criterion.key, criterion.words.clone(), "rope@1"),
            (&line.key, line.asks.clone(), ""),
            // A list that is not there keeps nothing from being told.
            (&criterion.key, criterion.key.replace('-', " "), "rope@99"),
        ] {
            let path = format!("/items/{}/events?id={}", given.item, Uuid::now_v7());
            assert_eq!(given.officer.post(&path, &first).await.status, StatusCode::SEE_OTHER);
            let field = format!("answers[{key}][answer]");
            let other = [(field.as_str(), "not-right"), ("checklist", checklist)];
            let answer = given.officer.post(&path, &other).await;
            assert_eq!(answer.status, StatusCode::CONFLICT, "{}", answer.text);
            let told = format!("<dt>Answers, {}, answer</dt>", words.replace('"', "&#34;").replace('\'', "&#39;"));
            assert!(answer.text.contains(&told), "{told}: {}", answer.text);
        }
    }

    async fn a_password_is_not_shown_again(world) {
        let admin = world.visitor(&world.admin).await;
        let path = format!("/people?id={}", Uuid::now_v7());
        let person = |name: &'static str| [("name", name), ("sign_in", "a.bell"), ("role", "crew"), ("password", "a long rope on a short hook")];
        let first = admin.post(&path, &person("A. Bell")).await;
        assert_eq!(first.status, StatusCode::SEE_OTHER, "{}", first.text);
        let again = admin.post(&path, &person("A. Bellamy")).await;
        assert_eq!(again.status, StatusCode::CONFLICT, "{}", again.text);
        assert!(again.text.contains("A. Bellamy") && !again.text.contains("a long rope on a short hook"), "{}", again.text);
    }

    async fn a_program_is_told_alike(world) {
        let given = one_rope(&world).await;
        let path = format!("/api/v1/items/{}/events?id={}", given.item, Uuid::now_v7());
        let first = json!({"kind": "heat", "on": "2026-03-01", "note": "by the stove"});
        for _ in 0..2 {
            let answer = given.officer.json(Method::POST, &path, &first).await;
            assert!(answer.status.is_success(), "{}", answer.text);
        }
        let before = world.entries().await;
        let other = json!({"kind": "chemical", "on": "2026-03-01", "note": "acid on it"});
        let answer = given.officer.json(Method::POST, &path, &other).await;
        assert_eq!(answer.status, StatusCode::CONFLICT, "{}", answer.text);
        assert!(answer.text.contains("Make a new id for each new record"), "{}", answer.text);
        assert_eq!(world.entries().await, before);
    }
}
