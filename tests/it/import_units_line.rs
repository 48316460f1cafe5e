//! A line of units below the headings, totals in any column, and months in the languages of the headings.

use ropeloft::domain::Made;
use ropeloft::import::{Question, Rehearsal};

use crate::import_inventory::{rehearsed, said};

fn read(text: &str) -> Rehearsal {
    rehearsed("x.csv", text.as_bytes(), &said())
}

fn remarks(rehearsal: &Rehearsal) -> String {
    let all = rehearsal.remarks.iter();
    all.map(|remark| remark.sentence.as_str())
        .collect::<Vec<_>>()
        .join("\n")
}

#[test]
fn a_line_of_units_is_read_as_those_of_the_columns() {
    let told = read(
        "Mark;Type;Maker;Model;Serial No;Made;MBS;Diameter;Length;Store\n;;;;;yyyy;[daN];(mm);m;-\nR1;Rope;S;Low;1;2021;3000;11;60;Van\n",
    );
    assert_eq!((&told.questions, &told.errors), (&vec![], &vec![]));
    assert!(
        remarks(&told).contains("it says the units of the columns."),
        "{}",
        remarks(&told)
    );
    let plan = told.plan.unwrap();
    assert_eq!(plan.items.len(), 1);
    let model = &plan.models[0].draft;
    assert_eq!(
        (
            model.ratings[0].value.as_str(),
            model.attributes["diameter"].as_str()
        ),
        ("3000 daN", "11 mm")
    );
    assert_eq!(plan.items[0].draft.attributes["length"], "60 m");
}

#[test]
fn units_that_speak_against_the_headings_are_asked_about() {
    let told = read(
        "Mark;Type;Maker;Model;Serial No;Made;Length (m);Store\n;;;;;;ft;\nR1;Rope;S;Low;1;2021;200;Van\n",
    );
    assert!(
        told.questions
            .iter()
            .any(|one| matches!(one, Question::Unit { .. })),
        "{:?}",
        told.questions
    );
}

#[test]
fn an_item_is_never_taken_for_a_line_of_units() {
    let told = read(
        "Mark;Type;Maker;Model;Serial No;Made;MBS;Store\nm;Sling;S;Loop;1;2021;22 kN;Van\nm2;Sling;S;Loop;2;2021;22 kN;Van\n",
    );
    assert_eq!(told.plan.unwrap().items.len(), 2);
}

#[test]
fn a_total_is_known_in_any_column_of_text() {
    let list = |last: &str| {
        read(&format!(
            "Store;Type;Maker;Mark;Model;Serial No;Made;Note\nVan;Sling;S;L1;Loop;1;2021;\n{last}\n"
        ))
    };
    for total in [";213 pcs;;Total;;;;", ";;Summe;12;;;;", ";;;;Total: 12;;;"] {
        let told = list(total);
        assert_eq!(
            (&told.questions, &told.errors),
            (&vec![], &vec![]),
            "{total}"
        );
        assert_eq!(told.plan.unwrap().items.len(), 1, "{total}");
    }
    // A note may begin with any word.
    let told = list("Van;Sling;S;L2;Loop;2;2021;total length with bag 2");
    assert_eq!(told.plan.unwrap().items.len(), 2);
    let told = list("Van;;S;L2;;2;2021;total length with bag 2");
    assert!(!told.questions.is_empty() || !told.errors.is_empty());
}

#[test]
fn months_are_read_in_the_languages_of_the_headings() {
    for (text, made) in [
        ("März 2020", "2020-03"),
        ("Maerz 2020", "2020-03"),
        ("Mrz. 2020", "2020-03"),
        ("Dez 20", "2020-12"),
        ("17. Mai 2021", "2021-05-17"),
        ("3. Okt. 2021", "2021-10-03"),
        ("Jänner 2022", "2022-01"),
        ("1er février 2019", "2019-02-01"),
        ("août 2019", "2019-08"),
        ("déc. 2019", "2019-12"),
        ("juin 2019", "2019-06"),
        ("juil. 2019", "2019-07"),
        ("Sept 2018", "2018-09"),
    ] {
        let told = read(&format!(
            "Mark;Type;Maker;Model;Serial No;Made;Store\nL1;Sling;S;Loop;1;{text};Van\n"
        ));
        assert_eq!(told.errors, [], "{text}");
        let plan = told.plan.unwrap();
        let read: Made = Made::read(&plan.items[0].draft.made).unwrap();
        assert_eq!(read.to_string(), made, "{text}");
    }
    // June and July alike.
    for text in ["jui 2019", "Ma 2019", "Monat 2019"] {
        let told = read(&format!(
            "Mark;Type;Maker;Model;Serial No;Made;Store\nL1;Sling;S;Loop;1;{text};Van\n"
        ));
        assert_eq!(told.errors.len(), 1, "{text}");
    }
}
