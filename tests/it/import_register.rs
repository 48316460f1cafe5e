//! What a list says otherwise than the register of a model is asked, and no row is lost for what another says.

use ropeloft::domain::{ApprovalDraft, Kind, Model, ModelDraft, ModelId, RatingDraft};
use ropeloft::import::{
    Answers, Fate, Known, Question, Rehearsal, Rounds, leave_out_wrong, read_table, rehearse,
};
use time::macros::date;

use crate::import_inventory::said;

const HEAD: &str = "Mark;Type;Maker;Model;Serial No;Made;MBS (kN);Store\n";

/// The register has it with 25 kN.
fn oval() -> Model {
    let draft = ModelDraft {
        kind: Kind::Connector.key().to_owned(),
        maker: "Aldbrae".to_owned(),
        name: "Ovalis".to_owned(),
        life_support: "yes".to_owned(),
        ratings: vec![RatingDraft {
            mode: "major-axis".to_owned(),
            value: "25 kN".to_owned(),
            kind: "breaking".to_owned(),
            source: "marking".to_owned(),
            ..RatingDraft::default()
        }],
        ..ModelDraft::default()
    };
    draft.check(ModelId::new(), 1).unwrap()
}

fn known() -> Known {
    Known {
        models: vec![oval()],
        ..Known::default()
    }
}

fn list(strengths: &[&str]) -> String {
    let rows = strengths.iter().enumerate();
    let rows = rows.map(|(at, strength)| {
        format!("K-{at};Connector;Aldbrae;Ovalis;{at};2021;{strength};Van\n")
    });
    format!("{HEAD}{}", rows.collect::<String>())
}

fn read(strengths: &[&str], answers: &Answers) -> Rehearsal {
    let table = read_table("x.csv", list(strengths).as_bytes(), None).unwrap();
    rehearse(&table, answers, &known(), date!(2026 - 11 - 25)).unwrap()
}

fn agreed(answer: &str) -> Answers {
    let mut answers = said();
    let fields = answers
        .agreed
        .entry("Aldbrae Ovalis".to_owned())
        .or_default();
    fields.insert("breaking-strength".to_owned(), answer.to_owned());
    answers
}

fn fates(rehearsal: &Rehearsal) -> Vec<Fate> {
    rehearsal.rows.iter().map(|row| row.fate).collect()
}

#[test]
fn the_question_names_the_row_that_says_otherwise_and_offers_the_register_first() {
    for strengths in [["25", "25", "24"], ["24", "25", "25"]] {
        let asked = read(&strengths, &said());
        let row = if strengths[0] == "24" { 2 } else { 4 };
        assert!(asked.errors.is_empty(), "{:?}", asked.errors);
        let [question @ Question::Differs { register, .. }] = asked.questions.as_slice() else {
            panic!("{:?}", asked.questions);
        };
        assert_eq!(register.as_deref(), Some("25 kN"));
        let sentence = question.sentence();
        assert!(
            sentence.starts_with("The register has 25 kN as the breaking strength of Aldbrae Ovalis; the list says 24 kN (row"),
            "{sentence}"
        );
        assert!(sentence.contains(&format!("row {row}")), "{sentence}");
        let keys: Vec<String> = question.choices().into_iter().map(|(key, _)| key).collect();
        assert_eq!(keys, ["register", "apart", "leave-out"]);
        assert_eq!(asked.wrong_rows(), [].into(), "no row is wrong for it");
        let table = read_table("x.csv", list(&strengths).as_bytes(), None).unwrap();
        let mut answers = said();
        let left = leave_out_wrong(
            &table,
            &mut answers,
            &known(),
            (date!(2026 - 11 - 25), Rounds::All),
        );
        assert_eq!(left.unwrap(), 0);
    }
}

