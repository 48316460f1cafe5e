//! Letters that no face of the papers has: named wherever a paper is offered, before it is fetched.

use axum::http::{StatusCode, header};
use serde_json::json;

use crate::{
    item_given::{examine, item, one_rope, rope_fields, with},
    job_given::{fill, planned},
    paper_reader::text_of,
};

const TOLD: &str = "The PDF has no letters for \u{7e69} (U+7E69)";

on_both_databases! {
    async fn the_list_of_what_falls_due_says_it_first_and_is_made_all_the_same(world) {
        let given = one_rope(&world).await;
        let officer = &given.officer;
        let span = "/due.pdf?from=2026-03-01&to=2026-03-31";
        assert_eq!(officer.get(span).await.header(header::CONTENT_TYPE), "application/pdf");
        let fields = with(&rope_fields(&given.model, &given.store), &[("mark", "\u{7e69}-1"), ("serial", "9")]);
        item(officer, &fields).await;
        let told = officer.get(span).await;
        assert_eq!(told.status, StatusCode::OK);
        assert!(told.text.contains(TOLD) && told.text.contains("Make the list all the same"), "{}", told.text);
        assert!(told.text.contains("value=\"2026-03-31\"") && told.text.contains("name=\"letters\" value=\"told\""), "{}", told.text);
        let made = officer.get(&format!("{span}&letters=told")).await;
        assert_eq!(made.header(header::CONTENT_TYPE), "application/pdf");
        if let Some(text) = text_of(&made.bytes) {
            assert!(text.contains("U+7E69"), "{text}");
        }
        let program = officer.get("/api/v1/due.pdf?from=2026-03-01&to=2026-03-31").await;
        assert_eq!(program.header(header::CONTENT_TYPE), "application/pdf", "a program is asked nothing");
    }

    async fn pages_of_bags_and_rounds_name_them(world) {
        let given = one_rope(&world).await;
        let officer = &given.officer;
        let bag = format!("/stores/{}", given.store);
        assert!(!officer.get(&bag).await.text.contains("The PDF has no letters"));
        let fields = with(&rope_fields(&given.model, &given.store), &[("mark", "\u{7e69}-1"), ("serial", "9")]);
        let other = item(officer, &fields).await;
        examine(officer, &other, &[("kind", "intake"), ("on", "2026-02-01"), ("verdict", "fit")]).await;
        let page = officer.get(&bag).await.text;
        assert!(page.contains(TOLD), "{page}");
        for (items, is_told) in [(given.item.clone(), false), (other, true)] {
            let id = uuid::Uuid::now_v7();
            let fields = [("name", "Spring"), ("from", "2026-03-01"), ("items", items.as_str())];
            let done = officer.post(&format!("/rounds?id={id}"), &fields).await;
            assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
            let page = officer.get(&format!("/rounds/{id}")).await.text;
            assert_eq!(page.contains(TOLD), is_told, "{page}");
        }
    }

    async fn the_page_of_a_job_names_them_for_its_pack_sheet(world) {
        let kit = world.shelved_kit().await;
        let crew = world.visitor(&world.crew).await;
        for (note, is_told) in [("under the \u{7e69}", true), ("under the bridge", false)] {
            let job = planned(&crew, json!({"note": note, "starts_at": "2026-03-02T08:00"})).await;
            let page = format!("/jobs/{job}");
            assert!(!crew.get(&page).await.text.contains("The PDF has no letters"), "without a kit there is no sheet");
            fill(&crew, &job, &kit).await;
            assert_eq!(crew.get(&page).await.text.contains(TOLD), is_told);
            let end = [("state", "cancelled"), ("reason", "rain")];
            assert_eq!(crew.post(&format!("{page}/end"), &end).await.status, StatusCode::SEE_OTHER);
        }
    }
}
