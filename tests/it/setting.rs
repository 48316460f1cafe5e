//! One's own account.

use axum::{
    body::Body,
    http::{Request, StatusCode, header},
};
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
        world.give_password(&world.crew, PASSWORD).await;
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

    async fn ones_sessions_are_told_apart_by_browser_and_by_visit(world) {
        let mut first = world.stranger();
        world.give_password(&world.crew, PASSWORD).await;
        let sign_in = Request::post("/sign-in")
            .header(header::HOST, "gear.test")
            .header("sec-fetch-site", "same-origin")
            .header(header::USER_AGENT, "Mozilla/5.0 (Windows NT 10.0; rv:140.0) Gecko/20100101 Firefox/140.0")
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
            .body(Body::from(format!("sign_in=crew-north&password={}", PASSWORD.replace(' ', "+"))))
            .unwrap();
        let answer = first.send(sign_in).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        first.cookie = answer.header(header::SET_COOKIE).split(';').next().map(str::to_owned);
        world.clock.advance(Duration::minutes(5));
        let second = world.visitor(&world.crew).await;
        world.clock.advance(Duration::minutes(30));
        first.get("/").await;
        let page = second.get("/settings/sessions").await.text;
        let rows: Vec<&str> = page.split("<tr>").skip(1).collect();
        let [_, newer, older] = rows.as_slice() else { panic!("{page}") };
        assert!(newer.contains("not noted") && newer.contains("this one"), "{newer}");
        assert!(newer.contains(">2026-03-01 09:35 UTC<") && newer.contains(">2026-03-01 10:05 UTC<"), "{newer}");
        assert!(older.contains("Firefox on Windows") && !older.contains("this one"), "{older}");
        assert!(older.contains(">2026-03-01 09:30 UTC<") && older.contains(">2026-03-01 10:05 UTC<"), "{older}");
        // Within ten minutes nothing more is noted.
        world.clock.advance(Duration::minutes(9));
        first.get("/").await;
        assert!(!second.get("/settings/sessions").await.text.contains("10:14"));
    }
}