#[test]
fn each_answer_does_what_it_says() {
    use Fate::{KnownModel, LeftOut, NewModel};
    for strengths in [["25", "25", "24"], ["24", "25", "25"]] {
        for (answer, fate, models) in [
            ("register", KnownModel, 0),
            ("leave-out", LeftOut, 0),
            ("apart", NewModel, 1),
        ] {
            let told = read(&strengths, &agreed(answer));
            assert_eq!((&told.questions, &told.errors), (&vec![], &vec![]));
            let mut expected = [KnownModel; 3];
            expected[strengths.iter().position(|one| *one == "24").unwrap()] = fate;
            assert_eq!(fates(&told), expected, "{answer}");
            let plan = told.plan.unwrap();
            assert_eq!(plan.models.len(), models);
            for model in plan.models {
                assert_eq!(model.title(), "Aldbrae Ovalis (24 kN)");
                assert_eq!(model.draft.ratings[0].value, "24 kN");
            }
        }
    }
}

#[test]
fn a_list_that_says_the_same_asks_nothing() {
    let told = read(&["25", "25000 N", ""], &said());
    assert_eq!(told.questions, []);
}

#[test]
fn what_was_said_of_a_model_is_asked_about_like_what_a_row_says() {
    let text = "Mark;Type;Maker;Model;Serial No;Made;Store\nK1;Connector;S;Oval;1;2021;Van\n";
    let read = |answers: &Answers| {
        let table = read_table("x.csv", text.as_bytes(), None).unwrap();
        rehearse(&table, answers, &Known::default(), date!(2026 - 11 - 25)).unwrap()
    };
    let mut answers = said();
    let of = answers.models.entry("S Oval".to_owned()).or_default();
    of.insert("breaking-strength".to_owned(), "225 kN".to_owned());
    answers.source = Some(ropeloft::import::ReadIn::Marking);
    let asked = read(&answers);
    let [question @ Question::Word { .. }] = asked.questions.as_slice() else {
        panic!("{:?} {:?}", asked.questions, asked.faulty);
    };
    assert!(
        question
            .sentence()
            .starts_with("Is the breaking strength, loaded as usual really 225 kN?")
    );
    assert!(asked.plan.is_none());
    for (answer, value) in [
        ("225 kN", Some("225 kN")),
        ("22.5 kN", Some("22.5 kN")),
        ("in-note", None),
    ] {
        let words = answers
            .words
            .entry("breaking-strength".to_owned())
            .or_default();
        words.insert("225 kN".to_owned(), answer.to_owned());
        let told = read(&answers);
        assert_eq!(told.questions, []);
        let ratings = &told.plan.unwrap().models[0].draft.ratings;
        assert_eq!(ratings.first().map(|rating| rating.value.as_str()), value);
        told.faulty.or(|| ()).unwrap();
    }
}

const DEVICES: &str =
    "Mark;Type;Maker;Model;Serial No;Standard;Class;Rope range;Rated load;Made;Store\n";

/// The register has it for ropes of 10 mm to 11.5 mm, and for 240 kg.
fn slow() -> Known {
    let draft = ModelDraft {
        kind: Kind::Descender.key().to_owned(),
        maker: "Fenmark".to_owned(),
        name: "Slow".to_owned(),
        life_support: "yes".to_owned(),
        approvals: vec![ApprovalDraft {
            standard: "EN 12841".to_owned(),
            class: "C".to_owned(),
            rope_least: "10 mm".to_owned(),
            rope_most: "11.5 mm".to_owned(),
            rated_load: "240 kg".to_owned(),
            ..ApprovalDraft::default()
        }],
        ..ModelDraft::default()
    };
    Known {
        models: vec![draft.check(ModelId::new(), 1).unwrap()],
        ..Known::default()
    }
}

fn of_devices(rows: &str, (known, agreed): (&Known, &[(&str, &str)])) -> Rehearsal {
    let mut answers = said();
    let fields = answers.agreed.entry("Fenmark Slow".to_owned());
    let fields = fields.or_default();
    fields.extend(
        agreed
            .iter()
            .map(|(field, said)| ((*field).to_owned(), (*said).to_owned())),
    );
    let table = read_table("x.csv", format!("{DEVICES}{rows}").as_bytes(), None).unwrap();
    rehearse(&table, &answers, known, date!(2026 - 11 - 25)).unwrap()
}

