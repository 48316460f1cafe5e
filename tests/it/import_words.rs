//! What is read from remarks and what is said of models at once: loads, makers, an efficiency that is assumed; and that a
//! column stands over words.

use axum::http::StatusCode;
use ropeloft::import::{Answers, Field, MakerIs, Question, ReadIn};
use serde_json::json;

use crate::import_inventory::{rehearsed, said};

const LOADS: &str = "\
Tag;Kind;Maker;Model;Store;Made;MBS;Remarks
P-1;Double pulley;Fellgate;Twin B;Bay;2022;36 kN;WLL 6 kN, blue
D-1;Descender;Holmar;Slow;Bay;2022;;rated load 136 kg
D-2;Descender;Holmar;Slower;Bay;2022;;rated load 40-140 kg
B-1;Back-up device;Holmar;Stop;Bay;2022;;max 140 kg; rope 10-11.5 mm
";

#[test]
fn loads_are_read_from_remarks_and_a_range_is_not() {
    let text = LOADS.replace("max 140 kg; rope", "max 140 kg, rope");
    let told = rehearsed("x.csv", text.as_bytes(), &said());
    let mut sentences = told.remarks.iter().map(|one| one.sentence.as_str());
    let read = sentences.find(|one| one.contains("WLL 6 kN"));
    assert!(
        read.is_some_and(|one| one.contains("working limit, loaded as usual 6 kN")),
        "{read:?}"
    );
    let plan = told.plan.unwrap();
    let of = |name: &str| {
        let mut models = plan.models.iter();
        models.find(|one| one.draft.name == name).unwrap()
    };
    let ratings = |name: &str| {
        let ratings = of(name).draft.ratings.iter();
        let ratings = ratings.map(|one| format!("{} {} {}", one.kind, one.mode, one.value));
        ratings.collect::<Vec<_>>()
    };
    assert_eq!(
        ratings("Twin B"),
        ["breaking axle 36 kN", "working-limit axle 6 kN"]
    );
    // Without a standard a rated load is the force of its weight, as from a column of its own.
    assert_eq!(ratings("Slow"), ["rated-load body 136 kgf"]);
    assert!(ratings("Slower").is_empty(), "a range stays words");
    assert_eq!(ratings("Stop"), ["rated-load body 140 kgf"]);
}

#[test]
fn a_rated_load_in_a_remark_is_that_of_the_one_approval() {
    let text = "Tag;Kind;Maker;Model;Store;Made;Standard;Remarks\nD-1;Descender;Holmar;Slow;Bay;2022;EN 12841 C;Nennlast 200 kg\n";
    let plan = rehearsed("x.csv", text.as_bytes(), &said()).plan.unwrap();
    assert_eq!(plan.models[0].draft.approvals[0].rated_load, "200 kg");
}

#[test]
fn a_column_stands_over_the_length_in_the_name() {
    let text = "Tag;Kind;Maker;Model;Store;Made;Length\nR-1;Low stretch rope 11 mm, 60 m;Fellgate;Static;Bay;2022;48 m\nR-2;Low stretch rope 11 mm, 60 m;Fellgate;Static;Bay;2022;\n";
    let plan = rehearsed("x.csv", text.as_bytes(), &said()).plan.unwrap();
    let lengths = plan.items.iter();
    let lengths: Vec<_> = lengths
        .map(|item| item.draft.attributes.get("length").map(String::as_str))
        .collect();
    // Where the list has a column, an empty cell says that nobody wrote it down.
    assert_eq!(lengths, [Some("48 m"), None]);
}

/// Names that begin with a maker, one that is a single word, and one whose first word is none.
const NAMES: &str = "\
Tag;Kind;Model;Store;PPE;Made;MBS
R-1;Rope 11 mm;Tarnbeck Static 11;Bay;yes;2022;30 kN
P-1;Double pulley;Twin B;Bay;yes;2022;36 kN
P-2;Single pulley;Mono;Bay;yes;2022;30 kN
";

#[test]
fn the_maker_is_taken_as_it_is_said_of_each_name() {
    let mut answers = Answers {
        maker_is: Some(MakerIs::Each),
        ..said()
    };
    for (name, maker) in [("tarnbeck static 11", "Tarnbeck"), ("Twin B", "Fellgate")] {
        answers.makers.insert(name.to_owned(), maker.to_owned());
    }
    let told = rehearsed("x.csv", NAMES.as_bytes(), &answers);
    assert!(!told.is_ready(), "nobody said who makes the Mono");
    answers
        .makers
        .insert("Mono".to_owned(), "Holmar".to_owned());
    let told = rehearsed("x.csv", NAMES.as_bytes(), &answers);
    assert!(told.is_ready(), "{:?} {:?}", told.questions, told.errors);
    let plan = told.plan.unwrap();
    let models = plan.models.iter();
    let mut models: Vec<_> = models
        .map(|one| format!("{}: {}", one.draft.maker, one.draft.name))
        .collect();
    models.sort();
    assert_eq!(
        models,
        ["Fellgate: Twin B", "Holmar: Mono", "Tarnbeck: Static 11"]
    );
}

#[test]
fn maker_and_model_in_one_column_are_known_by_the_heading() {
    let mut answers = said();
    answers.maker_is = Some(MakerIs::FirstWord);
    let text = NAMES
        .replace(";Model;", ";Make & model;")
        .replace(";Mono;", ";Holmar Mono;");
    let told = rehearsed("x.csv", text.as_bytes(), &answers);
    assert!(told.is_ready(), "{:?} {:?}", told.questions, told.errors);
}

