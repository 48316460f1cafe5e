//! Webhooks: who may be told, what is told, how it is signed, and what happens where it does not arrive.

use std::sync::{Arc, Mutex};

use axum::{
    Router,
    body::Bytes,
    extract::State,
    http::{HeaderMap, Method, StatusCode},
    response::{IntoResponse, Redirect, Response},
};
use ropeloft::{
    config::Config,
    deed::{errand::work_off, hook},
    domain::{Change, Errand, ErrandState, HookReach, ItemState, Role, all_topics},
    store::ErrandFilter,
};
use serde_json::json;
use time::{Duration, macros::date};
use tokio::net::TcpListener;

use crate::{
    client::Client,
    hook_signature::{base64, hmac, unbase64},
    item_given::{examine, one_rope},
    stock,
    world::{World, person},
};

/// What a message came with.
type Got = Arc<Mutex<Vec<(HeaderMap, String)>>>;

/// Another program: refuses so many messages, then takes them.
#[derive(Clone)]
struct Other {
    got: Got,
    refuse: Arc<Mutex<u32>>,
    how: fn() -> Response,
}

async fn take(State(other): State<Other>, headers: HeaderMap, body: Bytes) -> Response {
    let text = String::from_utf8(body.to_vec()).unwrap();
    other.got.lock().unwrap().push((headers, text));
    let mut refuse = other.refuse.lock().unwrap();
    if *refuse > 0 {
        *refuse -= 1;
        return (other.how)();
    }
    (StatusCode::OK, "thank you").into_response()
}

/// Starts the other program and gives its address.
async fn other(refuse: u32, how: fn() -> Response) -> (Other, String) {
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let address = format!("http://{}/hook", listener.local_addr().unwrap());
    let other = Other {
        got: Arc::default(),
        refuse: Arc::new(Mutex::new(refuse)),
        how,
    };
    let router = Router::new().fallback(take).with_state(other.clone());
    tokio::spawn(async move { axum::serve(listener, router).await });
    (other, address)
}

fn broken() -> Response {
    (StatusCode::SERVICE_UNAVAILABLE, "x".repeat(5000)).into_response()
}

fn elsewhere() -> Response {
    Redirect::temporary("/elsewhere").into_response()
}

fn config() -> Config {
    Config {
        outgoing: ropeloft::config::Outgoing {
            hooks: HookReach::Loopback,
            ..ropeloft::config::Outgoing::default()
        },
        ..Config::default()
    }
}

/// An administrator in front of a server that may speak to this machine.
async fn admin(world: &World) -> Client {
    let mut admin = world.stranger_with(config());
    admin.cookie = world.visitor(&world.admin).await.cookie;
    admin
}

/// Adds a webhook and gives its key.
async fn add(admin: &Client, address: &str, topics: &[&str]) -> String {
    let mut fields = vec![("address", address)];
    fields.extend(topics.iter().map(|topic| ("topics", *topic)));
    let added = admin.post("/team/webhooks", &fields).await;
    assert_eq!(added.status, StatusCode::OK, "{}", added.text);
    assert_eq!(added.header("cache-control"), "no-store");
    added
        .text
        .split("id=\"secret\">")
        .nth(1)
        .unwrap()
        .split('<')
        .next()
        .unwrap()
        .to_owned()
}

/// Lets the server do what is due; gives how many errands it took up.
async fn work(world: &World) -> usize {
    let desk = world.bare_desk();
    hook::prepare(&desk).await.unwrap();
    let run = async |errand: &Errand| hook::send(&desk, errand, HookReach::Loopback).await;
    work_off(&desk, &run).await.unwrap()
}

async fn errands(world: &World) -> Vec<Errand> {
    let mut tx = world.database.read(world.team).await.unwrap();
    tx.errands(ErrandFilter::default(), None, 50)
        .await
        .unwrap()
        .rows
}

