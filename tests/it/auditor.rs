//! An auditor sees everything, takes it away, and is offered nothing that changes anything.

use std::collections::{BTreeSet, VecDeque};

use axum::http::{Method, StatusCode};
use ropeloft::{
    domain::{Change, Deed, Round, RoundId},
    web::{Access, table},
};
use time::macros::date;

use crate::{client::Client, history::eventful, stock};

/// What stands between `from` and the next `to`, each time.
fn between<'a>(text: &'a str, from: &'a str, to: &'a str) -> impl Iterator<Item = &'a str> {
    text.split(from)
        .skip(1)
        .filter_map(move |rest| rest.split(to).next())
}

/// Forms that change nothing but the visitor's own account.
const OWN: [&str; 12] = [
    "/sign-out",
    "/settings",
    "/settings/password",
    "/settings/sessions/end",
    "/settings/sessions/end-others",
    "/settings/calendars",
    "/settings/letters",
    "/settings/letters/again",
    "/settings/letters/confirm",
    "/settings/tokens",
    // The pattern book shows forms that lead nowhere.
    "/style",
    "#",
];

/// Every page that can be reached from these.
async fn reach(client: &Client, from: Vec<String>) -> Vec<(String, String)> {
    let (mut seen, mut pages) = (BTreeSet::new(), Vec::new());
    let mut next = VecDeque::from(from);
    while let Some(path) = next.pop_front() {
        let place = path.split('?').next().unwrap_or("").to_owned();
        let is_page = path.starts_with('/') && !path.starts_with("/static/");
        if !is_page || place == "/style" || seen.len() > 200 || !seen.insert(place) {
            continue;
        }
        let answer = client.get(&path).await;
        assert_eq!(answer.status, StatusCode::OK, "{path} is offered");
        next.extend(between(&answer.text, "href=\"", "\"").map(|href| {
            let href = href.replace("&#38;", "&").replace("&amp;", "&");
            href.split('#').next().unwrap_or("").to_owned()
        }));
        pages.push((path, answer.text));
    }
    pages
}

on_both_databases! {
    async fn an_auditor_is_offered_no_act(world) {
        let (stock, job) = eventful(&world).await;
        let auditor = world.visitor(&world.auditor).await;
        let from = vec!["/".to_owned(), format!("/items/{}", stock.first.id), format!("/jobs/{}", job.id)];
        let pages = reach(&auditor, from).await;
        assert!(pages.len() > 15, "{}", pages.len());
        assert!(pages.iter().any(|(path, _)| path == "/history"));
        for (path, page) in &pages {
            for form in between(page, "<form", "</form>").filter(|form| form.contains("method=\"post\"")) {
                let action = between(form, "action=\"", "\"").next().unwrap_or("");
                let own = OWN.contains(&action) || action.starts_with("/settings/tokens/") || action.starts_with("/settings/calendars/");
                assert!(own, "{path} offers an auditor {action}");
            }
        }
    }

    async fn an_auditor_may_read_and_export_everything_and_change_nothing(world) {
        let (stock, job) = eventful(&world).await;
        let notice = stock::notice("Fjordwerk", date!(2026 - 02 - 20));
        world.record(Change::NoticeOpened(notice.clone())).await;
        let round = Round {
            id: RoundId::new(),
            name: "Spring".into(),
            from: date!(2026 - 03 - 01),
            to: date!(2026 - 03 - 31),
            examiner: String::new(),
            items: vec![stock.first.id],
            closed: None,
        };
        world.record(Change::RoundPlanned(round.clone())).await;
        let auditor = world.visitor(&world.auditor).await;
        world.take_key().await;
        let mut tx = world.database.read(world.team).await.unwrap();
        let looked = tx.last_examination(stock.second.id).await.unwrap().unwrap();
        drop(tx);
        for route in table() {
            let Access::May(deed) = route.access else { continue };
            if deed == Deed::Export {
                let id = match route.path {
                    path if path.contains("/jobs/{id}") => job.id.to_string(),
                    path if path.starts_with("/notices/{id}") => notice.id.to_string(),
                    path if path.starts_with("/rounds/{id}") => round.id.to_string(),
                    path if path.starts_with("/stores/{id}") => stock.first.store.to_string(),
                    _ => stock.first.id.to_string(),
                };
                let key = match route.path {
                    path if path.starts_with("/rigs/") => "three-to-one",
                    path if path.starts_with("/questions/") => "gaps",
                    _ => "european",
                };
                let path = route.path.replace("{id}", &id).replace("{key}", key).replace("{form}", "toml").replace("{of}", "history").replace("{examination}", &looked.id.to_string());
                let path = if path.starts_with("/readiness/") { format!("{path}?job={}", job.id) } else { path };
                assert_eq!(auditor.get(&path).await.status, StatusCode::OK, "{path}");
            }
            let reads = matches!(deed, Deed::Read | Deed::Export | Deed::SeeReads);
            assert!(reads || !world.auditor.role.may(deed), "{}", route.path);
            if route.method != Method::GET {
                assert!(!world.auditor.role.may(deed), "{} {} is open to an auditor", route.method, route.path);
            }
        }
        let before = world.database.read(world.team).await.unwrap().head().await.unwrap();
        let refused = auditor.post(&format!("/jobs/{}/kit", job.id), &[("item", "P-1"), ("position", "")]).await;
        assert_eq!(refused.status, StatusCode::FORBIDDEN);
        assert_eq!(world.database.read(world.team).await.unwrap().head().await.unwrap(), before);
    }
}
