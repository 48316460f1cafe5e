//! Lengths that gear of a kind hardly ever has: asked in forms, by programs and in lists, and taken when they are confirmed.

use axum::http::{Method, StatusCode};
use ropeloft::domain::{FieldErrors, Kind, ModelDraft, ModelId, Value};
use ropeloft::import::{Answers, Question, Rehearsal};
use serde_json::json;

use crate::{
    import_inventory::{rehearsed, said},
    item_given::{ROPE, model, one_rope, rope_fields, with},
};

const HEAD: &str = "Mark;Type;Maker;Model;Made;Length (m);Store\n";

fn read(rows: &str, answers: &Answers) -> Rehearsal {
    rehearsed("x.csv", format!("{HEAD}{rows}").as_bytes(), answers)
}

fn sentences(rehearsal: &Rehearsal) -> Vec<String> {
    rehearsal.questions.iter().map(Question::sentence).collect()
}

/// What is asked of a length of gear of a kind.
fn asked(kind: Kind, length: &str) -> Option<String> {
    let length = ropeloft::domain::entered::EnteredLength::read(length, None).unwrap();
    kind.doubts_length(length)
        .map(|doubt| doubt.why().to_owned())
}

#[test]
fn each_kind_has_its_limits() {
    for (kind, on, beyond, told) in [
        (
            Kind::Rope,
            "600 m",
            "601 m",
            "A rope is seldom longer than 600 m",
        ),
        (
            Kind::Rope,
            "1 m",
            "0.99 m",
            "A rope is seldom shorter than 1 m",
        ),
        (Kind::Cord, "600 m", "2000 ft", "longer than 600 m"),
        (
            Kind::Sling,
            "12 m",
            "12.1 m",
            "A sling is seldom longer than 12 m",
        ),
        (
            Kind::AnchorDevice,
            "12 m",
            "40 ft",
            "An anchor device is seldom longer than 12 m",
        ),
        (
            Kind::Lanyard,
            "5 m",
            "5.01 m",
            "A lanyard is seldom longer than 5 m",
        ),
    ] {
        assert_eq!(asked(kind, on), None, "{on}");
        let why = asked(kind, beyond);
        assert!(
            why.as_ref().is_some_and(|why| why.contains(told)),
            "{beyond}: {why:?}"
        );
    }
    assert_eq!(asked(Kind::EdgeProtector, "100 m"), None);
}

#[test]
fn a_model_of_such_a_length_is_asked_and_taken_when_confirmed() {
    let mut draft = ModelDraft {
        kind: "lanyard".to_owned(),
        maker: "F".to_owned(),
        name: "L".to_owned(),
        life_support: "yes".to_owned(),
        ..ModelDraft::default()
    };
    let mut check = |length: &str, confirmed: &str| {
        draft
            .attributes
            .insert("length".to_owned(), length.to_owned());
        draft
            .attributes
            .insert("length-confirmed".to_owned(), confirmed.to_owned());
        let checked = draft.check(ModelId::new(), 1);
        checked.map_err(|FieldErrors(wrong)| wrong[0].clone())
    };
    let wrong = check("90 m", "").unwrap_err();
    assert_eq!(wrong.field, "attributes[length]");
    let told = wrong.message;
    assert!(
        told.starts_with("Is it really 90 m?") && told.contains("Write 0.9 m if that is meant"),
        "{told}"
    );
    assert!(!told.contains("length-confirmed"), "{told}");
    assert_eq!(
        wrong.beside.as_deref(),
        Some("\"length-confirmed\": \"90 m\"")
    );
    for confirmed in ["no", "91 m", "0.9 m", "x"] {
        assert!(check("90 m", confirmed).is_err(), "{confirmed}");
    }
    for confirmed in ["yes", "90 m", "90m"] {
        let model = check("90 m", confirmed).unwrap();
        assert_eq!(model.attributes.0["length-confirmed"].to_string(), "90 m");
        assert_eq!(
            model.draft().check(model.id, 2).unwrap().attributes,
            model.attributes
        );
    }
    let usual = check("2 m", "90 m").unwrap();
    assert!(
        !usual.attributes.0.contains_key("length-confirmed"),
        "it was said of another length"
    );
}

