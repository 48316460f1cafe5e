//! Numbers whose unit nobody wrote down: asked for, column by column, and never guessed.

use std::process::{Command, Output};

use ropeloft::import::{Answers, Fate, ImportFailure, Known, Question, Unit, read_table, rehearse};
use time::macros::date;

use crate::{
    import_inventory::{rehearsed, said},
    world::{World, on_sqlite},
};

const BARE: &str = "\
mark,kind,maker,model,store,life support,length,diameter,strength
1,rope,Fellside,Beck,Bay,yes,60,11,32
2,rope,Fellside,Beck,Bay,yes,50 m,11 mm,32 kN
3,connector,Fellside,Oval,Bay,yes,,,24
";

fn units(named: &[(&str, &str)]) -> Answers {
    let mut answers = said();
    for (heading, unit) in named {
        let unit = Unit::from_words(unit).unwrap();
        answers.units.insert((*heading).to_owned(), unit);
    }
    answers
}

fn sentences(text: &str, answers: &Answers) -> Vec<String> {
    let rehearsal = rehearsed("x.csv", text.as_bytes(), answers);
    assert!(rehearsal.plan.is_none());
    rehearsal.questions.iter().map(Question::sentence).collect()
}

#[test]
fn each_column_without_a_unit_is_asked_about_once() {
    let asked = rehearsed("x.csv", BARE.as_bytes(), &said());
    assert_eq!(asked.errors, []);
    assert_eq!(asked.without_unit(), ["length", "diameter", "strength"]);
    // What a strength will need is asked in the same round.
    let bare = rehearsed("x.csv", BARE.as_bytes(), &Answers::default());
    assert_eq!(bare.questions.len(), 4);
    assert_eq!(
        sentences(BARE, &said()),
        [
            "In which unit are the numbers under \"length\" (G, 1 cell, such as \"60\" in row 2): mm, cm, m, in or ft? Neither they nor the heading say it.",
            "In which unit are the numbers under \"diameter\" (H, 1 cell, such as \"11\" in row 2): mm, cm, m, in or ft? Neither they nor the heading say it.",
            "In which unit are the numbers under \"strength\" (I, 2 cells, such as \"32\" in row 2): kN, daN, N, lbf, kgf, kg or lb? Neither they nor the heading say it.",
        ]
    );
    let fates: Vec<Fate> = asked.rows.iter().map(|row| row.fate).collect();
    assert_eq!(fates, [Fate::Asked, Fate::NewModel, Fate::Asked]);
    let tally = asked.tally();
    assert_eq!((tally.come_in, tally.wait, tally.refused), (1, 2, 0));
}

#[test]
fn the_unit_that_is_said_holds_for_what_names_none() {
    let answers = units(&[("LENGTH", "m"), ("diameter", "mm"), ("strength", "kn")]);
    let rehearsal = rehearsed("x.csv", BARE.as_bytes(), &answers);
    let remarks: Vec<_> = rehearsal
        .remarks
        .iter()
        .map(|one| one.sentence.as_str())
        .collect();
    assert!(
        remarks.contains(
            &"The numbers under \"strength\" that name no unit (24 to 32) are read in kN, as was said."
        ),
        "{remarks:?}"
    );
    let plan = rehearsal.plan.unwrap();
    assert_eq!(plan.items[0].draft.attributes["length"], "60 m");
    assert_eq!(plan.items[1].draft.attributes["length"], "50 m");
    let rope = &plan.models[0].draft;
    assert_eq!(rope.attributes["diameter"], "11 mm");
    assert_eq!(rope.ratings[0].value, "32 kN");
    // A strength in kilograms is the force of their weight, as it is where the heading says so.
    let answers = units(&[("length", "ft"), ("diameter", "mm"), ("strength", "kg")]);
    let text = BARE
        .replace("32 kN", "32")
        .replace("32", "3200")
        .replace("24", "2400");
    let plan = rehearsed("x.csv", text.as_bytes(), &answers).plan.unwrap();
    assert_eq!(plan.items[0].draft.attributes["length"], "60 ft");
    assert_eq!(plan.models[0].draft.ratings[0].value, "3200 kgf");
}

