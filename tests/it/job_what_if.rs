//! A job planned otherwise, beside its plan.

use axum::http::StatusCode;
use serde_json::json;

use crate::job_given::{fill, planned};

on_both_databases! {
    async fn another_rig_a_heavier_load_and_a_wet_rope_stand_beside_the_plan(world) {
        let kit = world.shelved_kit().await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({"load": "203.943242595587 kg"})).await;
        fill(&crew, &job, &kit).await;
        let ask = |query: &str| format!("/api/v1/jobs/{job}/what-if?{query}");

        // The hand strand from the load instead of from above: advantages 3.2615 and 3.5451 hauling, from
        // the computed reference values.
        let answer = crew.get(&ask("rig=four-to-one-from-load")).await.json();
        let advantage = |verdict: &serde_json::Value| {
            let phases = verdict["assessment"]["phases"].as_array().unwrap().clone();
            let hauling = phases.into_iter().find(|forces| forces["phase"] == "hauling").unwrap();
            hauling["advantage"]["likely"].as_f64().unwrap()
        };
        assert!((advantage(&answer["planned"]) - 3.2615).abs() < 0.000_05);
        assert!((advantage(&answer["otherwise"]["verdict"]) - 3.5451).abs() < 0.000_05, "{answer}");

        let heavier = crew.get(&ask("load=300%20kg")).await.json();
        assert_eq!(heavier["otherwise"]["verdict"]["asked"]["load_kg"], 300.0);
        let stored = crew.get(&format!("/api/v1/jobs/{job}")).await.json();
        assert_eq!(stored["job"]["load"], answer["otherwise"]["job"]["load"], "nothing is stored");
        let wet = crew.get(&ask("wet=yes")).await.json();
        assert_eq!(wet["otherwise"]["job"]["setup"]["wet"], true);

        let page = crew.get(&format!("/jobs/{job}/what-if?rig=five-to-one&load=2%20persons")).await;
        assert_eq!(page.status, StatusCode::OK);
        assert!(page.text.contains("Otherwise") && page.text.contains("5:1"), "{}", page.text);
    }

    async fn what_cannot_be_planned_is_refused_with_its_field(world) {
        let kit = world.shelved_kit().await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({})).await;
        fill(&crew, &job, &kit).await;
        for (query, field) in [("load=-3%20kg", "load"), ("rig=none-such", "rig"), ("throw=NaN", "throw")] {
            let answer = crew.get(&format!("/api/v1/jobs/{job}/what-if?{query}")).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", answer.text);
            assert!(answer.text.contains(field), "{}", answer.text);
            let page = crew.get(&format!("/jobs/{job}/what-if?{query}")).await;
            assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        }
        let other = crew.get(&format!("/jobs/{job}/what-if?rig=three-to-one&throw=3%20m")).await;
        assert_eq!(other.status, StatusCode::OK);
        assert!(other.text.contains("would be missing"), "a 3:1 asks for a rope grab: {}", other.text);
        let elsewhere = uuid::Uuid::now_v7();
        let lost = crew.get(&format!("/jobs/{elsewhere}/what-if")).await;
        assert_eq!(lost.status, StatusCode::NOT_FOUND);
    }
}