#[test]
fn short_headings_get_the_likely_field_and_are_asked_about() {
    let text =
        "Tag;Kind;Maker;Model;Store;Last check;By;Spec\n1;Helmet;F;D;B;2026-01-02;Ada;EN 397\n";
    let told = rehearsed("x.csv", text.as_bytes(), &Answers::default());
    let mut likely = told.questions.iter().filter_map(|one| match one {
        Question::Heading { suggestions, .. } => Some(suggestions.as_slice()),
        _ => None,
    });
    assert_eq!(likely.next(), Some(&[Field::Examiner][..]));
    assert_eq!(likely.next(), Some(&[Field::Standard][..]));
}

#[test]
fn an_efficiency_is_assumed_where_somebody_says_so() {
    let text =
        "Tag;Kind;Maker;Model;Store;Made;MBS\nP-1;Double pulley;Fellgate;Twin;Bay;2022;36 kN\n";
    let mut answers = Answers {
        source: Some(ReadIn::Paper),
        ..said()
    };
    let models = answers.models.entry("Fellgate Twin".to_owned());
    models.or_default().insert(
        "attribute-efficiency".to_owned(),
        "0.85 (0.75-0.9)".to_owned(),
    );
    let as_read = rehearsed("x.csv", text.as_bytes(), &answers).plan.unwrap();
    assert_eq!(
        as_read.models[0].draft.attributes["efficiency-source"],
        "maker"
    );
    let sources = answers.sources.entry("Fellgate Twin".to_owned());
    sources
        .or_default()
        .insert("attribute-efficiency".to_owned(), ReadIn::Assumed);
    let plan = rehearsed("x.csv", text.as_bytes(), &answers).plan.unwrap();
    let model = &plan.models[0].draft;
    for (key, value) in [
        ("efficiency", "0.85"),
        ("efficiency-low", "0.75"),
        ("efficiency-high", "0.9"),
        ("efficiency-source", "assumed"),
    ] {
        assert_eq!(model.attributes[key], value, "{key}");
    }
    assert!(
        model
            .note
            .contains("assumed; said when the list was brought in."),
        "{}",
        model.note
    );
}

on_both_databases! {
    async fn makers_are_shown_as_guesses_and_taken_in_one_press(world) {
        let officer = world.visitor(&world.officer).await;
        let page = officer.upload("/import", &[("file", Some("gear.csv"), NAMES.as_bytes())]).await.location().to_owned();
        let asked = officer.get(&page).await.text;
        for words in ["name=\"its-maker[Tarnbeck Static 11]\" value=\"Tarnbeck\"", "name=\"its-maker[Mono]\" value=\"\""] {
            assert!(asked.replace("  ", " ").contains(words), "{words}\n{asked}");
        }
        let mut sent = vec![
            ("here", ""), ("silent-strength-source", "paper"), ("silent-maker", ""), ("maker-is", ""),
            ("its-maker[Tarnbeck Static 11]", "Tarnbeck"), ("its-maker[Twin B]", "Fellgate"), ("its-maker[Mono]", ""),
        ];
        // The guesses alone are no answer.
        let missing = officer.post(&page, &sent).await;
        assert_eq!(missing.status, StatusCode::UNPROCESSABLE_ENTITY);
        sent[3].1 = "each";
        let missing = officer.post(&page, &sent).await;
        assert_eq!(missing.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(missing.text.contains("Maker of &#34;Mono&#34;: This must not be empty"), "{}", missing.text);
        sent[6].1 = "Holmar";
        let done = officer.post(&page, &sent).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        let ready = officer.get(&page).await.text;
        assert!(ready.contains("3 items can be taken in"), "{ready}");
        assert!(ready.contains("name=\"its-maker[Mono]\" value=\"Holmar\""), "what was said can be changed: {ready}");
    }

    async fn one_line_assumes_an_efficiency_and_what_is_read_stands_over_it(world) {
        let text = "Tag;Kind;Maker;Model;Store;PPE;Made;MBS\nP-1;Double pulley;Fellgate;Twin;Bay;yes;2022;36 kN\nP-2;Single pulley;Fellgate;Mono;Bay;yes;2022;30 kN\n";
        let officer = world.visitor(&world.officer).await;
        let page = officer.upload("/import", &[("file", Some("gear.csv"), text.as_bytes())]).await.location().to_owned();
        officer.post(&page, &[("here", ""), ("silent-strength-source", "paper")]).await;
        let asked = officer.get(&page).await.text;
        assert!(asked.contains("Assume the efficiency of the 2 models that lack it: likely value and range"), "{asked}");
        let sent = [
            ("here", ""), ("silent-strength-source", "paper"), ("source", "paper"),
            ("given-0", "0.92"), ("model-0", "Fellgate Mono"), ("of-0", "attribute-efficiency"), ("by-0", "source"),
            ("given-9", "0.85 (0.75-0.9)"), ("model-9", "Fellgate Mono\nFellgate Twin"), ("of-9", "attribute-efficiency"), ("by-9", "source-9"),
            ("source-9", "assumed"),
        ];
        let done = officer.post(&page, &sent).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        let taken = officer.post(&format!("{page}/take"), &[]).await;
        assert_eq!(taken.status, StatusCode::SEE_OTHER, "{}", taken.text);
        let models = officer.get("/api/v1/models").await.json();
        let of = |name: &str| {
            let rows = models["rows"].as_array().unwrap().iter();
            rows.clone().find(|one| one["name"] == name).unwrap()["attributes"].clone()
        };
        assert_eq!((&of("Twin")["efficiency"], &of("Twin")["efficiency-source"]), (&json!({"number": 0.85}), &json!({"text": "assumed"})), "{models}");
        assert_eq!((&of("Mono")["efficiency"], &of("Mono")["efficiency-source"]), (&json!({"number": 0.92}), &json!({"text": "maker"})), "{models}");
    }
}
