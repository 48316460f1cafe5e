//! The log of use: what is added up, what the maker's limit does, and what a fall is.

use axum::http::{Method, StatusCode};
use ropeloft::domain::{
    Change, Item, Model, Reach, UsageDraft, UsageId, UsageSums, UseLimit, used,
};
use serde_json::json;
use time::macros::date;
use uuid::Uuid;

use crate::{
    item_given::{ROPE, item, model, one_rope, rope_fields, store, with},
    stock,
    store_rebuild::again,
    world::World,
};

async fn marked(world: &World, mark: &str) -> Item {
    let mut tx = world.database.read(world.team).await.unwrap();
    tx.item_marked(mark)
        .await
        .unwrap()
        .expect("the mark is there")
}

on_both_databases! {
    async fn a_day_has_no_more_than_24_hours(world) {
        let given = one_rope(&world).await;
        let log = async |fields: &[(&str, &str)]| given.officer.post(&format!("/items/{}/usage", given.item), fields).await;
        for (fields, days) in [
            (vec![("hours", "9000"), ("on", "2026-02-27")], "9000 hours are more than there are in 1 day, 24 each."),
            (vec![("hours", "24:01")], "are more than there are in 1 day, 24 each."),
            (vec![("hours", "49"), ("on", "2026-02-28"), ("since", "2026-02-27")], "49 hours are more than there are in 2 days"),
            (vec![("hours", "2"), ("on", "2026-02-26"), ("since", "2026-02-27")], "The first day must not be after the last, 2026-02-26"),
        ] {
            let answer = log(&fields).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{fields:?}");
            assert!(answer.text.contains(days), "{}", answer.text);
            assert!(fields.iter().all(|(_, text)| answer.text.contains(&format!("value=\"{text}\""))), "{}", answer.text);
        }
        assert_eq!(marked(&world, "RL-0042").await.usage, UsageSums::default());
        assert_eq!(log(&[("hours", "24")]).await.status, StatusCode::SEE_OTHER);
        // Use of several days is one entry, and shows use from the first of them on.
        assert_eq!(log(&[("hours", "300"), ("on", "2026-01-31"), ("since", "2021-06-15")]).await.status, StatusCode::SEE_OTHER);
        let item = marked(&world, "RL-0042").await;
        assert_eq!((item.usage.minutes, item.use_shown.unwrap().on), (324 * 60, date!(2021 - 06 - 15)));
        let page = given.officer.get(&format!("/items/{}", given.item)).await.text;
        assert!(page.contains("2021-06-15 to 2026-01-31"), "{page}");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn use_is_added_up_and_stands_on_the_page(world) {
        let given = one_rope(&world).await;
        let job = stock::rigged("Shaft 3", 4);
        world.record(Change::JobPlanned(job.clone())).await;
        let rope = marked(&world, "RL-0042").await;
        world.record(Change::KitLineAdded(stock::line(&job, &rope, None))).await;
        let crew = world.visitor(&world.crew).await;
        let page = format!("/items/{}", given.item);
        let form = crew.get(&format!("{page}/usage/new")).await.text;
        assert!(form.contains("Shaft 3") && form.contains("RL-0042 is retired for good"), "{form}");
        let job = job.id.to_string();
        let path = format!("{page}/usage?id={}", Uuid::now_v7());
        let fields = [("on", "2026-02-28"), ("hours", "2,5"), ("uses", "1"), ("loads", "4"), ("job", &job), ("note", "raised <i>twice</i>")];
        let before = world.entries().await;
        for _ in 0..2 {
            let answer = crew.post(&path, &fields).await;
            assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        }
        assert_eq!(world.entries().await, before + 1, "sent twice, logged once");
        let answer = crew.post(&format!("{page}/usage"), &[("hours", "0:45"), ("uses", "2")]).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        let sums = UsageSums { minutes: 195, uses: 3, falls: 0, loads: 4 };
        assert_eq!(marked(&world, "RL-0042").await.usage, sums);
        let text = crew.get(&page).await.text;
        for words in ["3.25 hours, 3 uses, 4 loads", "2.5 hours, 1 use, 4 loads", "raised &#60;i&#62;twice&#60;/i&#62;"] {
            assert!(text.contains(words), "{words}: {text}");
        }
        let history = crew.get(&format!("{page}/history")).await.text;
        assert!(history.contains("Use of RL-0042 logged: 2.5 hours, 1 use, 4 loads, by The crew of the north on the job Shaft 3"), "{history}");
        let of_job = crew.get(&format!("/jobs/{job}/history")).await.text;
        assert!(of_job.contains("Use of RL-0042 logged"), "{of_job}");
        let file = crew.get("/items.csv?state=all").await.text;
        assert!(file.contains("hours_used,uses,falls_held,loads_carried") && file.contains(",3.25,3,0,4,"), "{file}");
        // What was logged of the rope goes with its pieces.
        let api = format!("/api/v1{page}/usage");
        assert_eq!(crew.get(&api).await.json()["sums"]["minutes"], 195);
        world.record(Change::JobEnded(ropeloft::domain::JobEnd {
            job: ropeloft::domain::JobId(job.parse().unwrap()),
            state: ropeloft::domain::JobState::Closed,
            reason: "done".into(),
        })).await;
        let cut = [("pieces[0][mark]", "A"), ("pieces[0][length]", "20 m"), ("rest", "not-known")];
        let answer = given.officer.post(&format!("{page}/cuts"), &cut).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        let piece = marked(&world, "A").await;
        assert_eq!(piece.usage, sums);
        let text = crew.get(&format!("/items/{}", piece.id)).await.text;
        assert!(text.contains("2.5 hours, 1 use, 4 loads, as part of RL-0042"), "{text}");
        let late = crew.post(&format!("{page}/usage"), &[("on", "2026-03-01"), ("uses", "1")]).await;
        assert_eq!(late.status, StatusCode::SEE_OTHER, "on the day of the cut it may have been used before it");
        assert_eq!(marked(&world, "A").await.usage.uses, 4, "and so was its piece");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn a_fall_in_the_log_is_an_event_and_an_event_is_a_fall_in_the_log(world) {
        let given = one_rope(&world).await;
        let path = format!("/items/{}/usage", given.item);
        let answer = given.officer.post(&path, &[("falls", "2"), ("note", "training")]).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        let rope = marked(&world, "RL-0042").await;
        assert_eq!((rope.usage.falls, rope.state), (2, ropeloft::domain::ItemState::Retired));
        assert_eq!(rope.state_reason, "held a fall: From the log of use: 2 falls. training");
        // A maker who counts falls leaves the rope in use until they are used up.
        let counted = model(&given.officer, &with(&ROPE, &[("name", "Line 11 C"), ("most_falls", "2")])).await;
        let fields = with(&rope_fields(&counted, &given.store), &[("mark", "RL-2"), ("serial", "2")]);
        let second = item(&given.officer, &fields).await;
        let event = [("kind", "fall-held"), ("on", "2026-02-28"), ("note", "slipped")];
        for falls in 1..=2 {
            let answer = given.officer.post(&format!("/items/{second}/events"), &event).await;
            assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
            let rope = marked(&world, "RL-2").await;
            assert_eq!((rope.usage.falls, rope.state), (falls, ropeloft::domain::ItemState::Quarantined));
        }
        let page = given.officer.get(&format!("/items/{second}")).await.text;
        assert!(page.contains("It has 2 of 2 falls behind it: take another item."), "{page}");
    }

    async fn the_use_of_a_whole_kit_is_logged_at_once(world) {
        let stock = world.stock().await;
        let job = stock::rigged("Shaft 3", 4);
        world.record(Change::JobPlanned(job.clone())).await;
        let crew = world.visitor(&world.crew).await;
        let page = format!("/jobs/{}", job.id);
        let nothing = crew.post(&format!("{page}/usage"), &[("hours", "3")]).await;
        assert!(nothing.text.contains("Nothing is on this job"), "{}", nothing.text);
        for item in [&stock.first, &stock.second] {
            world.record(Change::KitLineAdded(stock::line(&job, item, None))).await;
        }
        assert!(crew.get(&page).await.text.contains(&format!("{page}/usage/new")));
        assert!(!crew.get(&format!("{page}/usage/new")).await.text.contains("name=\"falls\""));
        let answer = crew.post(&format!("{page}/usage"), &[("hours", "3"), ("falls", "1")]).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        let path = format!("{page}/usage?id={}", Uuid::now_v7());
        for _ in 0..2 {
            let answer = crew.post(&path, &[("hours", "3"), ("uses", "1")]).await;
            assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        }
        for item in [&stock.first, &stock.second] {
            let sums = UsageSums { minutes: 180, uses: 1, ..UsageSums::default() };
            assert_eq!(marked(&world, &item.mark).await.usage, sums);
        }
    }

    async fn every_wrong_field_of_the_log_is_named(world) {
        let given = one_rope(&world).await;
        let path = format!("/items/{}/usage", given.item);
        let before = world.entries().await;
        let fields = [("on", "2026-03-02"), ("hours", "2:75"), ("uses", "-1"), ("falls", "1.5"), ("loads", "10001"),
            ("by", "nobody"), ("job", "nowhere"), ("note", "kept")];
        let answer = given.officer.post(&path, &fields).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", answer.text);
        for field in ["on", "hours", "uses", "falls", "loads", "by", "job"] {
            assert!(answer.text.contains(&format!("id=\"f-{field}-wrong-1\"")), "{field}: {}", answer.text);
        }
        assert!(answer.text.contains("value=\"2:75\"") && answer.text.contains("kept</textarea>"));
        let nothing = given.officer.post(&path, &[("uses", "0")]).await;
        assert!(nothing.text.contains("at least one of hours, uses, falls and loads"), "{}", nothing.text);
        assert_eq!(world.entries().await, before);
        let auditor = world.visitor(&world.auditor).await;
        assert_eq!(auditor.post(&path, &[("uses", "1")]).await.status, StatusCode::FORBIDDEN);
        let outsider = world.visitor(&world.outsider).await;
        assert_eq!(outsider.post(&path, &[("uses", "1")]).await.status, StatusCode::NOT_FOUND);
    }

    async fn what_is_used_up_goes_on_no_job(world) {
        world.hold_competent().await;
        let officer = world.visitor(&world.officer).await;
        let store = store(&officer, "Bay 1").await;
        let model = model(&officer, &with(&ROPE, &[("most_uses", "10"), ("most_hours", "100")])).await;
        let rope = item(&officer, &rope_fields(&model, &store)).await;
        let page = officer.get(&format!("/models/{model}")).await.text;
        assert!(page.contains("100 hours, 10 uses"), "{page}");
        let look = [("kind", "intake"), ("on", "2026-02-28"), ("verdict", "fit"), ("markings_readable", "yes")];
        crate::item_given::examine(&officer, &rope, &look).await;
        let path = format!("/api/v1/items/{rope}/usage");
        let log = async |uses: &str| officer.json(Method::POST, &path, &json!({"uses": uses})).await.status;
        assert_eq!(log("8").await, StatusCode::CREATED);
        assert!(!officer.get(&format!("/items/{rope}")).await.text.contains("90 % or more"));
        assert_eq!(log("1").await, StatusCode::CREATED);
        let near = officer.get(&format!("/items/{rope}")).await.text;
        assert!(near.contains("9 of 10 uses") && near.contains("90 % or more is used"), "{near}");
        assert_eq!(log("1").await, StatusCode::CREATED);
        let up = officer.get(&format!("/items/{rope}")).await.text;
        assert!(up.contains("Not to be used: it is used up") && up.contains("It has 10 of 10 uses behind it"), "{up}");
        // The start, the board and the list count it with what has ended, and programs are told.
        let home = officer.get("/").await.text;
        assert!(home.contains("1 item in service whose life is over or used up"), "{home}");
        let over = officer.get("/api/v1/items?state=in-service&life=over").await.json();
        assert_eq!(over["rows"][0]["mark"], "RL-0042");
        let board = officer.get("/api/v1/due").await.json();
        assert_eq!(board["lines"][0]["ends"], 1, "{board}");
        let sheet = officer.get(&format!("/api/v1/items/{rope}")).await.json();
        assert_eq!(sheet["used_up"], "10 of 10 uses");
        assert_eq!(crate::store_rebuild::again(&world).await.differences, []);
        // A maker who allows more gives it its life back.
        let more = with(&ROPE, &[("most_uses", "20"), ("most_hours", "100"), ("revision", "1")]);
        assert_eq!(officer.post(&format!("/models/{model}"), &more).await.status, StatusCode::SEE_OTHER);
        assert!(!officer.get("/").await.text.contains("over or used up"));
    }

    async fn entries_of_the_log_come_back_the_last_first(world) {
        let stock = world.stock().await;
        let mut logged = Vec::new();
        for on in [date!(2026 - 02 - 01), date!(2026 - 01 - 01), date!(2026 - 02 - 01)] {
            let usage = stock::usage(&world, &stock.first, on);
            world.record(Change::UsageLogged(usage.clone())).await;
            logged.push(usage);
        }
        let mut tx = world.database.read(world.team).await.unwrap();
        let expected = [&logged[2], &logged[0], &logged[1]].map(Clone::clone);
        assert_eq!(tx.usage_in_line(&stock.first, 10).await.unwrap(), expected);
        assert_eq!(tx.usage(logged[1].id).await.unwrap().as_ref(), Some(&logged[1]));
        assert_eq!(tx.usage(UsageId::new()).await.unwrap(), None);
        assert!(tx.jobs_with(stock.first.id, 5).await.unwrap().is_empty());
        drop(tx);
        let mut tx = world.database.read(world.other_team).await.unwrap();
        assert_eq!(tx.usage(logged[1].id).await.unwrap(), None);
        assert!(tx.usage_in_line(&stock.first, 10).await.unwrap().is_empty());
    }
}

/// Hours are counted in minutes: 60 to the hour, by definition.
#[test]
fn hours_are_read_as_people_write_them() {
    let world = ropeloft::domain::PersonId::new();
    let minutes = |text: &str| {
        let draft = UsageDraft {
            hours: text.into(),
            since: "2024-01-01".into(),
            ..UsageDraft::default()
        };
        let item = ropeloft::domain::ItemId::new();
        let usage = draft.check(UsageId::new(), item, (world, None), date!(2026 - 03 - 01));
        usage.ok().map(|usage| usage.amount.minutes)
    };
    for (text, expected) in [
        ("2.5", Some(150)),
        ("2,5", Some(150)),
        ("2:30", Some(150)),
        ("0.1", Some(6)),
        ("0.01", Some(1)),
        ("3 h", Some(180)),
        ("10000", Some(600_000)),
        ("10001", None),
        ("-1", None),
        ("2:60", None),
        ("2:5", None),
        ("NaN", None),
        ("1e9", None),
        (":30", None),
        ("x", None),
    ] {
        assert_eq!(minutes(text), expected, "{text}");
    }
}

#[test]
fn ninety_percent_is_near_and_all_is_used_up() {
    let limit = UseLimit {
        hours: Some(100),
        uses: Some(3),
        falls: None,
    };
    let model = Model {
        use_limit: limit,
        ..stock::model(ropeloft::domain::Kind::Rope, "Tarn & Fell", "Any")
    };
    let reach = |minutes, uses| {
        let sums = UsageSums {
            minutes,
            uses,
            falls: 9,
            loads: 9,
        };
        used(sums, &model)
            .iter()
            .map(|used| used.reach)
            .collect::<Vec<_>>()
    };
    assert_eq!(reach(5399, 2), [Reach::Far, Reach::Far]);
    assert_eq!(reach(5400, 2), [Reach::Near, Reach::Far]);
    assert_eq!(reach(5999, 3), [Reach::Near, Reach::UsedUp]);
    assert_eq!(reach(6000, 4), [Reach::UsedUp, Reach::UsedUp]);
}
