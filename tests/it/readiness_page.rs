//! Complete sets through their doors: pages, the file, the API.

use axum::http::StatusCode;
use serde_json::json;

use crate::{
    job_given::{fill, planned},
    proposal::strong_kit,
};

on_both_databases! {
    async fn the_sets_for_the_plan_of_a_job(world) {
        let kit = strong_kit();
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let empty = crew.get("/readiness").await;
        assert!(empty.text.contains("No job says yet what sets are needed."), "{}", empty.text);
        let job = planned(&crew, json!({})).await;
        let list = crew.get("/readiness").await.text;
        assert!(list.contains("1 complete set") && list.contains(&format!("/readiness/sets?job={job}")), "{list}");
        let page = crew.get(&format!("/readiness/sets?job={job}")).await.text;
        assert!(page.contains("1 complete set could go out today"), "{page}");
        assert!(page.contains("What this does not tell you"), "{page}");
        let sets = crew.get(&format!("/api/v1/readiness?job={job}")).await.json();
        assert_eq!(sets["steps"][0]["sets"], 1, "{sets}");
        assert_eq!(sets["today"][0].as_array().unwrap().len(), 6, "{sets}");
        assert!(!sets["cautions"].as_array().unwrap().is_empty());
        let last = sets["steps"].as_array().unwrap().last().unwrap();
        assert_eq!(last["sets"], 0, "{sets}");
        let file = crew.get(&format!("/readiness/sets.csv?job={job}")).await;
        assert_eq!(file.status, StatusCode::OK);
        assert_eq!(file.text.lines().next().unwrap(), "\u{feff}from,sets,at_most,ended_mark,ended_kind,ended_for,ended_item_id");
        assert!(file.text.contains("P-1,pulley,examination"), "{}", file.text);
        // What is put on the list of the job is away on its day, and the answer is counted anew.
        fill(&crew, &job, &kit[1..2]).await;
        let sets = crew.get(&format!("/api/v1/readiness?job={job}")).await.json();
        assert_eq!(sets["steps"][1]["from"], "2026-03-02", "{sets}");
        assert_eq!(sets["steps"][1]["ended"][0]["why"], "another-job", "{sets}");
    }

    async fn the_sets_for_a_plan_that_is_written(world) {
        world.shelve(&strong_kit()).await;
        let crew = world.visitor(&world.crew).await;
        let plan = "rig=four-to-one-pull-down&rulebook=european&load=1+person";
        let page = crew.get(&format!("/readiness/sets?{plan}&depth=15+m")).await;
        assert!(page.text.contains("1 complete set could go out today"), "{}", page.text);
        // The rope of 80 m does not reach.
        let deep = crew.get(&format!("/api/v1/readiness?{plan}&depth=40+m")).await.json();
        assert_eq!((&deep["steps"][0]["sets"], &deep["short"]), (&json!(0), &json!(["rope"])), "{deep}");
        let wrong = crew.get(&format!("/readiness/sets?{plan}&depth=far")).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(wrong.text.contains("value=\"far\""), "{}", wrong.text);
        let wrong = crew.get(&format!("/api/v1/readiness?{plan}&depth=far")).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        let no_job = crew.get("/api/v1/readiness?job=1").await;
        assert_eq!(no_job.status, StatusCode::NOT_FOUND);
    }

    async fn another_team_counts_its_own(world) {
        world.shelve(&strong_kit()).await;
        let crew = world.visitor(&world.crew).await;
        let job = planned(&crew, json!({})).await;
        let outsider = world.visitor(&world.outsider).await;
        let other = outsider.get(&format!("/readiness/sets?job={job}")).await;
        assert_eq!(other.status, StatusCode::NOT_FOUND);
        assert!(!outsider.get("/readiness").await.text.contains("Pump well"));
    }
}
