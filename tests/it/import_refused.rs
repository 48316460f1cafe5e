//! What an import refuses, and the sentence with which it does so.

use ropeloft::domain::{ItemDraft, ItemId, Material, Model, ModelDraft, ModelId, Store, StoreId};
use ropeloft::import::{
    Answers, Field, ImportFailure, Known, MOST_ROWS, ModelRef, Question, StoreRef, Target,
    read_table, rehearse,
};
use time::macros::{date, datetime};
use uuid::Uuid;

use crate::import_inventory::rehearsed;

fn failure(name: &str, bytes: &[u8]) -> ImportFailure {
    let table = match read_table(name, bytes, None) {
        Ok(table) => table,
        Err(failure) => return failure,
    };
    rehearse(
        &table,
        &Answers::default(),
        &Known::default(),
        date!(2026 - 11 - 25),
    )
    .unwrap_err()
}

#[test]
fn files_that_are_no_list_are_refused_as_a_whole() {
    let cases: &[(&str, &[u8], &str)] = &[
        ("x.csv", b"", "The file is empty."),
        ("x.csv", b" \n\n  \n", "The file is empty."),
        (
            "x.pdf",
            b"mark,kind\n",
            "A file named \"x.pdf\" cannot be read.",
        ),
        (
            "x.csv",
            b"PK\x03\x04rest",
            "The name \"x.csv\" says text, but the content is a packed file",
        ),
        (
            "x.xlsx",
            b"mark,kind\n1,rope\n",
            "The name \"x.xlsx\" says a workbook, but the content is something else.",
        ),
        (
            "x.csv",
            b"mark,\x00kind\n1,rope\n",
            "The file is neither text nor a workbook.",
        ),
        ("x.xlsx", b"PK\x03\x04rest", "The workbook is damaged"),
        (
            "x.csv",
            b"mark,kind,maker\n",
            "The last row of the list is row 1, \"mark; kind; maker\". It is taken for the headings, and there is no row below it.",
        ),
        (
            "x.csv",
            b"hello there",
            "The last row of the list is row 1, \"hello there\". It is taken for the headings",
        ),
        (
            "x.csv",
            b"mark,kind,Mark,Mark (column C)\n1,rope,2\n",
            "The heading \"Mark (column C)\" stands in column C and in column D.",
        ),
    ];
    for (name, bytes, sentence) in cases {
        let said = failure(name, bytes).to_string();
        assert!(said.starts_with(sentence), "{name}: {said}");
    }
}

#[test]
fn the_limits_say_what_was_given() {
    let large = vec![b'x'; 20 * 1024 * 1024 + 1];
    let said = failure("x.csv", &large).to_string();
    assert!(
        said.starts_with("A file may have 20 MB at most; this one has 20.1 MB."),
        "{said}"
    );

    let mut rows = "mark,kind\n".to_owned();
    rows.push_str(&"1,rope\n".repeat(MOST_ROWS));
    assert!(read_table("x.csv", rows.as_bytes(), None).is_ok());
    rows.push_str("1,rope\n");
    assert_eq!(
        failure("x.csv", rows.as_bytes()),
        ImportFailure::Rows { row: 50_002 }
    );

    let wide = format!("mark,kind\n1{}x\n", ",".repeat(200));
    let said = failure("x.csv", wide.as_bytes()).to_string();
    assert!(said.contains("row 2 has a cell in column GS"), "{said}");

    let long = format!("mark,note\n1,{}\n", "x".repeat(4001));
    let said = failure("x.csv", long.as_bytes()).to_string();
    assert!(said.contains("row 2, column B has 4001"), "{said}");
}

/// Every error as "place: code".
fn errors(text: &str) -> Vec<String> {
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &Answers::default());
    assert!(rehearsal.plan.is_none());
    rehearsal
        .errors
        .iter()
        .map(|error| format!("{}: {}", error.place(), error.code))
        .collect()
}

#[test]
fn every_wrong_cell_is_named_at_once() {
    let text = "\
mark,kind,maker,model,store,life support,made,length (m),MBS,first used,serial
1,rope,Fellside,Beck,Bay,yes,2030,60,32 stone,2020-01-01,=A1
2,rope,Fellside,Beck,Bay,perhaps,31/02/2020,60 kN,-5 kN,2020,ok
,rope,Fellside,Beck,Bay,yes,2019,abc,1e,,
1,rope,Fellside,Beck,Bay,yes,2019,NaN,inf kN,soon,
";
    assert_eq!(
        errors(text),
        [
            "row 2, column G (made): range",
            "row 2, column J (first used): range",
            "row 2, column K (serial): formula",
            "row 3, column G (made): date",
            "row 3, column H (length (m)): unit",
            "row 3, column I (MBS): range",
            "row 4, column A (mark): required",
            "row 4, column H (length (m)): number",
            "row 5, column A (mark): taken",
            "row 5, column H (length (m)): number",
            "row 5, column J (first used): date",
        ]
    );
    // What cannot be read as a strength is asked about, once a text.
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &Answers::default());
    let words = rehearsal.questions.iter().filter_map(|one| match one {
        Question::Word { word, .. } => Some(word.as_str()),
        _ => None,
    });
    assert_eq!(words.collect::<Vec<_>>(), ["1e", "32 stone", "inf kN"]);
}

