//! A list's rehearsal foretells what every job will say of its items, and takes what is said of all of them at once.

use std::{collections::BTreeSet, process::Command};

use axum::{
    body::Body,
    http::{Method, Request, StatusCode, header},
};
use ropeloft::{
    deed::import::{ImportFile, look, take},
    domain::{ExaminationKind, Verdict, kit_strength::gaps_wherever},
    import::{Answers, Foretold, Offer, ReadIn, Seen, SeenOf},
};
use serde_json::json;
use time::macros::date;

use crate::{
    fitness_wherever::own_reasons,
    import_inventory::said,
    item_given::OUTSIDE,
    world::{START, World, on_sqlite},
};

/// A list as teams keep it: no word of markings, approvals in some rows, examinations in some.
const LIST: &str = "\
Tag,Type,Maker,Model,Serial,Store,Made,MBS (kN),Length (m),Diameter (mm),Rope kind,Standard,Sheaves,Last examined,State
R-1,Rope,Calder Lines,Ghyll 11,S1,Van 2,2021-03-01,32,60,11,low-stretch,EN 1891 type A,,2025-12-01,in service
R-2,Rope,Calder Lines,Ghyll 11,S2,Van 2,2021-03-01,32,50,11,low-stretch,EN 1891 type A,,,in service
R-3,Rope,Calder Lines,Ghyll 11,S3,Van 2,2021-03-01,32,50,11,low-stretch,EN 1891 type A,,2023-12-01,in service
R-4,Rope,Calder Lines,Ghyll 11,S4,Van 2,2021-03-01,32,50,11,low-stretch,EN 1891 type A,,2025-12-01,retired
K-1,Connector,Fellside,Oval,,Van 2,2022-05-01,24,,,,,,2025-12-01,in service
P-1,Pulley,Fellside,Twin,T1,Van 2,2022-05-01,36,,,,EN 12278,2,2025-12-01,in service
";

pub fn file(answers: Answers) -> ImportFile {
    ImportFile {
        answers,
        ..ImportFile::new("gear.csv", LIST.as_bytes().to_vec())
    }
}

/// What the note of R-4 keeps of its last inspection: it is retired, and the list names no result.
const INSPECTED: &str =
    "Last inspected 2025-12-01, says the list. It names no result of that inspection.";
/// What is said of all items at once, beside what the list leaves open.
fn all_said() -> Answers {
    let mut answers = said();
    for of in SeenOf::ALL {
        let (by, on) = (OUTSIDE.to_owned(), "2026-02-20".to_owned());
        let rows = BTreeSet::new();
        let each = false;
        answers.seen.insert(of, Seen { by, on, rows, each });
    }
    let mut of = |title: &str, field: &str, text: &str| {
        let fields = answers.models.entry(title.to_owned()).or_default();
        fields.insert(field.to_owned(), text.to_owned());
        let fields = answers.sources.entry(title.to_owned()).or_default();
        fields.insert(field.to_owned(), ReadIn::Paper);
    };
    of("fellside  OVAL", "standard", "EN 362 class B");
    of("Fellside Twin", "attribute-efficiency", "0,92");
    answers
}

fn rows<'a>(foretold: &'a Foretold, code: &str) -> &'a [u32] {
    let mut reasons = foretold.reasons.iter();
    reasons
        .find(|reason| reason.code == code)
        .map_or(&[], |reason| reason.rows.as_slice())
}

/// The reasons and gaps that every item of the register has by now, by its mark.
async fn stands(world: &World) -> BTreeSet<(String, String)> {
    let mut tx = world.database.read(world.team).await.unwrap();
    let mut found = BTreeSet::new();
    for mark in ["R-1", "R-2", "R-3", "K-1", "P-1"] {
        let item = tx.item_marked(mark).await.unwrap().unwrap();
        let model = tx.model(item.model).await.unwrap().unwrap();
        let refusals = own_reasons(&item, &model, START.date());
        let gaps = gaps_wherever(&model);
        let codes = refusals
            .iter()
            .map(|refusal| refusal.code.key())
            .chain(gaps.iter().map(|gap| gap.code));
        found.extend(codes.map(|code| (mark.to_owned(), code.to_owned())));
    }
    found
}

