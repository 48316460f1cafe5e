//! A job keeps the version of a team's own rig that it was planned with.

use axum::http::{Method, StatusCode, header};
use serde_json::{Value, json};

use crate::{
    client::Client,
    job_given::{plan, planned},
    own_rig::{added, revised},
    store_rebuild::again,
};

async fn rig_of(client: &Client, job: &str) -> String {
    let job = client.get(&format!("/api/v1/jobs/{job}")).await.json();
    job["job"]["rig"].as_str().unwrap_or_default().to_owned()
}

/// What the kit page and the verdict page say of the rig.
async fn shown(client: &Client, job: &str) -> [String; 2] {
    let kit = client.get(&format!("/jobs/{job}")).await;
    let verdict = client.get(&format!("/jobs/{job}/verdict")).await;
    assert_eq!(
        (kit.status, verdict.status),
        (StatusCode::OK, StatusCode::OK)
    );
    [kit.text, verdict.text]
}

async fn change(client: &Client, job: &str, changes: Value) -> StatusCode {
    let path = format!("/api/v1/jobs/{job}");
    let mark = client.get(&path).await.header(header::ETAG).to_owned();
    let done = client
        .json_if(Method::PUT, &path, &mark, &plan(&changes))
        .await;
    done.status
}

on_both_databases! {
    async fn a_job_keeps_the_version_that_it_was_planned_with(world) {
        let officer = world.visitor(&world.officer).await;
        added(&officer, "our-lift").await;
        let crew = world.visitor(&world.crew).await;
        let first = planned(&crew, json!({"rig": "our-lift"})).await;
        assert_eq!(rig_of(&crew, &first).await, "our-lift@1");
        revised(&officer, "our-lift", "\"1\"", "bowline").await;
        let second = planned(&crew, json!({"rig": "our-lift"})).await;
        assert_eq!(rig_of(&crew, &second).await, "our-lift@2");
        let older = crew.json(Method::POST, "/api/v1/jobs", &plan(&json!({"rig": "our-lift@1"}))).await;
        assert_eq!(older.status, StatusCode::UNPROCESSABLE_ENTITY, "a new job takes no older version");
        assert_eq!(older.json()["fields"][0]["field"], "rig");
        for page in shown(&crew, &first).await {
            assert!(page.contains("(own, version 1)"), "{page}");
        }
        for page in shown(&crew, &second).await {
            assert!(page.contains("(own, version 2)"), "{page}");
        }
        // A change of the plan that says nothing of the version stays with it; one that names the rig alone
        // takes the newest.
        assert_eq!(change(&crew, &first, json!({"rig": "our-lift@1", "depth": "20 m"})).await, StatusCode::OK);
        assert_eq!(rig_of(&crew, &first).await, "our-lift@1");
        assert_eq!(change(&crew, &first, json!({"rig": "our-lift"})).await, StatusCode::OK);
        assert_eq!(rig_of(&crew, &first).await, "our-lift@2");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn a_withdrawn_rig_is_not_offered_but_its_jobs_go_on(world) {
        let officer = world.visitor(&world.officer).await;
        added(&officer, "our-lift").await;
        let job = planned(&officer, json!({"rig": "our-lift"})).await;
        assert!(officer.get("/jobs/new").await.text.contains("our-lift@1"));
        let gone = officer.post("/rigs/our-lift/withdraw", &[("reason", "the post is sold")]).await;
        assert_eq!(gone.status, StatusCode::SEE_OTHER, "{}", gone.text);
        assert!(!officer.get("/jobs/new").await.text.contains("our-lift"));
        assert!(officer.get(&format!("/jobs/{job}/edit")).await.text.contains("our-lift@1"));
        shown(&officer, &job).await;
        assert_eq!(change(&officer, &job, json!({"rig": "our-lift@1", "depth": "9 m"})).await, StatusCode::OK);
        for rig in ["our-lift", "our-lift@1"] {
            let refused = officer.json(Method::POST, "/api/v1/jobs", &plan(&json!({"rig": rig}))).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{rig}");
            assert_eq!(refused.json()["fields"][0]["field"], "rig");
        }
    }

    async fn a_rig_of_nobody_or_of_another_team_is_no_choice(world) {
        let outsider = world.visitor(&world.outsider).await;
        added(&outsider, "their-lift").await;
        let crew = world.visitor(&world.crew).await;
        for rig in ["their-lift", "their-lift@1", "three-to-one@1", "our-lift@", "@", "three-to-one@2", "a\0b@1"] {
            let refused = crew.json(Method::POST, "/api/v1/jobs", &plan(&json!({"rig": rig, "rulebook": "none"}))).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{rig}");
            let body = refused.json();
            let fields: Vec<&str> = body["fields"].as_array().unwrap().iter()
                .map(|field| field["field"].as_str().unwrap()).collect();
            assert!(fields.contains(&"rig"), "{rig}: {body}");
        }
    }

    async fn what_if_asks_about_a_rig_of_the_teams_own(world) {
        let officer = world.visitor(&world.officer).await;
        added(&officer, "our-lift").await;
        let job = planned(&officer, json!({})).await;
        let answer = officer.get(&format!("/api/v1/jobs/{job}/what-if?rig=our-lift")).await;
        assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
        assert_eq!(answer.json()["otherwise"]["job"]["rig"], "our-lift@1");
        let page = officer.get(&format!("/jobs/{job}/what-if?rig=our-lift%401")).await;
        assert_eq!(page.status, StatusCode::OK, "{}", page.text);
        assert_eq!(rig_of(&officer, &job).await, "four-to-one-pull-down");
    }
}
