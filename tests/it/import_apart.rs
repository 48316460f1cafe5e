//! Rows that got a model of their own are known again when the list is brought again.

use ropeloft::{
    deed::{
        Desk,
        import::{ImportFile, look, take},
    },
    import::{Answers, Fate},
};

use crate::import_inventory::{rehearsed, said};

fn file(text: &str, answers: Answers) -> ImportFile {
    ImportFile {
        answers,
        ..ImportFile::new("gear.csv", text.as_bytes().to_vec())
    }
}

on_both_databases! {
    async fn rows_that_got_a_model_of_their_own_are_there_when_the_list_comes_again(world) {
        let list = "Tag,Type,Maker,Model,Serial,Store,Made,MBS (kN)\n\
            K-1,Connector,Aldbrae,Ovalis,S1,Van 2,2021,25\nK-2,Connector,Aldbrae,Ovalis,S2,Van 2,2021,24\n";
        let apart = || {
            let mut answers = said();
            let fields = answers.agreed.entry("Aldbrae Ovalis".to_owned()).or_default();
            fields.insert("breaking-strength".to_owned(), "apart".to_owned());
            answers
        };
        let desk = Desk { database: world.database.clone(), clock: world.clock.clone(), files: world.files() };
        let fates = |told: &ropeloft::import::Rehearsal| told.rows.iter().map(|row| row.fate).collect::<Vec<_>>();
        assert_eq!(take(&desk, &world.officer, &file(list, apart())).await.unwrap().items, 2);
        let more = format!("{list}K-3,Connector,Aldbrae,Ovalis,S3,Van 2,2021,25\nK-4,Connector,Aldbrae,Ovalis,S4,Van 2,2021,24\n");
        for answers in [apart(), said()] {
            let again = look(&desk, &world.officer, &file(list, answers)).await.unwrap();
            assert_eq!(fates(&again), [Fate::Same; 2], "{:?}", again.errors);
        }
        let longer = look(&desk, &world.officer, &file(&more, apart())).await.unwrap();
        assert_eq!(fates(&longer), [Fate::Same, Fate::Same, Fate::KnownModel, Fate::KnownModel], "{:?}", longer.errors);
        // Another strength than that of the model is another thing.
        let other = look(&desk, &world.officer, &file(&list.replace(",24", ",23"), said())).await.unwrap();
        assert_eq!(fates(&other)[1], Fate::Wrong(1));
    }
}

#[test]
fn what_was_said_to_hold_of_a_model_holds_though_a_later_row_says_it_first() {
    let text = "Tag,Type,Maker,Model,Serial,Store,Made,MBS (kN),Standard\n\
        K-1,Connector,Aldbrae,Ovalis,S1,Van 2,2021,25,EN 362\n\
        K-2,Connector,Aldbrae,Ovalis,S2,Van 2,2021,24,EN 12275\n\
        K-3,Connector,Aldbrae,Ovalis,S3,Van 2,2021,25,EN 12275:2013\n";
    let mut answers = said();
    let fields = answers
        .agreed
        .entry("Aldbrae Ovalis".to_owned())
        .or_default();
    fields.insert("breaking-strength".to_owned(), "apart".to_owned());
    fields.insert("standard".to_owned(), "EN 566".to_owned());
    let text = text.replace("EN 12275:2013", "EN 566");
    let plan = rehearsed("gear.csv", text.as_bytes(), &answers)
        .plan
        .unwrap();
    let told = plan.models.iter().map(|model| {
        let approvals = model.draft.approvals.iter();
        let standards: Vec<&str> = approvals.map(|one| one.standard.as_str()).collect();
        (model.draft.name.as_str(), model.items, standards)
    });
    let told: Vec<_> = told.collect();
    assert_eq!(
        told,
        [
            ("Ovalis", 2, vec!["EN 566"]),
            ("Ovalis (24 kN)", 1, vec!["EN 566"])
        ]
    );
}
