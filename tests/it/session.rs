//! Signing in and out.

use axum::{
    body::Body,
    http::{Method, Request, StatusCode, header},
};
use ropeloft::{config::Config, deed::password, domain::Actor};
use time::Duration;

use crate::world::World;

const PASSWORD: &str = "a long rope on a short hook";

impl World {
    /// Lets somebody sign in with this password.
    pub async fn give_password(&self, actor: &Actor, password: &str) {
        let hash = password::hashed(password).await.unwrap();
        let mut door = self.database.write_door().await.unwrap();
        let who = (actor.team, actor.person);
        door.set_password_hash(who, &hash, self.clock.now())
            .await
            .unwrap();
        door.commit().await.unwrap();
    }
}

on_both_databases! {
    async fn the_right_password_opens_a_session(world) {
        world.give_password(&world.officer, PASSWORD).await;
        let mut client = world.stranger();
        let answer = client
            .post("/sign-in", &[("sign_in", " Officer-North "), ("password", PASSWORD), ("to", "/style?x=1")])
            .await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        assert_eq!(answer.location(), "/style?x=1");
        let cookie = answer.header(header::SET_COOKIE);
        assert!(cookie.contains("HttpOnly") && cookie.contains("SameSite=Lax"), "{cookie}");
        assert!(!cookie.contains("Secure"), "{cookie}");
        client.cookie = cookie.split(';').next().map(str::to_owned);
        let page = client.get("/").await;
        assert_eq!(page.status, StatusCode::OK);
        assert!(page.text.contains("North shaft team"), "{}", page.text);
    }

    async fn who_was_signed_out_while_typing_comes_back_to_the_form(world) {
        world.give_password(&world.officer, PASSWORD).await;
        let stranger = world.stranger();
        let asked = stranger.get("/items?q=rope").await;
        assert_eq!(asked.location(), "/sign-in?to=/items%3Fq%3Drope");
        let form = "/items/0193a1f0-0000-7000-8000-000000000001/edit";
        let before = world.entries().await;
        let sent = async |path: &str, from: Option<&str>| {
            let mut request = Request::builder().method(Method::POST).uri(path).header(header::HOST, "gear.test")
                .header("sec-fetch-site", "same-origin")
                .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
            if let Some(from) = from {
                request = request.header(header::REFERER, from);
            }
            stranger.send(request.body(Body::from("name=Bay+secret")).unwrap()).await.location().to_owned()
        };
        // The page on which it was typed, then what the table knows: a form that was shown again, a list, neither.
        let item = form.trim_end_matches("/edit");
        for (path, from, to) in [
            (item, Some(format!("http://gear.test{form}")), form.to_owned()),
            (item, None, form.to_owned()),
            ("/stores?id=1", Some("http://gear.test/stores?id=1".to_owned()), "/stores/new".to_owned()),
            (&format!("{item}/examinations"), None, format!("{item}/examinations/new")),
            ("/settings", None, "/settings".to_owned()),
            ("/settings/sessions/end", Some("nonsense at all".to_owned()), "/".to_owned()),
        ] {
            assert_eq!(sent(path, from.as_deref()).await, format!("/sign-in?to={to}&lost=yes"), "{path} {from:?}");
        }
        let page = stranger.get(&format!("/sign-in?to={form}&lost=yes")).await.text;
        assert!(page.contains("what you just sent was not stored") && page.contains("back button"), "{page}");
        assert!(!page.contains("Bay secret"), "{page}");
        let fields = [("sign_in", "officer-north"), ("password", PASSWORD), ("to", "/stores/new"), ("lost", "yes")];
        let mut back = world.stranger();
        let answer = back.post("/sign-in", &fields).await;
        assert_eq!(answer.location(), "/stores/new");
        let cookies = answer.headers.get_all(header::SET_COOKIE).iter().map(|cookie| cookie.to_str().unwrap().split(';').next().unwrap());
        back.cookie = Some(cookies.collect::<Vec<_>>().join("; "));
        let page = back.get("/stores/new").await.text;
        assert!(page.contains("What you had typed was not stored"), "{page}");
        assert_eq!(world.entries().await, before);
    }

    async fn a_wrong_password_says_that_nobody_is_signed_in(world) {
        world.give_password(&world.officer, PASSWORD).await;
        let wrong = [("sign_in", "officer-north"), ("password", "wrong")];
        let page = world.stranger().post("/sign-in", &wrong).await.text;
        assert!(page.contains("You are not signed in: one thing to mend."), "{page}");
        assert!(!page.contains("Nothing was saved"), "{page}");
    }

    async fn over_https_the_cookie_is_sent_over_https_only(world) {
        world.give_password(&world.officer, PASSWORD).await;
        let client = world.stranger_with(Config {
            public_url: Some("https://gear.test".to_owned()),
            ..Config::default()
        });
        let answer = client
            .post("/sign-in", &[("sign_in", "officer-north"), ("password", PASSWORD)])
            .await;
        let cookie = answer.header(header::SET_COOKIE);
        assert!(cookie.starts_with("__Host-ropeloft=") && cookie.contains("Secure"), "{cookie}");
    }

    async fn a_wrong_name_and_a_wrong_password_are_told_alike(world) {
        world.give_password(&world.officer, PASSWORD).await;
        let client = world.stranger();
        let mut texts = Vec::new();
        for (name, typed) in [("officer-north", "wrong"), ("crew-north", PASSWORD), ("nobody", PASSWORD), ("no\0body", PASSWORD)] {
            let answer = client.post("/sign-in", &[("sign_in", name), ("password", typed)]).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{name}");
            assert!(!answer.text.contains(PASSWORD), "the password came back");
            assert_eq!(answer.header(header::SET_COOKIE), "");
            texts.push(answer.text.replace(&format!("value=\"{name}\""), ""));
        }
        assert_eq!(texts[0], texts[1]);
        assert_eq!(texts[0], texts[2]);
    }

    async fn too_many_wrong_passwords_are_stopped_for_a_while(world) {
        world.give_password(&world.officer, PASSWORD).await;
        let client = world.stranger();
        let wrong = [("sign_in", "officer-north"), ("password", "wrong")];
        let right = [("sign_in", "officer-north"), ("password", PASSWORD)];
        for _ in 0..10 {
            assert_eq!(client.post("/sign-in", &wrong).await.status, StatusCode::UNPROCESSABLE_ENTITY);
        }
        let answer = client.post("/sign-in", &right).await;
        assert_eq!(answer.status, StatusCode::TOO_MANY_REQUESTS);
        assert_eq!(answer.header(header::RETRY_AFTER), "900");
        assert!(answer.text.contains("Wait 15 minutes"), "{}", answer.text);
        world.clock.advance(Duration::minutes(16));
        assert_eq!(client.post("/sign-in", &right).await.status, StatusCode::SEE_OTHER);
    }

    async fn many_names_from_one_address_are_stopped_too(world) {
        let client = world.stranger();
        let mut last = StatusCode::OK;
        for at in 0..51 {
            let name = format!("guess-{at}");
            last = client.post("/sign-in", &[("sign_in", &name), ("password", "wrong")]).await.status;
        }
        assert_eq!(last, StatusCode::TOO_MANY_REQUESTS);
    }

    async fn signing_out_ends_the_session_on_the_server(world) {
        let officer = world.visitor(&world.officer).await;
        let answer = officer.post("/sign-out", &[]).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER);
        assert_eq!(officer.get("/").await.location(), "/sign-in");
    }

    async fn a_session_lasts_from_the_last_visit(world) {
        let officer = world.visitor(&world.officer).await;
        for _ in 0..3 {
            world.clock.advance(Duration::days(10));
            assert_eq!(officer.get("/").await.status, StatusCode::OK);
        }
        world.clock.advance(Duration::days(15));
        assert_eq!(officer.get("/").await.status, StatusCode::SEE_OTHER);
    }

    async fn one_comes_back_to_the_page_that_was_asked_for(world) {
        let answer = world.stranger().get("/metrics?a=b c".replace(' ', "%20").as_str()).await;
        assert_eq!(answer.location(), "/sign-in?to=/metrics%3Fa%3Db%2520c");
        let form = world.stranger().get(answer.location()).await;
        assert!(form.text.contains("value=\"/metrics?a=b%20c\""), "{}", form.text);
    }

    async fn what_was_done_is_said_once(world) {
        let officer = world.visitor(&world.officer).await;
        let done = officer.post("/sign-out", &[]).await;
        let page = world.stranger().follow(&done).await;
        assert!(page.text.contains("You are signed out."), "{}", page.text);
        assert!(page.header(header::SET_COOKIE).contains("Max-Age=0"));
    }
}
