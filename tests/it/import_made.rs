//! What is said once for all rows that lack the same: when a model or a lot was made, and what an examination says of
//! markings; and what of it stays when another file stands in the place of the first.

use axum::http::StatusCode;
use ropeloft::{
    deed::import::{ImportFile, look, take, without_wrong},
    import::{Answers, Fate, Offer, ReadIn, Rehearsal, Restricted, Rounds},
};

use crate::import_inventory::{rehearsed, said};

const LIST: &str = "\
Tag,Type,Maker,Model,Lot,Serial,Store,Made,First used,Last examined,Remarks
S-1,Sling,Fellside,Loop,L7,A1,Van,,2021-06-01,2025-12-01,labels ok
S-2,Sling,Fellside,Loop,L7,A2,Van,,,2025-12-01,label illegible
S-3,Sling,Fellside,Loop,L8,A3,Van,,2019-06-01,2025-12-01,
S-4,Sling,Fellside,Loop,,A4,Van,,,,markings legible
S-5,Sling,Fellside,Loop,,A5,Van,2020-03,,2025-12-01,check that markings are legible
";

fn file(answers: Answers) -> ImportFile {
    ImportFile {
        answers,
        ..ImportFile::new("gear.csv", LIST.as_bytes().to_vec())
    }
}

fn made(of: &[(&str, &str)]) -> Answers {
    let mut answers = said();
    answers.restricted = Some(Restricted::Go);
    answers.source = Some(ReadIn::Marking);
    for (title, day) in of {
        let fields = answers.models.entry((*title).to_owned()).or_default();
        fields.insert("made".to_owned(), (*day).to_owned());
    }
    answers
}

fn unmade(rehearsal: &Rehearsal) -> Vec<(String, usize)> {
    let told = rehearsal.foretold.as_ref().unwrap();
    let mut reasons = told.reasons.iter();
    let Some(reason) = reasons.find(|one| one.code == "made-unknown") else {
        return Vec::new();
    };
    let Offer::Models(models) = &reason.offer else {
        panic!("{reason:?}");
    };
    let models = models.iter();
    models.map(|one| (one.title.clone(), one.items)).collect()
}

