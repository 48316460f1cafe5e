//! What is sent with an `Idempotency-Key` is done once: one after the other, at once, before two servers, and when a server
//! ends in the middle.

use axum::http::StatusCode;
use futures::future::join_all;
use ropeloft::{
    domain::Change,
    store::{Database, Stage, sent_under},
};
use serde_json::{Value, json};
use sha2::{Digest, Sha256};
use time::Duration;
use uuid::Uuid;

use crate::{stock, world::World};

/// Posts the same under one key so many times at once, before two servers.
async fn at_once(
    world: &World,
    path: &str,
    body: &Value,
    times: usize,
) -> Vec<(StatusCode, String)> {
    let second = World::beside(world).await;
    let clients = [
        world.visitor(&world.officer).await,
        second.visitor(&world.officer).await,
    ];
    let key = Uuid::new_v4().to_string();
    let sent = (0..times).map(|at| {
        let (client, key) = (&clients[at % 2], key.as_str());
        async move {
            let answer = client.json_once(path, key, body).await;
            (answer.status, answer.text)
        }
    });
    join_all(sent).await
}

/// The key as it is kept for the officer.
fn kept(world: &World, key: &str) -> String {
    format!("{} {key}", world.officer.person)
}

on_both_databases! {
    async fn what_comes_at_once_before_two_servers_is_done_once(world) {
        let stock = world.stock().await;
        let item = format!("/api/v1/items/{}", stock.first.id);
        for (path, body) in [
            (format!("{item}/usage"), json!({"on": "2026-03-01", "uses": "1"})),
            (format!("{item}/events"), json!({"kind": "heat", "on": "2026-03-01", "note": "by the stove"})),
            ("/api/v1/stores".to_owned(), json!({"name": "Bay 9"})),
        ] {
            let (before, answers) = (world.entries().await, at_once(&world, &path, &body, 6).await);
            assert!(answers.iter().all(|answer| answer.0 == StatusCode::CREATED && answer.1 == answers[0].1), "{answers:?}");
            assert_eq!(world.entries().await, before + 1, "{path}");
        }
        let path = format!("{item}/usage");
        at_once(&world, &path, &json!({"on": "2026-03-01", "uses": "1"}), 1).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.usage_in_line(&stock.first, 10).await.unwrap().len(), 2, "one for each key");
    }

    async fn what_is_refused_may_be_mended_under_the_same_key(world) {
        let stock = world.stock().await;
        let officer = world.visitor(&world.officer).await;
        let path = format!("/api/v1/items/{}/usage", stock.first.id);
        let wrong = json!({"on": "2027-03-01", "uses": "1"});
        for _ in 0..2 {
            assert_eq!(officer.json_once(&path, "k", &wrong).await.status, StatusCode::UNPROCESSABLE_ENTITY);
        }
        let right = json!({"on": "2026-03-01", "uses": "1"});
        assert_eq!(officer.json_once(&path, "k", &right).await.status, StatusCode::CREATED);
    }

    async fn what_a_server_left_lying_is_known_as_done_or_is_begun_anew(world) {
        let stock = world.stock().await;
        let officer = world.visitor(&world.officer).await;
        let path = format!("/api/v1/items/{}/usage", stock.first.id);
        let body = json!({"on": "2026-03-01", "uses": "1"});
        // Another server took the keys; under the second it also did what was asked, and then it ended.
        let asked = hash(&path, &body);
        let now = world.clock.now();
        for key in ["begun", "done"] {
            let mut tx = world.database.write(world.team).await.unwrap();
            assert!(tx.take_key_of_post(&kept(&world, key), &asked, (now, now)).await.unwrap());
            assert!(!tx.take_key_of_post(&kept(&world, key), &asked, (now, now)).await.unwrap(), "it is taken");
            tx.commit().await.unwrap();
        }
        let store = stock::store("Bay 7");
        Box::pin(sent_under(world.team, vec![kept(&world, "done")], world.record(Change::StoreAdded(store)))).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        let stage = tx.posted(&kept(&world, "done")).await.unwrap().unwrap().stage;
        assert_eq!(stage, Stage::Done);
        drop(tx);
        world.clock.advance(Duration::minutes(11));
        let entries = world.entries().await;
        let done = officer.json_once(&path, "done", &body).await;
        assert!(done.status == StatusCode::CONFLICT && done.text.contains("was done"), "{}", done.text);
        assert_eq!(world.entries().await, entries);
        let begun = officer.json_once(&path, "begun", &body).await;
        assert_eq!(begun.status, StatusCode::CREATED, "{}", begun.text);
        assert_eq!(world.entries().await, entries + 1);
    }
}

/// The hash of what is asked, as the door makes it.
fn hash(path: &str, body: &Value) -> [u8; 32] {
    let body = body.to_string();
    let hash = Sha256::new()
        .chain_update(path)
        .chain_update([0])
        .chain_update(body);
    hash.finalize().into()
}

impl World {
    /// The same database before another server, by a connection of its own.
    async fn beside(world: &World) -> World {
        World {
            database: Database::open(&world.address).await.unwrap(),
            address: world.address.clone(),
            clock: world.clock.clone(),
            folder: tempfile::tempdir().unwrap(),
            team: world.team,
            other_team: world.other_team,
            officer: world.officer.clone(),
            crew: world.crew.clone(),
            auditor: world.auditor.clone(),
            admin: world.admin.clone(),
            outsider: world.outsider.clone(),
        }
    }
}
