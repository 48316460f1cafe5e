//! Recalls: what a notice matches, who is told at once, and who had it.

use axum::http::StatusCode;
use ropeloft::domain::{Change, Item, ItemState, KitLineRemoved};
use uuid::Uuid;

use crate::{
    client::Client,
    item_given::{Given, ROPE, item, model, one_rope, rope_fields, with},
    stock,
    world::World,
};

const NOTICE: [(&str, &str); 5] = [
    ("title", "Sheath slips"),
    ("issuer", "Tarn & Fell"),
    ("issued_on", "2026-02-01"),
    ("maker", "TARN & fell"),
    ("action", "Send them back"),
];

async fn open(client: &Client, fields: &[(&str, &str)]) -> String {
    let id = Uuid::now_v7().to_string();
    let answer = client.post(&format!("/notices?id={id}"), fields).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
    id
}

async fn marked(world: &World, mark: &str) -> Item {
    let mut tx = world.database.read(world.team).await.unwrap();
    tx.item_marked(mark)
        .await
        .unwrap()
        .expect("the mark is there")
}

/// Adds a rope with this mark, serial and lot.
async fn rope(given: &Given, model: &str, mark: &str, serial: &str, lot: &str) -> String {
    let fields = rope_fields(model, &given.store);
    let fields = with(&fields, &[("mark", mark), ("serial", serial), ("lot", lot)]);
    item(&given.officer, &fields).await
}