const BOTH: &str = "N6;Descender;Fenmark;Slow;X9;EN 12841;C;10-12 mm;250 kg;2023;Bay\n";

#[test]
fn both_ends_of_a_range_of_ropes_are_asked_about_as_one() {
    let asked = of_devices(BOTH, (&slow(), &[]));
    let sentences: Vec<String> = asked.questions.iter().map(Question::sentence).collect();
    assert!(
        sentences.iter().any(|one| one.starts_with(
            "The register has 10 mm to 11.5 mm as the thinnest and thickest rope of Fenmark Slow; the list says 10 mm to 12 mm (row 2)."
        )),
        "{sentences:#?}"
    );
    assert_eq!(sentences.len(), 2, "{sentences:#?}");
}

#[test]
fn a_model_of_its_own_takes_what_the_register_has_where_that_was_said_to_hold() {
    for (agreed, name, ropes, load, note) in [
        (
            [("rope-range", "register"), ("rated-load", "apart")],
            "Slow (250 kg)",
            ("10 mm", "11.5 mm"),
            "250 kg",
            "says thinnest and thickest rope 10 mm to 12 mm; the register has 10 mm to 11.5 mm for the model.",
        ),
        (
            [("rope-range", "apart"), ("rated-load", "register")],
            "Slow (10 mm to 12 mm)",
            ("10 mm", "12 mm"),
            "240 kg",
            "says rated load 250 kg; the register has 240 kg for the model.",
        ),
    ] {
        let told = of_devices(BOTH, (&slow(), &agreed));
        assert_eq!((&told.questions, &told.errors), (&vec![], &vec![]));
        let to_know = told.remarks.iter();
        let to_know = to_know.filter(|one| one.sentence.contains("holds as the register has it"));
        assert_eq!(to_know.count(), 1);
        let plan = told.plan.unwrap();
        let [model] = plan.models.as_slice() else {
            panic!("{:?}", plan.models);
        };
        assert_eq!(model.draft.name, name);
        let approval = &model.draft.approvals[0];
        assert_eq!((&*approval.rope_least, &*approval.rope_most), ropes);
        assert_eq!(approval.rated_load, load);
        let noted = &plan.items[0].draft.note;
        assert!(noted.contains(note), "{noted}");
        assert_eq!(noted.matches("The list of").count(), 1, "{noted}");
    }
}

#[test]
fn a_row_has_no_model_of_its_own_while_something_else_of_it_is_asked() {
    let other = "N7;Descender;Fenmark;Slow;X8;EN 12841;C;10-11.5 mm;240 kg;2023;Bay\n";
    let rows = format!("{BOTH}{other}");
    let asked = of_devices(&rows, (&slow(), &[("rated-load", "apart")]));
    let [question @ Question::Differs { field, .. }] = asked.questions.as_slice() else {
        panic!("{:?}", asked.questions);
    };
    assert_eq!(field.key(), "rope-range");
    assert!(question.sentence().starts_with("The register has"));
    let left = of_devices(
        &rows,
        (
            &slow(),
            &[("rated-load", "apart"), ("rope-range", "leave-out")],
        ),
    );
    assert_eq!(left.questions, []);
    assert_eq!(fates(&left), [Fate::LeftOut, Fate::KnownModel]);
    assert!(left.plan.unwrap().models.is_empty());
    let apart = of_devices(
        &rows,
        (&slow(), &[("rated-load", "apart"), ("rope-range", "apart")]),
    );
    assert_eq!(
        apart.plan.unwrap().models[0].draft.approvals[0].rope_most,
        "12 mm"
    );
}