async fn somebody_joins(world: &World, sign_in: &str) {
    let mut one = person(Role::Crew, "hut");
    one.sign_in = sign_in.into();
    world.record(Change::PersonAdded(one)).await;
}

/// The numbers of the entries that were told, in their order.
fn sequences(other: &Other) -> Vec<u64> {
    let got = other.got.lock().unwrap();
    let sequence = |(_, body): &(HeaderMap, String)| {
        let body: serde_json::Value = serde_json::from_str(body).unwrap();
        body["data"]["sequence"].as_u64().unwrap()
    };
    let mut all: Vec<u64> = got.iter().map(sequence).collect();
    all.sort_unstable();
    all
}

on_both_databases! {
    async fn a_message_that_fails_twice_arrives_at_last_signed(world) {
        let (other, address) = other(2, broken).await;
        let admin = admin(&world).await;
        let key = add(&admin, &address, &["notice-opened"]).await;
        let notice = stock::notice("Fjordwerk", date!(2026 - 02 - 20));
        world.record(Change::NoticeOpened(notice.clone())).await;
        world.record(Change::PersonAdded(person(Role::Crew, "hut"))).await;
        let seq = world.entries().await - 1;
        for attempt in 1..=3 {
            assert_eq!(work(&world).await, 1, "attempt {attempt}");
            assert_eq!(work(&world).await, 0, "it waits");
            world.clock.advance(Duration::minutes(5));
        }
        let page = admin.get("/team/outgoing").await.text;
        assert!(page.contains("It answered 200: thank you"), "{page}");
        let there = errands(&world).await;
        assert_eq!(there.len(), 1, "what was not chosen is not told");
        assert_eq!((there[0].state, there[0].attempts), (ErrandState::Done, 3));
        let got = other.got.lock().unwrap().clone();
        assert_eq!(got.len(), 3);
        let secret = unbase64(key.strip_prefix("whsec_").unwrap());
        assert_eq!(secret.len(), 32);
        let mut times = Vec::new();
        for (headers, body) in &got {
            let header = |name: &str| headers[name].to_str().unwrap().to_owned();
            let (id, at) = (header("webhook-id"), header("webhook-timestamp"));
            let signed = format!("{id}.{at}.{body}");
            assert_eq!(header("webhook-signature"), format!("v1,{}", base64(&hmac(&secret, signed.as_bytes()))));
            assert_eq!(header("content-type"), "application/json");
            let body: serde_json::Value = serde_json::from_str(body).unwrap();
            assert_eq!(body["id"], id.as_str());
            assert_eq!(body["type"], "notice-opened");
            assert_eq!(body["timestamp"], "2026-03-01T09:30:00Z");
            assert_eq!(body["data"]["sequence"], seq);
            assert_eq!(body["data"]["team"], world.team.to_string());
            assert_eq!(body["data"]["records"][0], notice.id.to_string());
            times.push(at);
        }
        assert_eq!(got[0].1, got[2].1, "what is sent again is the same");
        assert!(times[0] < times[1] && times[1] < times[2], "but for its time");
    }

    async fn what_an_answer_says_is_kept_no_longer_than_a_kibibyte(world) {
        let (_, address) = other(1, broken).await;
        add(&admin(&world).await, &address, &[]).await;
        world.record(Change::PersonAdded(person(Role::Crew, "hut"))).await;
        work(&world).await;
        let told = errands(&world).await.remove(0).told;
        assert!(told.starts_with("It answered 503: xxx") && told.len() < 1100, "{}", told.len());
    }

    async fn nobody_is_led_elsewhere(world) {
        let (other, address) = other(1, elsewhere).await;
        add(&admin(&world).await, &address, &[]).await;
        world.record(Change::PersonAdded(person(Role::Crew, "hut"))).await;
        work(&world).await;
        assert_eq!(other.got.lock().unwrap().len(), 1);
        let there = errands(&world).await.remove(0);
        assert_eq!(there.state, ErrandState::Waiting);
        assert!(there.told.starts_with("It answered 307"), "{}", there.told);
    }

    async fn whatever_puts_an_item_in_quarantine_is_one_topic(world) {
        let given = one_rope(&world).await;
        let (other, address) = other(0, broken).await;
        add(&admin(&world).await, &address, &["item-quarantined"]).await;
        examine(&given.officer, &given.item, &[("kind", "intake"), ("on", "2026-03-01"), ("verdict", "fit")]).await;
        examine(&given.officer, &given.item, &[("kind", "periodic"), ("on", "2026-03-01"), ("verdict", "quarantine"), ("findings", "glazed")]).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        let state = tx.item(given.item.parse().unwrap()).await.unwrap().unwrap().state;
        drop(tx);
        assert_eq!(state, ItemState::Quarantined);
        assert_eq!(work(&world).await, 1);
        let got = other.got.lock().unwrap().clone();
        let body: serde_json::Value = serde_json::from_str(&got[0].1).unwrap();
        assert_eq!(body["data"]["topics"], serde_json::json!(["examination-recorded", "item-quarantined"]));
        assert_eq!(body["data"]["records"][0], given.item.as_str());
    }

    async fn a_webhook_that_fails_for_days_is_switched_off_and_told_of_all_once_it_is_on_again(world) {
        let (other, address) = other(u32::MAX, broken).await;
        let admin = admin(&world).await;
        add(&admin, &address, &[]).await;
        for n in 0..14 {
            somebody_joins(&world, &format!("crew-{n}")).await;
            work(&world).await;
            world.clock.advance(Duration::hours(6));
        }
        let home = admin.get("/").await.text;
        assert!(home.contains("A webhook was switched off"), "{home}");
        assert!(!world.visitor(&world.crew).await.get("/").await.text.contains("webhook"));
        let before = other.got.lock().unwrap().len();
        somebody_joins(&world, "late").await;
        while work(&world).await > 0 {}
        assert_eq!(other.got.lock().unwrap().len(), before, "nothing is sent to what is off");
        *other.refuse.lock().unwrap() = 0;
        let list = admin.get("/team/webhooks").await.text;
        let api = admin.get("/api/v1/webhooks").await.json();
        let trial = format!("/api/v1/webhooks/{}/trial", api[0]["id"].as_str().unwrap());
        assert_eq!(admin.json(Method::POST, &trial, &json!({})).await.status, StatusCode::CONFLICT, "it is off");
        let path = list.split("href=\"/team/webhooks/").nth(1).unwrap().split('"').next().unwrap();
        let on = admin.post(&format!("/team/webhooks/{path}/on"), &[]).await;
        assert_eq!(on.status, StatusCode::SEE_OTHER);
        while work(&world).await > 0 {}
        let last = sequences(&other).last().copied().unwrap();
        assert_eq!(last, world.entries().await, "what came while it was off is told");
        // What was given up can be sent again.
        let page = admin.get("/team/outgoing?state=given-up").await.text;
        let again = page.split("action=\"/team/outgoing/").nth(1).unwrap().split('"').next().unwrap();
        let before = other.got.lock().unwrap().len();
        assert_eq!(admin.post(&format!("/team/outgoing/{again}"), &[]).await.status, StatusCode::SEE_OTHER);
        assert_eq!(work(&world).await, 1);
        assert_eq!(other.got.lock().unwrap().len(), before + 1);
        let removed = admin.post(&format!("/team/webhooks/{path}/remove"), &[]).await;
        assert_eq!(removed.status, StatusCode::SEE_OTHER);
        assert_eq!(admin.get(&format!("/team/webhooks/{path}")).await.status, StatusCode::NOT_FOUND);
        somebody_joins(&world, "later").await;
        assert_eq!(work(&world).await, 0);
    }

    async fn every_change_is_told_once_though_two_servers_look(world) {
        let (other, address) = other(0, broken).await;
        add(&admin(&world).await, &address, &[]).await;
        for n in 0..30 {
            somebody_joins(&world, &format!("crew-{n}")).await;
        }
        tokio::join!(work(&world), work(&world));
        while work(&world).await > 0 {}
        let last = world.entries().await;
        assert_eq!(sequences(&other), (last - 29..=last).collect::<Vec<_>>());
    }

    async fn a_program_adds_a_webhook_tries_it_out_and_removes_it(world) {
        let (other, address) = other(1, broken).await;
        let admin = admin(&world).await;
        let draft = json!({"address": address, "topics": "notice-opened"});
        let added = admin.json(Method::POST, "/api/v1/webhooks", &draft).await;
        assert_eq!(added.status, StatusCode::CREATED, "{}", added.text);
        assert_eq!(added.header("cache-control"), "no-store");
        let key = unbase64(added.json()["key"].as_str().unwrap().strip_prefix("whsec_").unwrap());
        let list = admin.get("/api/v1/webhooks").await;
        assert!(!list.text.contains("whsec_"), "{}", list.text);
        let told = world.entries().await;
        assert_eq!(list.json()[0]["sequence"], told);
        let path = format!("/api/v1/webhooks/{}", list.json()[0]["id"].as_str().unwrap());
        let trial = format!("{path}/trial");
        assert_eq!(admin.json(Method::POST, &trial, &json!({})).await.status, StatusCode::ACCEPTED);
        assert_eq!(work(&world).await, 1, "it does not arrive");
        world.clock.advance(Duration::minutes(5));
        assert_eq!(work(&world).await, 1, "and is tried again");
        let got = other.got.lock().unwrap().clone();
        let (headers, body) = &got[1];
        let header = |name: &str| headers[name].to_str().unwrap().to_owned();
        let signed = format!("{}.{}.{body}", header("webhook-id"), header("webhook-timestamp"));
        assert_eq!(header("webhook-signature"), format!("v1,{}", base64(&hmac(&key, signed.as_bytes()))));
        let body: serde_json::Value = serde_json::from_str(body).unwrap();
        assert_eq!((&body["type"], &body["data"]["records"]), (&json!("trial"), &json!([])));
        assert_eq!(body["data"]["sequence"], told, "a trial is no entry");
        assert_eq!(admin.json(Method::POST, &format!("{path}/on"), &json!({})).await.status, StatusCode::NOT_FOUND);
        assert_eq!(admin.json(Method::DELETE, &path, &json!({})).await.status, StatusCode::NO_CONTENT);
        assert_eq!(admin.json(Method::POST, &trial, &json!({})).await.status, StatusCode::NOT_FOUND);
        assert_eq!(admin.get("/api/v1/webhooks").await.json(), json!([]));
        let officer = world.visitor(&world.officer).await;
        assert_eq!(officer.get("/api/v1/webhooks").await.status, StatusCode::FORBIDDEN);
    }

    async fn only_an_administrator_adds_webhooks_and_wrong_ones_are_refused(world) {
        let officer = world.visitor(&world.officer).await;
        for path in ["/team/webhooks", "/team/outgoing"] {
            assert_eq!(officer.get(path).await.status, StatusCode::FORBIDDEN, "{path}");
        }
        // A server without the setting speaks to public addresses alone.
        let admin = world.visitor(&world.admin).await;
        for (address, topics, field) in [("http://example.org/", "notice-opened", "address"), ("https://127.0.0.1/", "", "address"),
            ("", "", "address"), ("https://example.org/", "moon-landed", "topics")] {
            let wrong = admin.post("/team/webhooks", &[("address", address), ("topics", topics)]).await;
            assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY, "{address}");
            assert!(wrong.text.contains(&format!("#f-{field}")), "{address}: {}", wrong.text);
        }
        assert!(errands(&world).await.is_empty());
        assert!(all_topics().count() > 30);
    }
}
