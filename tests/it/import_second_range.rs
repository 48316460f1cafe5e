//! A second range of rope in a list: in a column of its own, for the approval that it names or for a use.

use std::process::Command;

use ropeloft::import::{Answers, Field, Question, Rehearsal, Target};

use crate::import_inventory::{rehearsed, said};

const HEAD: &str = "Tag;Type;Maker;Model;Store;Standard;Rope min-max (mm);2nd rope range\n";
const LIST: &str = "P-1;Pulley;F;Lock;B;EN 12278, EN 567;8 – 13;EN 12841 B: 10–12,5 mm\n\
    C-1;Rope clamp;F;Grip;B;EN 567;8-13 mm;10-13 (EN 12841 B)\n\
    C-2;Rope clamp;F;Bite;B;EN 567;8-13 mm;12841: 10-13\n\
    D-1;Descender;F;Slide;B;EN 341;10-12;\n";

fn answered() -> Answers {
    let mut answers = said();
    let range = Target::Field(Field::RopeRange);
    answers.headings.insert("2nd rope range".to_owned(), range);
    answers
}

fn read(rows: &str, answers: &Answers) -> Rehearsal {
    rehearsed("x.csv", format!("{HEAD}{rows}").as_bytes(), answers)
}

/// Each approval of a plan with its range, behind the name of its model, and what stands in notes.
fn approvals(rehearsal: Rehearsal) -> Vec<String> {
    assert_eq!((rehearsal.questions, rehearsal.errors), (vec![], vec![]));
    let mut told = Vec::new();
    for model in rehearsal.plan.unwrap().models {
        for one in &model.draft.approvals {
            let (least, most) = (&one.rope_least, &one.rope_most);
            let (name, class) = (&model.draft.name, &one.class);
            told.push(format!("{name}: {}{class} {least}-{most}", one.standard));
        }
        if !model.draft.note.is_empty() {
            told.push(format!("{}: {}", model.draft.name, model.draft.note));
        }
    }
    told.sort();
    told
}

#[test]
fn a_second_range_is_of_the_approval_that_it_names() {
    let asked = read(LIST, &said());
    let [Question::Heading { suggestions, .. }] = asked.questions.as_slice() else {
        panic!("{:?}", asked.questions);
    };
    assert_eq!(suggestions.first(), Some(&Field::RopeRange));
    let rehearsal = read(LIST, &answered());
    let told: Vec<String> = rehearsal
        .remarks
        .iter()
        .map(|one| one.sentence.clone())
        .collect();
    for sentence in [
        "\"EN 12841 B: 10–12,5 mm\" under \"2nd rope range\" is read as the ropes that it takes: for EN 12841 class B alone 10 mm to 12.5 mm.",
        "The list says for F Lock which rope it takes for one approval or use; its approvals have these ranges now, as the list names their standards: EN 12278 8 mm to 13 mm; EN 567 8 mm to 13 mm; EN 12841 B 10 mm to 12.5 mm. Hold it against the papers.",
        "EN 12841 class B stands with a range of rope and in no column of standards; it is taken as an approval of the model. Hold it against the papers.",
        "Rope for 12841 alone 10 mm to 13 mm is kept in the note of F Bite: that is none of its approvals.",
    ] {
        assert!(
            told.iter().any(|one| one == sentence),
            "{sentence}\n{told:#?}"
        );
    }
    assert_eq!(
        approvals(rehearsal),
        [
            "Bite: EN 567 8 mm-13 mm",
            "Bite: Rope for 12841 alone: 10 mm to 13 mm",
            "Grip: EN 12841B 10 mm-13 mm",
            "Grip: EN 567 8 mm-13 mm",
            "Lock: EN 12278 8 mm-13 mm",
            "Lock: EN 12841B 10 mm-12.5 mm",
            "Lock: EN 567 8 mm-13 mm",
            "Slide: EN 341 10 mm-12 mm",
        ]
    );
}

#[test]
fn no_sentence_has_a_hole_where_a_range_is_missing() {
    let rows = "P-1;Pulley;F;Lock;B;EN 12278, EN 567;;EN 12841 B: 10–12,5 mm\n\
        C-1;Rope clamp;F;Grip;B;EN 567, EN 12841 B;max 13 mm;\n";
    let rehearsal = read(rows, &answered());
    let told: Vec<String> = rehearsal
        .remarks
        .iter()
        .map(|one| one.sentence.clone())
        .collect();
    let has = |part: &str| told.iter().any(|one| one.contains(part));
    assert!(
        has("EN 12278 none; EN 567 none; EN 12841 B 10 mm to 12.5 mm"),
        "{told:#?}"
    );
    assert!(has("one range of rope, up to 13 mm: each"), "{told:#?}");
}

#[test]
fn a_second_range_without_a_name_never_widens_the_first() {
    let rows = "P-1;Pulley;F;Lock;B;EN 12278, EN 567;8-13;10-12,5 mm\n\
        D-1;Descender;F;Both;B;EN 12841 C, EN 341 A;10-12,5;11,5-13 mm\n";
    assert_eq!(
        approvals(read(rows, &answered())),
        [
            "Both: EN 12841C 10 mm-12.5 mm",
            "Both: EN 341A 11.5 mm-12.5 mm",
            "Lock: EN 12278 10 mm-12.5 mm",
            "Lock: EN 567 10 mm-12.5 mm",
        ]
    );
}

#[test]
fn who_names_no_field_is_told_all_of_them() {
    for (option, said) in [
        ("--map", "2nd rope range=bogus"),
        ("--set", "bogus=yes"),
        ("--model", "F Lock:bogus=1"),
    ] {
        let program = Command::new(env!("CARGO_BIN_EXE_ropeloft"))
            .args(["import", "Cargo.toml", "--team", "North", "--as", "x"])
            .args([option, said])
            .output()
            .unwrap();
        let told = String::from_utf8(program.stderr).unwrap();
        assert!(!program.status.success());
        assert!(told.contains("\"bogus\" is no field"), "{told}");
        for field in Field::all() {
            assert!(told.contains(&field.key()), "{}: {told}", field.key());
        }
        assert!(told.contains("\"ropeloft import --help\" ends"), "{told}");
    }
    let help = Command::new(env!("CARGO_BIN_EXE_ropeloft"))
        .args(["import", "--help"])
        .output()
        .unwrap();
    let help = String::from_utf8(help.stdout).unwrap();
    assert!(help.contains("`--help` ends with the list"), "{help}");
    let (_, list) = help.split_once("Fields, as --map").unwrap();
    for field in Field::all() {
        let line = list
            .lines()
            .find(|line| line.split_whitespace().next() == Some(&field.key()));
        assert!(
            line.is_some_and(|line| line.ends_with(&field.label())),
            "{}",
            field.key()
        );
    }
}
