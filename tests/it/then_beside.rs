//! What stood around an item on a day: notices, its life, and the rulebook that the team went by; each as it was known.

use axum::http::StatusCode;
use ropeloft::{
    domain::{
        Change, Kind, LifeLimit, Model, ModelId, ModelKindChanged, Notice, NoticeClosing,
        NoticeCorrection, NoticeEnd,
    },
    export::bundle::{Line, check},
};
use serde_json::{Value, json};
use time::macros::{date, datetime};

use crate::{
    client::Client,
    item_given::{Given, examine, item, one_rope, rope_fields, with},
    stock,
    store_due::work_by,
    world::World,
};

const TITLE: &str = "Look at the rivets";

/// The rope's model is of this maker.
fn notice() -> Notice {
    Notice {
        lots: vec!["L9".into()],
        ..stock::notice("Tarn & Fell", date!(2026 - 02 - 20))
    }
}

async fn then(client: &Client, item: &str, on: &str) -> Value {
    let answer = client
        .get(&format!("/api/v1/items/{item}/then?on={on}"))
        .await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
    answer.json()
}

/// A fact by both clocks, and the entry that made the difference.
fn fact(past: &Value, title: &str) -> (String, String, Option<u64>) {
    let rows = past["rows"].as_array().unwrap();
    let row = rows.iter().find(|row| row["fact"] == title);
    let row = row.unwrap_or_else(|| panic!("{title}: {past}"));
    let text = |side: &str| row[side].as_str().unwrap_or_default().to_owned();
    (text("then"), text("now"), row["entry"].as_u64())
}

fn on(world: &World, at: time::OffsetDateTime) {
    world.clock.advance(at - world.clock.now());
}

/// The titles of the notices in an item's history, by page, API and bundle.
async fn told_in_history(given: &Given, auditor: &Client, item: &str) -> [bool; 3] {
    let page = given.officer.get(&format!("/items/{item}/history")).await;
    let api = auditor
        .get(&format!("/api/v1/items/{item}/history"))
        .await
        .json();
    let entries = api["entries"].as_array().unwrap();
    let bundle = auditor
        .get(&format!("/api/v1/ledger/bundle?item={item}"))
        .await;
    assert_eq!(bundle.status, StatusCode::OK, "{}", bundle.text);
    let held = check(bundle.text.as_bytes(), &[]);
    assert!(held.is_ok(), "{held:?}");
    let mut lines = bundle
        .text
        .lines()
        .map(|line| serde_json::from_str(line).unwrap());
    let in_bundle =
        lines.any(|line| matches!(line, Line::Entry(entry) if entry.payload.contains(TITLE)));
    [
        page.text.contains(TITLE),
        entries.iter().any(|entry| entry["kind"] == "notice-opened"),
        in_bundle,
    ]
}

