//! An inventory goes into the register as a whole or not at all.

use std::fmt::Write;

use ropeloft::{
    deed::{
        DeedError,
        import::{ImportFile, Taken, answer, give_up, keep, look, take, take_waiting, waiting},
    },
    domain::{Change, ExaminationKind, ItemState, NoticeDraft, NoticeId},
    import::{Answers, HISTORY, Question},
};
use uuid::Uuid;

use crate::{import_inventory::said, item_given::OUTSIDE, store_rebuild::again, world::World};

const LIST: &str = "\
Tag,Type,Maker,Model,Serial,Store,Made,MBS (kN),Length (m),Last examined,Next due,State
R-1,Rope,Calder Lines,Ghyll 11,S1,Van 2,2021-03,32,60,2025-12-01,2026-06-01,in service
R-2,Rope,Calder Lines,Ghyll 11,S2,Van 2,2021,32,50,2025-12-01,2031-01-01,in service
R-3,Rope,Calder Lines,Ghyll 11,S3,Van 1,2010,32,50,2025-12-01,,retired
K-1,Connector,Fellside,Oval,,Van 1,2019,24,,,,missing
";

fn file(text: &str) -> ImportFile {
    ImportFile {
        answers: said(),
        ..ImportFile::new("gear.csv", text.as_bytes().to_vec())
    }
}

/// What came of a list of new items.
fn taken_in(items: usize, models: usize, stores: usize) -> Taken {
    Taken {
        items,
        models,
        stores,
        updated: 0,
        left_out: 0,
        held: Vec::new(),
    }
}

/// How many entries the team's ledger has.
async fn entries(world: &World) -> usize {
    let mut tx = world.database.read(world.team).await.unwrap();
    tx.entries_after(0, 10_000).await.unwrap().len()
}

/// The sentence of a refusal on the field `file`.
fn sentence<T: std::fmt::Debug>(done: Result<T, DeedError>) -> String {
    match done {
        Err(DeedError::Invalid(wrong)) => wrong.on("file").collect::<Vec<_>>().join(" "),
        other => panic!("{other:?}"),
    }
}