#[test]
fn a_pulley_without_friction_and_a_new_length_are_asked_too() {
    let pulley = |efficiency: &str, confirmed: &str| {
        let attributes = [
            ("efficiency", efficiency),
            ("efficiency-confirmed", confirmed),
        ];
        let draft = ModelDraft {
            kind: "pulley".to_owned(),
            maker: "F".to_owned(),
            name: "P".to_owned(),
            life_support: "yes".to_owned(),
            attributes: attributes
                .map(|(key, text)| (key.to_owned(), text.to_owned()))
                .into(),
            ..ModelDraft::default()
        };
        draft.check(ModelId::new(), 1)
    };
    for efficiency in ["1", "1.0", "100 %", "100"] {
        let FieldErrors(wrong) = pulley(efficiency, "").unwrap_err();
        assert_eq!(wrong[0].field, "attributes[efficiency]");
        assert!(
            wrong[0]
                .message
                .starts_with("Is it really 1? Every sheave takes something of a pull"),
            "{}",
            wrong[0].message
        );
        for confirmed in ["yes", "1", "100 %"] {
            let model = pulley(efficiency, confirmed).unwrap();
            assert_eq!(
                model.attributes.confirmed("efficiency"),
                Some(&Value::Number(1.0))
            );
        }
    }
    let usual = pulley("0.99", "yes").unwrap();
    assert_eq!(usual.attributes.confirmed("efficiency"), None);
    let new = ropeloft::domain::entered::EnteredLength::read("6000 ft", None).unwrap();
    assert!(
        Kind::Rope
            .doubts("length-new", &Value::Length(new))
            .is_some()
    );
}

#[test]
fn a_list_is_asked_about_an_efficiency_of_one() {
    let list = "Mark;Type;Maker;Model;Made;Efficiency;Store\nP1;Pulley;F;A;2021;100 %;B\nP2;Pulley;F;B;2021;92 %;B\n";
    let read = |answers: &Answers| rehearsed("x.csv", list.as_bytes(), answers);
    let asked = read(&said());
    let told = sentences(&asked);
    assert!(
        told.len() == 1 && told[0].contains("really 1? Every sheave takes something of a pull"),
        "{told:?}"
    );
    let keys = asked.questions[0].choices().into_iter().map(|(key, _)| key);
    assert_eq!(keys.collect::<Vec<_>>(), ["1", "in-note"]);
    let said_of = |said_of_it: &str| {
        let mut answers = said();
        let word = [("1".to_owned(), said_of_it.to_owned())];
        answers
            .words
            .insert("attribute-efficiency".to_owned(), word.into());
        let plan = read(&answers).plan.unwrap();
        let mut models = plan.models.into_iter();
        models.find(|one| one.draft.name == "A").unwrap().draft
    };
    assert_eq!(said_of("1").attributes["efficiency-confirmed"], "1");
    let other = said_of("0.9");
    assert_eq!(other.attributes["efficiency"], "0.9");
    assert!(!other.attributes.contains_key("efficiency-confirmed"));
    assert!(!said_of("in-note").attributes.contains_key("efficiency"));
    // Said of a model, it is asked as well.
    let mut answers = said();
    let efficiency = [("attribute-efficiency".to_owned(), "1".to_owned())];
    answers.models.insert("F C".to_owned(), efficiency.into());
    answers.source = Some(ropeloft::import::ReadIn::Paper);
    let list = "Mark;Type;Maker;Model;Made;Store\nP1;Pulley;F;C;2021;B\n";
    let told = sentences(&rehearsed("x.csv", list.as_bytes(), &answers));
    assert!(told.iter().any(|one| one.contains("really 1?")), "{told:?}");
}

