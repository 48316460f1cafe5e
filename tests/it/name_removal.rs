//! Names stand apart from the ledger's bytes, and go out of everything on request, while every hash stays.

use axum::http::{Method, StatusCode};
use ropeloft::domain::{
    Change, Entry, PersonId, Sealed, SealedName,
    sealed_name::{open_names, places, removed_name, seals},
};
use serde_json::json;
use sha2::{Digest, Sha256};
use sqlx::{AssertSqlSafe, Connection, PgConnection, SqliteConnection};

use crate::{
    client::Client,
    issue::{issued, passing, under},
    item_given::OUTSIDE,
    job_given::planned,
    store_rebuild::{again, tamper, told},
    world::{World, on_sqlite},
};

const CREW: &str = "The crew of the north";
const ROUND: &str = "Zora Quill Quick";

#[test]
fn a_seal_is_the_hash_of_salt_and_name_and_opens_to_the_name_alone() {
    let name = SealedName::new([7; 32], "Ada \"Bo\" Brook");
    let mut by_hand = vec![7; 32];
    by_hand.extend("Ada \"Bo\" Brook".bytes());
    assert_eq!(name.seal.as_slice(), Sha256::digest(by_hand).as_slice());
    assert!(name.holds());
    let other = SealedName {
        name: "Ada Brook".into(),
        ..name.clone()
    };
    assert!(!other.holds());
    let seal = hex::encode(name.seal);
    let payload = format!(
        r#"{{"a":{{"sealed-name":"{seal}"}},"b":{{"sealed-name":"00"}},"c":"{{\"sealed-name\":\"{seal}\"}}"}}"#
    );
    assert_eq!(seals(&payload).collect::<Vec<_>>(), [name.seal]);
    let opened: serde_json::Value =
        serde_json::from_str(&open_names(&payload, std::slice::from_ref(&name))).unwrap();
    assert_eq!(opened["a"], "Ada \"Bo\" Brook");
    assert_eq!(opened["b"]["sealed-name"], "00", "what is no seal stays");
    let closed: serde_json::Value = serde_json::from_str(&open_names(&payload, &[])).unwrap();
    assert_eq!(closed["a"], removed_name(&name.seal));
}

#[test]
fn an_entry_of_before_names_were_sealed_reads_as_it_is() {
    let text = json!({
        "seq": 1, "team": uuid::Uuid::nil(), "recorded_at": "2026-03-01T09:30:00Z", "actor": uuid::Uuid::nil(),
        "change": {"kind": "person-added", "of": {
            "id": uuid::Uuid::nil(), "name": "Ada Brook", "sign_in": "ada", "role": "crew", "active": true}},
    });
    let sealed = Sealed {
        seq: 1,
        recorded_at: time::OffsetDateTime::UNIX_EPOCH,
        actor: PersonId(uuid::Uuid::nil()),
        kind: "person-added".into(),
        payload: text.to_string(),
        leaf: [0; 32],
        root: [0; 32],
        names: Vec::new(),
    };
    let entry: Entry<Change> = sealed.entry().unwrap();
    let Change::PersonAdded(person) = entry.change else {
        panic!("another kind")
    };
    assert_eq!(person.name, "Ada Brook");
}

