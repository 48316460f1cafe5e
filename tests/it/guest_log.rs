//! What an outside auditor reads is noted before it is answered, and vouched for by the ledger.

use axum::http::StatusCode;
use ropeloft::{
    deed::guest::keep_counting,
    domain::{Change, Entry},
};
use serde_json::{Value, json};
use sha2::{Digest, Sha256};
use time::Duration;

use crate::{
    client::Client,
    guest::{link, sitting, withdraw},
    store_rebuild::{again, tamper},
    world::World,
};

/// Everything that was noted, the first first.
async fn noted(client: &Client, id: &str) -> Vec<Value> {
    let (mut all, mut after) = (Vec::new(), String::new());
    loop {
        let page = client
            .get(&format!("/api/v1/guest-links/{id}/reads?after={after}"))
            .await;
        assert_eq!(page.status, StatusCode::OK, "{}", page.text);
        let page = page.json();
        all.extend(page["reads"].as_array().unwrap().iter().cloned());
        match page["next"].as_str() {
            Some(next) => next.clone_into(&mut after),
            None => break,
        }
    }
    all.reverse();
    all
}

async fn held(client: &Client, id: &str) -> Value {
    client
        .get(&format!("/api/v1/guest-links/{id}/reads/check"))
        .await
        .json()
}

/// The entries that took reads up, each with how many and the chain.
async fn taken_up(world: &World) -> Vec<(u64, String)> {
    let mut tx = world.database.read(world.team).await.unwrap();
    let entries = tx.entries_after(0, 500).await.unwrap();
    let reads = entries.iter().filter_map(|sealed| {
        let entry: Entry<Change> = sealed.entry().unwrap();
        match entry.change {
            Change::GuestReadsCounted(reads) => Some((reads.reads, reads.chain)),
            _ => None,
        }
    });
    reads.collect()
}