const ROWS: &str = "R1;Rope;F;A;2021;60;B\nS1;Sling;F;B;2021;120;B\nS2;Sling;F;B;2021;120;B\nS3;Sling;F;B;2021;60;B\n\
    L1;Lanyard;F;C;2021;90;B\nA1;Anchor strap;F;D;2021;150;B\n";

#[test]
fn a_list_is_asked_about_such_lengths() {
    let asked = read(ROWS, &said());
    let told = sentences(&asked);
    assert_eq!(told.len(), 4, "{told:?}");
    assert!(
        told[0].starts_with("Is the length really 120 m? A sling is seldom longer than 12 m"),
        "{told:?}"
    );
    assert!(
        told[0].ends_with("It stands in 2 rows, first in row 3."),
        "{told:?}"
    );
    let keys: Vec<String> = asked.questions[0]
        .choices()
        .into_iter()
        .map(|(key, _)| key)
        .collect();
    assert_eq!(keys, ["1.2 m", "120 m", "in-note"]);
    assert!(asked.plan.is_none());
}

#[test]
fn lengths_of_a_list_are_taken_as_they_are_answered() {
    let mut answers = said();
    let lengths = [
        ("120 m", "1.2 m"),
        ("60 m", "60 m"),
        ("90 m", "0.9 m"),
        ("150 m", "in-note"),
    ];
    let lengths = lengths.map(|(from, to)| (from.to_owned(), to.to_owned()));
    answers
        .words
        .insert("attribute-length".to_owned(), lengths.into());
    let taken = read(ROWS, &answers);
    assert_eq!((sentences(&taken), &taken.errors), (vec![], &vec![]));
    let told = "120 m is taken as 1.2 m, as was said: it is the length";
    let mut remarks = taken.remarks.iter();
    assert!(remarks.any(|one| one.sentence.contains(told)));
    let plan = taken.plan.unwrap();
    let kept: Vec<Option<&str>> = plan
        .items
        .iter()
        .map(|item| item.draft.attributes.get("length").map(String::as_str))
        .collect();
    assert_eq!(
        kept,
        [
            Some("60 m"),
            Some("1.2 m"),
            Some("1.2 m"),
            Some("60 m"),
            None,
            None
        ]
    );
    assert_eq!(plan.items[3].draft.attributes["length-confirmed"], "60 m");
    assert!(
        !plan.items[0]
            .draft
            .attributes
            .contains_key("length-confirmed")
    );
    assert!(
        plan.items[5].draft.note.contains("150"),
        "{}",
        plan.items[5].draft.note
    );
    let lanyard = plan
        .models
        .iter()
        .find(|model| model.draft.kind == "lanyard")
        .unwrap();
    assert_eq!(lanyard.draft.attributes["length"], "0.9 m");
    // Of other items it is asked anew.
    let (other, _) = answers.for_other_items();
    assert!(!other.words.contains_key("attribute-length"));
}

#[test]
fn a_diameter_that_is_said_of_a_model_makes_its_strength_far_out() {
    let text = "Mark;Type;Maker;Model;Made;MBS (kN);Store\nC1;Cord;F;A;2021;7.4;B\n";
    let mut answers = said();
    let fine = rehearsed("x.csv", text.as_bytes(), &answers);
    assert_eq!(sentences(&fine), Vec::<String>::new());
    let diameter = [("attribute-diameter".to_owned(), "2 mm".to_owned())];
    answers.models.insert("F A".to_owned(), diameter.into());
    answers.source = Some(ropeloft::import::ReadIn::Marking);
    let told = sentences(&rehearsed("x.csv", text.as_bytes(), &answers));
    assert!(
        told.len() == 1
            && told[0].contains("really 7.4 kN? Such gear of 2 mm seldom holds more than 4.8 kN"),
        "{told:?}"
    );
    let said = [("7.4 kN".to_owned(), "7.4 kN".to_owned())];
    answers
        .words
        .insert("breaking-strength".to_owned(), said.into());
    assert!(rehearsed("x.csv", text.as_bytes(), &answers).is_ready());
}

