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
