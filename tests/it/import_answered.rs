//! What is answered about a list and is no answer, what is said of no model of it, and what the register knows already.

use std::process::Command;

use ropeloft::domain::{Kind, Model, ModelDraft, ModelId, RatingDraft};
use ropeloft::import::{Answers, Fate, Known, Question, Rehearsal, read_table, rehearse};
use time::macros::date;

use crate::{
    import_inventory::said,
    world::{World, on_sqlite},
};

const HEAD: &str = "Mark;Type;Maker;Model;Serial No;Made;MBS (kN);Store\n";

fn read(text: &str, answers: &Answers, models: Vec<Model>) -> Rehearsal {
    let table = read_table("x.csv", text.as_bytes(), None).unwrap();
    let known = Known {
        models,
        ..Known::default()
    };
    rehearse(&table, answers, &known, date!(2026 - 11 - 25)).unwrap()
}

/// A model of the register with this breaking strength, confirmed where it has to be.
fn oval(strength: &str) -> Model {
    let draft = ModelDraft {
        kind: Kind::Connector.key().to_owned(),
        maker: "Aldbrae".to_owned(),
        name: "Ovalis".to_owned(),
        life_support: "yes".to_owned(),
        ratings: vec![RatingDraft {
            mode: "major-axis".to_owned(),
            value: strength.to_owned(),
            kind: "breaking".to_owned(),
            source: "marking".to_owned(),
            confirmed: "yes".to_owned(),
        }],
        ..ModelDraft::default()
    };
    draft.check(ModelId::new(), 1).unwrap()
}

fn of_word(field: &str, word: &str, answer: &str) -> Answers {
    let mut answers = said();
    let words = answers.words.entry(field.to_owned()).or_default();
    words.insert(word.to_owned(), answer.to_owned());
    answers
}

#[test]
fn what_is_no_answer_is_said_to_be_none_with_those_that_are() {
    let rows = format!("{HEAD}K1;Connector;S;Oval;1;2021;225;B\n");
    for answer in ["yes", "bogus", "leave-out", "22"] {
        let told = read(
            &rows,
            &of_word("breaking-strength", "225 kN", answer),
            vec![],
        );
        let [question] = told.questions.as_slice() else {
            panic!("{:?}", told.questions)
        };
        let begins = format!(
            "\"{answer}\" is no answer to this: say 22.5 kN, 225 kN, in-note or another value with its unit. Is the breaking strength"
        );
        assert!(
            question.sentence().starts_with(&begins),
            "{}",
            question.sentence()
        );
    }
    let rows = format!("{HEAD}K1;Connector;S;Oval;1;2021;25 t;B\n");
    let told = read(
        &rows,
        &of_word("breaking-strength", "25 t", "empty"),
        vec![],
    );
    let sentence = told.questions[0].sentence();
    assert!(sentence.starts_with("\"empty\" is no answer to this: say in-note or another value with its unit. \"25 t\" cannot be read"), "{sentence}");
    let rows = format!("{HEAD}K1;Connector;Aldbrae;Ovalis;1;2021;24;B\n");
    let mut answers = said();
    let agreed = answers
        .agreed
        .entry("Aldbrae Ovalis".to_owned())
        .or_default();
    agreed.insert("breaking-strength".to_owned(), "28 kN".to_owned());
    let told = read(&rows, &answers, vec![oval("25 kN")]);
    let sentence = told.questions[0].sentence();
    assert!(sentence.starts_with("\"28 kN\" is no answer to this: say register, apart or leave-out. The register has 25 kN"), "{sentence}");
}

#[test]
fn what_the_register_has_as_confirmed_is_not_asked_again() {
    let rows = format!("{HEAD}K1;Connector;Aldbrae;Ovalis;1;2021;225;B\n");
    let told = read(&rows, &said(), vec![oval("225 kN")]);
    assert_eq!((&told.questions, &told.errors), (&vec![], &vec![]));
    assert_eq!(told.rows[0].fate, Fate::KnownModel);
    // Another such value of the same model is asked about.
    let other = rows.replace(";225;", ";235;");
    assert!(
        read(&other, &said(), vec![oval("225 kN")]).questions[0]
            .sentence()
            .starts_with("Is the breaking strength")
    );
    // And so is the same of a model of which nobody confirmed it.
    assert_eq!(
        read(&rows, &said(), vec![oval("22.5 kN")]).questions.len(),
        1
    );
}

#[test]
fn what_the_list_said_otherwise_stays_in_the_note_of_each_item() {
    let rows = format!(
        "{HEAD}K1;Connector;Aldbrae;Ovalis;1;2021;25;B\nK2;Connector;Aldbrae;Ovalis;2;2021;21;B\n"
    );
    let mut answers = said();
    let agreed = answers
        .agreed
        .entry("Aldbrae Ovalis".to_owned())
        .or_default();
    agreed.insert("breaking-strength".to_owned(), "register".to_owned());
    let plan = read(&rows, &answers, vec![oval("25 kN")]).plan.unwrap();
    let notes: Vec<&str> = plan
        .items
        .iter()
        .map(|item| item.draft.note.as_str())
        .collect();
    assert_eq!(
        notes,
        [
            "",
            "The list of 2026-11-25 says breaking strength 21 kN; the register has 25 kN for the model."
        ]
    );
}

