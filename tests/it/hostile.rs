//! Follows every link from the start and sends nonsense through every form it meets: nothing may fail
//! on our side, and no typed text may come back as markup.

use std::collections::{BTreeSet, VecDeque};

use axum::http::StatusCode;
use ropeloft::view::PROBE;

use crate::client::{Answer, Client};

/// What people and programs type when they mean no good, or have a bad day.
fn nonsense() -> Vec<String> {
    let plain = [
        "",
        " ",
        "NaN",
        "inf",
        "-1",
        "0",
        "1e308",
        "9999999999999999999",
        "12 parsec",
        "2026-02-30",
        "0000-00-00",
        "+99999-01-01",
        "'; --",
        "../../etc/passwd",
        "\u{0}",
        "\u{202e}abc",
        "\r\nX: y",
        "00000000-0000-0000-0000-000000000000",
        "💥",
    ];
    let mut all: Vec<String> = plain.map(str::to_owned).into();
    all.push(PROBE.to_owned());
    all.push("x".repeat(10_000));
    all
}

/// A form of a page: where it goes and the names of its fields.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Form {
    action: String,
    fields: Vec<String>,
}

/// What stands between `from` and the next `to`, each time.
fn between<'a>(text: &'a str, from: &'a str, to: &'a str) -> impl Iterator<Item = &'a str> {
    text.split(from)
        .skip(1)
        .filter_map(move |rest| rest.split(to).next())
}

fn posted_forms(page: &str) -> Vec<Form> {
    between(page, "<form", "</form>")
        .filter(|form| form.contains("method=\"post\""))
        .map(|form| Form {
            action: between(form, "action=\"", "\"")
                .next()
                .unwrap_or("")
                .to_owned(),
            fields: between(form, " name=\"", "\"").map(str::to_owned).collect(),
        })
        // One form ends the session that the walk needs, another signs in as somebody else.
        .filter(|form| !["/sign-out", "/sign-in"].contains(&form.action.as_str()))
        .collect()
}

fn check(answer: &Answer, what: &str) {
    assert!(
        answer.status.as_u16() < 500,
        "{what}: {}\n{}",
        answer.status,
        answer.text
    );
    assert!(
        !answer.text.contains(PROBE) && !answer.text.contains("<script>alert"),
        "{what}: typed text came back as markup"
    );
}

/// Every page that can be reached, each once, and the forms in them.
async fn walk(client: &Client) -> (BTreeSet<String>, BTreeSet<Form>) {
    let (mut seen, mut forms) = (BTreeSet::new(), BTreeSet::new());
    let mut next = VecDeque::from(["/".to_owned(), "/style".to_owned()]);
    while let Some(path) = next.pop_front() {
        let place = path.split('?').next().unwrap_or("").to_owned();
        let is_page = path.starts_with('/') && !path.starts_with("/static/");
        if !is_page || seen.len() > 300 || !seen.insert(place) {
            continue;
        }
        let answer = client.get(&path).await;
        check(&answer, &path);
        assert_ne!(
            answer.status,
            StatusCode::NOT_FOUND,
            "{path} is linked and not there"
        );
        assert_ne!(
            answer.status,
            StatusCode::FORBIDDEN,
            "{path} is offered and forbidden"
        );
        next.extend(between(&answer.text, "href=\"", "\"").map(|href| {
            let href = href.replace("&#38;", "&").replace("&amp;", "&");
            href.split('#').next().unwrap_or("").to_owned()
        }));
        forms.extend(posted_forms(&answer.text));
    }
    (seen, forms)
}

on_both_databases! {
    async fn nothing_that_is_typed_breaks_a_page(world) {
        let admin = world.visitor(&world.admin).await;
        let (_, forms) = walk(&admin).await;
        assert!(forms.len() > 5, "the walk meets the forms: {forms:?}");
        for form in &forms {
            for text in nonsense() {
                let fields: Vec<(&str, &str)> = form
                    .fields
                    .iter()
                    .map(|name| (name.as_str(), text.as_str()))
                    .collect();
                let answer = admin.post(&form.action, &fields).await;
                let shown: String = text.chars().take(40).collect();
                check(&answer, &format!("{} with {shown:?}", form.action));
            }
            check(&admin.post(&form.action, &[]).await, &form.action);
        }
    }

    async fn every_role_is_led_only_where_it_may_go(world) {
        for actor in [&world.officer, &world.crew, &world.auditor] {
            let visitor = world.visitor(actor).await;
            let (seen, _) = walk(&visitor).await;
            assert!(seen.len() > 4, "{seen:?}");
        }
    }
}

on_both_databases! {
    async fn nonsense_in_an_address_is_not_found(world) {
        let admin = world.visitor(&world.admin).await;
        for route in ropeloft::web::table() {
            if route.method != axum::http::Method::GET || !route.path.contains("{id}") {
                continue;
            }
            for id in ["x", "%ff", "%00", "%3Cscript%3E", "0", "00000000-0000-0000-0000-000000000000"] {
                let path = route.path.replace("{id}", id);
                let answer = admin.get(&path).await;
                assert_eq!(answer.status, StatusCode::NOT_FOUND, "{path}: {}", answer.text);
            }
        }
    }
}
