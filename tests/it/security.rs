//! What keeps out those who may not: the table of routes, the headers, the look at where a request
//! comes from.

use axum::{
    body::Body,
    http::{Method, Request, StatusCode, header},
};
use ropeloft::{
    config::Config,
    domain::{FieldErrors, Role},
    view::Section,
    web::{Access, Problem, table},
};
use uuid::Uuid;

use crate::client::Client;

/// An address of the table with something in the place of each variable part.
fn address(path: &str) -> String {
    path.split('/')
        .map(|part| {
            if part.starts_with('{') {
                Uuid::nil().to_string()
            } else {
                part.to_owned()
            }
        })
        .collect::<Vec<_>>()
        .join("/")
}

async fn call(client: &Client, method: &Method, path: &str) -> crate::client::Answer {
    let request = Request::builder()
        .method(method)
        .uri(address(path))
        .header(header::HOST, "gear.test")
        .body(Body::empty())
        .unwrap();
    client.send(request).await
}

on_both_databases! {
    async fn nobody_gets_in_without_signing_in(world) {
        let stranger = world.stranger();
        for route in table().iter().filter(|route| route.access != Access::Open) {
            let answer = call(&stranger, &route.method, route.path).await;
            let turned_away = if route.path.starts_with("/api/") {
                answer.status == StatusCode::UNAUTHORIZED
            } else {
                answer.status == StatusCode::SEE_OTHER && answer.location().starts_with("/sign-in")
            };
            assert!(turned_away, "{} {}: {}", route.method, route.path, answer.status);
        }
    }

    async fn no_role_gets_further_than_it_may(world) {
        for actor in [&world.officer, &world.crew, &world.auditor, &world.admin] {
            for route in table() {
                let Access::May(deed) = route.access else { continue };
                let visitor = world.visitor(actor).await;
                let answer = call(&visitor, &route.method, route.path).await;
                let forbidden = answer.status == StatusCode::FORBIDDEN;
                assert_eq!(
                    forbidden,
                    !actor.role.may(deed),
                    "{:?} at {} {}: {}",
                    actor.role, route.method, route.path, answer.status
                );
            }
        }
    }

    async fn another_site_cannot_send_for_us(world) {
        let officer = world.visitor(&world.officer).await;
        for (name, value) in [("sec-fetch-site", "cross-site"), ("origin", "https://bad.test")] {
            let request = Request::post("/sign-out")
                .header(header::HOST, "gear.test")
                .header(name, value)
                .body(Body::empty())
                .unwrap();
            let answer = officer.send(request).await;
            assert_eq!(answer.status, StatusCode::FORBIDDEN);
            assert!(answer.text.contains("another site"), "{}", answer.text);
        }
        assert_eq!(officer.get("/").await.status, StatusCode::OK, "the session was ended");
    }
}