#[test]
fn a_row_of_another_kind_costs_no_other_row_of_the_model() {
    for at in [0, 1, 2] {
        let kinds = [0, 1, 2].map(|row| if row == at { "Pulley" } else { "Connector" });
        let rows = kinds.iter().enumerate();
        let rows: Vec<String> = rows
            .map(|(at, kind)| format!("K{at};{kind};Aldbrae;Ovalis;{at};2021;;B"))
            .collect();
        let told = read(
            &format!("{HEAD}{}\n", rows.join("\n")),
            &said(),
            vec![oval("25 kN")],
        );
        let [error] = told.errors.as_slice() else {
            panic!("{:?}", told.errors)
        };
        assert_eq!(usize::try_from(error.row).unwrap(), at + 2);
        assert!(
            error
                .message
                .starts_with("The register has Aldbrae Ovalis as a connector, not as a pulley."),
            "{}",
            error.message
        );
        let expected = [0, 1, 2].map(|row| {
            if row == at {
                Fate::Wrong(1)
            } else {
                Fate::KnownModel
            }
        });
        let fates: Vec<Fate> = told.rows.iter().map(|row| row.fate).collect();
        assert_eq!(fates, expected);
    }
}

#[test]
fn loads_and_working_limits_of_a_list_are_asked_about_and_can_be_confirmed() {
    let head = "Mark;Type;Maker;Model;Serial No;Made;Rated load;Standard;Store\n";
    for (kind, load, standard) in [
        ("Descender", "2400 kg", "EN 12841 C"),
        // Without a standard it becomes a rating.
        ("Pulley", "12000 kg", ""),
        ("Pulley", "90 kN", ""),
    ] {
        let rows = format!("{head}K1;{kind};S;Let;1;2021;{load};{standard};B\n");
        let told = read(&rows, &said(), vec![]);
        let asked: Vec<&Question> = told.questions.iter().collect();
        let [Question::Word { word, .. }] = asked.as_slice() else {
            panic!("{asked:?} {:?}", told.errors)
        };
        assert_eq!(word, load);
        assert!(
            asked[0].sentence().starts_with(&format!(
                "Is the rated load really {load}? The rated load of such gear is seldom above"
            )),
            "{}",
            asked[0].sentence()
        );
        let keys: Vec<String> = asked[0].choices().into_iter().map(|(key, _)| key).collect();
        let tenth = load.replacen('0', "", 1);
        assert_eq!(keys, [tenth.clone(), load.to_owned(), "in-note".to_owned()]);
        for (answer, is_confirmed) in [(load, true), (tenth.as_str(), false)] {
            let told = read(&rows, &of_word("rated-load", load, answer), vec![]);
            assert_eq!(
                (&told.questions, &told.errors),
                (&vec![], &vec![]),
                "{load} {answer}"
            );
            let model = told.plan.unwrap().models[0]
                .draft
                .check(ModelId::new(), 1)
                .unwrap();
            let said = model
                .approvals
                .iter()
                .map(|one| one.confirmed)
                .chain(model.ratings.iter().map(|one| one.confirmed));
            assert_eq!(said.collect::<Vec<_>>(), [is_confirmed], "{load} {answer}");
        }
        let told = read(&rows, &of_word("rated-load", load, "in-note"), vec![]);
        assert_eq!(
            told.plan.unwrap().items[0].draft.note,
            format!("Rated load: {load}")
        );
    }
    let rows =
        "Mark;Type;Maker;Model;Serial No;Made;WLL (kN);Store\nK1;Connector;S;Oval;1;2021;90;B\n";
    let told = read(rows, &said(), vec![]);
    assert!(
        told.questions[0].sentence().contains("seldom above 20 kN"),
        "{:?}",
        told.questions
    );
}

#[test]
fn a_fraction_behind_a_number_is_never_left_off() {
    for cell in ["2½", "2 ½", "2½ kN", "22¼kN"] {
        let rows = format!("{HEAD}K1;Connector;S;Oval;1;2021;{cell};B\n");
        let told = read(&rows, &said(), vec![]);
        assert!(told.plan.is_none(), "{cell}");
        assert!(
            told.questions[0].sentence().contains("cannot be read"),
            "{cell}: {:?}",
            told.questions
        );
    }
}

fn run(world: &World, file: &str, more: &[&str]) -> (Option<i32>, String, String) {
    let source = ["--set", "strength-source=paper"];
    run_bare(
        world,
        file,
        &[&source, &["--set", "life-support=yes"], more].concat(),
    )
}