#[test]
fn a_unit_that_is_none_of_the_column_is_asked_for_again() {
    let answers = units(&[("length", "kN"), ("diameter", "mm"), ("strength", "kN")]);
    assert_eq!(
        sentences(BARE, &answers),
        [
            "In which unit are the numbers under \"length\" (G, 1 cell, such as \"60\" in row 2): mm, cm, m, in or ft? Neither they nor the heading say it. kN was said, but is no unit of it."
        ]
    );
    assert!(serde_json::from_str::<Answers>(r#"{"units": {"length": "furlong"}}"#).is_err());
    let read: Answers = serde_json::from_str(r#"{"units": {"length": "metres"}}"#).unwrap();
    let written = serde_json::to_string(&read).unwrap();
    assert!(written.contains(r#""units":{"length":"m"}"#), "{written}");
}

#[test]
fn a_heading_that_says_its_unit_cannot_be_contradicted() {
    let failure = |text: &str, answers: &Answers| {
        let table = read_table("x.csv", text.as_bytes(), None).unwrap();
        rehearse(&table, answers, &Known::default(), date!(2026 - 11 - 25)).unwrap_err()
    };
    let text = BARE.replace("length", "length (m)");
    assert_eq!(
        failure(&text, &units(&[("length (m)", "ft")])).to_string(),
        "The heading \"length (m)\" says m itself, but ft was said. Take the answer back, or change the heading."
    );
    assert!(matches!(
        failure(BARE, &units(&[("reach", "m")])),
        ImportFailure::NoHeading { .. }
    ));
}

#[test]
fn a_unit_is_asked_for_together_with_a_kind_that_is_not_known() {
    let text = "mark,kind,maker,model,store,life support,length\n1,whatsit,F,D,B,yes,60\n";
    let asked = sentences(text, &Answers::default());
    assert_eq!(asked.len(), 2, "{asked:?}");
    assert!(asked[0].starts_with("In which unit are the numbers under \"length\""));
    assert!(asked[1].starts_with("What does \"whatsit\" mean"));
    // What a kind does not have goes to the note as it stands, and no unit is asked for.
    let text = "mark,kind,maker,model,store,life support,diameter\n1,helmet,F,D,B,yes,52\n";
    let plan = rehearsed("x.csv", text.as_bytes(), &Answers::default()).plan;
    assert_eq!(plan.unwrap().items[0].draft.note, "diameter: 52");
}

#[test]
fn a_share_that_may_be_per_cent_is_asked_about() {
    let text = "mark,kind,maker,model,store,life support,elongation\n1,rope,F,D,B,yes,0.032\n2,rope,F,E,B,yes,0.04\n";
    assert_eq!(
        sentences(text, &said()),
        [
            "In which unit are the numbers under \"elongation\" (G, 2 cells, such as \"0.032\" in row 2): % or 1? Neither they nor the heading say it."
        ]
    );
    let read = |text: &str, answers: &Answers| {
        let plan = rehearsed("x.csv", text.as_bytes(), answers).plan.unwrap();
        plan.models[0].draft.attributes["elongation"].clone()
    };
    assert_eq!(read(text, &units(&[("elongation", "1")])), "3.2");
    assert_eq!(read(text, &units(&[("elongation", "%")])), "0.032");
    // A sign of per cent anywhere, or a number that can be no share, leaves no doubt.
    assert_eq!(
        read(&text.replace("elongation", "elongation %"), &said()),
        "0.032"
    );
    assert_eq!(read(&text.replace("0.04", "4"), &said()), "0.032");
    let signed = text.replace("0.032", "3.2 %").replace("0.04", "4%");
    assert_eq!(read(&signed, &said()), "3.2");
}

#[test]
fn a_mass_per_metre_in_another_unit_than_grams_is_refused() {
    let text =
        "mark,kind,maker,model,store,life support,weight per metre (kg)\n1,rope,F,D,B,yes,0.078\n";
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &Answers::default());
    assert_eq!(
        rehearsal.errors[0].message,
        "The heading says kg, but this is the mass of a metre in grams. Give it so."
    );
}

fn run(world: &World, file: &str, more: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_ropeloft"))
        .args(["import", file, "--team", "North shaft team", "--as"])
        .arg("officer-north")
        .args(["--set", "strength-source=paper"])
        .args(more)
        .env("ROPELOFT_DATABASE", &world.address)
        .output()
        .unwrap()
}

#[tokio::test]
async fn the_command_asks_for_units_and_takes_them_as_an_option() {
    on_sqlite(async |world| {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("list.csv");
        std::fs::write(&file, BARE).unwrap();
        let file = file.to_str().unwrap();
        let asked = run(&world, file, &[]);
        assert_eq!(asked.status.code(), Some(1));
        let told = String::from_utf8(asked.stdout).unwrap();
        for words in [
            "Items that can come in: 1; rows that wait for an answer: 2, that are refused: 0, left out: 0.",
            "length  is read as  attribute-length, and waits for a unit",
            "(--unit \"strength=…\")",
        ] {
            assert!(told.contains(words), "{words}\n{told}");
        }
        let wrong = run(&world, file, &["--unit", "length=furlong"]);
        let told = String::from_utf8(wrong.stderr).unwrap();
        assert!(
            told.contains("\"furlong\" is no unit that is read here"),
            "{told}"
        );
        let units = [
            "--unit",
            "length=m",
            "--unit",
            "diameter=mm",
            "--unit",
            "strength=kN",
        ];
        let done = run(&world, file, &units);
        let told = String::from_utf8(done.stdout).unwrap();
        assert!(told.contains("Taken in: 3 items"), "{told}");
        let mut tx = world.database.read(world.team).await.unwrap();
        let item = tx.item_marked("1").await.unwrap().unwrap();
        assert_eq!(item.attributes.typed()["length"], "60 m");
    })
    .await;
}
