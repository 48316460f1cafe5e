//! Reporting events through their door.

use axum::http::StatusCode;
use uuid::Uuid;

use crate::item_given::one_rope;

on_both_databases! {
    async fn an_event_holds_the_item_back(world) {
        let given = one_rope(&world).await;
        let page = format!("/items/{}", given.item);
        let crew = world.visitor(&world.crew).await;
        let fields = [("kind", "fall-held"), ("on", "2026-02-28"), ("note", "held <b>100 kg</b>")];
        let before = world.entries().await;
        let path = format!("{page}/events?id={}", Uuid::now_v7());
        for _ in 0..2 {
            let answer = crew.post(&path, &fields).await;
            assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        }
        assert_eq!(world.entries().await, before + 1, "sent twice, reported once");
        let text = given.officer.get(&page).await.text;
        assert!(text.contains("in quarantine since 2026-03-01"), "{text}");
        assert!(text.contains("It held a fall") && text.contains("held &#60;b&#62;100 kg&#60;/b&#62;"));
        assert!(text.contains("2026-02-28"));
    }

    async fn every_wrong_field_of_an_event_is_named(world) {
        let given = one_rope(&world).await;
        let path = format!("/items/{}/events", given.item);
        let before = world.entries().await;
        let long = "e".repeat(10_000);
        let fields = [("kind", "eaten"), ("on", "2026-03-02"), ("note", long.as_str())];
        let answer = given.officer.post(&path, &fields).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        for field in ["kind", "on", "note"] {
            assert!(answer.text.contains(&format!("id=\"f-{field}-wrong-1\"")), "{field}: {}", answer.text);
        }
        assert!(answer.text.contains("value=\"eaten\" selected") && answer.text.contains(&long));
        let empty = given.officer.post(&path, &[("kind", "drop"), ("on", ""), ("note", "")]).await;
        assert_eq!(empty.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(world.entries().await, before);
        let auditor = world.visitor(&world.auditor).await;
        let answer = auditor.post(&path, &[("kind", "drop")]).await;
        assert_eq!(answer.status, StatusCode::FORBIDDEN);
    }
}
