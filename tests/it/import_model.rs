//! What a list says of models: which approval a rated load is of, class letters, limits of use, and what single rigs ask.

use ropeloft::{
    deed::{
        Desk,
        import::{ImportFile, look},
    },
    domain::{ModelDraft, ModelId, RatingDraft},
    import::{Answers, Known, Offer, Question, ReadIn, Target, read_table, rehearse},
};
use time::macros::date;
use uuid::Uuid;

use crate::{
    import_inventory::{rehearsed, said},
    world::on_sqlite,
};

const DESCENDER: &str = "mark,kind,maker,model,store,life support,standard,rated load\n\
    1,descender,F,Slide,B,yes,\"EN 341 A, EN 12841 C\",200 kg\n";

#[test]
fn a_rated_load_beside_two_standards_is_that_of_the_one_that_is_said() {
    let asked = rehearsed("x.csv", DESCENDER.as_bytes(), &Answers::default());
    let [question] = asked.open.as_slice() else {
        panic!("{:?}", asked.open)
    };
    assert_eq!(asked.questions, []);
    let model = &asked.plan.as_ref().unwrap().models[0].draft;
    let loads = model.approvals.iter().map(|one| one.rated_load.as_str());
    assert_eq!(loads.collect::<Vec<_>>(), ["", ""], "it may stay open");
    assert_eq!(model.note, "Rated load: 200 kg");
    assert_eq!(
        question.sentence(),
        "F Slide (1 row) has one rated load, 200 kg, and approvals to EN 341 A and EN 12841 C. To which does it belong? Each standard rates its own; where the list is to give each, it says so in one cell: \"200 kg to EN 341 A; 250 kg to EN 12841 C\". While it stays open, the load is kept in the note and counts for none."
    );
    let keys: Vec<String> = question.choices().into_iter().map(|(key, _)| key).collect();
    assert_eq!(keys, ["EN 341 A", "EN 12841 C", "all"]);
    for (said, loads) in [("EN 341 A", ["200 kg", ""]), ("all", ["200 kg", "200 kg"])] {
        let mut answers = Answers::default();
        let words = answers.words.entry("rated-load".to_owned()).or_default();
        words.insert("f slide".to_owned(), said.to_owned());
        let rehearsal = rehearsed("x.csv", DESCENDER.as_bytes(), &answers);
        let approvals = &rehearsal.plan.unwrap().models[0].draft.approvals;
        let found: Vec<&str> = approvals
            .iter()
            .map(|one| one.rated_load.as_str())
            .collect();
        assert_eq!(found, loads, "{said}");
    }
}

#[test]
fn the_class_of_the_one_approval_that_has_one_is_the_class_letter() {
    for (kind, standard, key, class) in [
        ("rope", "EN 1891 A", "rope-class", Some("A")),
        ("connector", "EN 362 class B", "connector-class", Some("B")),
        (
            "connector",
            "EN 362 B / EN 12275 K",
            "connector-class",
            None,
        ),
        ("rope", "EN 892", "rope-class", None),
    ] {
        let text = format!(
            "mark,kind,maker,model,store,life support,standard\n1,{kind},F,D,B,yes,{standard}\n"
        );
        let plan = rehearsed("x.csv", text.as_bytes(), &Answers::default())
            .plan
            .unwrap();
        let attributes = &plan.models[0].draft.attributes;
        assert_eq!(attributes.get(key).map(String::as_str), class, "{standard}");
    }
}

#[test]
fn arduous_use_and_the_limits_of_use_are_read() {
    let text = "\
mark,kind,maker,model,store,life support,arduous use,max uses,max falls,max hours of use
1,sling,F,D,B,yes,salt water every week,500,3,
2,sling,F,D,B,yes,Y,500,3,
3,sling,F,D,B,yes,no,500,3,
";
    let plan = rehearsed("x.csv", text.as_bytes(), &Answers::default())
        .plan
        .unwrap();
    let arduous: Vec<&str> = plan
        .items
        .iter()
        .map(|item| item.draft.arduous.as_str())
        .collect();
    assert_eq!(
        arduous,
        ["salt water every week", "as the imported list says", ""]
    );
    let model = &plan.models[0].draft;
    let limits = [&model.most_uses, &model.most_falls, &model.most_hours];
    assert_eq!(limits, ["500", "3", ""]);
    let wrong = text.replace("500", "often");
    let rehearsal = rehearsed("x.csv", wrong.as_bytes(), &Answers::default());
    assert_eq!(rehearsal.errors[0].heading.as_deref(), Some("max uses"));
}

