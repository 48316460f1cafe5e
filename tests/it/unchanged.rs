//! A device that takes the pages of a job along anew is told that they stand as they did, before anything is solved.

use axum::{
    body::Body,
    http::{Request, StatusCode, header},
};
use serde_json::json;
use time::Duration;

use crate::{
    client::{Answer, Client},
    issue::{issued, passing},
    world::World,
};

/// What a script of the page asks for, with the mark of what it has.
async fn asked(client: &Client, path: &str, mark: &str, mode: &str) -> Answer {
    let request = Request::get(path)
        .header(header::IF_NONE_MATCH, mark)
        .header("sec-fetch-mode", mode)
        .body(Body::empty());
    client.send(request.unwrap()).await
}

fn mark(answer: &Answer) -> String {
    let tag = answer.headers.get(header::ETAG);
    tag.map_or_else(String::new, |tag| tag.to_str().unwrap().to_owned())
}

/// The pages of a job that devices take along.
async fn pages(world: &World, crew: &Client) -> (String, Vec<String>) {
    let (job, _) = passing(world, crew).await;
    let issue = issued(world, crew, &job).await;
    let issue = format!("/jobs/{job}/issues/{}", issue["id"].as_str().unwrap());
    let pages = vec![
        format!("/jobs/{job}"),
        format!("/jobs/{job}/verdict"),
        format!("/jobs/{job}/crew"),
        issue.clone(),
        format!("{issue}/check"),
        format!("{issue}/return"),
    ];
    (job, pages)
}

on_both_databases! {
    async fn a_page_of_a_job_is_spared_until_something_of_the_team_changes(world) {
        let crew = world.visitor(&world.crew).await;
        let (job, pages) = pages(&world, &crew).await;
        for page in &pages {
            let first = crew.get(page).await;
            assert_eq!(first.status, StatusCode::OK, "{page}");
            let mark = mark(&first);
            assert!(mark.starts_with("W/\""), "{page}: {mark:?}");
            let same = asked(&crew, page, &mark, "cors").await;
            assert_eq!((same.status, same.text.as_str()), (StatusCode::NOT_MODIFIED, ""), "{page}");
            // Whoever opens the page gets it all the same.
            assert_eq!(asked(&crew, page, &mark, "navigate").await.status, StatusCode::OK, "{page}");
        }
        let marks = |page: String| { let crew = &crew; async move { mark(&crew.get(&page).await) } };
        let before = marks(pages[1].clone()).await;
        // Another page, another reader, another wish for units: none is the same.
        assert_ne!(before, marks(pages[0].clone()).await);
        let officer = world.visitor(&world.officer).await;
        assert_ne!(before, mark(&officer.get(&pages[1]).await));
        assert_eq!(asked(&officer, &pages[1], &before, "cors").await.status, StatusCode::OK);
        crew.post("/settings", &[("units", "us"), ("theme", "system")]).await;
        assert_ne!(before, marks(pages[1].clone()).await);
        // A change of any record of the team.
        let before = marks(pages[1].clone()).await;
        let step = json!({"step": "quarantine", "reason": "soft spot"});
        let read = officer.get(&format!("/api/v1/jobs/{job}")).await.json();
        let item = read["kit"][0]["item"]["id"].as_str().unwrap();
        let done = officer.json(axum::http::Method::POST, &format!("/api/v1/items/{item}/steps"), &step).await;
        assert!(done.status.is_success(), "{}", done.text);
        let changed = asked(&crew, &pages[1], &before, "cors").await;
        assert_eq!(changed.status, StatusCode::OK);
        assert!(changed.text.contains("quarantine"), "{}", changed.text);
    }

    async fn time_ends_what_is_spared_and_other_teams_get_nothing(world) {
        let crew = world.visitor(&world.crew).await;
        let (_, pages) = pages(&world, &crew).await;
        let mark = mark(&crew.get(&pages[0]).await);
        world.clock.advance(Duration::minutes(16));
        assert_eq!(asked(&crew, &pages[0], &mark, "cors").await.status, StatusCode::OK);
        let outsider = world.visitor(&world.outsider).await;
        let none = asked(&outsider, &pages[0], &mark, "cors").await;
        assert_eq!(none.status, StatusCode::NOT_FOUND);
        assert!(none.headers.get(header::ETAG).is_none());
        // What is not of a job has no such mark.
        assert!(crew.get("/").await.headers.get(header::ETAG).is_none());
    }
}