#[test]
fn a_pair_of_masses_under_one_strength_is_asked() {
    let list = |kind: &str, cell: &str| {
        format!("Mark;Type;Maker;Model;Made;MBS kg;Store\nC1;{kind};F;A;2021;{cell};B\n")
    };
    for (kind, cell) in [
        ("Connector", "22/3000"),
        ("Connector", "5/4945"),
        ("Connector", "140/2200"),
        ("Connector", "220/2243"),
        ("Harness", "140/2200"),
        ("Connector", "2243/500/400"),
        ("Sling", "22 kg / 3000 kg"),
    ] {
        let told = sentences(&rehearsed("x.csv", list(kind, cell).as_bytes(), &said()));
        assert!(told.iter().any(|one| one.contains(&format!("\"{cell}\" cannot be read as breaking strength"))), "{cell}: {told:?}");
    }
    let one = rehearsed("x.csv", list("Connector", "2243").as_bytes(), &said());
    assert!(one.is_ready(), "{:?}", sentences(&one));
}

on_both_databases! {
    async fn the_form_of_an_item_and_programs_ask_and_keep_what_was_confirmed(world) {
        let given = one_rope(&world).await;
        let sling = model(&given.officer, &[("kind", "sling"), ("maker", "F"), ("name", "Loop"), ("life_support", "no")]).await;
        let fields = with(&rope_fields(&sling, &given.store), &[("mark", "S-1"), ("serial", "1"), ("attributes[length-new]", ""), ("attributes[end-marks]", ""), ("attributes[length]", "120 m")]);
        let before = world.entries().await;
        let refused = given.officer.post("/items", &fields).await;
        assert_eq!((refused.status, world.entries().await), (StatusCode::UNPROCESSABLE_ENTITY, before), "{}", refused.text);
        for words in ["Is it really 120 m? A sling is seldom longer than 12 m", "Write 1.2 m if that is meant", "name=\"attributes[length-confirmed]\" value=\"120 m\"", "120 m is no slip: it is really so long"] {
            assert!(refused.text.contains(words), "{words}: {}", refused.text);
        }
        let confirmed = with(&fields, &[("attributes[length-confirmed]", "120 m")]);
        let kept = given.officer.post("/items", &confirmed).await;
        assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.text);
        let mut tx = world.database.read(world.team).await.unwrap();
        let item = tx.item_marked("S-1").await.unwrap().unwrap();
        drop(tx);
        assert!(matches!(item.attributes.0["length-confirmed"], Value::Length(_)));
        // What is confirmed is not asked again; another such length is.
        let path = format!("/api/v1/items/{}", item.id);
        let mut draft = serde_json::to_value(item.draft()).unwrap();
        draft["note"] = json!("washed");
        let tag = given.officer.get(&path).await.header(axum::http::header::ETAG).to_owned();
        let done = given.officer.json_if(Method::PUT, &path, &tag, &draft).await;
        assert_eq!(done.status, StatusCode::OK, "{}", done.text);
        draft["attributes"]["length"] = json!("1200 m");
        let tag = given.officer.get(&path).await.header(axum::http::header::ETAG).to_owned();
        let asked = given.officer.json_if(Method::PUT, &path, &tag, &draft).await;
        assert_eq!((asked.status, &asked.json()["fields"][0]["field"]), (StatusCode::UNPROCESSABLE_ENTITY, &json!("attributes[length]")), "{}", asked.text);
        draft["attributes"]["length-confirmed"] = json!("1200 m");
        let done = given.officer.json_if(Method::PUT, &path, &tag, &draft).await;
        assert_eq!(done.status, StatusCode::OK, "{}", done.text);
        // Of gear that has no such length nothing is confirmed.
        let rope = with(&ROPE, &[("name", "Line 12"), ("attributes[length-confirmed]", "700 m")]);
        let refused = given.officer.post("/models", &rope).await;
        assert!(refused.text.contains("This is not written down of a rope; take it out."), "{}", refused.text);
    }
}