#[test]
fn rows_are_numbered_as_a_spreadsheet_shows_them() {
    let text = "mark,kind,maker,model,store,life support,note\r\n\r\n1,helmet,F,D,B,yes,\"two\r\nlines\"\r\n\r\n2,helmet,F,D,B,maybe,\r\n";
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &Answers::default());
    let [Question::Differs { said, .. }] = rehearsal.questions.as_slice() else {
        panic!("{:?}", rehearsal.questions);
    };
    let rows: Vec<&[u32]> = said.iter().map(|(_, rows)| rows.as_slice()).collect();
    assert_eq!(rows, [[3], [5]]);
}

#[test]
fn a_heading_with_a_unit_of_another_kind_is_refused() {
    let text = "mark,kind,maker,model,store,life support,length (kN)\n1,rope,F,D,B,yes,60\n";
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &Answers::default());
    assert_eq!(
        rehearsal.errors[0].message,
        "The heading says kN, which is no unit of this. Write the unit behind \"60\", or in the heading."
    );
}

#[test]
fn rows_that_contradict_each_other_on_a_model_are_asked_about_and_both_named() {
    let text = "\
mark,kind,maker,model,store,life support,diameter
1,rope,Fellside,Beck,Bay,yes,11 mm
2,rope,fellside,BECK,Bay,yes,10.5 mm
";
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &Answers::default());
    assert_eq!(rehearsal.errors, []);
    let [question] = rehearsal.questions.as_slice() else {
        panic!("{:?}", rehearsal.questions);
    };
    assert_eq!(
        question.sentence(),
        "The rows of Fellside Beck say two things of the nominal diameter. Which holds for all of them?"
    );
    let choices = question.choices().into_iter().map(|(_, words)| words);
    let choices: Vec<String> = choices.collect();
    assert_eq!(choices[..2], ["11 mm (row 2)", "10.5 mm (row 3)"]);
}

#[test]
fn a_column_written_in_two_orders_is_an_error() {
    let text = "\
mark,kind,maker,model,store,life support,made
1,helmet,F,D,B,yes,13/02/2020
2,helmet,F,D,B,yes,02/13/2020
";
    assert_eq!(errors(text), ["row 3, column G (made): date"]);
}

#[test]
fn two_headings_for_one_field_are_asked_about_until_one_is_mapped_away() {
    let text = "mark,kind,maker,model,store,life support,serial no,s/n\n1,helmet,F,D,B,yes,5,6\n";
    let asked = rehearsed("x.csv", text.as_bytes(), &Answers::default());
    assert_eq!(
        asked.questions[0].sentence(),
        "What is the column \"s/n\" (H, 1 cell, such as \"6\")? \"serial no\" is read as \"Serial number\" already. Say which field it is, keep it in the note, or leave it out."
    );
    assert_eq!((asked.errors.len(), asked.tally().wait), (0, 1));
    let mut answers = Answers::default();
    for heading in ["s/n", "serial no"] {
        let serial = Target::Field(Field::Serial);
        answers.headings.insert(heading.to_owned(), serial);
    }
    let wrong = rehearsed("x.csv", text.as_bytes(), &answers);
    assert_eq!(wrong.errors[0].place(), "row 1, column H (s/n)");
    answers.headings.clear();
    answers.headings.insert("S/N".to_owned(), Target::LeaveOut);
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &answers);
    assert_eq!(rehearsal.plan.unwrap().items[0].draft.serial, "5");
}

#[test]
fn an_unknown_heading_is_asked_and_can_be_mapped() {
    let text = "mark,kind,maker,model,store,life support,Zugwert kN,Purchase order\n1,rope,F,D,B,yes,32,881\n";
    let mut answers = Answers::default();
    answers
        .silent
        .insert("strength-source".to_owned(), "paper".to_owned());
    let asked = rehearsed("x.csv", text.as_bytes(), &answers);
    let sentences: Vec<_> = asked.questions.iter().map(Question::sentence).collect();
    assert_eq!(
        sentences[0],
        "What is the column \"Zugwert kN\" (G, 1 cell, such as \"32\")? Say which field it is, keep it in the note, or leave it out."
    );
    assert_eq!(
        asked.sentence(),
        "Nothing can be taken in yet: 2 questions to answer. The list has 1 row."
    );
    answers.headings.insert(
        "zugwert kn".to_owned(),
        Target::from_words("breaking strength").unwrap(),
    );
    answers
        .headings
        .insert("Purchase order".to_owned(), Target::InNote);
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &answers);
    assert_eq!(
        rehearsal.sentence(),
        "1 item can be taken in, with 1 new model and 1 new store."
    );
    let plan = rehearsal.plan.unwrap();
    assert_eq!(plan.models[0].draft.ratings[0].value, "32 kN");
    assert_eq!(plan.items[0].draft.note, "Purchase order: 881");

    answers
        .headings
        .insert("Farbe".to_owned(), Target::LeaveOut);
    let table = read_table("x.csv", text.as_bytes(), None).unwrap();
    let failure = rehearse(&table, &answers, &Known::default(), date!(2026 - 11 - 25)).unwrap_err();
    assert!(
        failure
            .to_string()
            .starts_with("There is no heading \"Farbe\" to map."),
        "{failure}"
    );
}