#[test]
fn descriptions_without_a_kind_are_asked_about_each_for_itself() {
    let text = "\
mark,description,maker,model,store,life support
1,Rescue harness full body,F,D,B,yes
2,Thingamajig large,F,E,B,yes
3,Thingamajig large,F,E,B,yes
";
    let mut answers = Answers::default();
    let note = Target::from_words("in note").unwrap();
    answers.headings.insert("description".to_owned(), note);
    let asked = rehearsed("x.csv", text.as_bytes(), &answers);
    let sentences: Vec<_> = asked.questions.iter().map(Question::sentence).collect();
    assert_eq!(
        sentences,
        [
            "What does \"Thingamajig large\" mean as kind of gear? It stands in 2 rows, first in row 3."
        ]
    );
    let words = answers.words.entry("kind".to_owned()).or_default();
    words.insert("thingamajig LARGE".to_owned(), "leave-out".to_owned());
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &answers);
    assert_eq!(rehearsal.plan.unwrap().items.len(), 1);
}

#[test]
fn a_strength_in_another_unit_is_no_contradiction() {
    let rating = RatingDraft {
        mode: "straight".to_owned(),
        value: "32 kN".to_owned(),
        kind: "breaking".to_owned(),
        source: "paper".to_owned(),
        ..RatingDraft::default()
    };
    let draft = ModelDraft {
        kind: "rope".to_owned(),
        maker: "F".to_owned(),
        name: "D".to_owned(),
        life_support: "yes".to_owned(),
        ratings: vec![rating],
        ..ModelDraft::default()
    };
    let known = Known {
        models: vec![draft.check(ModelId(Uuid::from_u128(7)), 1).unwrap()],
        ..Known::default()
    };
    // 32 kN are 7193.9 lbf and 3263.1 kgf: 1 lbf is 4.4482216152605 N (NIST SP 811, B.8), 1 kgf 9.80665 N.
    for (strength, is_same) in [
        ("32 kN", true),
        ("32.0 kN", true),
        ("7194 lbf", true),
        ("7193 lbf", true),
        ("3263 kgf", true),
        ("7190 lbf", false),
        ("31.9 kN", false),
        ("3260 kgf", false),
    ] {
        let text = format!("mark,kind,maker,model,store,MBS\n1,rope,F,D,B,{strength}\n");
        let table = read_table("x.csv", text.as_bytes(), None).unwrap();
        let rehearsal =
            rehearse(&table, &Answers::default(), &known, date!(2026 - 11 - 25)).unwrap();
        assert_eq!(
            rehearsal.questions.is_empty(),
            is_same,
            "{strength}: {:?}",
            rehearsal.questions
        );
    }
}

