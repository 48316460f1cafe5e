//! What was noted of an item beside where it may go, and that a rig without a belay is no like of one with.

use axum::http::StatusCode;
use serde_json::json;

use crate::{
    job_given::{fill, planned},
    paper_reader::text_of,
    proposal::strong_kit,
    strength_of_kit_coverage::belayed,
};

on_both_databases! {
    async fn what_was_noted_stands_wherever_an_item_may_go(world) {
        let mut kit = strong_kit();
        kit[0].item.note = "TRAINING ONLY, end cut".into();
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({"load": "1 person"})).await;
        let here = format!("/jobs/{job}");
        for page in [format!("{here}/positions/rope"), format!("{here}/proposal")] {
            let text = crew.get(&page).await.text;
            assert!(text.contains("Note: TRAINING ONLY, end cut"), "{page}\n{text}");
        }
        fill(&crew, &job, &kit).await;
        let text = crew.get(&here).await.text;
        assert!(text.contains("Note: TRAINING ONLY, end cut"), "{text}");
        let file = crew.get(&format!("{here}/kit.pdf")).await;
        assert_eq!(file.status, StatusCode::OK);
        if let Some(text) = text_of(&file.bytes) {
            assert!(text.contains("TRAINING"), "{text}");
        }
    }

    async fn a_rig_without_a_belay_stands_apart(world) {
        let kit = belayed();
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let plan = json!({"rig": "tripod-with-belay", "between_anchors": "3 m", "load": "1 person"});
        let job = planned(&crew, plan).await;
        let apart = "The belay of the plan is lost.";
        let page = crew.get(&format!("/jobs/{job}/what-if?rig=four-to-one-pull-down")).await.text;
        assert!(page.contains(apart), "{page}");
        let page = crew.get(&format!("/jobs/{job}/what-if?wet=yes")).await.text;
        assert!(!page.contains(apart), "{page}");
        let job = planned(&crew, json!({"load": "1 person"})).await;
        let page = crew.get(&format!("/jobs/{job}/what-if?rig=two-to-one")).await.text;
        assert!(!page.contains(apart), "{page}");
    }

    async fn a_rig_without_a_belay_that_the_register_fills_stands_apart(world) {
        let mut kit = belayed();
        kit.retain(|thing| thing.position.as_deref() != Some("belay-device"));
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let plan = json!({"rig": "tripod-with-belay", "between_anchors": "3 m", "load": "1 person"});
        let job = planned(&crew, plan).await;
        let page = crew.get(&format!("/jobs/{job}/proposal")).await.text;
        let (_, apart) = page.split_once("Rigs without a belay that the register fills").unwrap_or_else(|| panic!("{page}"));
        let apart = apart.split("</details>").next().unwrap();
        assert!(apart.contains("rig=four-to-one-pull-down") && apart.contains("nothing else holds the load"), "{page}");
        let before = page.split("Rigs without a belay").next().unwrap();
        assert!(!before.contains("rig=four-to-one-pull-down"), "{page}");
    }

    async fn who_names_an_item_of_another_kind_is_told_why_it_does_not_go(world) {
        let kit = belayed();
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let plan = json!({"rig": "tripod-with-belay", "between_anchors": "3 m", "load": "1 person"});
        let job = planned(&crew, plan).await;
        let page = crew.get(&format!("/jobs/{job}/positions/belay-device?q=P-3")).await.text;
        assert!(page.contains("a back-up device or a rope clamp or a descender, not a pulley"), "{page}");
    }
}