/// Every text of every table that holds this one, as `table.column`.
pub async fn where_it_stands(world: &World, text: &str) -> Vec<String> {
    let text = text.replace('\'', "''");
    let mut found = Vec::new();
    if world.address.starts_with("postgres") {
        let mut conn = PgConnection::connect(&world.address).await.unwrap();
        let columns: Vec<(String, String)> = sqlx::query_as(
            "SELECT table_name::text, column_name::text FROM information_schema.columns
              WHERE table_schema = 'public' AND data_type = 'text'",
        )
        .fetch_all(&mut conn)
        .await
        .unwrap();
        assert!(columns.len() > 50);
        for (table, column) in columns {
            let sql =
                format!("SELECT COUNT(*) FROM {table} WHERE POSITION('{text}' IN {column}) > 0");
            let rows: i64 = sqlx::query_scalar(AssertSqlSafe(sql))
                .fetch_one(&mut conn)
                .await
                .unwrap();
            found.extend((rows > 0).then(|| format!("{table}.{column}")));
        }
    } else {
        let mut conn = SqliteConnection::connect(&world.address).await.unwrap();
        let columns: Vec<(String, String)> = sqlx::query_as(
            "SELECT t.name, c.name FROM sqlite_schema t, pragma_table_info(t.name) c
              WHERE t.type = 'table' AND c.type = 'TEXT' AND t.name <> '_sqlx_migrations'",
        )
        .fetch_all(&mut conn)
        .await
        .unwrap();
        assert!(columns.len() > 50);
        for (table, column) in columns {
            let sql = format!("SELECT COUNT(*) FROM {table} WHERE INSTR({column}, '{text}') > 0");
            let rows: i64 = sqlx::query_scalar(AssertSqlSafe(sql))
                .fetch_one(&mut conn)
                .await
                .unwrap();
            found.extend((rows > 0).then(|| format!("{table}.{column}")));
        }
    }
    found
}

/// A job of the crew from its plan to its return, so that the crew's name stands wherever names stand.
async fn a_day(world: &World) -> String {
    let crew = world.visitor(&world.crew).await;
    let (job, _) = passing(world, &crew).await;
    let plan =
        json!({"case": "one-person", "duties": [{"title": "Belay", "count": "1", "people": CREW}]});
    let planned = crew
        .json(Method::POST, &format!("/api/v1/jobs/{job}/crew"), &plan)
        .await;
    assert!(planned.status.is_success(), "{}", planned.text);
    let issue = issued(world, &crew, &job).await;
    let path = format!(
        "/api/v1/jobs/{job}/issues/{}",
        issue["id"].as_str().unwrap()
    );
    let counted = crew
        .json(
            Method::POST,
            &format!("{path}/returns"),
            &json!({"rest": "fine", "hours": "1"}),
        )
        .await;
    assert!(counted.status.is_success(), "{}", counted.text);
    job
}

async fn close(admin: &Client, world: &World) {
    let path = format!("/people/{}", world.crew.person);
    let closed = admin.post(&path, &[("name", CREW), ("role", "crew")]).await;
    assert_eq!(closed.status, StatusCode::SEE_OTHER, "{}", closed.text);
}

