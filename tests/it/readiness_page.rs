//! Complete sets through their doors: pages, the file, the API.

use axum::http::{Method, StatusCode};
use ropeloft::domain::MOST_PINS;
use serde_json::json;

use crate::{
    job_given::{fill, planned},
    proposal::strong_kit,
    store_rebuild::again as again_made,
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
        assert_eq!(file.text.lines().next().unwrap(), "\u{feff}from,sets,at_most,ended_mark,ended_kind,ended_for,ended_item_id,key,end");
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

    async fn a_plan_is_pinned_without_a_job_and_taken_down(world) {
        let kit = strong_kit();
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let plan = [("rig", "four-to-one-pull-down"), ("rulebook", "european"), ("depth", "15 m"), ("load", ""), ("case", "one-person")];
        let before = world.entries().await;
        let far: Vec<_> = plan.iter().map(|(name, text)| (*name, if *name == "depth" { "far" } else { text })).collect();
        let wrong = crew.post("/readiness/pins", &far).await;
        assert_eq!((wrong.status, world.entries().await), (StatusCode::UNPROCESSABLE_ENTITY, before));
        assert!(wrong.text.contains("value=\"far\"") && wrong.text.contains("<option value=\"one-person\" selected>"), "{}", wrong.text);
        let id = uuid::Uuid::now_v7();
        for _ in 0..2 {
            let done = crew.post(&format!("/readiness/pins?id={id}"), &plan).await;
            assert_eq!((done.status, done.location()), (StatusCode::SEE_OTHER, "/readiness"), "{}", done.text);
        }
        assert_eq!(world.entries().await, before + 1, "sent twice, pinned once");
        let again = crew.post("/readiness/pins", &plan).await;
        assert!(again.status == StatusCode::UNPROCESSABLE_ENTITY && again.text.contains("This plan is pinned already."), "{}", again.text);
        let list = crew.get("/readiness").await.text;
        assert!(list.contains("Plans that your team has pinned") && list.contains("1 complete set"), "{list}");
        assert!(list.contains("15 m deep, 1 person (one person)") && list.contains(&format!("/readiness/sets?pin={id}")), "{list}");
        let page = crew.get(&format!("/readiness/sets?pin={id}")).await.text;
        assert!(page.contains("1 complete set could go out today") && page.contains("Pin it no longer"), "{page}");
        let sets = crew.get(&format!("/api/v1/readiness?pin={id}")).await.json();
        assert_eq!((&sets["pin"], &sets["steps"][0]["sets"]), (&json!(id.to_string()), &json!(1)), "{sets}");
        let file = crew.get(&format!("/readiness/sets.csv?pin={id}")).await;
        assert!(file.text.contains("P-1,pulley,examination"), "{}", file.text);
        // Whoever only reads sees it and takes nothing down; another team sees nothing of it.
        let auditor = world.visitor(&world.auditor).await;
        let seen = auditor.get("/readiness").await.text;
        assert!(seen.contains(&format!("pin={id}")) && !seen.contains("/readiness/pins"), "{seen}");
        let outsider = world.visitor(&world.outsider).await;
        assert_eq!(outsider.get(&format!("/readiness/sets?pin={id}")).await.status, StatusCode::NOT_FOUND);
        assert_eq!(outsider.post(&format!("/readiness/pins/{id}/remove"), &[]).await.status, StatusCode::NOT_FOUND);
        assert_eq!(again_made(&world).await.differences, []);
        assert_eq!(crew.post(&format!("/readiness/pins/{id}/remove"), &[]).await.status, StatusCode::SEE_OTHER);
        assert!(!crew.get("/readiness").await.text.contains("has pinned"));
        assert_eq!(crew.get(&format!("/readiness/sets?pin={id}")).await.status, StatusCode::NOT_FOUND);
        let told = auditor.get("/history").await.text;
        assert!(told.contains("Plan pinned for complete sets: four-to-one-pull-down, 15 m deep") && told.contains("Plan pinned no longer"), "{told}");
        assert_eq!(again_made(&world).await.differences, []);
    }

    async fn programs_pin_plans_and_no_more_than_may_be(world) {
        let crew = world.visitor(&world.crew).await;
        let plan = |depth: usize| json!({"rig": "two-to-one", "rulebook": "european", "depth": format!("{depth} m"), "load": "2 persons", "between_anchors": "1 m"});
        for depth in 1..=MOST_PINS {
            let made = crew.json(Method::POST, "/api/v1/readiness/pins", &plan(depth)).await;
            assert_eq!(made.status, StatusCode::CREATED, "{}", made.text);
        }
        let more = crew.json(Method::POST, "/api/v1/readiness/pins", &plan(99)).await;
        assert!(more.status == StatusCode::UNPROCESSABLE_ENTITY && more.text.contains("At most 12 plans are pinned at once, and 12 are"), "{}", more.text);
        let all = crew.get("/api/v1/readiness/pins").await.json();
        assert_eq!(all.as_array().unwrap().len(), MOST_PINS);
        assert_eq!((&all[0]["load"]["persons"], &all[0]["between_anchors"]["value"]), (&json!(2), &json!(1.0)), "{all}");
        let path = format!("/api/v1/readiness/pins/{}", all[0]["id"].as_str().unwrap());
        assert_eq!(crew.json(Method::DELETE, &path, &json!({})).await.status, StatusCode::NO_CONTENT);
        assert_eq!(crew.json(Method::DELETE, &path, &json!({})).await.status, StatusCode::NOT_FOUND);
        let auditor = world.visitor(&world.auditor).await;
        assert_eq!(auditor.json(Method::POST, "/api/v1/readiness/pins", &plan(99)).await.status, StatusCode::FORBIDDEN);
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
