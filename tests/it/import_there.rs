//! A list that is brought again: items that are there already, rows that are left out, answers that are kept.

use std::process::Command;

use axum::{
    body::Body,
    http::{Method, Request, StatusCode, header},
};
use ropeloft::{
    deed::import::{
        ImportFile, answer, keep, left_out, look, replace, take, take_waiting, waiting,
        without_wrong,
    },
    domain::{Change, ItemState, ItemStep, ItemStepped, Notice},
    import::{Answers, DateOrder, Fate, Rehearsal, Rounds, Target},
    store::ImportAnswer,
};
use serde_json::json;

use crate::{
    import_inventory::said,
    store_rebuild::again,
    world::{START, World, on_sqlite},
};

const LIST: &str = "\
Tag,Type,Maker,Model,Serial,Store,Made,Length (m),Lot,Note
R-1,Rope,Calder Lines,Ghyll 11,S1,Van 2,2021-03,60,,red fleck
R-2,Rope,Calder Lines,Ghyll 11,S2,Van 2,2021,50,,
";

/// The same list as it was kept on: a rope was cut, its lot found, one moved, one bought.
const LATER: &str = "\
Tag,Type,Maker,Model,Serial,Store,Made,Length (m),Lot,Note
R-1,Rope,Calder Lines,Ghyll 11,S1,Van 2,2021-03,60,,
r-2,Rope,calder lines,Ghyll 11,s2,Van 3,2021,48.5,B-7,the short one
R-3,Rope,Calder Lines,Ghyll 11,S3,Van 2,2025,50,,
";

pub fn file(text: &str, answers: Answers) -> ImportFile {
    ImportFile {
        answers,
        ..ImportFile::new("gear.csv", text.as_bytes().to_vec())
    }
}

pub fn updating() -> Answers {
    Answers {
        update: true,
        ..said()
    }
}

pub fn fates(rehearsal: &Rehearsal) -> Vec<Fate> {
    rehearsal.rows.iter().map(|row| row.fate).collect()
}

fn told(rehearsal: &Rehearsal) -> Vec<String> {
    let errors = rehearsal.errors.iter();
    errors
        .map(|error| format!("{}: {}", error.place(), error.message))
        .collect()
}

async fn retire(world: &World, mark: &str) {
    let mut tx = world.database.read(world.team).await.unwrap();
    let item = tx.item_marked(mark).await.unwrap().unwrap().id;
    drop(tx);
    let (step, reason, on) = (ItemStep::Retire, "worn".to_owned(), START.date());
    world
        .record(Change::ItemStepped(ItemStepped {
            item,
            step,
            reason,
            on,
            retired_for: None,
        }))
        .await;
}