on_both_databases! {
    async fn every_answer_is_locked_down(world) {
        let officer = world.visitor(&world.officer).await;
        for path in ["/", "/sign-in", "/nowhere", "/api/v1/nowhere", "/health"] {
            let answer = officer.get(path).await;
            let policy = answer.header(header::CONTENT_SECURITY_POLICY);
            assert!(policy.starts_with("default-src 'none'"), "{path}: {policy}");
            assert!(policy.contains("frame-ancestors 'none'"), "{path}");
            assert!(!policy.contains("unsafe"), "{path}");
            assert_eq!(answer.header(header::X_CONTENT_TYPE_OPTIONS), "nosniff");
            assert_eq!(answer.header(header::STRICT_TRANSPORT_SECURITY), "");
        }
        let config = Config {
            public_url: Some("https://gear.test".to_owned()),
            ..Config::default()
        };
        let answer = world.stranger_with(config).get("/sign-in").await;
        assert_ne!(answer.header(header::STRICT_TRANSPORT_SECURITY), "");
    }

    async fn what_is_not_there_wears_the_face_of_its_door(world) {
        let officer = world.visitor(&world.officer).await;
        let page = officer.get("/nowhere").await;
        assert_eq!(page.status, StatusCode::NOT_FOUND);
        assert!(page.text.contains("There is no such page."), "{}", page.text);
        assert!(page.text.contains("aria-label=\"Sections\""), "the frame is missing");

        let json = officer.get("/api/v1/nowhere").await;
        assert_eq!(json.status, StatusCode::NOT_FOUND);
        assert_eq!(json.header(header::CONTENT_TYPE), "application/problem+json");
        let body = json.json();
        assert_eq!(body["type"], "/problem/not-found");
        assert_eq!(body["status"], 404);
        assert_eq!(body["instance"], "/api/v1/nowhere");

        let wrong = officer.post("/style", &[]).await;
        assert_eq!(wrong.status, StatusCode::METHOD_NOT_ALLOWED);
        assert!(wrong.text.contains("does not take that kind"), "{}", wrong.text);
    }

    async fn a_problem_leads_back_to_where_somebody_came_from(world) {
        let officer = world.visitor(&world.officer).await;
        let asked = async |path: &str, from: &str, site: &str| {
            let request = Request::get(path).header(header::HOST, "gear.test").header(header::REFERER, from);
            let request = if site.is_empty() { request } else { request.header("sec-fetch-site", site) };
            officer.send(request.body(Body::empty()).unwrap()).await
        };
        let item = "/items/0193a1f0-0000-7000-8000-000000000001";
        let back = |to: &str| format!("<a class=\"button\" href=\"{to}\">Back to where you came from</a>");
        for (from, site, led) in [
            ("https://gear.test/jobs?q=a&state=planned", "", Some("/jobs?q=a&#38;state=planned")),
            // Behind a proxy the host is another one, and the browser says that it is the same.
            ("https://public.test/due", "same-origin", Some("/due")),
            ("https://bad.test/jobs", "cross-site", None),
            ("https://bad.test//gear.test/jobs", "", None),
            ("https://gear.test//bad.test/x", "same-origin", None),
            ("nonsense", "", None),
            ("https://gear.test/sign-in?to=/jobs", "", None),
            ("https://gear.test/items/0193a1f0-0000-7000-8000-000000000001", "", None),
        ] {
            let page = asked(item, from, site).await;
            assert_eq!(page.status, StatusCode::NOT_FOUND);
            match led {
                Some(to) => assert!(page.text.contains(&back(to)), "{from}: {}", page.text),
                None => assert!(!page.text.contains("Back to where"), "{from}: {}", page.text),
            }
            assert!(page.text.contains("<a class=\"button\" href=\"/items\">Items</a>"), "the section: {}", page.text);
            assert!(page.text.contains("<a class=\"button\" href=\"/\">Go to the start</a>"), "{}", page.text);
        }
        // A form that was refused leads back to its page, which the table knows where it was shown again at its own address.
        let crew = world.visitor(&world.crew).await;
        let refused = crew.post("/stores", &[("name", "x")]).await;
        assert_eq!(refused.status, StatusCode::FORBIDDEN);
        assert!(!refused.text.contains("Back to where") && refused.text.contains(">Stores</a>"), "{}", refused.text);
        for (from, to) in [("/stores/new", "/stores/new"), ("/stores", "/stores/new"), ("/due?year=2026", "/due?year=2026")] {
            let request = Request::post("/stores").header(header::HOST, "gear.test").header("sec-fetch-site", "same-origin")
                .header(header::REFERER, format!("https://gear.test{from}"))
                .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
            let refused = crew.send(request.body(Body::from("name=x")).unwrap()).await;
            assert!(refused.text.contains(&back(to)), "{from}: {}", refused.text);
        }
        // Nobody is led to a section that they may not see.
        let people = crew.get("/people").await;
        assert_eq!(people.status, StatusCode::FORBIDDEN);
        assert!(!people.text.contains("href=\"/people\""), "{}", people.text);
        let stranger = world.stranger().get("/nowhere").await;
        assert!(stranger.text.contains("Go to the start") && !stranger.text.contains("Back to where"), "{}", stranger.text);
    }

    async fn the_type_of_each_problem_leads_to_what_it_means(world) {
        let stranger = world.stranger();
        for (key, title, _) in Problem::KINDS {
            let page = stranger.get(&format!("/problem/{key}")).await;
            assert_eq!(page.status, StatusCode::OK, "{key}");
            assert!(page.text.contains(title), "{key}");
        }
        assert_eq!(stranger.get("/problem/none").await.status, StatusCode::NOT_FOUND);
        let shown = [
            Problem::NotFound("item"),
            Problem::Stale,
            Problem::NeedsMark,
            Problem::SignIn,
            Problem::Busy,
            Problem::Away,
            Problem::Full,
            Problem::Slow,
            Problem::WrongMethod,
            Problem::internal("broken"),
            Problem::Refused(Vec::new()),
            Problem::Invalid(FieldErrors::default()),
        ];
        assert!(shown.iter().all(|problem| !problem.title().is_empty()));
    }

    async fn a_body_that_is_too_large_or_unreadable_is_refused(world) {
        let stranger = world.stranger();
        let long = "x".repeat(300 * 1024);
        let answer = stranger.post("/sign-in", &[("sign_in", &long)]).await;
        assert_eq!(answer.status, StatusCode::PAYLOAD_TOO_LARGE);
        assert!(answer.text.contains("at most 256 KiB"), "{}", answer.text);

        let request = Request::post("/sign-in")
            .header(header::HOST, "gear.test")
            .header(header::CONTENT_TYPE, "text/plain")
            .body(Body::from("hello"))
            .unwrap();
        let answer = stranger.send(request).await;
        assert_eq!(answer.status, StatusCode::UNSUPPORTED_MEDIA_TYPE);
    }

    async fn the_counts_hold_no_address_that_was_asked_for(world) {
        let officer = world.visitor(&world.officer).await;
        officer.get("/nowhere/secret-name").await;
        let answer = officer.get("/metrics").await;
        assert_eq!(answer.status, StatusCode::OK);
        assert!(answer.text.contains("ropeloft_requests_total"), "{}", answer.text);
        assert!(!answer.text.contains("secret-name"), "{}", answer.text);
        assert_eq!(world.stranger().get("/health").await.text, "ok\n");
    }

    async fn a_static_file_is_kept_for_ever_under_the_name_of_its_content(world) {
        let stranger = world.stranger();
        let url = ropeloft::view::asset::asset_url("app.css");
        let answer = stranger.get(&url).await;
        assert_eq!(answer.status, StatusCode::OK);
        assert!(answer.header(header::CACHE_CONTROL).contains("immutable"));
        assert_eq!(answer.header(header::CONTENT_TYPE), "text/css");
        let old = stranger.get("/static/app.0000000000000000.css").await;
        assert_eq!(old.header(header::CACHE_CONTROL), "no-store");
        for path in ["/static/app.css", "/static/..%2fCargo.0000000000000000.toml"] {
            assert_eq!(stranger.get(path).await.status, StatusCode::NOT_FOUND, "{path}");
        }
    }
}