on_both_databases! {
    async fn a_list_comes_in_with_its_models_stores_and_past(world) {
        world.hold_competent().await;
        let desk = world.desk();
        let taken = take(&desk, &world.officer, &file(LIST)).await.unwrap();
        assert_eq!(taken, taken_in(4, 2, 2));
        let mut tx = world.database.read(world.team).await.unwrap();
        let first = tx.item_marked("r-1").await.unwrap().unwrap();
        assert_eq!(first.state, ItemState::InService);
        assert_eq!(first.made.unwrap().to_string(), "2021-03");
        assert_eq!(first.next_due_on.unwrap().to_string(), "2026-06-01");
        assert_eq!(first.last_passed_on.unwrap().to_string(), "2025-12-01");
        let second = tx.item_marked("R-2").await.unwrap().unwrap();
        assert!(second.next_due_on.unwrap().to_string().as_str() <= "2026-12-01", "the rules' day holds");
        assert_eq!(first.model, second.model);
        let states = ["R-3", "K-1"].map(str::to_owned);
        let mut found = Vec::new();
        for mark in &states {
            found.push(tx.item_marked(mark).await.unwrap().unwrap().state);
        }
        assert_eq!(found, [ItemState::Retired, ItemState::Missing]);
        let examined = tx.last_examination(first.id).await.unwrap().unwrap();
        assert!(examined.findings.starts_with("Taken over from the imported list."));
        let kinds: Vec<String> = tx.entries_after(0, 100).await.unwrap().into_iter().map(|sealed| sealed.kind).collect();
        let told: Vec<&str> = kinds.iter().map(String::as_str).collect();
        assert!(told.ends_with(&[
            "import-taken", "store-added", "store-added", "model-added", "model-added",
            "item-added", "examination-recorded", "item-added", "examination-recorded",
            "item-added", "item-stepped", "item-added", "item-stepped",
        ]), "{kinds:?}");
    }

    async fn nothing_is_stored_if_anything_is_wrong(world) {
        world.hold_competent().await;
        let desk = world.desk();
        let before = entries(&world).await;
        // A strength that cannot be read is asked about, and holds the list up as well.
        let asked = LIST.replace("24,", "24 m,");
        let told = sentence(take(&desk, &world.officer, &file(&asked)).await);
        assert_eq!(told, "Nothing can be taken in yet: 1 question to answer. The list has 4 rows.");
        let wrong = LIST.replace("2021-03", "2021-13");
        let told = sentence(take(&desk, &world.officer, &file(&wrong)).await);
        assert_eq!(told, "Nothing can be taken in yet: 1 error in 1 row to put right. The list has 4 rows.");
        assert_eq!(entries(&world).await, before);
        let broken = ImportFile { name: "x.xlsx".to_owned(), ..file(LIST) };
        assert!(sentence(take(&desk, &world.officer, &broken).await).starts_with("The name \"x.xlsx\" says a workbook"));
        assert!(matches!(take(&desk, &world.crew, &file(LIST)).await, Err(DeedError::Forbidden(_))));
        assert_eq!(entries(&world).await, before);
    }

    async fn a_file_waits_for_its_own_team_and_is_taken_in_once(world) {
        world.hold_competent().await;
        let desk = world.desk();
        let bare = ImportFile { answers: Answers::default(), ..file(LIST) };
        let id = keep(&desk, &world.officer, &bare).await.unwrap();
        assert!(matches!(waiting(&desk, &world.outsider, id).await, Err(DeedError::NotFound(_))));
        assert!(matches!(take_waiting(&desk, &world.outsider, id).await, Err(DeedError::NotFound(_))));
        assert!(matches!(waiting(&desk, &world.auditor, id).await, Err(DeedError::Forbidden(_))));
        let asked = look(&desk, &world.officer, &waiting(&desk, &world.officer, id).await.unwrap()).await.unwrap();
        assert_eq!(asked.questions.len(), 3);
        sentence(take_waiting(&desk, &world.officer, id).await);
        answer(&desk, &world.officer, id, said()).await.unwrap();
        let taken = take_waiting(&desk, &world.officer, id).await.unwrap();
        assert_eq!(taken.items, 4);
        assert!(matches!(take_waiting(&desk, &world.officer, id).await, Err(DeedError::NotFound(_))));
        let again = sentence(take(&desk, &world.officer, &file(LIST)).await);
        assert_eq!(again, "Nothing in this list is new: its 4 items are in the register already.");
        let other = keep(&desk, &world.officer, &bare).await.unwrap();
        give_up(&desk, &world.officer, other).await.unwrap();
        assert!(matches!(waiting(&desk, &world.officer, other).await, Err(DeedError::NotFound(_))));
    }

    async fn a_register_that_changed_since_the_rehearsal_is_respected(world) {
        world.hold_competent().await;
        let desk = world.desk();
        let id = keep(&desk, &world.officer, &file(LIST)).await.unwrap();
        let waits = waiting(&desk, &world.officer, id).await.unwrap();
        assert!(look(&desk, &world.officer, &waits).await.unwrap().is_ready());
        let rope = "Tag,Type,Maker,Model,Store\nr-1,Rope,Other Lines,Force 9,van 2\n";
        take(&desk, &world.officer, &file(rope)).await.unwrap();
        let before = entries(&world).await;
        sentence(take_waiting(&desk, &world.officer, id).await);
        assert_eq!(entries(&world).await, before);
        let rehearsal = look(&desk, &world.officer, &waits).await.unwrap();
        assert_eq!(rehearsal.errors[0].place(), "row 2, column A (Tag)");
        assert_eq!(rehearsal.new_stores, ["Van 1"]);
    }

    async fn what_a_notice_covers_is_held_back(world) {
        world.hold_competent().await;
        let notice = NoticeDraft {
            title: "Gate rivets".to_owned(),
            maker: "Fellside".to_owned(),
            issuer: "Fellside".to_owned(),
            issued_on: "2026-02-01".to_owned(),
            action: "Look at every rivet".to_owned(),
            ..NoticeDraft::default()
        };
        let notice = notice.check(NoticeId(Uuid::now_v7()), ropeloft::domain::date::read_day("2026-03-01").unwrap()).unwrap();
        world.record(Change::NoticeOpened(notice)).await;
        let desk = world.desk();
        let list = "Tag,Type,Maker,Model,Store\nK-1,Connector,fellside,Oval,Bay\nK-2,Connector,Upland,Oval,Bay\n";
        take(&desk, &world.officer, &file(list)).await.unwrap();
        let mut tx = world.database.read(world.team).await.unwrap();
        let held = tx.item_marked("K-1").await.unwrap().unwrap();
        assert_eq!((held.state, held.state_reason.as_str()), (ItemState::Quarantined, "safety notice: Gate rivets"));
        assert_eq!(tx.item_marked("K-2").await.unwrap().unwrap().state, ItemState::InService);
    }

    async fn a_serial_that_the_register_has_is_refused(world) {
        world.hold_competent().await;
        let desk = world.desk();
        take(&desk, &world.officer, &file(LIST)).await.unwrap();
        let more = "Tag,Type,Maker,Model,Serial,Store\nR-9,Rope,Calder Lines,GHYLL 11,s1,Van 2\nR-10,Rope,Calder Lines,Ghyll 11,S9,Van 2\nR-11,Rope,Calder Lines,Ghyll 11,s9,Van 2\n";
        let rehearsal = look(&desk, &world.officer, &file(more)).await.unwrap();
        let told: Vec<_> = rehearsal.errors.iter().map(|e| format!("{}: {}", e.place(), e.message)).collect();
        assert_eq!(told, [
            "row 2, column E (Serial): An item of this model in the register has this serial already.",
            "row 4, column E (Serial): Row 3 has this serial too, for the same model.",
        ]);
    }

    async fn an_examination_by_somebody_who_was_not_competent_is_not_taken_over(world) {
        world.hold_competent().await;
        let desk = world.desk();
        let before = entries(&world).await;
        let list = "Tag,Type,Maker,Model,Store,Made,MBS (kN),Length (m),Last examined,Insp. by\n\
            R-1,Rope,Calder Lines,Ghyll 11,Van 2,2021,32,60,2025-12-01,\n\
            R-2,Rope,Calder Lines,Ghyll 11,Van 2,2021,32,60,2025-12-01,A. Brook & Co\n\
            R-3,Rope,Calder Lines,Ghyll 11,Van 2,2021,32,60,2025-12-01,Nobody Known\n\
            R-4,Rope,Calder Lines,Ghyll 11,Van 2,1990,32,60,1999-12-31,\n";
        let rehearsal = look(&desk, &world.officer, &file(list)).await.unwrap();
        let told: Vec<_> = rehearsal.questions.iter().map(Question::sentence).collect();
        assert_eq!(told.len(), 2, "{told:?}");
        assert!(told[0].contains("begins on 2000-01-01, after 1999-12-31"), "{told:?}");
        let nobody = "\"Nobody Known\" made the last examination in 1 row, first in row 4. Nobody Known is not recorded as competent to examine. What of these examinations?";
        assert_eq!(told[1], nobody);
        sentence(take(&desk, &world.officer, &file(list)).await);
        assert_eq!(entries(&world).await, before);
        // Said to be no examinations that count, they are kept in the note.
        let mut past = file(list);
        let words = past.answers.words.entry("examiner".to_owned()).or_default();
        words.insert("nobody known".to_owned(), HISTORY.to_owned());
        words.insert(OUTSIDE.to_owned(), HISTORY.to_owned());
        take(&desk, &world.officer, &past).await.unwrap();
        let mut tx = world.database.read(world.team).await.unwrap();
        let item = tx.item_marked("R-3").await.unwrap().unwrap();
        assert_eq!(item.note, "Examined 2025-12-01 by Nobody Known, as the list says. Kept as a note: no thorough examination by a competent person.");
        assert!(tx.last_examination(item.id).await.unwrap().is_none());
        // The list names nobody for the first; whoever that was said to be stands under it, and that it was said.
        let item = tx.item_marked("R-1").await.unwrap().unwrap();
        let last = tx.last_examination(item.id).await.unwrap().unwrap();
        assert_eq!((last.examiner.as_str(), last.kind), (OUTSIDE, ExaminationKind::Periodic));
        assert!(last.findings.ends_with("The list names no examiner; who it was, was said when it was brought in."), "{}", last.findings);
    }

    async fn many_rows_come_in_at_once(world) {
        world.hold_competent().await;
        let mut list = "Tag,Type,Maker,Model,Store,Made,Length (m),Last examined\n".to_owned();
        for row in 0..1000 {
            writeln!(list, "R-{row},Rope,Maker {},Model {},Bay {},2020-0{},{}.5,2026-01-{:02}", row % 5, row % 20, row % 3, row % 9 + 1, row % 80 + 10, row % 28 + 1).unwrap();
        }
        let before = entries(&world).await;
        let taken = take(&world.desk(), &world.officer, &file(&list)).await.unwrap();
        assert_eq!(taken, taken_in(1000, 20, 3));
        // Each row is an entry of its own, and each examination one more.
        assert_eq!(entries(&world).await - before, 1 + 3 + 20 + 2 * 1000);
        assert_eq!(again(&world).await.differences, []);
    }

    async fn rows_that_are_written_at_once_are_those_of_one_by_one(world) {
        world.hold_competent().await;
        let desk = world.desk();
        take(&desk, &world.officer, &file(LIST)).await.unwrap();
        assert_eq!(again(&world).await.differences, []);
        let mut tx = world.database.read(world.team).await.unwrap();
        let item = tx.item_marked("R-3").await.unwrap().unwrap();
        let history = tx.history_of(item.id.0, None, 10).await.unwrap();
        let kinds: Vec<&str> = history.iter().map(|sealed| sealed.kind.as_str()).collect();
        // What is retired gets no examination that nobody recorded; a step of its own says its state.
        assert_eq!(kinds, ["item-stepped", "item-added"]);
    }
}