on_both_databases! {
    async fn what_is_foretold_is_what_stands_against_the_items_once_they_are_in(world) {
        world.hold_competent().await;
        let desk = world.desk();
        let rehearsal = look(&desk, &world.officer, &file(said())).await.unwrap();
        assert!(rehearsal.is_ready(), "{}", rehearsal.sentence());
        let foretold = rehearsal.foretold.unwrap();
        assert_eq!(
            foretold.sentence().unwrap(),
            "Before jobs take them, 2 of the 5 items need no more than a first look at the markings, and 3 need more."
        );
        assert_eq!((foretold.in_service, foretold.out), (5, 1));
        assert_eq!(rows(&foretold, "markings-unknown"), [2, 3, 4, 6, 7]);
        assert_eq!(rows(&foretold, "never-examined"), [3]);
        assert_eq!(rows(&foretold, "overdue"), [4]);
        assert_eq!(rows(&foretold, "not-approved"), [6]);
        assert_eq!(rows(&foretold, "serial-unknown"), [6]);
        assert_eq!(rows(&foretold, "no-efficiency"), [7]);
        let marks = ["", "", "R-1", "R-2", "R-3", "", "K-1", "P-1"];
        let told = foretold.reasons.iter().flat_map(|reason| {
            let rows = reason.rows.iter();
            rows.map(|row| (marks[*row as usize].to_owned(), reason.code.to_owned()))
        });
        let told: BTreeSet<_> = told.collect();
        take(&desk, &world.officer, &file(said())).await.unwrap();
        assert_eq!(told, stands(&world).await);
    }

    async fn what_is_said_of_all_items_is_recorded_and_mends_them(world) {
        world.hold_competent().await;
        let desk = world.desk();
        let rehearsal = look(&desk, &world.officer, &file(all_said())).await.unwrap();
        let foretold = rehearsal.foretold.unwrap();
        let left: Vec<_> = foretold.reasons.iter().map(|reason| (reason.code, reason.rows.as_slice())).collect();
        assert_eq!(left, [("serial-unknown", &[6][..])], "nobody can say a serial for all");
        assert_eq!(foretold.sentence().unwrap(), "Before jobs take them, 1 of the 5 items needs more than the list says.");
        take(&desk, &world.officer, &file(all_said())).await.unwrap();
        let still = [("K-1".to_owned(), "serial-unknown".to_owned())];
        assert_eq!(stands(&world).await, BTreeSet::from(still));
        let mut tx = world.database.read(world.team).await.unwrap();
        let seen = tx.item_marked("R-2").await.unwrap().unwrap();
        assert_eq!(seen.markings_readable, Some(true));
        assert_eq!(
            seen.note,
            "Markings seen and readable: A. Brook & Co, 2026-02-20; said for all items when the list was brought in."
        );
        let examined = tx.last_examination(seen.id).await.unwrap().unwrap();
        assert_eq!((examined.kind, examined.verdict), (ExaminationKind::Intake, Verdict::Fit));
        assert_eq!((examined.on, examined.examiner.as_str()), (date!(2026 - 02 - 20), OUTSIDE));
        assert!(examined.findings.starts_with("Said for all such items at once"), "{}", examined.findings);
        let overdue = tx.item_marked("R-3").await.unwrap().unwrap();
        let again = tx.last_examination(overdue.id).await.unwrap().unwrap();
        assert_eq!((again.kind, overdue.last_passed_on), (ExaminationKind::Periodic, Some(date!(2026 - 02 - 20))));
        // What was examined in time is not said to have been examined again, and what is retired was not seen.
        let in_date = tx.item_marked("R-1").await.unwrap().unwrap();
        assert_eq!(in_date.last_passed_on, Some(date!(2025 - 12 - 01)));
        let retired = tx.item_marked("R-4").await.unwrap().unwrap();
        let examined = tx.last_examination(retired.id).await.unwrap();
        assert_eq!((retired.markings_readable, retired.note.as_str(), examined), (None, INSPECTED, None));
        let oval = tx.item_marked("K-1").await.unwrap().unwrap().model;
        let oval = tx.model(oval).await.unwrap().unwrap();
        assert_eq!(oval.approvals[0].title(), "EN 362 class B");
        assert_eq!(oval.note, "Standard: read in the maker's instructions or certificate; said when the list was brought in.");
    }

    async fn an_examination_by_nobody_who_is_competent_is_not_taken(world) {
        world.hold_competent().await;
        let mut answers = said();
        let (by, on) = ("Jon Fell".to_owned(), "2026-02-20".to_owned());
        answers.seen.insert(SeenOf::NeverExamined, Seen { by, on, ..Seen::default() });
        let rehearsal = look(&world.desk(), &world.officer, &file(answers)).await.unwrap();
        let foretold = rehearsal.foretold.unwrap();
        assert_eq!(rows(&foretold, "never-examined"), [3]);
        let mut reasons = foretold.reasons.iter();
        let never = reasons.find(|reason| reason.code == "never-examined").unwrap();
        let why = "What was said of them is not taken: Jon Fell is not recorded as competent to examine.";
        assert!(never.to_do.starts_with(why), "{}", never.to_do);
    }

    async fn what_nobody_said_is_not_recorded(world) {
        world.hold_competent().await;
        let desk = world.desk();
        take(&desk, &world.officer, &file(said())).await.unwrap();
        let mut tx = world.database.read(world.team).await.unwrap();
        for mark in ["R-1", "R-2", "R-3", "R-4", "K-1", "P-1"] {
            let item = tx.item_marked(mark).await.unwrap().unwrap();
            assert_eq!(item.markings_readable, None, "{mark}");
            assert_eq!(item.note, if mark == "R-4" { INSPECTED } else { "" }, "{mark}");
        }
        let never = tx.item_marked("R-2").await.unwrap().unwrap();
        assert!(tx.last_examination(never.id).await.unwrap().is_none());
    }

    async fn what_is_said_of_some_rows_is_not_said_of_others(world) {
        world.hold_competent().await;
        let desk = world.desk();
        let mut answers = said();
        let by = "The equipment officer of the north".to_owned();
        let seen = Seen { by, on: "2026-02-20".to_owned(), rows: [2, 4].into(), each: false };
        answers.seen.insert(SeenOf::MarkingsUnknown, seen);
        let rehearsal = look(&desk, &world.officer, &file(answers.clone())).await.unwrap();
        let foretold = rehearsal.foretold.unwrap();
        assert_eq!(rows(&foretold, "markings-unknown"), [3, 6, 7]);
        assert_eq!(foretold.seen[&SeenOf::MarkingsUnknown], [2, 4]);
        take(&desk, &world.officer, &file(answers)).await.unwrap();
        let mut tx = world.database.read(world.team).await.unwrap();
        for (mark, readable) in [("R-1", Some(true)), ("R-2", None), ("R-3", Some(true)), ("K-1", None)] {
            let item = tx.item_marked(mark).await.unwrap().unwrap();
            assert_eq!(item.markings_readable, readable, "{mark}");
        }
        let note = tx.item_marked("R-1").await.unwrap().unwrap().note;
        assert!(note.starts_with("Markings seen and readable: The equipment officer of the north, 2026-02-20;"), "{note}");
    }

    async fn the_page_tells_it_and_takes_the_answers(world) {
        world.hold_competent().await;
        let officer = world.visitor(&world.officer).await;
        let page = officer.upload("/import", &[("file", Some("gear.csv"), LIST.as_bytes())]).await.location().to_owned();
        let silent = [("silent-life-support", "yes"), ("silent-strength-source", "paper"), ("silent-examiner", OUTSIDE)];
        officer.post(&page, &silent).await;
        let text = officer.get(&page).await.text;
        for words in [
            "Before jobs take them, 2 of the 5 items need no more than a first look at the markings, and 3 need more.",
            "Their markings are not looked at yet.",
            "5 items: rows 2 to 4, 6, 7.",
            "Seen and readable on each of these 5, by one person on one day",
            "Seen and readable, by the examiner of each row on the day it was examined",
            "name=\"seen[markings-unknown][by]\" value=\"\"",
            "Then each item&#39;s record says that its markings can be read, and its note who saw them and when.",
            "<option value=\"not-yet\" selected>",
            "href=\"/bench\"",
            "connector Fellside Oval (1 item): Standard",
            "pulley Fellside Twin (1 item): Efficiency of a sheave (0 to 1)",
        ] {
            assert!(text.contains(words), "{words}\n{text}");
        }
        assert!(text.contains("6 items can be taken in") && text.contains("Take in 6 items"), "{text}");
        // A day to come, a share above one, and no word of where it was read: each is told, stays as typed, and holds
        // nothing up.
        let wrong = [&silent[..], &[
            ("seen[markings-unknown]", "yes"), ("seen[markings-unknown][by]", "Ada <Brook>"), ("seen[markings-unknown][on]", "2026-03-02"),
            ("given-0", "1.2"), ("model-0", "Fellside Twin"), ("of-0", "attribute-efficiency"), ("by-0", "source"),
        ]].concat();
        assert_eq!(officer.post(&page, &wrong).await.status, StatusCode::SEE_OTHER);
        let kept = officer.get(&page).await.text;
        for words in [
            "3 answers are kept as typed and apply to nothing as it stands",
            "This must not be after today, 2026-03-01, as 2026-03-02 is.",
            "Ada &#60;Brook&#62;",
            "value=\"2026-03-02\"",
            "value=\"1.2\"",
            "a share from 0.1 to 1",
            "Say where you read it: until then the value that you wrote does not apply.",
            "Take in 6 items",
        ] {
            assert!(kept.contains(words), "{words}\n{kept}");
        }
        let right = [&silent[..], &[
            ("seen[markings-unknown]", "yes"), ("seen[markings-unknown][by]", "Ada Brook"), ("seen[markings-unknown][on]", "2026-02-20"),
            ("given-0", "EN 362 class B"), ("model-0", "Fellside Oval"), ("of-0", "standard"),
            ("by-0", "source-of-not-approved"), ("source-of-not-approved", "marking"),
        ]].concat();
        assert_eq!(officer.post(&page, &right).await.status, StatusCode::SEE_OTHER);
        let text = officer.get(&page).await.text;
        assert!(text.contains("Fellside Oval: Standard") && text.contains("value=\"EN 362 class B\""), "{text}");
        assert!(!text.contains("Their markings are not looked at yet."), "{text}");
        let left = "Before jobs take them, 3 of the 5 items need more than the list says. No verdict will be said with 1 item until more is known of what it is.";
        assert!(text.contains(left), "{text}");
        // Taken back, it is told anew.
        officer.post(&page, &silent).await;
        assert!(officer.get(&page).await.text.contains("Their markings are not looked at yet."));
    }

    async fn a_program_is_told_the_same(world) {
        world.hold_competent().await;
        let officer = world.visitor(&world.officer).await;
        let request = Request::post("/api/v1/imports?name=gear.csv")
            .header(header::HOST, "gear.test")
            .header(header::CONTENT_TYPE, "application/octet-stream")
            .body(Body::from(LIST))
            .unwrap();
        let sent = officer.send(request).await.json();
        let path = format!("/api/v1/imports/{}/answers", sent["id"].as_str().unwrap());
        let mut answers = json!({"silent": {"life-support": "yes", "strength-source": "paper", "examiner": OUTSIDE}});
        let told = officer.json(Method::PUT, &path, &answers).await.json();
        assert_eq!(told["foretold"]["refused"], 5, "{told}");
        assert_eq!(told["foretold"]["reasons"][0]["code"], "markings-unknown");
        answers["seen"] = json!({"markings-unknown": {"by": "Ada Brook", "on": "2026-04-01"}, "overdue": {}});
        answers["models"] = json!({"Fellside Oval": {"mark": "x", "attribute-efficiency": "2"}});
        let refused = officer.json(Method::PUT, &path, &answers).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        for name in ["seen[markings-unknown][on]", "seen[overdue][on]", "models[Fellside Oval][mark]", "models[Fellside Oval][attribute-efficiency]", "sources[Fellside Oval][attribute-efficiency]"] {
            assert!(refused.text.contains(name), "{name}: {}", refused.text);
        }
        answers["seen"] = json!({"markings-unknown": {"by": "Ada Brook", "on": "2026-02-20"}});
        answers["models"] = json!({"Fellside Oval": {"standard": "EN 362 class B"}});
        answers["sources"] = json!({"Fellside Oval": {"standard": "marking"}});
        let told = officer.json(Method::PUT, &path, &answers).await.json();
        assert_eq!((&told["foretold"]["refused"], &told["foretold"]["lacking"]), (&json!(3), &json!(1)), "{told}");
    }
}