#[test]
fn the_table_can_be_walked_by_every_role() {
    assert_eq!(Role::ALL.len(), 4, "the walk above names each role");
    assert!(table().len() > 5);
}

#[test]
fn the_description_of_the_api_names_what_the_table_names() {
    let described = serde_json::to_value(ropeloft::web::description()).unwrap();
    assert!(described["openapi"].as_str().unwrap().starts_with("3.1"));
    let mut described: Vec<String> = described["paths"]
        .as_object()
        .unwrap()
        .iter()
        .flat_map(|(path, methods)| {
            let methods = methods.as_object().unwrap().keys();
            methods.map(move |method| format!("{} {path}", method.to_uppercase()))
        })
        .collect();
    let mut tabled: Vec<String> = table()
        .iter()
        .filter(|route| route.path.starts_with("/api/v1/"))
        .filter(|route| route.path != "/api/v1/openapi.json")
        .map(|route| format!("{} {}", route.method, route.path))
        .collect();
    described.sort();
    tabled.sort();
    assert_eq!(described, tabled);
}

#[test]
fn every_section_of_the_navigation_leads_somewhere() {
    let table = table();
    for section in Section::SHOWN {
        let there = table
            .iter()
            .any(|route| route.method == Method::GET && route.path == section.href());
        assert!(there, "{} leads nowhere", section.href());
    }
}