on_both_databases! {
    async fn each_read_is_noted_with_what_was_asked_and_answered(world) {
        let (made, path) = link(&world).await;
        let id = made["id"].as_str().unwrap();
        let guest = sitting(&world, &path).await;
        guest.get("/items?q=rope").await;
        guest.get("/exports/items?as=csv").await;
        guest.get("/items/00000000-0000-0000-0000-000000000000").await;
        guest.get("/settings/letters/confirm?code=abc").await;
        guest.post("/items", &[("name", "x")]).await;
        guest.get(&ropeloft::view::asset::asset_url("app.css")).await;
        guest.get("/health").await;
        guest.get(&path).await;
        let auditor = world.visitor(&world.auditor).await;
        let all = noted(&auditor, id).await;
        let short: Vec<_> = all.iter().map(|read| json!([read["number"], read["method"], read["path"], read["status"], read["file"]])).collect();
        assert_eq!(short, [
            json!([1, "GET", "/items?q=rope", 200, null]),
            json!([2, "GET", "/exports/items?as=csv", 200, "ropeloft-items-2026-03-01.csv"]),
            json!([3, "GET", "/items/00000000-0000-0000-0000-000000000000", 404, null]),
            json!([4, "GET", "/settings/letters/confirm", 403, null]),
            json!([5, "POST", "/items", 403, null]),
        ]);
        // The chain as its description says, worked out by hand.
        let mut chain = vec![0; 32];
        for read in &all {
            let text = format!(
                r#"{{"at":{},"file":{},"method":{},"number":{},"path":{},"status":{}}}"#,
                read["at"], read["file"], read["method"], read["number"], read["path"], read["status"]
            );
            chain = Sha256::new().chain_update(&chain).chain_update(text).finalize().to_vec();
            assert_eq!(read["chain"], hex::encode(&chain));
        }
        let page = auditor.get(&format!("/guests/{id}?check=yes")).await;
        for words in ["GET /items?q=rope", "ropeloft-items-2026-03-01.csv", "All 5 reads are as they were noted"] {
            assert!(page.text.contains(words), "{words}: {}", page.text);
        }
        assert!(page.text.find("POST /items").unwrap() < page.text.find("GET /items?q=rope").unwrap(), "the last stands first");
        let file = auditor.get(&format!("/exports/reads?link={id}&as=csv")).await;
        assert_eq!(file.status, StatusCode::OK);
        assert!(file.text.contains("number,at,method,path,status,file,chain"), "{}", file.text);
        assert_eq!(file.text.lines().count(), 6, "{}", file.text);
        let list = auditor.get("/api/v1/guest-links").await.json();
        assert_eq!(list["links"][0]["reads"], 5);
        assert_eq!(list["links"][0]["last_read_at"], "2026-03-01T09:30:00Z");
    }

    async fn a_read_that_cannot_be_noted_is_not_answered(world) {
        let (made, path) = link(&world).await;
        let guest = sitting(&world, &path).await;
        assert!(guest.get("/stores").await.text.contains("<h1>Stores"));
        // The next number is taken, so that the next read finds no place.
        tamper(&world, "INSERT INTO guest_read (team_id, link_id, number, read_at, method, path, status, chain)
            SELECT team_id, link_id, 2, read_at, method, path, status, chain FROM guest_read").await;
        for path in ["/stores", "/api/v1/stores", "/exports/items"] {
            let answer = guest.get(path).await;
            assert_eq!(answer.status, StatusCode::INTERNAL_SERVER_ERROR, "{path}");
            assert!(!answer.text.contains("<h1>Stores") && !answer.text.contains("mark,"), "{}", answer.text);
        }
        let admin = world.visitor(&world.admin).await;
        assert_eq!(noted(&admin, made["id"].as_str().unwrap()).await.len(), 2);
    }

    async fn a_long_list_of_reads_comes_in_pages(world) {
        let (made, path) = link(&world).await;
        let id = made["id"].as_str().unwrap();
        let guest = sitting(&world, &path).await;
        for _ in 0..120 {
            guest.get("/api/v1/me").await;
        }
        let admin = world.visitor(&world.admin).await;
        let numbers: Vec<u64> = noted(&admin, id).await.iter().map(|read| read["number"].as_u64().unwrap()).collect();
        assert_eq!(numbers, (1..=120).collect::<Vec<_>>());
        let first = admin.get(&format!("/guests/{id}")).await;
        assert!(first.text.contains("50 reads") && first.text.contains("after="), "{}", first.text);
        assert_eq!(admin.get(&format!("/guests/{id}?after=zz")).await.status, StatusCode::BAD_REQUEST);
    }

    async fn the_ledger_takes_reads_up_once_their_day_is_over(world) {
        let (made, path) = link(&world).await;
        let id = made["id"].as_str().unwrap();
        let guest = sitting(&world, &path).await;
        guest.get("/items").await;
        guest.get("/history").await;
        let desk = world.desk();
        keep_counting(&desk).await.unwrap();
        assert_eq!(taken_up(&world).await, [], "the day is not over");
        world.clock.advance(Duration::hours(15));
        keep_counting(&desk).await.unwrap();
        keep_counting(&desk).await.unwrap();
        let admin = world.visitor(&world.admin).await;
        let second = noted(&admin, id).await[1]["chain"].as_str().unwrap().to_owned();
        assert_eq!(taken_up(&world).await, [(2, second.clone())]);
        assert_eq!(held(&admin, id).await["agrees"], true);
        assert_eq!(held(&admin, id).await["taken_up"], 2);
        let guest = sitting(&world, &path).await;
        guest.get("/models").await;
        withdraw(&world, &made, "The audit is done").await;
        let third = noted(&admin, id).await[2]["chain"].as_str().unwrap().to_owned();
        assert_eq!(taken_up(&world).await, [(2, second), (3, third)]);
        keep_counting(&desk).await.unwrap();
        assert_eq!(taken_up(&world).await.len(), 2);
        assert_eq!(again(&world).await.differences, []);
    }

    async fn a_note_that_was_changed_or_taken_out_is_found(world) {
        let (made, path) = link(&world).await;
        let id = made["id"].as_str().unwrap();
        let guest = sitting(&world, &path).await;
        for path in ["/items", "/history", "/models"] {
            guest.get(path).await;
        }
        world.clock.advance(Duration::days(1));
        keep_counting(&world.desk()).await.unwrap();
        let admin = world.visitor(&world.admin).await;
        assert_eq!(held(&admin, id).await["agrees"], true);
        tamper(&world, "UPDATE guest_read SET path = '/stores' WHERE number = 2").await;
        assert_eq!(held(&admin, id).await["fault"], "Read 2 is not what was noted, or one before it is not.");
        tamper(&world, "DELETE FROM guest_read WHERE number = 3").await;
        tamper(&world, "UPDATE guest_read SET path = '/history' WHERE number = 2").await;
        tamper(&world, "UPDATE guest_key SET reads = 2").await;
        assert_eq!(held(&admin, id).await["fault"], "Only 2 of 3 reads are there.");
        let page = admin.get(&format!("/guests/{id}?check=yes")).await;
        assert!(page.text.contains("What was noted was changed afterwards"), "{}", page.text);
    }
}
