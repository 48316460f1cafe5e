//! The steps between the states of an item, through their door.

use axum::http::StatusCode;

use crate::item_given::one_rope;

on_both_databases! {
    async fn a_step_needs_its_reason_and_keeps_what_was_typed(world) {
        let given = one_rope(&world).await;
        let path = format!("/items/{}/step", given.item);
        let before = world.entries().await;
        let long = "r".repeat(10_000);
        for (reason, on, field) in [
            ("", "", "reason"),
            (".", "", "reason"),
            (" - ?", "", "reason"),
            (long.as_str(), "", "reason"),
            ("cut", "2026-03-02", "on"),
            ("cut", "yesterday", "on"),
        ] {
            let fields = [("step", "quarantine"), ("reason", reason), ("on", on)];
            let answer = given.officer.post(&path, &fields).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
            assert!(answer.text.contains(&format!("id=\"f-{field}-wrong-1\"")), "{}", answer.text);
            assert!(answer.text.contains(&format!("{reason}</textarea>")));
            assert!(answer.text.contains(&format!("value=\"{on}\"")));
        }
        assert_eq!(world.entries().await, before);
    }

    async fn only_the_steps_that_are_open_are_offered(world) {
        let given = one_rope(&world).await;
        let page = format!("/items/{}", given.item);
        let offered = async || {
            let text = given.officer.get(&page).await.text;
            let steps = ["quarantine", "return-to-service", "report-missing", "retire"];
            let open = steps.map(|step| text.contains(&format!("/step?step={step}")));
            (open, text.contains("/examinations/new"))
        };
        let take = async |step| {
            let fields = [("step", step), ("reason", "because <i>so</i>")];
            let answer = given.officer.post(&format!("{page}/step"), &fields).await;
            assert_eq!(answer.status, StatusCode::SEE_OTHER, "{step}: {}", answer.text);
        };
        assert_eq!(offered().await, ([true, false, true, true], true));
        take("quarantine").await;
        assert_eq!(offered().await, ([false, true, true, true], true));
        take("report-missing").await;
        assert_eq!(offered().await, ([true, false, false, true], true));
        take("retire").await;
        assert_eq!(offered().await, ([false; 4], false));
        let text = given.officer.get(&page).await.text;
        assert!(text.contains("because &#60;i&#62;so&#60;/i&#62;"), "{text}");
    }

    async fn a_step_that_is_not_open_is_refused_with_a_sentence(world) {
        let given = one_rope(&world).await;
        let path = format!("/items/{}/step", given.item);
        let take = async |step| given.officer.post(&path, &[("step", step), ("reason", "x")]).await;
        let answer = take("return-to-service").await;
        assert_eq!(answer.status, StatusCode::CONFLICT);
        assert!(answer.text.contains("in service already"), "{}", answer.text);
        assert_eq!(take("retire").await.status, StatusCode::SEE_OTHER);
        let before = world.entries().await;
        for step in ["quarantine", "return-to-service", "report-missing", "retire"] {
            let answer = take(step).await;
            assert_eq!(answer.status, StatusCode::CONFLICT, "{step}");
            assert!(answer.text.contains("retired is for good"), "{}", answer.text);
            let form = given.officer.get(&format!("{path}?step={step}")).await;
            assert_eq!(form.status, StatusCode::CONFLICT);
        }
        assert_eq!(world.entries().await, before);
    }

    async fn the_crew_may_take_out_of_use_and_no_more(world) {
        let given = one_rope(&world).await;
        let path = format!("/items/{}/step", given.item);
        let crew = world.visitor(&world.crew).await;
        for step in ["retire", "return-to-service"] {
            let answer = crew.post(&path, &[("step", step), ("reason", "x")]).await;
            assert_eq!(answer.status, StatusCode::FORBIDDEN, "{step}");
            assert_eq!(crew.get(&format!("{path}?step={step}")).await.status, StatusCode::FORBIDDEN);
        }
        let answer = crew.post(&path, &[("step", "quarantine"), ("reason", "x")]).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER);
        let auditor = world.visitor(&world.auditor).await;
        let answer = auditor.post(&path, &[("step", "quarantine"), ("reason", "x")]).await;
        assert_eq!(answer.status, StatusCode::FORBIDDEN);
        let unknown = given.officer.get(&format!("{path}?step=fly")).await;
        assert_eq!(unknown.status, StatusCode::NOT_FOUND);
    }
}