on_both_databases! {
    async fn what_an_update_brings_under_an_open_notice_is_put_aside(world) {
        let desk = world.desk();
        take(&desk, &world.officer, &file(LIST, said())).await.unwrap();
        world.record(Change::NoticeOpened(Notice { lots: vec!["B-7".into()], ..crate::stock::notice("Calder Lines", START.date()) })).await;
        take(&desk, &world.officer, &file(LATER, updating())).await.unwrap();
        let item = world.database.read(world.team).await.unwrap().item_marked("R-2").await.unwrap().unwrap();
        assert_eq!(item.state, ItemState::Quarantined, "lot {:?}", item.lot);
    }

    async fn items_that_are_there_already_stay_as_they_are_or_are_updated(world) {
        let desk = world.desk();
        take(&desk, &world.officer, &file(LIST, said())).await.unwrap();
        let left = look(&desk, &world.officer, &file(LATER, said())).await.unwrap();
        assert_eq!(fates(&left), [Fate::Same, Fate::Differs, Fate::KnownModel], "{:?}", told(&left));
        let differs: Vec<String> = left.rows[1].differs.iter().map(|differs| differs.words()).collect();
        assert_eq!(differs, [
            "Lot or batch: nothing → B-7", "Length now: 50 m → 48.5 m", "Note: nothing → the short one", "Store: Van 2 → Van 3",
        ]);
        assert_eq!(left.sentence(), "1 item can be taken in, with 0 new models and 0 new stores; 2 items are there already and stay as they are.");
        assert_eq!(left.new_stores, [""; 0], "nothing moves to a new store");
        let update = look(&desk, &world.officer, &file(LATER, updating())).await.unwrap();
        assert_eq!(fates(&update), [Fate::Same, Fate::Updated, Fate::KnownModel]);
        let taken = take(&desk, &world.officer, &file(LATER, updating())).await.unwrap();
        assert_eq!((taken.items, taken.updated, taken.stores), (1, 1, 1));
        let mut tx = world.database.read(world.team).await.unwrap();
        let cut = tx.item_marked("R-2").await.unwrap().unwrap();
        assert_eq!(cut.attributes.typed()["length"], "48.5 m");
        assert_eq!((cut.lot.as_deref(), cut.mark.as_str(), cut.revision), (Some("B-7"), "R-2", 2));
        let store = tx.store(cut.store).await.unwrap().unwrap();
        assert_eq!(store.name, "Van 3");
        let kinds = tx.history_of(cut.id.0, None, 10).await.unwrap();
        assert_eq!(kinds[0].kind, "item-revised");
        let same = tx.item_marked("R-1").await.unwrap().unwrap();
        assert_eq!((same.note.as_str(), same.revision), ("red fleck", 1), "an empty cell takes nothing away");
        drop(tx);
        assert_eq!(again(&world).await.differences, []);
        let whole = look(&desk, &world.officer, &file(LATER, updating())).await.unwrap();
        assert_eq!(whole.sentence(), "Nothing in this list is new: its 3 items are in the register already.");
    }

    async fn what_may_not_change_is_refused_with_its_sentence_and_nothing_comes_in(world) {
        let desk = world.desk();
        take(&desk, &world.officer, &file(LIST, said())).await.unwrap();
        retire(&world, "R-1").await;
        let list = "Tag,Type,Maker,Model,Serial,Store,Lot,State\n\
            R-1,Rope,Calder Lines,Ghyll 11,S1,Van 2,B-1,\n\
            R-2,Rope,Calder Lines,Ghyll 11,S2,Van 2,B-2,quarantine\n\
            R-3,Rope,Calder Lines,Ghyll 11,S3,Van 2,,in service\n";
        let rehearsal = look(&desk, &world.officer, &file(list, updating())).await.unwrap();
        assert_eq!(told(&rehearsal), [
            "row 2, column A (Tag): R-1 is retired, and a list changes nothing of what is retired. Leave the row out.",
            "row 3, column H (State): R-2 is in service in the register, not quarantined: a state is changed at the item, with its reason. Change it there, or leave the row out.",
        ]);
        take(&desk, &world.officer, &file(list, updating())).await.unwrap_err();
        let mut tx = world.database.read(world.team).await.unwrap();
        assert!(tx.item_marked("R-3").await.unwrap().is_none(), "all or nothing");
        drop(tx);
        // Left as they are, the same rows stand in nobody's way.
        assert!(look(&desk, &world.officer, &file(list, said())).await.unwrap().is_ready());
        let other = "Tag,Type,Maker,Model,Serial,Store\nR-2,Rope,Upland,Force 9,S2,Van 2\nR-4,Rope,Calder Lines,Ghyll 11,S1,Van 2\n";
        let rehearsal = look(&desk, &world.officer, &file(other, said())).await.unwrap();
        assert_eq!(told(&rehearsal), [
            "row 2, column A (Tag): The register has another item under the mark R-2: a rope Calder Lines Ghyll 11. Give this one another mark, or put the list right if it is the same.",
            "row 3, column E (Serial): An item of this model in the register has this serial already.",
        ]);
        let swapped = "Tag,Type,Maker,Model,Serial,Store\nR-2,Rope,Calder Lines,Ghyll 11,S1,Van 2\n";
        let rehearsal = look(&desk, &world.officer, &file(swapped, updating())).await.unwrap();
        assert_eq!(told(&rehearsal), ["row 2, column E (Serial): An item of this model in the register has this serial already."]);
    }

    async fn rows_that_are_wrong_are_left_out_and_wait_with_what_is_wrong(world) {
        let desk = world.desk();
        let wrong = LIST.replace("2021-03,60", "-,sixty") + "R-2,Rope,Calder Lines,Ghyll 11,S9,Van 2,2021,50,,\n";
        let id = keep(&desk, &world.officer, &file(&wrong, said())).await.unwrap();
        let without = without_wrong(&desk, &world.officer, &waiting(&desk, &world.officer, id).await.unwrap(), Rounds::One).await.unwrap();
        assert_eq!(without.answers.left_out.iter().copied().collect::<Vec<_>>(), [2, 4]);
        let rehearsal = look(&desk, &world.officer, &without).await.unwrap();
        assert_eq!(fates(&rehearsal), [Fate::LeftOut, Fate::NewModel, Fate::LeftOut]);
        assert_eq!(rehearsal.rows[0].mark, "R-1", "what is left out can be told from the others");
        let left = left_out(&desk, &world.officer, &without).await.unwrap();
        assert_eq!((left.file.name.as_str(), left.rows), ("gear, left out.csv", 2));
        let text = String::from_utf8(left.file.bytes.to_vec()).unwrap();
        let lines: Vec<&str> = text.trim_start_matches('\u{feff}').lines().collect();
        assert_eq!(lines[0], "Tag,Type,Maker,Model,Serial,Store,Made,Length (m),Lot,Note,Why it was left out");
        assert!(lines[1].starts_with("R-1,Rope,Calder Lines,Ghyll 11,S1,Van 2,'-,sixty,,red fleck,\"Length (m): "), "{}", lines[1]);
        assert!(lines[2].ends_with("Tag: The mark R-2 stands in row 3 too. Every item needs a mark of its own."), "{}", lines[2]);
        answer(&desk, &world.officer, id, without.answers).await.unwrap();
        let taken = take_waiting(&desk, &world.officer, id).await.unwrap();
        assert_eq!((taken.items, taken.left_out), (1, 2));
        // They wait in its place, with the answers; mended they come in.
        let left = waiting(&desk, &world.officer, id).await.unwrap();
        assert_eq!(left.name, "gear, left out.csv");
        let rehearsal = look(&desk, &world.officer, &left).await.unwrap();
        assert_eq!(rehearsal.questions, [], "the column with the reasons asks nothing");
        assert_eq!(rehearsal.errors.len(), 1, "{:?}", told(&rehearsal));
        let mended = text.replace("sixty", "60").replace("R-2", "R-5");
        replace(&desk, &world.officer, id, ImportFile::new("mended.csv", mended.into_bytes())).await.unwrap();
        let taken = take_waiting(&desk, &world.officer, id).await.unwrap();
        assert_eq!((taken.items, taken.left_out), (2, 0));
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.item_marked("R-1").await.unwrap().unwrap().made, None, "a dash that was made harmless is a dash again");
    }

    async fn the_last_answers_for_the_same_headings_are_taken_over(world) {
        let desk = world.desk();
        let list = "Peg,Type,Maker,Model,Store,Made,Long\nR-1,Rope,Calder Lines,Ghyll 11,Van 2,04/05/2021,60\n";
        let id = keep(&desk, &world.officer, &file(list, Answers::default())).await.unwrap();
        let mut answers = said();
        answers.dates = Some(DateOrder::DayFirst);
        answers.headings.insert("Peg".to_owned(), Target::from_words("mark").unwrap());
        answers.headings.insert("Long".to_owned(), Target::from_words("in-note").unwrap());
        answers.left_out.insert(9);
        answers.update = true;
        answer(&desk, &world.officer, id, answers.clone()).await.unwrap();
        let other = list.replace("R-1", "R-2");
        let next = keep(&desk, &world.admin, &file(&other, Answers::default())).await.unwrap();
        let file = waiting(&desk, &world.admin, next).await.unwrap();
        let over = file.taken_over.unwrap();
        assert_eq!((over.file.as_str(), over.by.as_str(), over.on.as_str()), ("gear.csv", "The equipment officer of the north", "2026-03-01"));
        assert_eq!(file.answers.headings, answers.headings);
        assert_eq!((file.answers.dates, over.before.dates), (None, Some(DateOrder::DayFirst)), "it is offered and not taken over");
        assert!(file.answers.left_out.is_empty() && !file.answers.update, "what is of single rows is said anew");
        // Another line of headings, or another team, is asked anew.
        let more = list.replace("Long", "Longer");
        let fresh = keep(&desk, &world.officer, &self::file(&more, Answers::default())).await.unwrap();
        assert_eq!(waiting(&desk, &world.officer, fresh).await.unwrap().answers, Answers::default());
        let theirs = keep(&desk, &world.outsider, &self::file(list, Answers::default())).await.unwrap();
        assert_eq!(waiting(&desk, &world.outsider, theirs).await.unwrap().answers, Answers::default());
        // A file in the place of another takes over what can be said of it.
        replace(&desk, &world.officer, id, ImportFile::new("more.csv", more.into_bytes())).await.unwrap();
        let replaced = waiting(&desk, &world.officer, id).await.unwrap();
        assert_eq!(replaced.answers.headings.keys().collect::<Vec<_>>(), ["Peg"]);
        assert_eq!(replaced.answers.dates, Some(DateOrder::DayFirst));
        assert_eq!(replaced.name, "more.csv");
    }

    async fn answers_are_kept_once_for_each_line_of_headings_and_team(world) {
        let mut one = ImportAnswer {
            headings: [7; 32],
            person: world.officer.person,
            kept_at: START,
            file_name: "gear.csv".into(),
            answers: "{}".into(),
        };
        let mut tx = world.database.write(world.team).await.unwrap();
        assert_eq!(tx.import_answer(&[7; 32]).await.unwrap(), None);
        tx.keep_import_answer(&one).await.unwrap();
        one.answers = "{\"update\":false}".into();
        tx.keep_import_answer(&one).await.unwrap();
        assert_eq!(tx.import_answer(&[7; 32]).await.unwrap(), Some(one.clone()));
        assert_eq!(tx.import_answer(&[8; 32]).await.unwrap(), None);
        tx.commit().await.unwrap();
        let mut tx = world.database.write(world.other_team).await.unwrap();
        assert_eq!(tx.import_answer(&[7; 32]).await.unwrap(), None);
        tx.keep_import_answer(&one).await.unwrap_err();
    }

    async fn the_page_shows_every_row_and_leaves_out_those_that_are_ticked(world) {
        let officer = world.visitor(&world.officer).await;
        let rows: Vec<String> = (1..=120).map(|n| {
            let made = if n % 60 == 0 { "soon" } else { "2021" };
            format!("R-{n},Rope,Calder Lines,Ghyll 11,Van 2,{made},yes\n")
        }).collect();
        let list = format!("Tag,Type,Maker,Model,Store,Made,PPE\n{}", rows.concat());
        let page = officer.upload("/import", &[("file", Some("gear.csv"), list.as_bytes())]).await.location().to_owned();
        let first = officer.get(&page).await.text;
        for words in ["All rows (120)", "Refused (2)", "Coming in (118)", "Lines 1 to 50 of 120 lines", "Leave out all 2 rows with errors"] {
            assert!(first.contains(words), "{words}\n{first}");
        }
        // A button goes on to other rows, and keeps what was typed beside.
        let on = officer.post(&page, &[("go", "all:100"), ("dates", "day-first")]).await;
        assert_eq!(on.location(), format!("{page}?show=all&from=100#rows"));
        let last = officer.get(&format!("{page}?show=all&from=100")).await.text;
        assert!(last.contains("R-120") && !last.contains("R-100<") && last.contains("Lines 101 to 120 of 120 lines"), "{last}");
        assert!(last.contains("<option value=\"day-first\" selected>"), "{last}");
        let wrong = officer.get(&format!("{page}?show=wrong")).await.text;
        assert!(wrong.contains("R-60<") && !wrong.contains("R-61<") && wrong.contains("Lines 1 to 2 of 2 lines"), "{wrong}");
        assert_eq!(officer.get(&format!("{page}?show=%3Cb%3E&from=-1")).await.status, StatusCode::OK);
        // One by one, and back again.
        let leave = [("do", "leave-out"), ("here", "wrong:0"), ("row-61", "yes"), ("row-2", "yes")];
        assert_eq!(officer.post(&page, &leave).await.location(), format!("{page}?show=wrong&from=0#rows"));
        officer.post(&page, &[("do", "take-back"), ("row-2", "yes")]).await;
        let text = officer.get(&page).await.text;
        assert!(text.contains("1 row was chosen to be left out.") && text.contains("Left out (1)"), "{text}");
        officer.post(&page, &[("do", "leave-out-wrong")]).await;
        let text = officer.get(&page).await.text;
        assert!(text.contains("118 items can be taken in, with 1 new model and 1 new store; 2 rows left out."), "{text}");
        let csv = officer.get(&format!("{page}/left-out.csv")).await;
        assert!(csv.header(header::CONTENT_DISPOSITION).contains("attachment"));
        assert_eq!(csv.text.lines().count(), 3, "{}", csv.text);
        // What was typed since is shown before it is taken in.
        let typed = officer.post(&format!("{page}/take"), &[("do", ""), ("seen[markings-unknown]", "yes"), ("seen[markings-unknown][by]", "Ada Brook"), ("seen[markings-unknown][on]", "2026-02-20")]).await;
        assert_eq!(typed.location(), page);
        assert!(officer.get("/items").await.text.contains("No items yet."));
        let taken = officer.post(&format!("{page}/take"), &[("seen[markings-unknown]", "yes"), ("seen[markings-unknown][by]", "Ada Brook"), ("seen[markings-unknown][on]", "2026-02-20")]).await;
        assert_eq!(taken.location(), "/items");
        assert!(officer.get("/items").await.text.contains("R-119"));
        assert!(officer.get("/import").await.text.contains("gear, left out.csv"));
    }

    async fn the_page_asks_what_becomes_of_items_that_are_there(world) {
        take(&world.desk(), &world.officer, &file(LIST, said())).await.unwrap();
        let officer = world.visitor(&world.officer).await;
        let page = officer.upload("/import", &[("file", Some("later.csv"), LATER.as_bytes())]).await.location().to_owned();
        let silent = ("silent-life-support", "yes");
        officer.post(&page, &[silent]).await;
        let text = officer.get(&page).await.text;
        for words in ["2 items of this list are in the register already", "Leave them as they are", "There already, same", "There already, differs; stays as it is", "Length now: 50 m → 48.5 m"] {
            assert!(text.contains(words), "{words}\n{text}");
        }
        officer.post(&page, &[silent, ("update", "yes")]).await;
        let text = officer.get(&page).await.text;
        assert!(text.contains("Take in 1 item, update 1 item") && text.contains("There already, will be updated"), "{text}");
        let mended = LATER.replace("48.5", "49");
        let sent = officer.upload(&format!("{page}/file"), &[("file", Some("mended.csv"), mended.as_bytes())]).await;
        assert_eq!(sent.location(), page);
        let text = officer.get(&page).await.text;
        assert!(text.contains("Taken from your last answers") && text.contains("Length now: 50 m → 49 m"), "{text}");
        assert!(text.contains("those of The equipment officer of the north for &#34;later.csv&#34;, 2026-03-01"), "{text}");
        let none = officer.upload(&format!("{page}/file"), &[("file", Some(""), b"")]).await;
        assert_eq!(none.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(none.text.contains("Choose a file."), "{}", none.text);
    }

    async fn a_program_updates_and_leaves_out(world) {
        take(&world.desk(), &world.officer, &file(LIST, said())).await.unwrap();
        let officer = world.visitor(&world.officer).await;
        let list = LATER.to_owned() + "R-9,Rope,Calder Lines,Ghyll 11,S9,Van 2,soon,,,\n";
        let request = Request::post("/api/v1/imports?name=later.csv")
            .header(header::HOST, "gear.test")
            .header(header::CONTENT_TYPE, "application/octet-stream")
            .body(Body::from(list))
            .unwrap();
        let sent = officer.send(request).await.json();
        assert_eq!(sent["answers_from"], "gear.csv", "{sent}");
        assert_eq!((&sent["there"][0]["differs"], &sent["there"][1]["updated"]), (&json!([]), &json!(false)), "{sent}");
        assert_eq!(sent["there"][1]["differs"][0], json!({"field": "Lot or batch", "old": "", "new": "B-7"}));
        let path = format!("/api/v1/imports/{}", sent["id"].as_str().unwrap());
        let mut answers = sent["answers"].clone();
        answers["update"] = json!(true);
        officer.json(Method::PUT, &format!("{path}/answers"), &answers).await;
        let ready = officer.json(Method::POST, &format!("{path}/leave-out-wrong"), &json!({})).await.json();
        assert_eq!((&ready["ready"], &ready["left_out"]), (&json!(true), &json!([5])), "{ready}");
        assert!(officer.get(&format!("{path}/left-out.csv")).await.text.contains("R-9"));
        let taken = officer.json(Method::POST, &format!("{path}/take"), &json!({})).await.json();
        assert_eq!(taken, json!({"items": 1, "models": 0, "stores": 1, "updated": 1, "left_out": 1, "held": []}));
    }
}