on_both_databases! {
    async fn a_notice_is_told_as_it_was_known_and_stands_in_the_history(world) {
        let given = one_rope(&world).await;
        let other = rope_fields(&given.model, &given.store);
        let other = item(&given.officer, &with(&other, &[("mark", "RL-0043"), ("serial", "S-78"), ("lot", "L10")])).await;
        world.take_key().await;
        on(&world, datetime!(2026-03-11 09:00 UTC));
        let opened = world.record(Change::NoticeOpened(notice())).await;
        let officer = world.visitor(&world.officer).await;
        let given = Given { officer, ..given };
        let auditor = world.visitor(&world.auditor).await;
        let past = then(&given.officer, &given.item, "2026-03-05").await;
        let (known, now, entry) = fact(&past, "Open notices");
        assert_eq!((known.as_str(), entry), ("none", Some(opened.seq)));
        assert!(now.contains(TITLE) && now.contains("issued on 2026-02-20"), "{now}");
        assert_eq!(past["same"], false);
        let answer = past["answer"].as_str().unwrap();
        assert!(answer.starts_with("On 2026-03-05 RL-0042 was known to be in service, without a passed thorough examination; as we know now it was in service, without a passed thorough examination, and under the open notice \"Look at the rivets\""), "{answer}");
        // Of another lot, or issued later, it is told of neither.
        let past = then(&given.officer, &other, "2026-03-05").await;
        assert_eq!((&past["same"], fact(&past, "Open notices").1.as_str()), (&json!(true), "none"));
        let place = given.officer.get(&format!("/api/v1/stores/{}/then?on=2026-03-05", given.store)).await.json();
        let row = |mark: &str| place["rows"].as_array().unwrap().iter().find(|row| row["item"] == mark).unwrap().clone();
        assert_eq!((&row("RL-0042")["then"], &row("RL-0042")["now"]), (&json!("here, in service, without a passed thorough examination"), &json!("here, in service, without a passed thorough examination, and under the open notice \"Look at the rivets\"")));
        assert_eq!((&row("RL-0042")["entry"], &row("RL-0043")["now"]), (&json!(opened.seq), &json!("here, in service, without a passed thorough examination")));
        // Known that night, and open until it was closed for the item.
        let tonight = then(&given.officer, &given.item, "2026-03-11").await;
        assert_eq!((&tonight["same"], fact(&tonight, "Open notices").0.contains(TITLE)), (&json!(true), true));
        on(&world, datetime!(2026-03-13 09:00 UTC));
        let mut tx = world.database.read(world.team).await.unwrap();
        let (rope, covered) = (tx.item_marked("RL-0042").await.unwrap().unwrap(), tx.notices_about("Tarn & Fell").await.unwrap().remove(0));
        drop(tx);
        world.record(Change::NoticeClosed(NoticeClosing { notice: covered.id, item: rope.id, result: "Looked at".into() })).await;
        for (day, open) in [("2026-03-12", true), ("2026-03-13", false)] {
            let past = then(&given.officer, &given.item, day).await;
            let (known, now, _) = fact(&past, "Open notices");
            assert_eq!((known.contains(TITLE), now.contains(TITLE), &past["same"]), (open, open, &json!(true)), "{day}");
        }
        assert_eq!(told_in_history(&given, &auditor, &given.item).await, [true; 3]);
        assert_eq!(told_in_history(&given, &auditor, &other).await, [false; 3]);
    }

    async fn a_notice_is_told_as_it_was_corrected_until_it_was_withdrawn(world) {
        let given = one_rope(&world).await;
        let other = rope_fields(&given.model, &given.store);
        let other = item(&given.officer, &with(&other, &[("mark", "RL-0043"), ("serial", "S-78"), ("lot", "L10")])).await;
        world.take_key().await;
        on(&world, datetime!(2026-03-11 09:00 UTC));
        let opened = notice();
        world.record(Change::NoticeOpened(opened.clone())).await;
        on(&world, datetime!(2026-03-13 09:00 UTC));
        let corrected = Notice { lots: vec!["L10".into()], corrected: 1, ..opened.clone() };
        let correction = NoticeCorrection { notice: corrected, reason: "the wrong lot".into() };
        let correction = world.record(Change::NoticeCorrected(Box::new(correction))).await;
        on(&world, datetime!(2026-03-20 09:00 UTC));
        let end = NoticeEnd { notice: opened.id, reason: "it was for another maker".into() };
        world.record(Change::NoticeWithdrawn(end)).await;
        let officer = world.visitor(&world.officer).await;
        // The day, and for each of both ropes whether the notice was open as it was known then, and as it is known now.
        let days = [
            ("2026-03-05", [false, false], [false, true]),
            ("2026-03-12", [true, false], [false, true]),
            ("2026-03-14", [false, false], [true, true]),
            ("2026-03-20", [false, false], [false, false]),
        ];
        for (day, of_first, of_other) in days {
            for (item, [known, now]) in [(&given.item, of_first), (&other, of_other)] {
                let past = then(&officer, item, day).await;
                let (was_known, is_now, _) = fact(&past, "Open notices");
                assert_eq!((was_known.contains(TITLE), is_now.contains(TITLE)), (known, now), "{day}: {past}");
            }
        }
        let past = then(&officer, &given.item, "2026-03-12").await;
        assert_eq!(fact(&past, "Open notices").2, Some(correction.seq), "{past}");
        // What it covered once it did cover, and its end is told beside it.
        let given = Given { officer, ..given };
        let auditor = world.visitor(&world.auditor).await;
        for item in [&given.item, &other] {
            assert_eq!(told_in_history(&given, &auditor, item).await, [true; 3]);
            let page = given.officer.get(&format!("/items/{item}/history")).await.text;
            assert!(page.contains("the wrong lot") && page.contains("it was for another maker"), "{page}");
        }
    }

    async fn a_model_is_of_the_kind_that_it_was_known_to_be(world) {
        let given = one_rope(&world).await;
        on(&world, datetime!(2026-03-11 09:00 UTC));
        let mut tx = world.database.read(world.team).await.unwrap();
        let before = tx.model(ModelId(given.model.parse().unwrap())).await.unwrap().unwrap();
        drop(tx);
        let life = LifeLimit { years_from_made: Some(5), ..LifeLimit::default() };
        let model = Model { kind: Kind::Sling, revision: before.revision + 1, life, ..before.clone() };
        let changed = ModelKindChanged { model, from: before.kind, reason: "it is sewn".into() };
        let changed = world.record(Change::ModelKindChanged(changed)).await;
        let officer = world.visitor(&world.officer).await;
        let past = then(&officer, &given.item, "2026-03-05").await;
        let (known, now, entry) = fact(&past, "Life");
        assert!(!known.starts_with("over since") && now.starts_with("over since 2026-01-01"), "{known} {now}");
        assert_eq!(entry, Some(changed.seq), "{past}");
        let (known, now, entry) = fact(&past, "Kind of gear");
        assert_eq!((known.as_str(), now.as_str(), entry), ("rope", "sling", Some(changed.seq)));
        for title in ["Strengths of its model", "Approvals of its model"] {
            let (known, now, _) = fact(&past, title);
            assert!(known == now && !known.is_empty(), "{title}: {known}, {now}");
        }
    }

    async fn a_lot_that_was_mended_takes_no_notice_out_of_the_history(world) {
        let given = one_rope(&world).await;
        world.take_key().await;
        world.record(Change::NoticeOpened(notice())).await;
        let officer = world.visitor(&world.officer).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        let mut rope = tx.item_marked("RL-0042").await.unwrap().unwrap();
        drop(tx);
        assert_eq!(rope.lot.as_deref(), Some("L9"));
        rope.lot = Some("L10".into());
        rope.revision += 1;
        world.record(Change::ItemRevised(rope)).await;
        let auditor = world.visitor(&world.auditor).await;
        let given = Given { officer, ..given };
        assert_eq!(told_in_history(&given, &auditor, &given.item).await, [true; 3]);
    }

    async fn the_gear_of_a_job_is_held_against_the_rulebook_of_the_job(world) {
        let given = one_rope(&world).await;
        examine(&given.officer, &given.item, &[("kind", "periodic"), ("on", "2025-08-20"), ("verdict", "fit")]).await;
        let crew = world.visitor(&world.crew).await;
        let plan = json!({"starts_at": "2026-03-05T08:00", "ends_at": "2026-03-05T16:00"});
        let job = crate::job_given::planned(&crew, plan).await;
        let line = json!({"item": "RL-0042", "position": ""});
        let added = crew.json(axum::http::Method::POST, &format!("/api/v1/jobs/{job}/kit"), &line).await;
        assert!(added.status.is_success(), "{}", added.text);
        on(&world, datetime!(2026-03-11 09:00 UTC));
        let admin = world.visitor(&world.admin).await;
        work_by(&world, "uk-lifting").await;
        let past = admin.get(&format!("/api/v1/jobs/{job}/then?on=2026-03-11")).await.json();
        let (known, now, _) = fact(&past, "RL-0042: examination on that day");
        assert_eq!((known.as_str(), now.as_str()), ("in date, until 2026-08-20", "in date, until 2026-08-20"));
        let of_item = then(&admin, &given.item, "2026-03-11").await;
        assert_eq!(fact(&of_item, "Examination on that day").0, "overdue, until 2026-02-20");
        let answer = of_item["answer"].as_str().unwrap();
        assert!(answer.contains("in service, overdue for its examination, which was due by 2026-02-20"), "{answer}");
    }

    async fn a_life_that_had_ended_is_told_as_it_was_known(world) {
        let given = one_rope(&world).await;
        on(&world, datetime!(2026-03-11 09:00 UTC));
        let mut tx = world.database.read(world.team).await.unwrap();
        let mut model = tx.model(ModelId(given.model.parse().unwrap())).await.unwrap().unwrap();
        drop(tx);
        model.revision += 1;
        model.life = LifeLimit { years_from_made: Some(5), ..LifeLimit::default() };
        let revised = world.record(Change::ModelRevised(model)).await;
        let officer = world.visitor(&world.officer).await;
        let past = then(&officer, &given.item, "2026-03-05").await;
        let (known, now, entry) = fact(&past, "Life");
        assert!(!known.starts_with("over since") && now.starts_with("over since 2026-01-01"), "{known} {now}");
        assert_eq!((entry, &past["same"]), (Some(revised.seq), &json!(false)));
        let answer = past["answer"].as_str().unwrap();
        assert!(answer.ends_with("as we know now it was in service, past its life, which ended on 2026-01-01, and without a passed thorough examination"), "{answer}");
        let today = then(&officer, &given.item, "2026-03-11").await;
        assert_eq!(today["same"], true, "{today}");
    }

    async fn what_was_known_is_held_against_the_rulebook_of_then(world) {
        let given = one_rope(&world).await;
        examine(&given.officer, &given.item, &[("kind", "periodic"), ("on", "2025-08-20"), ("verdict", "fit")]).await;
        on(&world, datetime!(2026-03-11 09:00 UTC));
        let admin = world.visitor(&world.admin).await;
        work_by(&world, "uk-lifting").await;
        let changed = world.entries().await;
        let past = then(&admin, &given.item, "2026-03-05").await;
        let (known, now, entry) = fact(&past, "Examination on that day");
        assert_eq!((known.as_str(), now.as_str(), entry), ("in date, until 2026-08-20", "overdue, until 2026-02-20", Some(changed)));
        let (known, now, _) = fact(&past, "Rulebook of the team");
        assert!(known != now && known.ends_with("as this program has it"), "{known} {now}");
        let today = then(&admin, &given.item, "2026-03-11").await;
        let (known, now, _) = fact(&today, "Examination on that day");
        assert_eq!((known.as_str(), now.as_str(), &today["same"]), ("overdue, until 2026-02-20", "overdue, until 2026-02-20", &json!(true)));
        let page = admin.get(&format!("/items/{}/then?on=2026-03-05", given.item)).await;
        assert!(page.text.contains("Rulebook of the team") && page.text.contains("since no entry holds what an older one asked"), "{}", page.text);
    }

    async fn a_day_and_a_gap_are_asked_by_the_rulebook_of_then(world) {
        let given = one_rope(&world).await;
        examine(&given.officer, &given.item, &[("kind", "periodic"), ("on", "2025-08-20"), ("verdict", "fit")]).await;
        on(&world, datetime!(2026-03-11 09:00 UTC));
        let admin = world.visitor(&world.admin).await;
        work_by(&world, "uk-lifting").await;
        on(&world, datetime!(2026-03-14 09:00 UTC));
        // Twelve months from people's side, six by lifting law: overdue since the day on which the team went by that.
        for (day, found) in [("2026-03-10", 0), ("2026-03-11", 1), ("2026-03-14", 1)] {
            let answer = admin.get(&format!("/api/v1/questions/not-in-date?on={day}")).await.json();
            assert_eq!(answer["rows"].as_array().unwrap().len(), found, "{day}: {answer}");
            for row in answer["rows"].as_array().unwrap() {
                assert_eq!((&row["valid_until"], &row["interval_months"]), (&json!("2026-02-20"), &json!(6)));
                assert!(row["rulebook"].as_str().unwrap().ends_with("as this program has it"), "{row}");
            }
        }
        let answer = admin.get("/api/v1/questions/gaps?gap=stretch").await.json();
        let why = answer["rows"][0]["why"].as_str().unwrap();
        assert!(why.contains("there is none since, 4 days beyond the interval of the day. By then it was 6 months, since 2026-03-11: LOLER 1998"), "{answer}");
        assert!(why.ends_with("as this program has it."), "{answer}");
        let file = admin.get("/api/v1/exports/answer?question=not-in-date&on=2026-03-14").await;
        assert!(file.text.contains(",rulebook,key,end"), "{}", file.text);
    }

    async fn a_recalled_lot_tells_every_use_and_that_its_notice_is_open(world) {
        let given = one_rope(&world).await;
        let other = rope_fields(&given.model, &given.store);
        let other = item(&given.officer, &with(&other, &[("mark", "RL-0043"), ("serial", "S-78"), ("lot", "L10")])).await;
        let notice = notice();
        world.record(Change::NoticeOpened(notice.clone())).await;
        for item in [&given.item, &other] {
            let used = json!({"on": "2026-02-21", "hours": "3", "note": "lent"});
            let done = given.officer.json(axum::http::Method::POST, &format!("/api/v1/items/{item}/usage"), &used).await;
            assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
        }
        let answer = given.officer.get(&format!("/api/v1/questions/recalled-lot?notice={}", notice.id)).await.json();
        let rows = answer["rows"].as_array().unwrap();
        assert_eq!(rows.len(), 1, "the other lot is not in it: {answer}");
        let row = &rows[0];
        assert_eq!((&row["item"], &row["on"], &row["job"]), (&json!("RL-0042"), &json!("2026-02-21"), &json!(null)));
        assert!(row["how"].as_str().unwrap().starts_with("use logged: ") && row["how"].as_str().unwrap().contains('3'), "{row}");
        assert!(row["fate"].as_str().unwrap().ends_with("notice still open for it"), "{row}");
        // Who asks with a lot alone is told of no notice.
        let answer = given.officer.get("/api/v1/questions/recalled-lot?maker=Tarn+%26+Fell&lot=L9").await.json();
        assert!(!answer["rows"][0]["fate"].as_str().unwrap().contains("notice"), "{answer}");
    }
}
