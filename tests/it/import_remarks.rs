//! Remarks that restrict an item, rows without a state, and those out of service: nothing is said of them that the list
//! does not say.

use ropeloft::deed::{
    Desk,
    import::{ImportFile, take},
};
use ropeloft::domain::ItemState;
use ropeloft::import::{Answers, Restricted, Target};

use crate::import_cells::{asked, planned};
use crate::import_inventory::{rehearsed, said};

const REMARKS: &str = "\
Tag,Kind,Make,Model,Set,Location,State,Last insp.,Insp. by,Remarks
R1,Rope,Aldermark,Lay 11,Main,Van,ok,2025-12-01,A. Brook & Co,red
R2,Rope,Aldermark,Lay 11,Main,Van,ok,2025-12-01,A. Brook & Co,tag line ONLY
R3,Rope,Aldermark,Lay 11,Training,Van,ok,2025-12-01,A. Brook & Co,
R4,Rope,Aldermark,Lay 11,Main,Van,,2025-12-01,A. Brook & Co,
R5,Rope,Aldermark,Lay 11,Main,Van,quarantine,2025-12-01,A. Brook & Co,oil?? ask
R6,Rope,Aldermark,Lay 11,Main,Van,scrap,2025-12-01,A. Brook & Co,
";

fn remarks() -> Answers {
    let mut answers = said();
    let set = ("Set".to_owned(), Target::InNote);
    answers.headings.extend([set]);
    answers
}

#[test]
fn remarks_that_restrict_and_an_empty_state_are_asked_about() {
    let first = rehearsed("list.csv", REMARKS.as_bytes(), &remarks());
    assert_eq!(
        asked(&first),
        [
            "What holds for the 1 row that says nothing about the state that the item is in, though others do (first: row 5)?",
            "2 rows have remarks that may restrict what the items are for, or leave something open: R2 \"tag line ONLY\"; R3 \"Training\". What becomes of these items?",
        ]
    );
    let mut answers = remarks();
    answers.restricted = Some(Restricted::Quarantine);
    answers
        .silent
        .insert("state".to_owned(), "quarantined".to_owned());
    let words = answers.words.entry("note".to_owned()).or_default();
    words.insert("tag line only".to_owned(), "go".to_owned());
    let plan = planned(REMARKS, &answers);
    let told: Vec<_> = plan
        .items
        .iter()
        .map(|item| {
            let verdict = item.examination.as_ref().map(|one| one.verdict.as_str());
            (verdict, item.step.as_ref().map(|one| one.step.key()))
        })
        .collect();
    assert_eq!(
        told,
        [
            (Some("fit"), None),
            (Some("fit"), None),
            (Some("fit"), Some("quarantine")),
            (None, Some("quarantine")),
            (None, Some("quarantine")),
            (None, Some("retire")),
        ]
    );
    let reason = |at: usize| plan.items[at].step.as_ref().unwrap().reason.as_str();
    assert_eq!(
        reason(2),
        "The imported list says: Training. Held until somebody has looked at it."
    );
    assert_eq!(
        reason(3),
        "The imported list says nothing of the state; so it was said when the list was brought in."
    );
    assert!(
        plan.items[4].draft.note.contains(
            "Last inspected 2025-12-01 by A. Brook & Co, says the list. It names no result of that inspection."
        ),
        "{}",
        plan.items[4].draft.note
    );
}

on_both_databases! {
    async fn what_a_list_says_of_its_items_stands_on_their_records(world) {
        world.hold_competent().await;
        let mut answers = remarks();
        answers.restricted = Some(Restricted::Quarantine);
        answers.silent.insert("state".to_owned(), "quarantined".to_owned());
        let file = ImportFile { answers, ..ImportFile::new("list.csv", REMARKS.as_bytes().to_vec()) };
        let desk = Desk { database: world.database.clone(), clock: world.clock.clone(), files: world.files() };
        assert_eq!(take(&desk, &world.officer, &file).await.unwrap().items, 6);
        let mut tx = world.database.read(world.team).await.unwrap();
        for (mark, state, is_examined) in [
            ("R1", ItemState::InService, true), ("R2", ItemState::Quarantined, true), ("R4", ItemState::Quarantined, false),
            ("R5", ItemState::Quarantined, false), ("R6", ItemState::Retired, false),
        ] {
            let item = tx.item_marked(mark).await.unwrap().unwrap();
            let examined = tx.last_examination(item.id).await.unwrap().is_some();
            assert_eq!((item.state, examined), (state, is_examined), "{mark}");
        }
    }

    async fn a_page_asks_once_what_becomes_of_restricted_items_and_proposes_quarantine(world) {
        world.hold_competent().await;
        let officer = world.visitor(&world.officer).await;
        let page = officer.upload("/import", &[("file", Some("list.csv"), REMARKS.as_bytes())]).await.location().to_owned();
        let text = officer.get(&page).await.text;
        for words in [
            "1 row has remarks", "value=\"quarantine\" selected", "words-mean[tag line ONLY]",
            "In quarantine until somebody has looked", "Last inspections taken as passed",
        ] {
            assert!(text.contains(words), "{words}\n{text}");
        }
    }
}