#[tokio::test]
async fn the_command_updates_and_leaves_out() {
    on_sqlite(async |world| {
        take(&world.desk(), &world.officer, &file(LIST, said()))
            .await
            .unwrap();
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("later.csv");
        let left = folder.path().join("left.csv");
        std::fs::write(&path, LATER.replace("2025,50", "soon,50")).unwrap();
        let run = |more: &[&str]| {
            let done = Command::new(env!("CARGO_BIN_EXE_ropeloft"))
                .args([
                    "import",
                    path.to_str().unwrap(),
                    "--team",
                    "North shaft team",
                ])
                .args(["--as", "officer-north", "--set", "life-support=yes"])
                .args(more)
                .env("ROPELOFT_DATABASE", &world.address)
                .output()
                .unwrap();
            let told = [done.stdout, done.stderr].concat();
            (done.status.success(), String::from_utf8(told).unwrap())
        };
        let (done, told) = run(&[]);
        assert!(
            !done
                && told
                    .contains("row 3 (r-2): differs, stays as it is: Lot or batch: nothing → B-7"),
            "{told}"
        );
        let all = [
            "--update",
            "--leave-out-wrong",
            "--left-out",
            left.to_str().unwrap(),
        ];
        let (done, told) = run(&all);
        assert!(
            done && told
                .contains("0 items, 0 new models, 1 new store; 1 item updated; 1 row left out."),
            "{told}"
        );
        assert!(std::fs::read_to_string(&left).unwrap().contains("R-3"));
        let (done, told) = run(&all);
        assert!(
            !done && told.contains("is there already; name another file"),
            "{told}"
        );
        let (done, told) = run(&["--leave-out", "3,4"]);
        assert!(
            !done && told.contains("Nothing in this list is new"),
            "{told}"
        );
    })
    .await;
}
