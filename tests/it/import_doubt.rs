//! What a list says of a strength or a serial and can hardly mean: it never comes in without a word.

use ropeloft::import::{Answers, DecimalMark, Question, Rehearsal};

use crate::import_inventory::{rehearsed, said};

const HEAD: &str = "Mark;Type;Maker;Model;Serial No;Made;MBS (kN);Store\n";

fn read(rows: &str, answers: &Answers) -> Rehearsal {
    rehearsed("x.csv", format!("{HEAD}{rows}").as_bytes(), answers)
}

/// The breaking strengths that a plan has, in the order of its models.
fn strengths(rehearsal: Rehearsal) -> Vec<String> {
    assert_eq!((rehearsal.questions, rehearsal.errors), (vec![], vec![]));
    let models = rehearsal.plan.unwrap().models.into_iter();
    let ratings = models.flat_map(|model| model.draft.ratings);
    ratings.map(|rating| rating.value).collect()
}

#[test]
fn a_power_of_ten_is_asked_about_and_never_read_in_part() {
    for cell in [
        "2E+40",
        "2.5E+01",
        "1.5E+02",
        "5.0E-01",
        "2.5E+01 kN",
        "MBS 2.5E+01 kN WLL 6 kN",
        "22 kN / becket 1.8E+01 kN",
    ] {
        let kind = if cell.contains("becket") {
            "Pulley"
        } else {
            "Sling"
        };
        let rehearsal = read(&format!("A1;{kind};S;Ov;1;2021;{cell};B\n"), &said());
        let [question @ Question::Word { .. }] = rehearsal.questions.as_slice() else {
            panic!("{cell}: {:?} {:?}", rehearsal.questions, rehearsal.errors);
        };
        assert!(
            question
                .sentence()
                .contains(&format!("\"{cell}\" cannot be read")),
            "{}",
            question.sentence()
        );
        // No part of it is offered as the strength.
        let choices = question.choices();
        assert_eq!(choices.len(), 1, "{cell}: {choices:?}");
        assert!(rehearsal.plan.is_none());
    }
}

#[test]
fn a_strength_that_such_gear_hardly_has_is_asked_and_taken_as_it_is_answered() {
    let rows = "K1;Connector;S;Oval;1;2021;225;B\nR1;Rope;S;Low;2;2021;320;B\n\
        T1;Tripod;S;Three;3;2021;320;B\nK2;Connector;S;Pear;4;2021;100;B\n";
    let asked = read(rows, &said());
    let sentences: Vec<String> = asked.questions.iter().map(Question::sentence).collect();
    assert_eq!(
        sentences,
        [
            "Is the breaking strength, loaded as usual really 225 kN? Such gear seldom holds more than 100 kN, and a decimal mark that was lost makes it ten times too strong. It stands in 1 row, first in row 2.",
            "Is the breaking strength, loaded as usual really 320 kN? Such gear seldom holds more than 100 kN, and a decimal mark that was lost makes it ten times too strong. It stands in 2 rows, first in row 3.",
        ]
    );
    let keys = asked.questions[0].choices().into_iter().map(|(key, _)| key);
    let keys: Vec<String> = keys.collect();
    assert_eq!(keys, ["22.5 kN", "225 kN", "in-note"]);
    let mut answers = said();
    let words = answers
        .words
        .entry("breaking-strength".to_owned())
        .or_default();
    words.insert("225 kN".to_owned(), "22.5 kN".to_owned());
    words.insert("320 kN".to_owned(), "320 kN".to_owned());
    let mut told = strengths(read(rows, &answers));
    told.sort();
    assert_eq!(told, ["100 kN", "22.5 kN", "320 kN", "320 kN"]);
}

#[test]
fn a_serial_is_never_that_of_the_line_above() {
    let rows = "K1;Connector;S;Oval;8;2021;25;B\nK2;Connector;S;Oval;do.;do.;do.;do.\n";
    let rehearsal = read(rows, &said());
    let [error] = rehearsal.errors.as_slice() else {
        panic!("{:?}", rehearsal.errors);
    };
    assert_eq!(
        (error.place().as_str(), error.message.as_str()),
        (
            "row 3, column E (Serial No)",
            "\"do.\" says that the line above holds here too, but a serial is one item's own. Write the serial of this item, or leave the cell empty."
        )
    );
    // A lot is that of many.
    let text = format!("{HEAD}{rows}").replace("Serial No", "Batch");
    let plan = rehearsed("x.csv", text.as_bytes(), &said()).plan.unwrap();
    let lots: Vec<&str> = plan
        .items
        .iter()
        .map(|item| item.draft.lot.as_str())
        .collect();
    assert_eq!(lots, ["8", "8"]);
}