#[tokio::test]
async fn a_model_of_the_register_is_mended_there() {
    on_sqlite(async |world| {
        world.hold_competent().await;
        let desk = world.desk();
        take(&desk, &world.officer, &file(said())).await.unwrap();
        let more =
            "Tag,Type,Maker,Model,Serial,Store,Made\nK-2,Connector,Fellside,Oval,9,Van 2,2022\n";
        let more = ImportFile {
            answers: said(),
            ..ImportFile::new("more.csv", more.as_bytes().to_vec())
        };
        let rehearsal = look(&desk, &world.officer, &more).await.unwrap();
        let reasons = rehearsal.foretold.unwrap().reasons;
        let lacks = reasons
            .iter()
            .find(|reason| reason.code == "not-approved")
            .unwrap();
        let Offer::Models(models) = &lacks.offer else {
            panic!("{lacks:?}");
        };
        assert!(models[0].id.is_some(), "{models:?}");
    })
    .await;
}

#[tokio::test]
async fn the_command_tells_it_and_takes_the_answers() {
    on_sqlite(async |world| {
        world.hold_competent().await;
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("gear.csv");
        std::fs::write(&path, LIST).unwrap();
        let run = |more: &[&str]| {
            let done = Command::new(env!("CARGO_BIN_EXE_ropeloft"))
                .args([
                    "import",
                    path.to_str().unwrap(),
                    "--team",
                    "North shaft team",
                ])
                .args(["--as", "officer-north", "--set", "life-support=yes"])
                .args(["--set", "strength-source=paper", "--dry-run"])
                .args(["--set", "examiner=A. Brook & Co"])
                .args(more)
                .env("ROPELOFT_DATABASE", &world.address)
                .output()
                .unwrap();
            let told = [done.stdout, done.stderr].concat();
            (done.status.success(), String::from_utf8(told).unwrap())
        };
        let (_, bare) = run(&[]);
        for words in [
            "Before jobs take them, 2 of the 5 items need no more than a first look at the markings, and 3 need more:",
            "Their markings are not looked at yet. (rows 2 to 4, 6, 7)",
            "(--seen \"markings-unknown=DAY WHO\")",
            "(--model \"Fellside Oval:standard=…\" --source \"Fellside Oval:standard=…\")",
        ] {
            assert!(bare.contains(words), "{words}\n{bare}");
        }
        let (done, told) = run(&[
            "--seen",
            "markings-unknown=2026-02-20 Ada Brook",
            "--model",
            "Fellside Oval:standard=EN 362 class B",
            "--source",
            "Fellside Oval:standard=marking",
        ]);
        let mended = ["not looked at yet. (", "An approval that the rulebook asks for"];
        assert!(
            done && !mended.iter().any(|words| told.contains(words)),
            "{told}"
        );
        let (done, told) = run(&["--seen", "markings-unknown=2149-01-01"]);
        assert!(
            !done && told.contains("This must not be after today"),
            "{told}"
        );
        let (done, told) = run(&["--seen", "colour=2026-02-20"]);
        assert!(
            !done && told.contains("nothing that can be seen of all items"),
            "{told}"
        );
    })
    .await;
}