on_both_databases! {
    async fn ranges_of_serials_and_lots_hold_what_is_in_them_and_what_is_not_noted(world) {
        let given = one_rope(&world).await;
        let second = model(&given.officer, &with(&ROPE, &[("name", "Line 10")])).await;
        let third = model(&given.officer, &with(&ROPE, &[("name", "Line 9")])).await;
        for (model, mark, serial, lot) in [
            (&given.model, "in", "TF-0150", "L12"),
            (&given.model, "edge", "tf 199", "l10"),
            (&second, "other-model", "TF-0151", "L12"),
            (&given.model, "above", "TF-0200", "L12"),
            (&given.model, "letters", "TX-0150", "L12"),
            (&given.model, "lot", "TF-0152", "L21"),
            (&given.model, "no-lot", "TF-0153", ""),
            (&given.model, "no-serial", "", "L12"),
            (&third, "third-model", "TF-0154", "L12"),
        ] {
            rope(&given, model, mark, serial, lot).await;
        }
        let fields = with(&NOTICE, &[("model_name", "Line 11"), ("more_models", "line 10\n"),
            ("serials", "TF-0100 to TF-0199; ZZ-1"), ("lots", "L10..L20, L99")]);
        let id = open(&given.officer, &fields).await;
        for (mark, state) in [
            ("in", ItemState::Quarantined), ("edge", ItemState::Quarantined), ("other-model", ItemState::Quarantined),
            ("above", ItemState::InService), ("letters", ItemState::InService), ("lot", ItemState::InService),
            ("no-lot", ItemState::Quarantined), ("no-serial", ItemState::Quarantined), ("third-model", ItemState::InService),
        ] {
            assert_eq!(marked(&world, mark).await.state, state, "{mark}");
        }
        let page = given.officer.get(&format!("/notices/{id}")).await.text;
        for words in ["Tarn", "Line 11, line 10", "TF-0100 to TF-0199, ZZ-1", "L99, L10 to L20", "leading zeros do not count", "serial TF-0150", "serial not noted"] {
            assert!(page.contains(words), "{words}: {page}");
        }
        // What comes in later is held, and so is what turns out to be covered.
        rope(&given, &given.model, "late", "TF-0155", "L13").await;
        assert_eq!(marked(&world, "late").await.state, ItemState::Quarantined);
        let lot = marked(&world, "lot").await;
        let fields = with(&rope_fields(&given.model, &given.store), &[("mark", "lot"), ("serial", "TF-0152"), ("lot", "L11"), ("revision", "1")]);
        let answer = given.officer.post(&format!("/items/{}", lot.id), &fields).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        assert_eq!(marked(&world, "lot").await.state, ItemState::Quarantined);
        let fields = with(&ROPE, &[("name", "Line 10 b"), ("revision", "1")]);
        assert_eq!(given.officer.post(&format!("/models/{third}"), &fields).await.status, StatusCode::SEE_OTHER);
        assert_eq!(marked(&world, "third-model").await.state, ItemState::InService);
        assert_eq!(crate::store_rebuild::again(&world).await.differences, []);
    }

    async fn ranges_that_are_none_are_named(world) {
        let officer = world.visitor(&world.officer).await;
        let before = world.entries().await;
        let fields = with(&NOTICE, &[("more_models", "Line 10"), ("serials", "A1 to B9"), ("lots", "L9 to L1")]);
        let answer = officer.post("/notices", &fields).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        for field in ["model_name", "serials", "lots"] {
            assert!(answer.text.contains(&format!("id=\"f-{field}-wrong-1\"")), "{field}: {}", answer.text);
        }
        for text in ["A1 to B9</textarea>", "L9 to L1</textarea>", "Line 10</textarea>", "write two ranges"] {
            assert!(answer.text.contains(text), "{text}: {}", answer.text);
        }
        assert_eq!(world.entries().await, before);
    }

    async fn a_recall_is_told_on_the_job_and_at_the_start(world) {
        let given = one_rope(&world).await;
        let job = stock::rigged("Shaft 3", 4);
        world.record(Change::JobPlanned(job.clone())).await;
        let line = stock::line(&job, &marked(&world, "RL-0042").await, None);
        world.record(Change::KitLineAdded(line)).await;
        let crew = world.visitor(&world.crew).await;
        let page = format!("/jobs/{}", job.id);
        assert!(!crew.get(&page).await.text.contains("Recalled"));
        assert!(!crew.get("/").await.text.contains("Recalled"));
        let id = open(&given.officer, &NOTICE).await;
        let text = crew.get(&page).await.text;
        assert!(text.contains("Recalled while on this job: RL-0042"), "{text}");
        let start = crew.get("/").await.text;
        assert!(start.contains("Recalled while on a job: 1 item") && start.contains(&page) && start.contains("RL-0042 on Shaft 3"), "{start}");
        assert!(start.contains("job from 2026-03-01") && start.contains(", issued 2026-"), "{start}");
        // Once it is closed for the item nobody is told any more.
        let result = format!("result[{}]", given.item);
        let fields = [("item", given.item.as_str()), (result.as_str(), "sound")];
        let answer = given.officer.post(&format!("/notices/{id}/closings"), &fields).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        assert!(!crew.get(&page).await.text.contains("Recalled"));
        assert!(!crew.get("/").await.text.contains("Recalled"));
    }

    async fn who_had_what_is_recalled_is_told_with_the_jobs(world) {
        let given = one_rope(&world).await;
        let whole = marked(&world, "RL-0042").await;
        let (first, second) = (stock::rigged("Shaft 3", 4), stock::rigged("Silo <2>", 8));
        for (job, off) in [(&first, false), (&second, true)] {
            world.record_as(&world.crew, Change::JobPlanned(job.clone())).await.unwrap();
            let line = stock::line(job, &whole, None);
            world.record_as(&world.crew, Change::KitLineAdded(line.clone())).await.unwrap();
            if off {
                let removed = KitLineRemoved { line: line.id, job: job.id, item: whole.id, reason: "wet".into() };
                world.record_as(&world.crew, Change::KitLineRemoved(removed)).await.unwrap();
            }
        }
        world.record(Change::JobEnded(ropeloft::domain::JobEnd {
            job: first.id,
            state: ropeloft::domain::JobState::Closed,
            reason: "done".into(),
        })).await;
        let cut = [("pieces[0][mark]", "A"), ("pieces[0][length]", "20 m"), ("pieces[1][mark]", "B"), ("pieces[1][length]", "20 m"), ("rest", "not-known")];
        let answer = given.officer.post(&format!("/items/{}/cuts", given.item), &cut).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        let id = open(&given.officer, &NOTICE).await;
        for mark in ["A", "B"] {
            assert_eq!(marked(&world, mark).await.state, ItemState::Quarantined, "{mark}");
        }
        let page = format!("/notices/{id}/holders");
        assert!(given.officer.get(&format!("/notices/{id}")).await.text.contains(&page));
        let text = given.officer.get(&page).await.text;
        assert_eq!(text.matches(">Shaft 3</a>").count(), 3, "the rope and both pieces: {text}");
        assert!(text.contains("Silo &#60;2&#62;") && text.contains("taken off again"), "{text}");
        assert!(text.contains("put on by The crew of the north"), "{text}");
        let file = world.visitor(&world.auditor).await.get(&format!("{page}.csv")).await.text;
        assert_eq!(file.lines().count(), 7, "{file}");
        assert!(file.contains("Shaft 3") && file.contains(",yes,") && file.contains("The crew of the north"), "{file}");
        let json = given.officer.get(&format!("/api/v1{page}")).await.json();
        assert_eq!((json["all"].as_u64(), json["rows"][0]["jobs"].as_array().unwrap().len()), (Some(3), 2), "{json}");
        assert_eq!(json["rows"][0]["jobs"][1]["taken_off"], true);
        let outsider = world.visitor(&world.outsider).await;
        for path in [page.clone(), format!("{page}.csv"), format!("/api/v1{page}")] {
            assert_eq!(outsider.get(&path).await.status, StatusCode::NOT_FOUND, "{path}");
        }
    }
}