#[test]
fn only_the_figure_itself_says_that_it_is_so() {
    let rows = "K1;Connector;S;Oval;1;2021;360;B\nK2;Connector;S;Oval;2;2021;360;B\n";
    let mut answers = said();
    let mut answer = |word: &str, meaning: &str| {
        let words = answers.words.entry("breaking-strength".to_owned());
        let words = words.or_default();
        words.insert(word.to_owned(), meaning.to_owned());
        read(rows, &answers)
    };
    let asked = answer("360 kN", "370 kN");
    let [question @ Question::Word { rows: 2, .. }] = asked.questions.as_slice() else {
        panic!("{:?}", asked.questions);
    };
    let sentence = question.sentence();
    assert!(sentence.contains(" really 370 kN?"), "{sentence}");
    assert!(asked.plan.is_none());
    let again = answer("370 kN", "360 kN");
    assert_eq!(again.questions.len(), 1, "neither of the two says so");
    let told = answer("370 kN", "370 kN");
    let sentence =
        "360 kN is taken as 370 kN, as was said: it is the breaking strength, loaded as usual.";
    let of_it = |told: &Rehearsal| {
        told.remarks
            .iter()
            .find(|one| one.sentence == sentence)
            .map(|one| one.rows)
    };
    assert_eq!(of_it(&told), Some(2), "{:?}", told.remarks);
    assert_eq!(strengths(told), ["370 kN"]);
    let told = answer("360 kN", "360 kN");
    assert!(
        !told
            .remarks
            .iter()
            .any(|one| one.sentence.contains("is taken as")),
        "{:?}",
        told.remarks
    );
    assert_eq!(strengths(told), ["360 kN"]);
    let told = answer("360 kN", "36 kN");
    assert!(told.remarks.iter().any(|one| {
        one.sentence
            .starts_with("360 kN is taken as 36 kN, as was said")
    }));
    assert_eq!(strengths(told), ["36 kN"]);
}

#[test]
fn a_mark_that_may_part_thousands_is_asked_about_whatever_the_cells_around_it_show() {
    let text = "mark;kind;maker;model;store;life support;made;length\nR1;rope;S;Low;B;yes;2021;60,5 m\nR2;rope;S;Low;B;yes;2021;11,200 ft\n";
    let read = |answers: &Answers| rehearsed("x.csv", text.as_bytes(), answers);
    let asked = read(&said());
    let sentences: Vec<String> = asked.questions.iter().map(Question::sentence).collect();
    assert_eq!(
        sentences,
        ["Is the decimal mark of \"11,200 ft\" (row 3, length) a point or a comma?"]
    );
    assert!(asked.plan.is_none());
    let with = |decimal| Answers {
        decimal: Some(decimal),
        ..said()
    };
    let plan = read(&with(DecimalMark::Comma)).plan.unwrap();
    let lengths = plan
        .items
        .iter()
        .map(|item| item.draft.attributes["length"].as_str());
    assert_eq!(lengths.collect::<Vec<_>>(), ["60.5 m", "11.2 ft"]);
    // Nobody can say that it is a mark of thousands while the cell above it has it as a decimal mark.
    let torn = read(&with(DecimalMark::Point));
    let [error] = torn.errors.as_slice() else {
        panic!("{:?}", torn.errors);
    };
    assert_eq!(error.place(), "row 3, column H (length)");
    assert!(
        error.message.starts_with(
            "\"11,200 ft\" can be read in two ways: other numbers of the column have a comma"
        ),
        "{}",
        error.message
    );
}

#[test]
fn a_load_is_asked_about_beside_what_breaks_the_gear_and_a_cord_by_its_thickness() {
    let text = "Mark;Type;Maker;Model;Made;MBS (kN);WLL (kN);Diameter (mm);Store\nK1;Connector;S;Oval;2021;22;15;;B\nC1;Cord;S;Thin;2021;32;;4;B\n";
    let read = |answers: &Answers| rehearsed("x.csv", text.as_bytes(), answers);
    let asked = read(&said());
    let sentences: Vec<String> = asked.questions.iter().map(Question::sentence).collect();
    assert_eq!(
        sentences,
        [
            "Is the working limit, loaded as usual really 15 kN? What breaks it, 22 kN, is only 1.47 times that, and of such gear seldom less than 3 times. It stands in 1 row, first in row 2.",
            "Is the breaking strength, loaded as usual really 32 kN? Such gear of 4 mm seldom holds more than 19.2 kN, and a decimal mark that was lost makes it ten times too strong. It stands in 1 row, first in row 3.",
        ]
    );
    let mut answers = said();
    for (field, from, to) in [
        ("working-limit", "15 kN", "15 kN"),
        ("breaking-strength", "32 kN", "3.2 kN"),
    ] {
        let words = answers.words.entry(field.to_owned()).or_default();
        words.insert(from.to_owned(), to.to_owned());
    }
    let mut told = strengths(read(&answers));
    told.sort();
    assert_eq!(told, ["15 kN", "22 kN", "3.2 kN"]);
}
