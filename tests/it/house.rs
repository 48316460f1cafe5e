//! The first set-up of an empty house.

use axum::http::StatusCode;
use ropeloft::{
    deed::{DeedError, house, person},
    domain::{PersonDraft, Team, TeamId},
};

fn fields(code: &str) -> [(&str, &str); 7] {
    [
        ("code", code),
        ("team", "Valley water crew"),
        ("rulebook", "european"),
        ("time_zone", "Europe/Oslo"),
        ("name", "Ada Brook"),
        ("sign_in", "ada"),
        ("password", "a long rope on a short hook"),
    ]
}

on_both_databases! {
    async fn a_house_with_people_in_it_cannot_be_set_up(world) {
        assert_eq!(house::lay_out_code(&world.desk(), None).await.unwrap(), None);
        let stranger = world.stranger();
        assert_eq!(stranger.get("/welcome").await.location(), "/");
        let answer = stranger.post("/welcome", &fields("x")).await;
        assert_eq!(answer.status, StatusCode::CONFLICT);
        assert!(answer.text.contains("set up for a team already"), "{}", answer.text);
    }
}

on_both_empty_databases! {
    async fn a_team_can_be_made_from_the_console(world) {
        let desk = world.desk();
        let draft = |sign_in: &str, role: &str| PersonDraft {
            name: "Ada Brook".to_owned(),
            sign_in: sign_in.to_owned(),
            role: role.to_owned(),
            password: "a long rope on a short hook".to_owned(),
        };
        let team = Team::new(TeamId::new(), "Valley water crew", "european");
        person::found_from_console(&desk, &team, &draft("ada", "admin")).await.unwrap();
        person::add_from_console(&desk, team.id, &draft("tom", "crew")).await.unwrap();
        let taken = person::add_from_console(&desk, team.id, &draft("tom", "crew")).await;
        assert!(matches!(taken, Err(DeedError::Invalid(_))), "{taken:?}");
        let new = "another rope on a longer hook";
        person::reset_from_console(&desk, " Tom", new).await.unwrap();
        let short = person::reset_from_console(&desk, "tom", "short").await;
        assert!(matches!(short, Err(DeedError::Invalid(_))), "{short:?}");
        let nobody = person::reset_from_console(&desk, "nobody", new).await;
        assert!(matches!(nobody, Err(DeedError::NotFound("person"))), "{nobody:?}");
        let fields = [("sign_in", "tom"), ("password", new)];
        assert_eq!(world.stranger().post("/sign-in", &fields).await.status, StatusCode::SEE_OTHER);
    }

    async fn the_first_visitor_with_the_code_sets_the_house_up(world) {
        let code = house::lay_out_code(&world.desk(), None).await.unwrap().unwrap();
        let again = house::lay_out_code(&world.desk(), None).await.unwrap().unwrap();
        assert_eq!(code, again, "a second server has another code");
        let stranger = world.stranger();
        assert_eq!(stranger.get("/sign-in").await.location(), "/welcome");
        let wrong = stranger.post("/welcome", &fields("AAAA-AAAA-AAAA")).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(wrong.text.contains("This is not the code"), "{}", wrong.text);
        assert!(wrong.text.contains("Valley water crew"), "what was typed is lost");
        assert!(wrong.text.contains("<option value=\"Europe/Oslo\" selected>"), "{}", wrong.text);
        for (zone, sentence) in [("", "Choose the time zone in which your team lives."), ("Oslo", "not &#34;Oslo&#34;")] {
            let mut fields = fields(&code);
            fields[3].1 = zone;
            let wrong = stranger.post("/welcome", &fields).await;
            assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
            assert!(wrong.text.contains(sentence), "{}", wrong.text);
        }
        let competent = |evidence: &'static str| {
            let code = code.to_lowercase();
            [("competent", "yes"), ("competent_since", "2020-05-01"), ("evidence", evidence)]
                .map(|(name, text)| (name.to_owned(), text.to_owned()))
                .into_iter()
                .chain(fields(&code).map(|(name, text)| (name.to_owned(), text.to_owned())))
                .collect::<Vec<_>>()
        };
        let send = async |all: Vec<(String, String)>| {
            let all: Vec<_> = all.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
            stranger.post("/welcome", &all).await
        };
        let unproved = send(competent("")).await;
        assert_eq!(unproved.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(unproved.text.contains("f-evidence-wrong-1") && unproved.text.contains("value=\"2020-05-01\""), "{}", unproved.text);
        let done = send(competent("course of 2020")).await;
        assert_eq!(done.location(), "/", "{}", done.text);
        let cookies = done.headers.get_all(axum::http::header::SET_COOKIE).iter();
        let cookies: Vec<&str> = cookies.map(|cookie| cookie.to_str().unwrap().split(';').next().unwrap()).collect();
        let mut ada = world.stranger();
        ada.cookie = Some(cookies.join("; "));
        let page = ada.get("/").await;
        assert_eq!(page.status, StatusCode::OK);
        assert!(page.text.contains("Valley water crew") && page.text.contains("you are signed in"), "{}", page.text);
        assert_eq!(ada.get("/api/v1/team").await.json()["time_zone"], "Europe/Oslo");
        let people = ada.get("/competence").await.text;
        assert!(people.contains("course of 2020") && people.contains("from 2020-05-01 on"), "{people}");
        let entered = stranger.post("/sign-in", &fields("")[5..]).await;
        assert_eq!(entered.status, StatusCode::SEE_OTHER, "{}", entered.text);
        assert_eq!(stranger.get("/welcome").await.location(), "/");
    }

    async fn of_many_who_set_the_house_up_at_once_one_gets_through(world) {
        let code = house::lay_out_code(&world.desk(), None).await.unwrap().unwrap();
        let tries = (0..5).map(|at| {
            let (client, code) = (world.stranger(), code.clone());
            async move {
                let name = format!("ada-{at}");
                let mut fields = fields(&code);
                fields[5].1 = &name;
                client.post("/welcome", &fields).await.status
            }
        });
        let mut answers = futures::future::join_all(tries).await;
        answers.sort();
        assert_eq!(answers[0], StatusCode::SEE_OTHER);
        assert!(answers[1..].iter().all(|status| *status == StatusCode::CONFLICT), "{answers:?}");
        assert_eq!(world.database.door().await.unwrap().teams().await.unwrap().len(), 1);
    }

    async fn guessing_the_code_is_stopped(world) {
        house::lay_out_code(&world.desk(), None).await.unwrap();
        let stranger = world.stranger();
        let mut last = StatusCode::OK;
        for _ in 0..11 {
            last = stranger.post("/welcome", &fields("AAAA-AAAA-AAAA")).await.status;
        }
        assert_eq!(last, StatusCode::TOO_MANY_REQUESTS);
    }

    async fn the_code_of_the_settings_goes_first(world) {
        house::lay_out_code(&world.desk(), Some("open sesame")).await.unwrap();
        let config = ropeloft::config::Config {
            setup_code: Some("open sesame".to_owned()),
            ..Default::default()
        };
        let done = world.stranger_with(config).post("/welcome", &fields("opensesame")).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
    }
}