fn run_bare(world: &World, file: &str, more: &[&str]) -> (Option<i32>, String, String) {
    let done = Command::new(env!("CARGO_BIN_EXE_ropeloft"))
        .args([
            "import",
            file,
            "--team",
            "North shaft team",
            "--as",
            "officer-north",
            "--dry-run",
        ])
        .args(more)
        .env("ROPELOFT_DATABASE", &world.address)
        .output()
        .unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (done.status.code(), text(done.stdout), text(done.stderr))
}

#[tokio::test]
async fn the_command_refuses_what_is_said_of_no_model_of_the_list() {
    on_sqlite(async |world| {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("list.csv");
        let rows = "K1;Connector;Aldbrae;Ovalis;1;2021;25;B\nK2;Connector;Orlend;Bogen;2;2021;26;B\n";
        std::fs::write(&file, format!("{HEAD}{rows}")).unwrap();
        let file = file.to_str().unwrap();
        for option in ["--model", "--agreed"] {
            let (code, _, told) = run(&world, file, &[option, "Ovalis:breaking-strength=25 kN", "--source", "Aldbrae Ovalis:breaking-strength=marking"]);
            assert_eq!(code, Some(1), "{told}");
            assert!(told.contains(&format!("{option}: \"Ovalis\" is no model of this list. Write maker and name in one line, as MAKER NAME; the list has \"Aldbrae Ovalis\", \"Orlend Bogen\".")), "{told}");
        }
        let of = ["--model", "aldbrae ovalis:standard=EN 362", "--source", "Aldbrae Ovalis:standard=marking"];
        let (_, _, told) = run(&world, file, &of);
        assert!(!told.contains("no model of this list"), "{told}");
        let doubted = HEAD.to_owned() + &rows.replace(";25;", ";225;");
        std::fs::write(file, doubted).unwrap();
        let (_, told, _) = run(&world, file, &[]);
        assert!(told.contains("(--word \"breaking-strength:225 kN=…\"; 22.5 kN, 225 kN, in-note or another value with its unit)"), "{told}");
    })
    .await;
}

#[tokio::test]
async fn the_command_names_what_answers_each_question() {
    on_sqlite(async |world| {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("list.csv");
        let rows = "K1;Connector;Aldbrae;Ovalis;1;2021;25;B\nK2;Connector;Aldbrae;Ovalis;2;2021;26;B\n";
        std::fs::write(&file, format!("{HEAD}{rows}")).unwrap();
        let file = file.to_str().unwrap();
        let (_, told, _) = run_bare(&world, file, &[]);
        for words in [
            "(--agreed \"Aldbrae Ovalis:breaking-strength=…\"; 25 kN, 26 kN or apart)",
            "(--set \"life-support=…\"; yes or no)",
            "(--set \"strength-source=…\"; marking, paper, test or not-known)",
        ] {
            assert!(told.contains(words), "{words}\n{told}");
        }
        let wrong = ["--set", "life-support=perhaps", "--set", "strength-source=book"];
        let (code, told, _) = run_bare(&world, file, &wrong);
        assert_eq!(code, Some(1));
        for words in [
            "\"perhaps\" is no answer to this: say yes or no. What holds for the 2 rows",
            "\"book\" is no answer to this: say marking, paper, test or not-known. What holds for the 2 rows",
        ] {
            assert!(told.contains(words), "{words}\n{told}");
        }
        assert!(!told.contains("Wrong:"), "{told}");
    })
    .await;
}

#[tokio::test]
async fn the_command_refuses_words_and_rows_that_the_list_does_not_have() {
    on_sqlite(async |world| {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("list.csv");
        let rows = "K1;Connector;Aldbrae;Ovalis;1;2021;225;B\nK2;Thingy;Orlend;Bogen;2;2021;26;B\n";
        std::fs::write(&file, format!("{HEAD}{rows}")).unwrap();
        let file = file.to_str().unwrap();
        let known = ["--word", "breaking-strength:225 kN=370 kN", "--word", "breaking-strength:370 kN=22 kN", "--word", "kind:thingy=connector"];
        let (code, told, wrong) = run(&world, file, &known);
        assert_eq!((code, &*wrong), (Some(0), ""), "{told}");
        for (option, said, why) in [
            ("--word", "kind:nothere=rope", "--word: no cell of this list says \"nothere\" as kind of gear"),
            ("--word", "breaking-strength:235 kN=23.5 kN", "--word: no cell of this list says \"235 kN\" as breaking strength"),
            ("--leave-out", "2,99", "--leave-out: there is no row 99 to leave out: those below the headings are 2 to 3."),
        ] {
            let (code, told, wrong) = run(&world, file, &[&known[..], &[option, said]].concat());
            assert_eq!(code, Some(1), "{told}");
            assert!(wrong.contains(why), "{wrong}");
        }
        let (code, told, wrong) = run(&world, file, &[&known[..], &["--leave-out", "3"]].concat());
        assert_eq!(code, Some(0), "{told}{wrong}");
    })
    .await;
}
