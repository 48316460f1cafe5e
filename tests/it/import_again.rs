//! A list that is brought again, and what it says against what is there: remarks that restrict, models, examinations, notices.

use std::process::Command;

use axum::{
    body::Body,
    http::{Method, Request, StatusCode, header},
};
use ropeloft::{
    deed::import::{look, take},
    domain::{Change, Item, ItemState, Notice},
    import::{Answers, Fate, Question, Rehearsal, Restricted},
};
use serde_json::{Value, json};

use crate::{
    client::Client,
    import_inventory::said,
    import_there::{fates, file, updating},
    stock::notice,
    store_rebuild::again,
    world::{START, World, on_sqlite},
};

const LIST: &str = "\
Tag,Type,Maker,Model,Serial,Store,Made,MBS (kN),Lot,Note
R-1,Rope,Calder Lines,Ghyll 11,S1,Van 2,2021,32,,
R-2,Rope,Calder Lines,Ghyll 11,S2,Van 2,2021,32,,
";

fn restricted(to: Restricted) -> Answers {
    Answers {
        restricted: Some(to),
        ..updating()
    }
}

fn agreed(field: &str, answer: &str) -> Answers {
    let mut answers = updating();
    let fields = answers
        .agreed
        .entry("Calder Lines Ghyll 11".to_owned())
        .or_default();
    fields.insert(field.to_owned(), answer.to_owned());
    answers
}

/// The list with a note of its second item.
fn noted(note: &str) -> String {
    LIST.replace(
        "S2,Van 2,2021,32,,",
        &format!("S2,Van 2,2021,32,,\"{note}\""),
    )
}

/// The list with the strength of both items.
fn with_strength(strength: &str) -> String {
    LIST.replace(",32,", &format!(",{strength},"))
}

fn told(rehearsal: &Rehearsal, words: &str) -> bool {
    let mut remarks = rehearsal.remarks.iter();
    remarks.any(|remark| remark.sentence.contains(words))
}

async fn marked(world: &World, mark: &str) -> Item {
    let mut tx = world.database.read(world.team).await.unwrap();
    tx.item_marked(mark).await.unwrap().unwrap()
}

async fn sent(officer: &Client, text: &str) -> (String, Value) {
    let request = Request::post("/api/v1/imports?name=gear.csv")
        .header(header::HOST, "gear.test")
        .header(header::CONTENT_TYPE, "application/octet-stream")
        .body(Body::from(text.to_owned()))
        .unwrap();
    let sent = officer.send(request).await;
    assert_eq!(sent.status, StatusCode::CREATED, "{}", sent.text);
    let sent = sent.json();
    let path = format!("/api/v1/imports/{}", sent["id"].as_str().unwrap());
    (path, sent)
}

