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

    async fn another_case_hangs_its_people_on_the_rope(world) {
        let kit = world.shelved_kit().await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({"load": "100 kg", "case": "one-person"})).await;
        fill(&crew, &job, &kit).await;
        let ask = async |query: &str| {
            let answer = crew.get(&format!("/api/v1/jobs/{job}/what-if?{query}")).await;
            assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
            let other = answer.json()["otherwise"].clone();
            (other["verdict"]["asked"]["load_kg"].clone(), other["job"]["case"].clone())
        };
        // The European rulebook plans with 120 kg a person: a setting of its own, told with its reason.
        assert_eq!(ask("case=two-persons").await, (json!(240.0), json!("two-persons")));
        assert_eq!(ask("case=rescue&load=210%20kg").await, (json!(210.0), json!("rescue")));
        // The case that is planned changes nothing, and a mass alone leaves the case as it is.
        assert_eq!(ask("case=one-person&wet=yes").await, (json!(100.0), json!("one-person")));
        assert_eq!(ask("load=90%20kg").await, (json!(90.0), json!("one-person")));
        assert_eq!(ask("load=2%20persons").await, (json!(240.0), json!(null)));
        let before = world.entries().await;
        let page = crew.get(&format!("/jobs/{job}/what-if?case=two-persons")).await.text;
        assert!(page.contains("<option value=\"two-persons\" selected>") && page.contains("two people at once"), "{page}");
        assert!(page.contains("240 kg") && page.contains("100 kg"), "{page}");
        assert_eq!(world.entries().await, before, "nothing is stored");
        for query in ["case=crowd", "case=one-person&load=2%20persons"] {
            let wrong = crew.get(&format!("/jobs/{job}/what-if?{query}")).await;
            assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY, "{query}");
        }
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
