//! One's own account.

use axum::http::StatusCode;
use ropeloft::deed::password;
use time::Duration;

const PASSWORD: &str = "a long rope on a short hook";

on_both_databases! {
    async fn units_and_theme_are_kept(world) {
        let crew = world.visitor(&world.crew).await;
        let done = crew.post("/settings", &[("units", "us"), ("theme", "dark")]).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER);
        let page = crew.get("/settings").await;
        assert!(page.text.contains("data-theme=\"dark\""), "{}", page.text);
        assert!(page.text.contains("value=\"us\" selected"), "{}", page.text);
        let wrong = crew.post("/settings", &[("units", "cubits"), ("theme", "pink")]).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(wrong.text.contains("#f-units") && wrong.text.contains("#f-theme"));
    }

    async fn a_new_password_needs_the_old_and_ends_the_other_sessions(world) {
        let hash = password::hashed(PASSWORD).await.unwrap();
        let mut door = world.database.write_door().await.unwrap();
        let who = (world.crew.team, world.crew.person);
        door.set_password_hash(who, &hash, world.clock.now()).await.unwrap();
        door.commit().await.unwrap();
        let (here, there) = (world.visitor(&world.crew).await, world.visitor(&world.crew).await);
        let new = "another rope on a longer hook";
        let wrong = here.post("/settings/password", &[("current", "guess"), ("password", new)]).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(wrong.text.contains("not the password that you use now"), "{}", wrong.text);
        let both = here.post("/settings/password", &[("current", ""), ("password", "short")]).await;
        assert!(both.text.contains("#f-current") && both.text.contains("#f-password"));
        let done = here.post("/settings/password", &[("current", PASSWORD), ("password", new)]).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        assert_eq!(here.get("/").await.status, StatusCode::OK);
        assert_eq!(there.get("/").await.status, StatusCode::SEE_OTHER);
        let fields = [("sign_in", "crew-north"), ("password", new)];
        assert_eq!(world.stranger().post("/sign-in", &fields).await.status, StatusCode::SEE_OTHER);
    }

    async fn sessions_are_seen_and_ended_one_by_one_and_together(world) {
        let here = world.visitor(&world.crew).await;
        world.clock.advance(Duration::hours(1));
        let second = world.visitor(&world.crew).await;
        let third = world.visitor(&world.crew).await;
        let page = here.get("/settings/sessions").await;
        assert_eq!(page.text.matches("name=\"session\"").count(), 2, "{}", page.text);
        let key = page.text.split("name=\"session\" value=\"").nth(1).unwrap();
        let key = key.split('"').next().unwrap();
        let stranger = world.visitor(&world.officer).await;
        let end = [("session", key)];
        let answer = stranger.post("/settings/sessions/end", &end).await;
        assert_eq!(answer.status, StatusCode::NOT_FOUND, "not one's own");
        assert_eq!(here.post("/settings/sessions/end", &end).await.status, StatusCode::SEE_OTHER);
        let alive = [second.get("/").await.status, third.get("/").await.status];
        assert_eq!(alive.iter().filter(|status| **status == StatusCode::OK).count(), 1);
        here.post("/settings/sessions/end-others", &[]).await;
        assert_eq!(second.get("/").await.status, StatusCode::SEE_OTHER);
        assert_eq!(third.get("/").await.status, StatusCode::SEE_OTHER);
        assert_eq!(here.get("/").await.status, StatusCode::OK);
        let nonsense = here.post("/settings/sessions/end", &[("session", "xyz")]).await;
        assert_eq!(nonsense.status, StatusCode::NOT_FOUND);
    }
}