on_both_databases! {
    async fn the_ledger_holds_no_name_and_gives_every_name(world) {
        a_day(&world).await;
        let entries = where_it_stands(&world, CREW).await;
        assert!(entries.contains(&"person.name".to_owned()) && entries.contains(&"ledger_name.name".to_owned()), "{entries:?}");
        assert!(!entries.iter().any(|place| place.starts_with("ledger_entry")), "{entries:?}");
        let mut tx = world.database.read(world.team).await.unwrap();
        let kept = tx.entries_after(0, 500).await.unwrap();
        let named = kept.iter().filter(|entry| !places(&entry.kind).is_empty());
        let mut kinds: Vec<&str> = named.clone().map(|entry| entry.kind.as_str()).collect();
        kinds.sort_unstable();
        kinds.dedup();
        assert!(kinds.len() >= 5, "{kinds:?}");
        for entry in named {
            let read: Entry<Change> = entry.entry().unwrap();
            assert_eq!(read.seq, entry.seq);
            assert!(entry.names.iter().all(SealedName::holds));
            assert!(!format!("{read:?}").contains("Removed name"), "{read:?}");
        }
    }

    async fn a_removed_account_leaves_no_trace_of_its_name_and_no_hash_changes(world) {
        let job = a_day(&world).await;
        let admin = world.visitor(&world.admin).await;
        let before = world.database.read(world.team).await.unwrap().head().await.unwrap().unwrap();
        close(&admin, &world).await;
        let id = world.crew.person.to_string();
        let form = admin.get(&format!("/people/names?person={id}")).await;
        assert!(form.text.contains(CREW), "{}", form.text);
        let fields = [("person", id.as_str()), ("name", CREW), ("reason", "Request of 2026-02-27, article 17")];
        let done = admin.post("/people/names", &fields).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        assert_eq!(where_it_stands(&world, CREW).await, Vec::<String>::new());
        assert_eq!(where_it_stands(&world, "crew-north").await, Vec::<String>::new());
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.root_of(before.size).await.unwrap(), Some(before.root));
        let rebuilt = again(&world).await;
        assert_eq!(rebuilt.differences, []);
        let person = tx.person(world.crew.person).await.unwrap().unwrap();
        assert!(person.name.starts_with("Removed name ") && person.sign_in.starts_with("Removed name "));
        let page = admin.get(&format!("/jobs/{job}/history")).await;
        assert!(page.text.contains(&person.name), "{}", page.text);
        let history = admin.get("/history").await;
        assert!(history.text.contains("Request of 2026-02-27"), "{}", history.text);
    }

    async fn the_name_of_somebody_without_an_account_goes_too(world) {
        world.hold_competent().await;
        let admin = world.visitor(&world.admin).await;
        let reason = "Request of 2026-02-27";
        let asked = |name: &str| json!({"name": name, "reason": reason});
        let nobody = admin.json(Method::POST, "/api/v1/name-removals", &asked("A. Brook")).await;
        assert_eq!(under(&nobody.json(), "name"), ["No record holds exactly this name where records name people."]);
        let done = admin.json(Method::POST, "/api/v1/name-removals", &asked(OUTSIDE)).await;
        assert_eq!(done.status, StatusCode::OK, "{}", done.text);
        assert_eq!(where_it_stands(&world, OUTSIDE).await, Vec::<String>::new());
        assert_eq!(again(&world).await.differences, []);
        // Somebody who comes back is somebody new.
        world.hold_competent().await;
        assert!(!where_it_stands(&world, OUTSIDE).await.is_empty());
        assert_eq!(again(&world).await.differences, []);
    }

    async fn names_that_the_program_writes_stand_apart_and_what_was_typed_is_told(world) {
        let crew = world.visitor(&world.crew).await;
        let (job, kit) = passing(&world, &crew).await;
        let second = planned(&crew, json!({"title": "Second"})).await;
        let wanted = json!({"item": kit[0].item.mark, "position": "head"});
        let refused = crew.json(Method::POST, &format!("/api/v1/jobs/{second}/kit"), &wanted).await;
        assert_eq!(refused.status, StatusCode::CONFLICT, "{}", refused.text);
        let reasons = refused.json()["refusals"].as_array().unwrap().clone();
        assert!(reasons.iter().any(|one| one["code"] == "on-another-job" && one["who"] == CREW), "who has it is told: {job} {reasons:?}");
        let officer = world.visitor(&world.officer).await;
        let round = json!({"name": "March", "from": "2026-03-01", "to": "2026-03-05", "examiner": ROUND, "items": kit[1].item.id.to_string()});
        let done = officer.json(Method::POST, "/api/v1/rounds", &round).await;
        assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
        for name in [CREW, ROUND] {
            let found = where_it_stands(&world, name).await;
            assert!(!found.is_empty() && !found.iter().any(|place| place.starts_with("ledger_entry")), "{name}: {found:?}");
        }
        // Somebody types the name, in other letters too.
        let used = json!({"on": "2026-02-21", "uses": "1", "note": "lent to ZORA quill Quick"});
        let done = officer.json(Method::POST, &format!("/api/v1/items/{}/usage", kit[1].item.id), &used).await;
        assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
        let typed = world.entries().await;
        let admin = world.visitor(&world.admin).await;
        let asked = json!({"name": ROUND, "reason": "Request of 2026-02-27"});
        let done = admin.json(Method::POST, "/api/v1/name-removals", &asked).await;
        assert_eq!((done.status, &done.json()["typed_in"]), (StatusCode::OK, &json!([typed])), "{}", done.text);
        assert_eq!(where_it_stands(&world, ROUND).await, Vec::<String>::new());
        assert_eq!(again(&world).await.differences, []);
        let page = admin.get("/people/names").await.text;
        assert!(page.contains(&format!("href=\"/history?before={}\">entry {typed}</a>", typed + 1)), "{page}");
        close(&admin, &world).await;
        let asked = json!({"person": world.crew.person.to_string(), "name": CREW, "reason": "Request of 2026-02-27"});
        let done = admin.json(Method::POST, "/api/v1/name-removals", &asked).await;
        assert_eq!((done.status, &done.json()["typed_in"]), (StatusCode::OK, &json!([])), "{}", done.text);
        let found = where_it_stands(&world, CREW).await;
        assert_eq!(found, Vec::<String>::new());
        let file = admin.get("/api/v1/exports/refusals").await;
        assert!(file.text.contains("; ask Removed name "), "{}", file.text);
        assert_eq!(again(&world).await.differences, []);
    }

    async fn the_address_of_an_examiner_is_sealed_and_goes_with_the_name(world) {
        let admin = world.visitor(&world.admin).await;
        let hold = async |draft: serde_json::Value| {
            let made = admin.json(Method::POST, "/api/v1/qualifications", &draft).await;
            assert_eq!(made.status, StatusCode::CREATED, "{}", made.text);
            made.json()
        };
        let crew = world.crew.person.to_string();
        let own = hold(json!({"person": crew, "evidence": "a course", "address": "7 Fell Road\n\nTarn"})).await;
        hold(json!({"name": OUTSIDE, "body": "Brook Inspection", "evidence": "a course", "address": "3 Brook Row"})).await;
        hold(json!({"name": OUTSIDE, "body": "Brook Inspection", "evidence": "a course", "address": "8 Mill Lane"})).await;
        hold(json!({"name": "C. Vell", "body": "Brook Inspection", "evidence": "a course", "address": "3 Brook Row"})).await;
        // Where it is another one later, both go.
        let moved = format!("/api/v1/qualifications/{}/address", own["id"].as_str().unwrap());
        let done = admin.json(Method::PUT, &moved, &json!({"address": "9 Gill Head"})).await;
        assert_eq!(done.status, StatusCode::OK, "{}", done.text);
        assert!(where_it_stands(&world, "7 Fell Road").await.iter().all(|place| place == "ledger_name.name"));
        for address in ["9 Gill Head", "3 Brook Row", "8 Mill Lane"] {
            let found = where_it_stands(&world, address).await;
            assert!(found.contains(&"qualification.record".to_owned()) && found.contains(&"ledger_name.name".to_owned()), "{found:?}");
            assert!(!found.iter().any(|place| place.starts_with("ledger_entry")), "{address}: {found:?}");
        }
        assert_eq!(again(&world).await.differences, []);
        let root = world.database.read(world.team).await.unwrap().head().await.unwrap().unwrap();
        close(&admin, &world).await;
        let asked = json!({"person": crew, "name": CREW, "reason": "Request of 2026-02-27"});
        let done = admin.json(Method::POST, "/api/v1/name-removals", &asked).await;
        assert_eq!(done.status, StatusCode::OK, "{}", done.text);
        for address in ["7 Fell Road", "9 Gill Head"] {
            assert_eq!(where_it_stands(&world, address).await, Vec::<String>::new(), "{address}");
        }
        let asked = json!({"name": OUTSIDE, "reason": "Request of 2026-02-27"});
        let done = admin.json(Method::POST, "/api/v1/name-removals", &asked).await;
        assert_eq!(done.status, StatusCode::OK, "{}", done.text);
        assert_eq!(where_it_stands(&world, "8 Mill Lane").await, Vec::<String>::new());
        // The firm's address is that of somebody else too, and stays.
        assert!(where_it_stands(&world, "3 Brook Row").await.contains(&"qualification.record".to_owned()));
        assert_eq!(again(&world).await.differences, []);
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.root_of(root.size).await.unwrap(), Some(root.root));
    }

    async fn an_outside_auditors_name_stays_while_the_link_lets_in(world) {
        let (made, _) = crate::guest::link(&world).await;
        let admin = world.visitor(&world.admin).await;
        let asked = json!({"name": crate::guest::NAME, "reason": "Request of 2026-02-27"});
        let open = admin.json(Method::POST, "/api/v1/name-removals", &asked).await;
        assert!(under(&open.json(), "name")[0].contains("until 2026-03-09"), "{}", open.text);
        crate::guest::withdraw(&world, &made, "The audit is done").await;
        let done = admin.json(Method::POST, "/api/v1/name-removals", &asked).await;
        assert_eq!(done.status, StatusCode::OK, "{}", done.text);
    }

    async fn the_wrong_name_is_not_removed(world) {
        let admin = world.visitor(&world.admin).await;
        let asked = async |person: PersonId, name: &str, reason: &str| {
            let draft = json!({"person": person.to_string(), "name": name, "reason": reason});
            admin.json(Method::POST, "/api/v1/name-removals", &draft).await
        };
        let open = asked(world.crew.person, CREW, "on request").await;
        assert_eq!(open.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(under(&open.json(), "person")[0].contains("Close it first"));
        let own = asked(world.admin.person, "The administrator of the north", "on request").await;
        assert!(under(&own.json(), "person")[0].contains("Another administrator"));
        close(&admin, &world).await;
        let other = asked(world.crew.person, "The officer of the north", "on request").await;
        assert_eq!(under(&other.json(), "name"), [format!("The account's name is \"{CREW}\".")]);
        let told = asked(world.crew.person, CREW, "the crew of the north asked").await;
        assert!(under(&told.json(), "reason")[0].contains("without the name"));
        let silent = asked(world.crew.person, CREW, "").await;
        assert!(!under(&silent.json(), "reason").is_empty());
        let account = admin.json(Method::POST, "/api/v1/name-removals", &json!({"name": CREW, "reason": "on request"})).await;
        assert!(under(&account.json(), "name")[0].contains("An account of the team"));
        let nobody = asked(world.outsider.person, CREW, "on request").await;
        assert_eq!(nobody.status, StatusCode::NOT_FOUND);
        let officer = world.visitor(&world.officer).await;
        let draft = json!({"name": OUTSIDE, "reason": "on request"});
        assert_eq!(officer.json(Method::POST, "/api/v1/name-removals", &draft).await.status, StatusCode::FORBIDDEN);
        assert!(!where_it_stands(&world, CREW).await.is_empty());
    }

    async fn a_name_behind_a_seal_that_was_changed_is_told(world) {
        tamper(&world, "UPDATE ledger_name SET name = 'Somebody else' WHERE name = 'The crew of the north'").await;
        let told = told(&world).await;
        assert!(told[0].ends_with("is not the one that was sealed"), "{told:?}");
    }
}

#[tokio::test]
async fn a_removed_name_is_gone_from_the_bytes_of_the_file() {
    on_sqlite(async |world| {
        a_day(&world).await;
        let holds = || {
            let file = world.address.trim_start_matches("sqlite:");
            let mut files: Vec<String> = ["", "-wal", "-journal"]
                .map(|ending| format!("{file}{ending}"))
                .into();
            files.retain(|file| {
                let bytes = std::fs::read(file).unwrap_or_default();
                bytes
                    .windows(CREW.len())
                    .any(|some| some == CREW.as_bytes())
            });
            files
        };
        assert!(!holds().is_empty());
        let admin = world.visitor(&world.admin).await;
        close(&admin, &world).await;
        let asked =
            json!({"person": world.crew.person.to_string(), "name": CREW, "reason": "Request"});
        let done = admin
            .json(Method::POST, "/api/v1/name-removals", &asked)
            .await;
        assert_eq!(done.status, StatusCode::OK, "{}", done.text);
        assert_eq!(holds(), Vec::<String>::new());
    })
    .await;
}
