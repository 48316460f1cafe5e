//! Stores through their doors.

use axum::http::StatusCode;

use crate::item_given::{one_rope, store};

on_both_databases! {
    async fn a_store_comes_back_as_it_went_in(world) {
        let officer = world.visitor(&world.officer).await;
        let fields = [("name", "Bay <1> & tower"), ("note", "second\r\nline")];
        let answer = officer.post("/stores?id=0190a000-0000-7000-8000-000000000001", &fields).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        assert_eq!(answer.location(), "/stores");
        let list = officer.get("/stores").await;
        assert!(list.text.contains("Bay &#60;1&#62; &#38; tower"), "{}", list.text);
        let form = officer.get("/stores/0190a000-0000-7000-8000-000000000001/edit").await;
        assert!(form.text.contains("value=\"Bay &#60;1&#62; &#38; tower\""), "{}", form.text);
        assert!(form.text.contains("second\r\nline</textarea>"), "{}", form.text);
    }

    async fn a_form_sent_twice_adds_one_store(world) {
        let officer = world.visitor(&world.officer).await;
        let path = "/stores?id=0190a000-0000-7000-8000-000000000002";
        let before = world.entries().await;
        for _ in 0..2 {
            let answer = officer.post(path, &[("name", "Van")]).await;
            assert_eq!(answer.status, StatusCode::SEE_OTHER);
        }
        assert_eq!(world.entries().await, before + 1);
    }

    async fn a_name_is_taken_once_however_it_is_spelt(world) {
        let officer = world.visitor(&world.officer).await;
        store(&officer, "Bay 1").await;
        let before = world.entries().await;
        let answer = officer.post("/stores", &[("name", " bay  1"), ("note", "kept text")]).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(answer.text.contains("href=\"#f-name\""), "{}", answer.text);
        assert!(answer.text.contains("kept text"), "{}", answer.text);
        assert_eq!(world.entries().await, before);
    }

    async fn what_does_not_hold_is_named_and_kept(world) {
        let officer = world.visitor(&world.officer).await;
        let before = world.entries().await;
        let long = "n".repeat(10_000);
        for name in ["", "   ", "a\u{0}b", "two\nlines", &long] {
            let answer = officer.post("/stores", &[("name", name), ("note", "<b>note</b>")]).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{name:.20}");
            assert!(answer.text.contains("&#60;b&#62;note&#60;/b&#62;"));
            assert!(answer.text.contains("aria-invalid=\"true\""));
        }
        assert!(officer.post("/stores", &[("name", &long)]).await.text.contains(&long));
        assert_eq!(world.entries().await, before);
    }

    async fn another_team_sees_no_store(world) {
        let officer = world.visitor(&world.officer).await;
        let id = store(&officer, "Bay 1").await;
        let outsider = world.visitor(&world.outsider).await;
        assert_eq!(outsider.get(&format!("/stores/{id}/edit")).await.status, StatusCode::NOT_FOUND);
        for name in ["Mine", ""] {
            let fields = [("name", name), ("revision", "1")];
            let answer = outsider.post(&format!("/stores/{id}"), &fields).await;
            assert_eq!(answer.status, StatusCode::NOT_FOUND);
        }
        assert!(!outsider.get("/stores").await.text.contains("Bay 1"));
        assert!(officer.get("/stores").await.text.contains("Bay 1"));
    }

    async fn a_stale_edit_shows_both_versions(world) {
        let officer = world.visitor(&world.officer).await;
        let admin = world.visitor(&world.admin).await;
        let id = store(&officer, "Bay 1").await;
        let path = format!("/stores/{id}");
        let first = admin.post(&path, &[("name", "Bay one"), ("revision", "1")]).await;
        assert_eq!(first.status, StatusCode::SEE_OTHER, "{}", first.text);
        let before = world.entries().await;
        let second = officer.post(&path, &[("name", "Tower bay"), ("revision", "1")]).await;
        assert_eq!(second.status, StatusCode::CONFLICT);
        assert!(second.text.contains("<td data-label=\"You typed\">Tower bay</td>"), "{}", second.text);
        assert!(second.text.contains("<td data-label=\"Stored now\">Bay one</td>"), "{}", second.text);
        assert!(second.text.contains("name=\"revision\" value=\"2\""), "{}", second.text);
        assert_eq!(world.entries().await, before);
        let third = officer.post(&path, &[("name", "Tower bay"), ("revision", "2")]).await;
        assert_eq!(third.status, StatusCode::SEE_OTHER);
        assert!(officer.get("/stores").await.text.contains("Tower bay"));
    }

    async fn only_those_who_keep_the_register_change_stores(world) {
        let officer = world.visitor(&world.officer).await;
        let id = store(&officer, "Bay 1").await;
        for actor in [&world.crew, &world.auditor] {
            let client = world.visitor(actor).await;
            let list = client.get("/stores").await;
            assert_eq!(list.status, StatusCode::OK);
            assert!(!list.text.contains("/stores/new"), "{}", list.text);
            assert_eq!(client.get("/stores/new").await.status, StatusCode::FORBIDDEN);
            let answer = client.post("/stores", &[("name", "Mine")]).await;
            assert_eq!(answer.status, StatusCode::FORBIDDEN);
            let fields = [("name", "Mine"), ("revision", "1")];
            let answer = client.post(&format!("/stores/{id}"), &fields).await;
            assert_eq!(answer.status, StatusCode::FORBIDDEN);
        }
        assert_eq!(world.stranger().get("/stores").await.status, StatusCode::SEE_OTHER);
    }

    async fn the_list_counts_what_is_not_retired(world) {
        let given = one_rope(&world).await;
        let link = format!("/items?store={}\">1 item</a>", given.store);
        assert!(given.officer.get("/stores").await.text.contains(&link));
        let fields = [("step", "retire"), ("reason", "cut")];
        given.officer.post(&format!("/items/{}/step", given.item), &fields).await;
        let link = format!("/items?store={}\">no items</a>", given.store);
        assert!(given.officer.get("/stores").await.text.contains(&link));
    }

    async fn who_comes_too_late_is_told_the_faults_at_once(world) {
        let officer = world.visitor(&world.officer).await;
        let id = crate::item_given::store(&officer, "Bay 1").await;
        let path = format!("/stores/{id}");
        let first = officer.post(&path, &[("name", "Bay 2"), ("note", ""), ("revision", "1")]).await;
        assert_eq!(first.status, StatusCode::SEE_OTHER, "{}", first.text);
        let long = "n".repeat(5000);
        let late = officer.post(&path, &[("name", "Bay 3"), ("note", &long), ("revision", "1")]).await;
        assert_eq!(late.status, StatusCode::CONFLICT);
        assert!(late.text.contains("somebody else saved first"), "{}", late.text);
        assert!(late.text.contains("Note: Keep this to 4000 characters; 5000 were given."), "{}", late.text);
        assert!(late.text.contains("class=\"table cards halves\"") && late.text.contains("Bay 2"), "{}", late.text);
    }
}