#[tokio::test]
async fn what_single_positions_ask_is_told_apart_and_can_be_said() {
    on_sqlite(async |world| {
        world.hold_competent().await;
        let desk = Desk {
            database: world.database.clone(),
            clock: world.clock.clone(),
            files: world.files(),
        };
        let list = "Tag,Type,Maker,Model,Serial,Store,Made,MBS (kN),Sheaves,Efficiency\n\
            P-1,Pulley,F,Twin,1,B,2022,36,2,0.92\nS-1,Sling,F,Loop,2,B,2022,22,,\n";
        let mut file = ImportFile {
            answers: said(),
            ..ImportFile::new("gear.csv", list.as_bytes().to_vec())
        };
        let rehearsal = look(&desk, &world.officer, &file).await.unwrap();
        let told = rehearsal.foretold.unwrap();
        let codes = |told: &ropeloft::import::Foretold| {
            let reasons = told.at_positions.iter();
            let mut codes: Vec<_> = reasons.map(|one| (one.code, one.rows.clone())).collect();
            codes.sort_unstable();
            codes
        };
        assert_eq!(
            codes(&told),
            [
                ("basket-unknown", vec![3]),
                ("becket-unknown", vec![2]),
                ("capture-unknown", vec![2]),
                ("rope-range", vec![2]),
            ]
        );
        assert!(
            told.reasons.iter().all(|one| one.code != "becket-unknown"),
            "no job refuses it for that"
        );
        let Offer::Models(models) = &told.at_positions[0].offer else {
            panic!("{told:?}");
        };
        assert!(models[0].sentence.contains(" ask"), "{models:?}");
        for (title, key, value) in [
            ("F Twin", "attribute-becket", "yes"),
            ("F Twin", "attribute-capture", "no"),
            ("F Loop", "breaking-strength-basket", "44 kN"),
        ] {
            let fields = file.answers.models.entry(title.to_owned()).or_default();
            fields.insert(key.to_owned(), value.to_owned());
            let read = file.answers.sources.entry(title.to_owned()).or_default();
            read.insert(key.to_owned(), ropeloft::import::ReadIn::Marking);
        }
        let rehearsal = look(&desk, &world.officer, &file).await.unwrap();
        let left = codes(&rehearsal.foretold.unwrap());
        assert_eq!(
            left,
            [("becket-strength", vec![2]), ("rope-range", vec![2])],
            "a becket has a strength of its own"
        );
    })
    .await;
}

#[test]
fn two_approvals_of_one_model_each_have_the_load_that_its_standard_rates() {
    for cell in [
        "150 kg to EN 341 A; 250 kg to EN 12841 C",
        "EN 12841 C: 250 kg, EN 341 A: 150 kg",
    ] {
        let list = DESCENDER.replace("200 kg", &format!("\"{cell}\""));
        let rehearsal = rehearsed("x.csv", list.as_bytes(), &Answers::default());
        assert_eq!(rehearsal.errors, []);
        assert_eq!(rehearsal.open, [], "nothing is in doubt");
        let model = &rehearsal.plan.unwrap().models[0].draft;
        let loads: Vec<&str> = model
            .approvals
            .iter()
            .map(|one| one.rated_load.as_str())
            .collect();
        assert_eq!(loads, ["150 kg", "250 kg"], "{cell}");
        assert!(
            model.ratings.is_empty() && model.note.is_empty(),
            "{model:?}"
        );
    }
}

#[test]
fn a_load_of_a_standard_that_is_none_of_its_own_stays_in_the_note() {
    let list = DESCENDER.replace("200 kg", "150 kg to EN 341 A; 250 kg to EN 567");
    let model = rehearsed("x.csv", list.as_bytes(), &Answers::default());
    let model = &model.plan.unwrap().models[0].draft;
    let loads: Vec<&str> = model
        .approvals
        .iter()
        .map(|one| one.rated_load.as_str())
        .collect();
    assert_eq!(loads, ["150 kg", ""]);
    assert_eq!(model.note, "Rated load: 250 kg to EN 567");
}

/// What the list gives for one approval alone is said anew for both where somebody reads the paper.
#[test]
fn loads_that_are_said_for_a_model_replace_the_one_of_the_list() {
    let mut answers = Answers {
        source: Some(ReadIn::Paper),
        ..Answers::default()
    };
    let of = answers.models.entry("F Slide".to_owned()).or_default();
    let loads = "150 kg to EN 341 A; 250 kg to EN 12841 C";
    of.insert("rated-load".to_owned(), loads.to_owned());
    let rehearsal = rehearsed("x.csv", DESCENDER.as_bytes(), &answers);
    let model = &rehearsal.plan.unwrap().models[0].draft;
    let loads: Vec<&str> = model
        .approvals
        .iter()
        .map(|one| one.rated_load.as_str())
        .collect();
    assert_eq!(loads, ["150 kg", "250 kg"]);
}