on_both_databases! {
    async fn an_update_is_foretold_where_the_record_speaks_against_its_date_made(world) {
        world.hold_competent().await;
        let desk = world.desk();
        take(&desk, &world.officer, &file(made(&[]))).await.unwrap();
        let later = |day: &str| ImportFile {
            answers: Answers { update: true, ..said() },
            ..ImportFile::new("later.csv", format!("Tag,Type,Maker,Model,Made\nS-2,Sling,Fellside,Loop,{day}\n").into_bytes())
        };
        let against = look(&desk, &world.officer, &later("2026-01")).await.unwrap();
        let told: Vec<String> = against.errors.iter().map(|error| format!("{}: {}", error.place(), error.message)).collect();
        assert_eq!(told.len(), 1, "{told:?}");
        for words in ["row 2, column E (Made)", "begins before it would have been made in 2026-01: on 2025-12-01 it has \"Examination\""] {
            assert!(told[0].contains(words), "{words}: {told:?}");
        }
        assert_eq!(against.rows[0].fate, Fate::Wrong(1));
        assert!(!against.is_ready(), "nothing of it is promised");
        // Whoever goes on without what is wrong is told so row by row.
        let left = without_wrong(&desk, &world.officer, &later("2026-01"), Rounds::All).await.unwrap();
        assert_eq!(left.answers.left_out, [2].into());
        let fits = look(&desk, &world.officer, &later("2025-12")).await.unwrap();
        assert_eq!((fits.errors.len(), fits.rows[0].fate), (0, Fate::Updated));
        assert_eq!(take(&desk, &world.officer, &later("2025-12")).await.unwrap().updated, 1);
    }

    async fn a_date_made_is_said_for_a_lot_or_for_a_model(world) {
        world.hold_competent().await;
        let desk = world.desk();
        let rehearsal = look(&desk, &world.officer, &file(said())).await.unwrap();
        let open = [("Fellside Loop", 1), ("Fellside Loop, lot L7", 2), ("Fellside Loop, lot L8", 1)];
        assert_eq!(unmade(&rehearsal), open.map(|(title, items)| (title.to_owned(), items)));
        let answers = made(&[("Fellside Loop", "2018"), ("fellside loop, lot l7", "05/2021"), ("Fellside Loop, lot L8", "2020")]);
        let rehearsal = look(&desk, &world.officer, &file(answers.clone())).await.unwrap();
        // A lot that was used before it was made is told, and holds nothing up.
        assert!(rehearsal.is_ready(), "{}", rehearsal.sentence());
        let faulty: Vec<&str> = rehearsal.faulty.on("models[Fellside Loop, lot L8][made]").collect();
        assert_eq!(faulty, ["The first use must not be before it was made, 2020, as 2019-06-01 is. (row 4)"]);
        assert_eq!(unmade(&rehearsal), [("Fellside Loop, lot L8".to_owned(), 1)]);
        take(&desk, &world.officer, &file(answers)).await.unwrap();
        let mut tx = world.database.read(world.team).await.unwrap();
        for (mark, day) in [("S-1", "2021-05"), ("S-2", "2021-05"), ("S-3", ""), ("S-4", "2018"), ("S-5", "2020-03")] {
            let item = tx.item_marked(mark).await.unwrap().unwrap();
            assert_eq!(item.made.map(|made| made.to_string()).unwrap_or_default(), day, "{mark}");
        }
        let note = tx.item_marked("S-1").await.unwrap().unwrap().note;
        let line = "Date made 2021-05: read on the gear itself: its marking was seen; said for all items of the lot when the list was brought in.";
        assert!(note.contains(line), "{note}");
        // What an examination says of the markings is its statement; without one a remark says nothing.
        for (mark, readable) in [("S-1", Some(true)), ("S-2", Some(false)), ("S-3", None), ("S-4", None), ("S-5", None)] {
            let item = tx.item_marked(mark).await.unwrap().unwrap();
            assert_eq!(item.markings_readable, readable, "{mark}");
        }
        let seen = tx.item_marked("S-1").await.unwrap().unwrap();
        let examined = tx.last_examination(seen.id).await.unwrap().unwrap();
        assert!(examined.findings.contains("Markings readable: yes (labels ok)."), "{}", examined.findings);
    }

    async fn another_file_keeps_what_was_said_of_the_items_that_are_still_in_it(world) {
        world.hold_competent().await;
        let officer = world.visitor(&world.officer).await;
        let page = officer.upload("/import", &[("file", Some("gear.csv"), LIST.as_bytes())]).await.location().to_owned();
        let all = [
            ("silent-life-support", "yes"), ("silent-examiner", crate::item_given::OUTSIDE), ("source", "marking"),
            ("seen[markings-unknown]", "yes"), ("seen[markings-unknown][by]", "Ada Brook"), ("seen[markings-unknown][on]", "2026-02-20"), ("seen[markings-unknown][rows]", "4,6"),
            ("seen[never-examined][on]", "2026-02-21"), ("seen[never-examined][by]", crate::item_given::OUTSIDE), ("seen[never-examined][rows]", "5"),
            ("given-0", "2018"), ("model-0", "Fellside Loop"), ("of-0", "made"), ("by-0", "source"), ("update", "yes"),
        ];
        assert_eq!(officer.post(&page, &all).await.status, StatusCode::SEE_OTHER);
        // S-3 has moved, S-5 is gone, S-6 is new.
        let lines: Vec<&str> = LIST.lines().collect();
        let new = "S-6,Sling,Fellside,Loop,,A6,Van,2020,,2025-12-01,";
        let mended = [lines[0], lines[3], new, lines[4], lines[1], lines[2]].join("\n");
        let sent = officer.upload(&format!("{page}/file"), &[("file", Some("mended.csv"), mended.as_bytes())]).await;
        assert_eq!(sent.location(), page);
        let told = officer.get(&format!("/api/v1/imports/{}", page.rsplit('/').next().unwrap())).await.json();
        let answers = &told["answers"];
        assert_eq!(answers["seen"]["markings-unknown"]["rows"], serde_json::json!([2]), "{answers}");
        assert_eq!(answers["seen"]["markings-unknown"]["by"], "Ada Brook");
        assert_eq!(answers["seen"]["never-examined"]["rows"], serde_json::json!([4]));
        assert_eq!((&answers["update"], &answers["models"]["Fellside Loop"]["made"]), (&serde_json::json!(true), &serde_json::json!("2018")));
        // Of items that are gone nothing is left, least of all that it was said of all.
        let other = [lines[0], new].join("\n");
        officer.upload(&format!("{page}/file"), &[("file", Some("other.csv"), other.as_bytes())]).await;
        let told = officer.get(&format!("/api/v1/imports/{}", page.rsplit('/').next().unwrap())).await.json();
        assert_eq!(told["answers"]["seen"], serde_json::json!({}));
    }
}

#[test]
fn a_date_made_that_cannot_be_read_is_told_and_applies_to_nothing() {
    for day in ["soon", "03/04/2021", "99"] {
        let rehearsal = rehearsed(
            "x.csv",
            LIST.as_bytes(),
            &made(&[("Fellside Loop, lot L7", day)]),
        );
        let faulty: Vec<&str> = rehearsal
            .faulty
            .on("models[Fellside Loop, lot L7][made]")
            .collect();
        assert!(
            faulty[0].starts_with("Write a year, a month or a day"),
            "{day}: {faulty:?}"
        );
        assert!(rehearsal.is_ready());
    }
}

#[test]
fn an_examination_before_the_item_can_have_been_made_is_told_at_its_row() {
    let list = "\
Tag,Type,Maker,Model,Serial,Store,Made,Last examined
S-1,Sling,Fellside,Loop,A1,Van,2023-05,2021-01-01
S-2,Sling,Fellside,Loop,A2,Van,2021,2021-01-01
";
    let told = rehearsed("gear.csv", list.as_bytes(), &made(&[]));
    let errors: Vec<(u32, &str)> = told
        .errors
        .iter()
        .map(|error| (error.row, error.message.as_str()))
        .collect();
    let sentence = "It cannot be examined before it was made, 2023-05, as 2021-01-01 is. Mend the day, or the date made.";
    assert_eq!(errors, [(2, sentence)]);
}
