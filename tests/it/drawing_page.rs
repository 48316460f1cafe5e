//! The drawing where it is shown: on a rig's page, in the list of rigs, beside a verdict.

use axum::http::StatusCode;
use serde_json::json;

use ropeloft::rigging::shipped_rig;

use crate::job_given::{fill, planned};

/// How often something stands in a page.
fn count(page: &str, what: &str) -> usize {
    page.matches(what).count()
}

on_both_databases! {
    async fn a_rig_is_drawn_with_its_pulls_as_shares_of_the_load(world) {
        let crew = world.visitor(&world.crew).await;
        let page = crew.get("/rigs/four-to-one-pull-down").await;
        assert_eq!(page.status, StatusCode::OK);
        // One for a desk and one for a phone; every one of the five strands carries a quarter.
        assert_eq!(count(&page.text, "role=\"img\""), 2);
        assert_eq!(count(&page.text, ">1/4</text>"), 10);
        assert!(page.text.contains("On the anchor: 5/4.") && page.text.contains(">takes 5/4<"), "{}", page.text);
        assert!(!page.text.contains("style=\""));
    }

    async fn every_rig_of_the_list_has_its_picture(world) {
        let crew = world.visitor(&world.crew).await;
        let page = crew.get("/rigs").await;
        let rigs = ropeloft::rigging::shipped().len();
        assert_eq!(count(&page.text, "<svg class=\"drawing is-small\""), rigs);
    }

    async fn a_verdict_draws_the_phase_that_is_asked_for(world) {
        let kit = world.shelved_kit().await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({"load": "120 kg"})).await;
        let bare = crew.get(&format!("/jobs/{job}/verdict")).await;
        assert_eq!(count(&bare.text, "role=\"img\""), 0, "nothing is drawn before there is a verdict");
        fill(&crew, &job, &kit).await;

        let known = crew.get(&format!("/api/v1/jobs/{job}")).await.json();
        let weakest = known["verdict"]["assessment"]["weakest"]["phase"].as_str().unwrap().to_owned();
        let page = crew.get(&format!("/jobs/{job}/verdict")).await;
        let here = format!("phase={weakest}\" aria-current=\"page\"");
        assert!(page.text.contains(&here), "{weakest}: {}", page.text);
        assert_eq!(count(&page.text, ">Weakest link</text>"), 2);
        // The table knows a position by the number that the drawing writes at it.
        let positions = shipped_rig(known["job"]["rig"].as_str().unwrap()).unwrap().positions();
        assert!(page.text.contains("Numbered as in the drawing."), "{}", page.text);
        // A position that may stay empty has a row only where something is on it.
        for (index, position) in positions.iter().enumerate().filter(|(_, position)| !position.is_optional()) {
            let named = format!("{} {}", index + 1, position.title());
            let row = format!("<th scope=\"row\">{named}<br>");
            assert!(page.text.contains(&row) && page.text.contains(&format!(" {named}")), "{row}");
        }

        let held = crew.get(&format!("/jobs/{job}/verdict?phase=held")).await;
        assert!(held.text.contains("held by the capture</title>"), "{}", held.text);
        assert_eq!(count(&held.text, ">slack</text>"), 2);
    }

    async fn a_phase_that_there_is_not_is_refused_by_name(world) {
        let kit = world.shelved_kit().await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({"load": "120 kg"})).await;
        fill(&crew, &job, &kit).await;
        for (phase, known) in [("sideways", "hauling"), ("belay-catch", "lowering")] {
            let answer = crew.get(&format!("/jobs/{job}/verdict?phase={phase}")).await;
            assert_eq!(answer.status, StatusCode::BAD_REQUEST);
            assert!(answer.text.contains(phase) && answer.text.contains(known), "{}", answer.text);
        }
    }
}