#[test]
fn what_holds_of_rows_of_one_model_holds_of_a_model_of_its_own_too() {
    let first = "N7;Descender;Fenmark;Slow;X8;EN 12841;C;10-11.5 mm;240 kg;2023;Bay\n";
    for rows in [format!("{first}{BOTH}"), format!("{BOTH}{first}")] {
        for ropes in ["11.5 mm", "12 mm"] {
            let range = format!("10 mm to {ropes}");
            let agreed = [("rope-range", &*range), ("rated-load", "apart")];
            let told = of_devices(&rows, (&Known::default(), &agreed));
            assert_eq!((&told.questions, &told.errors), (&vec![], &vec![]));
            let models = told.plan.unwrap().models;
            assert_eq!(models.len(), 2);
            for model in &models {
                assert_eq!(model.draft.approvals[0].rope_most, ropes, "{rows}");
            }
        }
    }
}

/// A harness that the register has to these standards.
fn harness(standards: &[&str]) -> Known {
    let approvals = standards.iter().map(|standard| ApprovalDraft {
        standard: (*standard).to_owned(),
        ..ApprovalDraft::default()
    });
    let draft = ModelDraft {
        kind: Kind::Harness.key().to_owned(),
        maker: "Fenmark".to_owned(),
        name: "Sit".to_owned(),
        life_support: "yes".to_owned(),
        approvals: approvals.collect(),
        ..ModelDraft::default()
    };
    Known {
        models: vec![draft.check(ModelId::new(), 1).unwrap()],
        ..Known::default()
    }
}

fn said_to_be(standard: &str, known: &Known, answer: Option<&str>) -> Rehearsal {
    let list = format!(
        "Mark;Type;Maker;Model;Serial No;Made;Standard;Store\nN7;Harness;Fenmark;Sit;7;2021;{standard};Van\n"
    );
    let mut answers = said();
    if let Some(answer) = answer {
        let fields = answers.agreed.entry("Fenmark Sit".to_owned()).or_default();
        fields.insert("standard".to_owned(), answer.to_owned());
    }
    let table = read_table("x.csv", list.as_bytes(), None).unwrap();
    rehearse(&table, &answers, known, date!(2026 - 11 - 25)).unwrap()
}

#[test]
fn a_standard_that_is_none_of_the_models_is_asked() {
    let known = harness(&["EN 361", "EN 1497"]);
    for standard in ["EN 358", "EN 813", "EN 358, EN 813"] {
        let asked = said_to_be(standard, &known, None);
        let [question @ Question::Differs { .. }] = asked.questions.as_slice() else {
            panic!("{standard}: {:?}", asked.questions);
        };
        let sentence = question.sentence();
        assert!(
            sentence.starts_with("The register has EN 361; EN 1497 as the standard"),
            "{sentence}"
        );
    }
    for standard in ["EN 361", "EN 358, EN 361", "EN 1497:2007"] {
        let told = said_to_be(standard, &known, None);
        assert_eq!(told.questions, [], "{standard}");
    }
    // Of a model without any it is told, and noted.
    assert_eq!(said_to_be("EN 358", &harness(&[]), None).questions, []);
}

#[test]
fn what_is_answered_of_a_standard_holds() {
    let known = harness(&["EN 361"]);
    let plan = said_to_be("EN 358", &known, Some("register")).plan.unwrap();
    let note = plan.items[0].draft.note.as_str();
    assert_eq!(
        note,
        "The list of 2026-11-25 says standard EN 358; the register has EN 361 for the model."
    );
    let plan = said_to_be("EN 358", &known, Some("apart")).plan.unwrap();
    let model = &plan.models[0].draft;
    assert_eq!(
        (model.name.as_str(), model.approvals[0].standard.as_str()),
        ("Sit (EN 358)", "EN 358")
    );
    let left = said_to_be("EN 358", &known, Some("leave-out"));
    assert_eq!(fates(&left), [Fate::LeftOut]);
}