on_both_databases! {
    async fn a_remark_that_restricts_an_item_in_service_is_asked_about_and_holds_it(world) {
        let desk = world.desk();
        take(&desk, &world.officer, &file(LIST, said())).await.unwrap();
        let bent = noted("frayed at 12 m, do not use");
        let left = look(&desk, &world.officer, &file(&bent, said())).await.unwrap();
        assert_eq!((fates(&left), left.is_ready()), (vec![Fate::Same, Fate::Differs], false));
        assert_eq!(left.rows[1].differs[0].words(), "Remarks that may restrict its use: nothing → frayed at 12 m, do not use");
        assert!(left.sentence().starts_with("No item in this list is new: its 2 items are in the register already. The list says otherwise of 1 of them"), "{}", left.sentence());
        assert!(told(&left, "stay as they are, and in service"), "{:?}", left.remarks);
        let asked = look(&desk, &world.officer, &file(&bent, updating())).await.unwrap();
        let [Question::Restricted { rows }] = asked.questions.as_slice() else { panic!("{:?}", asked.questions) };
        assert_eq!((rows[0].mark.as_str(), fates(&asked)), ("R-2", vec![Fate::Same, Fate::Asked]));
        take(&desk, &world.officer, &file(&bent, updating())).await.unwrap_err();
        let held = file(&bent, restricted(Restricted::Quarantine));
        let ready = look(&desk, &world.officer, &held).await.unwrap();
        assert_eq!(ready.sentence(), "1 item of the register can be updated; 1 item is there already and stays as it is; 1 item goes to quarantine for what the list says, as was answered: R-2.");
        assert_eq!(take(&desk, &world.officer, &held).await.unwrap().updated, 1);
        let item = marked(&world, "R-2").await;
        assert_eq!((item.state, item.note.as_str()), (ItemState::Quarantined, "frayed at 12 m, do not use"));
        assert_eq!(item.state_reason, "The imported list says: frayed at 12 m, do not use. Held until somebody has looked at it.");
        assert_eq!(again(&world).await.differences, []);
        let same = look(&desk, &world.officer, &file(&bent, updating())).await.unwrap();
        assert_eq!(same.sentence(), "Nothing in this list is new: its 2 items are in the register already.");
        // Somebody looked at the other: the words stand in its note, and ask no more.
        let other = LIST.replace("S1,Van 2,2021,32,,", "S1,Van 2,2021,32,,sheath worn");
        take(&desk, &world.officer, &file(&other, restricted(Restricted::Go))).await.unwrap();
        let item = marked(&world, "R-1").await;
        assert_eq!((item.state, item.note.as_str()), (ItemState::InService, "sheath worn"));
        let same = look(&desk, &world.officer, &file(&other, updating())).await.unwrap();
        assert_eq!(fates(&same), [Fate::Same, Fate::Same]);
    }

    async fn programs_are_asked_too_and_told_what_a_notice_holds(world) {
        let officer = world.visitor(&world.officer).await;
        take(&world.desk(), &world.officer, &file(LIST, said())).await.unwrap();
        let (path, first) = sent(&officer, &noted("gate bent, do not use")).await;
        let mut answers = first["answers"].clone();
        answers["update"] = json!(true);
        let asked = officer.json(Method::PUT, &format!("{path}/answers"), &answers).await.json();
        assert_eq!((&asked["ready"], &asked["asked"][0]["places"]), (&json!(false), &json!([["restricted"]])), "{asked}");
        answers["restricted"] = json!("quarantine");
        officer.json(Method::PUT, &format!("{path}/answers"), &answers).await;
        officer.json(Method::POST, &format!("{path}/take"), &json!({})).await;
        assert_eq!(marked(&world, "R-2").await.state, ItemState::Quarantined);
        world.record(Change::NoticeOpened(Notice { lots: vec!["B-7".into()], ..notice("Calder Lines", START.date()) })).await;
        let new = LIST.replace("2021,32,,\nR-2", "2021,32,B-7,\nR-2") + "R-3,Rope,Calder Lines,Ghyll 11,S3,Van 2,2021,32,B-7,\n";
        let (path, _) = sent(&officer, &new).await;
        let mut answers = serde_json::to_value(updating()).unwrap();
        answers["restricted"] = json!("quarantine");
        let ready = officer.json(Method::PUT, &format!("{path}/answers"), &answers).await.json();
        let held = json!([{"mark": "R-3", "notice": "Look at the rivets"}, {"mark": "R-1", "notice": "Look at the rivets"}]);
        assert_eq!(ready["held"], held, "{ready}");
        assert!(ready["sentence"].as_str().unwrap().ends_with("2 items go to quarantine at once, as a safety notice is open: R-3, R-1."), "{ready}");
        let taken = officer.json(Method::POST, &format!("{path}/take"), &json!({})).await.json();
        assert_eq!(taken["held"], json!(["R-3", "R-1"]));
        for mark in ["R-1", "R-3"] {
            assert_eq!(marked(&world, mark).await.state, ItemState::Quarantined, "{mark}");
        }
    }

    async fn answers_that_were_given_are_taken_back_unchanged(world) {
        let officer = world.visitor(&world.officer).await;
        let bare = LIST.replace("MBS (kN),", "").replace("2021,32,", "2021,");
        let (path, first) = sent(&officer, &bare).await;
        let mut answers = serde_json::to_value(said()).unwrap();
        answers["models"] = json!({"Calder Lines Ghyll 11": {"breaking-strength": "30 kN"}});
        answers["source"] = json!("paper");
        let kept = officer.json(Method::PUT, &format!("{path}/answers"), &answers).await;
        assert_eq!(kept.status, StatusCode::OK, "{}", kept.text);
        let (path, next) = sent(&officer, &bare.replace("R-", "Q-").replace(",S1", ",T1").replace(",S2", ",T2")).await;
        assert_eq!(next["answers"]["models"], answers["models"], "{next}");
        assert_ne!(first["id"], next["id"]);
        let back = officer.json(Method::PUT, &format!("{path}/answers"), &next["answers"]).await;
        assert_eq!(back.status, StatusCode::OK, "{}", back.text);
        assert!(back.text.contains("sources[Calder Lines Ghyll 11][breaking-strength]"), "it is told: {}", back.text);
        let mut wrong = next["answers"].clone();
        wrong["models"]["Calder Lines Ghyll 11"]["breaking-strength"] = json!("30 km");
        let refused = officer.json(Method::PUT, &format!("{path}/answers"), &wrong).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", refused.text);
    }

    async fn what_an_updating_list_says_otherwise_of_a_model_is_asked_and_noted(world) {
        let desk = world.desk();
        take(&desk, &world.officer, &file(LIST, said())).await.unwrap();
        let lower = with_strength("23.5");
        let told_only = look(&desk, &world.officer, &file(&lower, said())).await.unwrap();
        assert_eq!((told_only.questions.len(), fates(&told_only)), (0, vec![Fate::Same; 2]));
        let asked = look(&desk, &world.officer, &file(&lower, updating())).await.unwrap();
        let [question @ Question::Differs { .. }] = asked.questions.as_slice() else { panic!("{:?}", asked.questions) };
        assert!(question.sentence().starts_with("The register has 32 kN as the breaking strength of Calder Lines Ghyll 11; the list says 23.5 kN (rows 2, 3)."), "{}", question.sentence());
        let keys: Vec<String> = question.choices().into_iter().map(|(key, _)| key).collect();
        assert_eq!((keys, fates(&asked)), (vec!["register".to_owned(), "leave-out".to_owned()], vec![Fate::Asked; 2]));
        let out = look(&desk, &world.officer, &file(&lower, agreed("breaking-strength", "leave-out"))).await.unwrap();
        assert_eq!(fates(&out), [Fate::LeftOut; 2]);
        let holds = file(&lower, agreed("breaking-strength", "register"));
        assert_eq!(take(&desk, &world.officer, &holds).await.unwrap().updated, 2);
        let item = marked(&world, "R-2").await;
        assert_eq!(item.note, format!("The list of {} says breaking strength 23.5 kN; the register has 32 kN for the model.", START.date()));
        assert_eq!(again(&world).await.differences, []);
        world.clock.advance(time::Duration::days(1));
        let same = look(&desk, &world.officer, &holds).await.unwrap();
        assert_eq!(fates(&same), [Fate::Same; 2], "it is noted once: {:?}", same.rows);
    }

    async fn a_new_item_and_one_that_is_there_are_asked_about_their_model_once(world) {
        let desk = world.desk();
        take(&desk, &world.officer, &file(LIST, said())).await.unwrap();
        let lower = with_strength("23.5") + "R-3,Rope,Calder Lines,Ghyll 11,S3,Van 2,2021,23.5,,\n";
        let asked = look(&desk, &world.officer, &file(&lower, updating())).await.unwrap();
        assert_eq!((asked.questions.len(), fates(&asked)), (1, vec![Fate::Asked; 3]));
        let apart = look(&desk, &world.officer, &file(&lower, agreed("breaking-strength", "apart"))).await.unwrap();
        assert_eq!(fates(&apart), [Fate::Updated, Fate::Updated, Fate::NewModel]);
    }

    async fn examinations_that_were_kept_as_notes_are_known_again(world) {
        let desk = world.desk();
        let mut answers = said();
        answers.words.insert("examiner".to_owned(), [("Nobody Known".to_owned(), "history".to_owned())].into());
        let list = "Tag,Type,Maker,Model,Serial,Store,Made,Last inspection,Next inspection,Inspector\n\
            R-1,Rope,Calder Lines,Ghyll 11,S1,Van 2,2021,20.10.2025,20.10.2026,Nobody Known\n\
            R-2,Rope,Calder Lines,Ghyll 11,S2,Van 2,2021,20.10.2025,20.10.2026,Nobody Known\n";
        take(&desk, &world.officer, &file(list, answers.clone())).await.unwrap();
        assert!(marked(&world, "R-1").await.note.starts_with("Examined 20.10.2025 by Nobody Known"));
        let same = look(&desk, &world.officer, &file(list, answers.clone())).await.unwrap();
        assert!(!told(&same, "later examination") && !told(&same, "is due on"), "{:?}", same.remarks);
        let later = list.replacen("S2,Van 2,2021,20.10.2025", "S2,Van 2,2021,25.10.2025", 1);
        let later = look(&desk, &world.officer, &file(&later, answers.clone())).await.unwrap();
        assert!(told(&later, "later examinations than the register has of items that are there already: R-2 (row 3)."), "{:?}", later.remarks);
        let older = list.replacen("S2,Van 2,2021,20.10.2025", "S2,Van 2,2021,19.09.2025", 1);
        let older = look(&desk, &world.officer, &file(&older, answers.clone())).await.unwrap();
        assert!(!told(&older, "later examination"), "{:?}", older.remarks);
        let sooner = list.replacen("20.10.2026", "20.04.2026", 1);
        let sooner = look(&desk, &world.officer, &file(&sooner, answers)).await.unwrap();
        assert!(told(&sooner, "The list says that R-1 is due on 20.04.2026, and its note, on 20.10.2026"), "{:?}", sooner.remarks);
    }

    async fn a_state_that_a_list_says_otherwise_is_told_where_nothing_is_updated(world) {
        let desk = world.desk();
        take(&desk, &world.officer, &file(LIST, said())).await.unwrap();
        let list = "Tag,Type,Maker,Model,Serial,Store,State\nR-1,Rope,Calder Lines,Ghyll 11,S1,Van 2,retired\n";
        let left = look(&desk, &world.officer, &file(list, said())).await.unwrap();
        assert!(left.sentence().starts_with("No item in this list is new"), "{}", left.sentence());
        assert!(told(&left, "The list has items in another state than the register."), "{:?}", left.remarks);
    }

    async fn a_lot_opens_a_notice_where_no_item_has_one_noted_and_a_word_does_not(world) {
        take(&world.desk(), &world.officer, &file(LIST, said())).await.unwrap();
        let officer = world.visitor(&world.officer).await;
        let open = async |lots: &str| officer.json(Method::POST, "/api/v1/notices", &json!({"title": "x", "issuer": "y",
            "issued_on": "2026-02-01", "maker": "Calder Lines", "lots": lots, "action": "z"})).await;
        let asked = open("B-9, newer").await;
        assert_eq!(asked.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", asked.text);
        assert!(asked.text.contains("has the lot \\\"newer\\\""), "{}", asked.text);
        assert_eq!(open("B-9").await.status, StatusCode::CREATED);
        assert_eq!(marked(&world, "R-1").await.state, ItemState::Quarantined);
    }
}

#[tokio::test]
async fn the_command_asks_about_remarks_of_items_that_are_there() {
    on_sqlite(async |world| {
        take(&world.desk(), &world.officer, &file(LIST, said()))
            .await
            .unwrap();
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("later.csv");
        std::fs::write(&path, noted("withdrawn from service, gate bent")).unwrap();
        let run = |more: &[&str]| {
            let done = Command::new(env!("CARGO_BIN_EXE_ropeloft"))
                .args(["import", path.to_str().unwrap()])
                .args(["--team", "North shaft team", "--as", "officer-north"])
                .args(more)
                .env("ROPELOFT_DATABASE", &world.address)
                .output()
                .unwrap();
            let told = [done.stdout, done.stderr].concat();
            (done.status.success(), String::from_utf8(told).unwrap())
        };
        let (done, told) = run(&["--update"]);
        assert!(
            !done && told.contains("What becomes of these items?"),
            "{told}"
        );
        let (done, told) = run(&["--update", "--restricted", "quarantine"]);
        assert!(
            done && told
                .contains("1 item goes to quarantine for what the list says, as was answered: R-2"),
            "{told}"
        );
        assert_eq!(marked(&world, "R-2").await.state, ItemState::Quarantined);
    })
    .await;
}
