//! The team itself.

use axum::http::{Method, StatusCode, header};
use serde_json::json;

on_both_databases! {
    async fn a_team_changes_its_name_and_rulebook(world) {
        let admin = world.visitor(&world.admin).await;
        let page = admin.get("/team").await;
        assert!(page.text.contains("value=\"North shaft team\""), "{}", page.text);
        let wrong = admin.post("/team", &[("name", ""), ("rulebook", "my own")]).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(wrong.text.contains("#f-name") && wrong.text.contains("#f-rulebook"));
        let fields = [("name", "Shaft team"), ("rulebook", "us-rescue")];
        assert_eq!(admin.post("/team", &fields).await.status, StatusCode::SEE_OTHER);
        let auditor = world.visitor(&world.auditor).await;
        let shown = auditor.get("/api/v1/team").await;
        assert_eq!(shown.json()["name"], "Shaft team");
        assert_eq!(shown.json()["rulebook"], "us-rescue");
        let south = world.visitor(&world.outsider).await.get("/api/v1/team").await;
        assert_eq!(south.json()["name"], "South quarry team", "another team changed");
    }

    async fn a_team_says_for_whom_and_where_gear_is_examined(world) {
        let admin = world.visitor(&world.admin).await;
        let page = admin.get("/team").await.text;
        assert!(page.contains("Employer, name and address") && page.contains("Premises, address"), "{page}");
        let long = "x".repeat(501);
        let fields = [("name", "North"), ("rulebook", "european"), ("employer", long.as_str()), ("premises", "Depot \u{7}2")];
        let wrong = admin.post("/team", &fields).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(wrong.text.contains("Keep this to 500 characters; 501 were given.") && wrong.text.contains(&long), "{}", wrong.text);
        assert!(wrong.text.contains("id=\"f-employer-wrong-1\"") && wrong.text.contains("id=\"f-premises-wrong-1\""), "{}", wrong.text);
        let fields = [("name", "North"), ("rulebook", "european"), ("employer", " North Water \r\n\r\n1 Quay <b>Street</b>\r\n"), ("premises", "Depot 2")];
        assert_eq!(admin.post("/team", &fields).await.status, StatusCode::SEE_OTHER);
        let page = admin.get("/team").await.text;
        assert!(page.contains("North Water\n1 Quay &#60;b&#62;Street&#60;/b&#62;</textarea>") && page.contains("Depot 2</textarea>"), "{page}");
        let shown = admin.get("/api/v1/team").await;
        assert_eq!(shown.json()["employer"], "North Water\n1 Quay <b>Street</b>");
        let history = world.visitor(&world.auditor).await.get("/history").await.text;
        assert!(history.contains("employer North Water, 1 Quay &#60;b&#62;Street&#60;/b&#62;; premises Depot 2"), "{history}");
        // What a program leaves out stays; what it empties goes; and each change makes the mark another one.
        let tag = shown.header(header::ETAG).to_owned();
        let new = json!({"name": "North", "rulebook": "european", "premises": ""});
        let done = admin.json_if(Method::PUT, "/api/v1/team", &tag, &new).await;
        assert_eq!(done.status, StatusCode::OK, "{}", done.text);
        assert_eq!((&done.json()["employer"], &done.json()["premises"]), (&json!("North Water\n1 Quay <b>Street</b>"), &json!("")));
        let stale = admin.json_if(Method::PUT, "/api/v1/team", &tag, &new).await;
        assert_eq!(stale.status, StatusCode::PRECONDITION_FAILED);
        assert_eq!(crate::store_rebuild::again(&world).await.differences, []);
    }

    async fn a_stale_change_of_the_team_is_refused(world) {
        let admin = world.visitor(&world.admin).await;
        let tag = admin.get("/api/v1/team").await.header(header::ETAG).to_owned();
        let new = json!({"name": "One", "rulebook": "european"});
        let first = admin.json_if(Method::PUT, "/api/v1/team", &tag, &new).await;
        assert_eq!(first.status, StatusCode::OK, "{}", first.text);
        let new = json!({"name": "Two", "rulebook": "european"});
        let second = admin.json_if(Method::PUT, "/api/v1/team", &tag, &new).await;
        assert_eq!(second.status, StatusCode::PRECONDITION_FAILED);
        assert_eq!(second.header(header::CONTENT_TYPE), "application/problem+json");
    }
}
