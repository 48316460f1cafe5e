//! What a list does not say is asked once, and again where the answer would stand for more rows.

use ropeloft::import::{
    Answers, DateOrder, Known, Markings, Question, ReadIn, left_out, read_table,
};
use time::macros::date;

use crate::import_inventory::rehearsed;

#[test]
fn what_the_file_is_silent_about_is_asked_once() {
    let text = "mark,kind,model,MBS kN\n1,sling,D,22\n2,sling,D,22\n";
    let asked = rehearsed("x.csv", text.as_bytes(), &Answers::default());
    let sentences: Vec<_> = asked.questions.iter().map(Question::sentence).collect();
    assert_eq!(
        sentences,
        [
            "What holds for the 2 rows that say nothing about the maker (first: row 2)?",
            "What holds for the 2 rows that say nothing about the store (first: row 2)?",
            "What holds for the 2 rows that say nothing about whether the gear may hold people (first: row 2)?",
            "What holds for the 2 rows that say nothing about where the strengths were read (first: row 2)?",
        ],
        "all of it at once, though it is not known yet what models they are"
    );
    let mut answers = Answers::default();
    for (field, value) in [
        ("maker", "Fellside"),
        ("store", "Bay"),
        ("life-support", "yes"),
        ("strength-source", "marking"),
    ] {
        answers.silent.insert(field.to_owned(), value.to_owned());
    }
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &answers);
    assert!(rehearsal.is_ready());
    // An answer is told with the rows that it stands for, of which there may be more than when it was given.
    let mut remarks = rehearsal.remarks.iter();
    let said = remarks.find(|remark| remark.sentence.contains("your answer, \"yes\""));
    assert_eq!(
        said.map(|remark| (remark.rows, remark.first_row)),
        Some((2, 2))
    );
}

#[test]
fn an_answer_is_asked_again_where_it_would_stand_for_more_rows() {
    let text = "mark,kind,maker,model,store\n1,sling,F,D,B\n2,sling,F,D,B\n";
    let mut answers = Answers::default();
    answers
        .silent
        .insert("life-support".to_owned(), "yes".to_owned());
    let ready = |answers: &Answers, text: &str| {
        let rehearsal = rehearsed("x.csv", text.as_bytes(), answers);
        let asked = rehearsal.questions.iter().map(Question::sentence);
        (rehearsal.is_ready(), asked.collect::<Vec<_>>())
    };
    answers.silent_rows.insert("life-support".to_owned(), 2);
    assert_eq!(ready(&answers, text), (true, Vec::new()));
    let more = text.to_owned() + "3,harness,F,E,B\n";
    let again = "You said \"yes\" for 2 rows. Now 3 rows say nothing about whether the gear may hold people (first: row 2). Does it hold for all of them? One answer stands for all of it: sling (2), harness (1). Where a kind differs, say so for that kind; where items of one kind differ, say it in the list, in a column of its own.";
    assert_eq!(ready(&answers, &more), (false, vec![again.to_owned()]));
    answers.silent_rows.insert("life-support".to_owned(), 3);
    assert_eq!(ready(&answers, &more), (true, Vec::new()));
    // What was said of the items of another list was not said of these.
    answers.people.insert("sling".to_owned(), "yes".to_owned());
    answers.source = Some(ReadIn::Marking);
    answers.markings = Some(Markings::List);
    let (other, _) = answers.for_other_items();
    assert_eq!(
        (other.people.len(), other.source, other.markings),
        (0, None, None)
    );
    let asked = &ready(&other, text).1[0];
    assert!(
        asked.starts_with("For other items you said \"yes\". Now 2 rows say nothing"),
        "{asked}"
    );
}

#[test]
fn rows_left_out_keep_what_the_whole_list_showed_of_its_days() {
    let text = "\
mark;kind;maker;model;store;life support;last examined
1;sling;F;D;B;yes;25/12/2024
2;sling;F;D;B;yes;03/04/2024
";
    let table = read_table("x.csv", text.as_bytes(), None).unwrap();
    let answers = Answers {
        left_out: [3].into(),
        ..Answers::default()
    };
    let left = left_out(&table, &answers, &Known::default(), date!(2026 - 11 - 25)).unwrap();
    assert_eq!(left.rows.len(), 1);
    let shown = left.shown.dates;
    assert_eq!(
        shown,
        Some(DateOrder::DayFirst),
        "03/04/2024 alone does not show it"
    );
}
