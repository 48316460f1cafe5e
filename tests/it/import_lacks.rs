//! What a list says of a model that the register has, and the register lacks.

use ropeloft::{
    deed::{
        Desk,
        import::{ImportFile, look, take},
    },
    import::{Fate, Rehearsal},
};

use crate::import_inventory::said;

on_both_databases! {
    async fn an_approval_that_the_model_on_the_register_lacks_is_told_with_its_rows(world) {
        let desk = Desk { database: world.database.clone(), clock: world.clock.clone(), files: world.files() };
        let file = |text: &str| ImportFile { answers: said(), ..ImportFile::new("gear.csv", text.as_bytes().to_vec()) };
        let fates = |told: &Rehearsal| told.rows.iter().map(|row| row.fate).collect::<Vec<_>>();
        let list = |rows: &str| format!("Tag,Type,Maker,Model,Serial,Store,Made,Standard,MBS (kN)\n{rows}");
        let first = list("H-1,Harness,Fellside,Full,S1,Van 2,2021,EN 361,15\n");
        take(&desk, &world.officer, &file(&first)).await.unwrap();
        let more = list("H-1,Harness,Fellside,Full,S1,Van 2,2021,EN 361,15\nH-2,Harness,Fellside,Full,S2,Van 2,2021,EN 361; EN 358,15\n");
        let rehearsal = look(&desk, &world.officer, &file(&more)).await.unwrap();
        assert_eq!(fates(&rehearsal), [Fate::Same, Fate::KnownModel], "{:?}", rehearsal.errors);
        let sentence = "The list says EN 358 as standard of Fellside Full; the register has EN 361 there. It stays as it is in the register: where the list is right, revise the record of the model.";
        let remarks = |rehearsal: &Rehearsal| -> Vec<(String, Vec<u32>)> {
            let all = rehearsal.remarks.iter();
            let of_model = all.filter(|remark| remark.sentence.contains("Fellside Full"));
            of_model.map(|remark| (remark.sentence.clone(), remark.at.clone())).collect()
        };
        assert_eq!(remarks(&rehearsal), [(sentence.to_owned(), vec![3])]);
        // The row of an item that is there already tells it too, and what it says otherwise.
        let again = list("H-1,Harness,Fellside,Full,S1,Van 2,2021,EN 358,16\n");
        let rehearsal = look(&desk, &world.officer, &file(&again)).await.unwrap();
        assert_eq!(fates(&rehearsal), [Fate::Same]);
        let other = "The list says 16 kN as breaking strength of Fellside Full; the register has 15 kN there. It stays as it is in the register: where the list is right, revise the record of the model.";
        assert_eq!(remarks(&rehearsal), [(other.to_owned(), vec![2]), (sentence.to_owned(), vec![2])]);
    }
}