#[test]
fn unknown_kinds_are_asked_and_may_be_left_out() {
    let text = "mark,kind,maker,model,store,life support\n1,thingummy,F,D,B,no\n2,Thingummy,F,D,B,no\n3,whatsit,F,E,B,yes\n";
    let mut answers = Answers::default();
    let asked = rehearsed("x.csv", text.as_bytes(), &answers);
    assert_eq!(
        asked.questions[0].sentence(),
        "What does \"thingummy\" mean as kind of gear? It stands in 2 rows, first in row 2."
    );
    let kinds = answers.words.entry("kind".to_owned()).or_default();
    kinds.insert("thingummy".to_owned(), "leave-out".to_owned());
    kinds.insert("whatsit".to_owned(), "swivel".to_owned());
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &answers);
    assert_eq!(
        rehearsal.sentence(),
        "1 item can be taken in, with 1 new model and 1 new store; 2 rows left out."
    );
}

fn known() -> Known {
    let draft = ModelDraft {
        kind: "rope".to_owned(),
        maker: "Fellside".to_owned(),
        name: "Beck".to_owned(),
        life_support: "yes".to_owned(),
        attributes: [("diameter".to_owned(), "11 mm".to_owned())].into(),
        ..ModelDraft::default()
    };
    let model: Model = draft.check(ModelId(Uuid::from_u128(7)), 1).unwrap();
    assert_eq!(model.material, Material::Textile);
    let crag = ModelDraft {
        name: "Crag".to_owned(),
        ..draft
    };
    let crag = crag.check(ModelId(Uuid::from_u128(9)), 1).unwrap();
    let there = ItemDraft {
        mark: "R-1".to_owned(),
        ..ItemDraft::default()
    };
    let store = Some(StoreId(Uuid::from_u128(8)));
    let details = there.check(Some(&crag), store, date!(2026 - 11 - 25));
    let item = details
        .unwrap()
        .into_item(ItemId(Uuid::from_u128(10)), datetime!(2026-11-25 09:00 UTC));
    Known {
        items: [("r-1".to_owned(), (item, crag))].into(),
        models: vec![model],
        stores: vec![Store {
            id: StoreId(Uuid::from_u128(8)),
            revision: 1,
            name: "North Bay".to_owned(),
            note: String::new(),
        }],
        ..Known::default()
    }
}

#[test]
fn what_the_register_has_is_used_and_not_contradicted() {
    let text = "\
mark,kind,maker,model,store,diameter,length
R-1,rope,Fellside,Beck,north bay,11 mm,60 m
R-2,rope,FELLSIDE,beck,north bay,,50 m
";
    let table = read_table("x.csv", text.as_bytes(), None).unwrap();
    let rehearsal = rehearse(&table, &Answers::default(), &known(), date!(2026 - 11 - 25)).unwrap();
    let told: Vec<_> = rehearsal
        .errors
        .iter()
        .map(|e| format!("{}: {}", e.place(), e.message))
        .collect();
    assert_eq!(
        told,
        [
            "row 2, column A (mark): The register has another item under the mark R-1: a rope Fellside Crag. Give this one another mark, or put the list right if it is the same."
        ]
    );
    let free = text.replace("R-1", "R-3");
    let table = read_table("x.csv", free.as_bytes(), None).unwrap();
    let rehearsal = rehearse(&table, &Answers::default(), &known(), date!(2026 - 11 - 25)).unwrap();
    let plan = rehearsal.plan.unwrap();
    assert!(plan.models.is_empty() && plan.stores.is_empty());
    assert_eq!(
        plan.items[0].model,
        ModelRef::Known(ModelId(Uuid::from_u128(7)))
    );
    assert_eq!(
        plan.items[0].store,
        StoreRef::Known(StoreId(Uuid::from_u128(8)))
    );
    let other = free.replace("11 mm", "10 mm");
    let table = read_table("x.csv", other.as_bytes(), None).unwrap();
    let rehearsal = rehearse(&table, &Answers::default(), &known(), date!(2026 - 11 - 25)).unwrap();
    let sentence = rehearsal.questions[0].sentence();
    assert!(
        sentence.contains("the list says 10 mm (row 2)"),
        "{sentence}"
    );
}
