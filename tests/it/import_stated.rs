//! What names and descriptions state, and one column of diameters for ropes and devices alike.

use ropeloft::domain::Value;
use ropeloft::import::{Answers, DecimalMark, Rehearsal, Stated, Target};

use crate::import_inventory::{rehearsed, said};

/// Each cell between the signs of a list, quoted where it needs to be.
fn list(separator: char, lines: &[&[&str]]) -> String {
    let line = |cells: &&[&str]| {
        let quoted: Vec<String> = cells
            .iter()
            .map(|cell| format!("\"{}\"", cell.replace('"', "\"\"")))
            .collect();
        quoted.join(&separator.to_string())
    };
    lines.iter().map(line).collect::<Vec<_>>().join("\n")
}

fn sentences(rehearsal: &Rehearsal) -> Vec<&str> {
    rehearsal
        .remarks
        .iter()
        .map(|one| one.sentence.as_str())
        .collect()
}

const DESCRIBED: &[&[&str]] = &[
    &["Tag", "Type", "Make", "Model", "Place", "Made"],
    &["P1", "Double pulley", "Fellside", "Twin 60", "Bay", "2021"],
    &[
        "R1",
        "Low stretch rope 10,5 mm",
        "Calder",
        "Ghyll",
        "Bay",
        "2021",
    ],
    &[
        "C1",
        "Karabiner, steel, triple lock",
        "Fellside",
        "Oval",
        "Bay",
        "2021",
    ],
];

#[test]
fn words_of_a_description_are_taken_and_it_is_said() {
    for separator in [',', ';'] {
        let text = list(separator, DESCRIBED);
        let rehearsal = rehearsed("x.csv", text.as_bytes(), &said());
        let told = sentences(&rehearsal);
        for sentence in [
            "Read from \"Double pulley\" under \"Type\": number of sheaves 2.",
            "Read from \"Low stretch rope 10,5 mm\" under \"Type\": rope kind low-stretch, nominal diameter 10.5 mm.",
            "Read from \"Karabiner, steel, triple lock\" under \"Type\": locking triple.",
        ] {
            assert!(told.contains(&sentence), "{told:?}");
        }
        assert_eq!(rehearsal.described, 3);
        let plan = rehearsal.plan.unwrap();
        let of = |kind: &str| {
            let mut models = plan.models.iter();
            &models
                .find(|model| model.draft.kind == kind)
                .unwrap()
                .draft
                .attributes
        };
        assert_eq!(of("pulley")["sheaves"], "2");
        assert_eq!(of("rope")["diameter"], "10.5 mm");
        assert_eq!(of("rope")["rope-kind"], "low-stretch");
        assert_eq!(of("connector")["locking"], "triple");
    }
}

#[test]
fn words_stay_words_where_somebody_says_so() {
    let answers = Answers {
        stated: Some(Stated::LeaveOut),
        ..said()
    };
    let text = list(',', DESCRIBED);
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &answers);
    assert_eq!(rehearsal.described, 3, "the answer can be changed");
    assert!(
        sentences(&rehearsal)
            .iter()
            .all(|one| !one.starts_with("Taken"))
    );
    let plan = rehearsal.plan.unwrap();
    assert!(
        plan.models
            .iter()
            .all(|model| model.draft.attributes.is_empty())
    );
}

#[test]
fn a_column_of_the_attribute_goes_before_words_even_where_it_is_empty() {
    let text = list(
        ';',
        &[
            &["Tag", "Type", "Make", "Model", "Place", "Sheaves"],
            &["P1", "Double pulley", "Fellside", "Twin", "Bay", ""],
            &["P2", "Double pulley", "Fellside", "Other", "Bay", "1"],
        ],
    );
    let plan = rehearsed("x.csv", text.as_bytes(), &said()).plan.unwrap();
    let sheaves = |at: usize| {
        plan.models[at]
            .draft
            .attributes
            .get("sheaves")
            .map(String::as_str)
    };
    assert_eq!(
        (sheaves(0), sheaves(1)),
        (Some("1"), None),
        "by the models' names"
    );
}

#[test]
fn a_kind_is_read_from_the_description_where_no_column_says_it() {
    let text = list(
        ',',
        &[
            &["Tag", "Make", "Model", "Place", "Details"],
            &["C1", "Fellside", "Oval", "Bay", "Screw gate karabiner"],
            &["C2", "Fellside", "Slim", "Bay", ""],
        ],
    );
    let mut answers = said();
    answers.headings.insert(
        "Details".to_owned(),
        "in-note".to_owned().try_into().unwrap(),
    );
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &answers);
    let told = sentences(&rehearsal);
    assert!(
        told.contains(&"\"Screw gate karabiner\" is read as the kind connector."),
        "{told:?}"
    );
    assert_eq!(rehearsal.questions.len(), 1);
    assert_eq!(
        rehearsal.questions[0].sentence(),
        "What holds for the 1 row that says nothing about the kind of gear (first: row 3)?"
    );
}

#[test]
fn a_kind_stands_before_its_size_and_what_tells_it_from_others() {
    for (words, kind) in [
        ("Low stretch rope 11 mm", "rope"),
        ("11 mm rope 60 m", "rope"),
        ("Full body harness size L", "harness"),
        ("Steel D carabiner auto-lock", "connector"),
        ("Hand ascender left", "rope clamp"),
        ("Pulley double", "pulley"),
        ("Rope bag", "other equipment"),
        ("Harness bag large", "other equipment"),
        ("Rope protector 2 m", "edge protector"),
    ] {
        let text = format!("Tag,Type,Make,Model,Place\n1,{words},F,D,B\n");
        let rehearsal = rehearsed("x.csv", text.as_bytes(), &said());
        let sentence = format!("\"{words}\" is read as the kind {kind}.");
        assert!(
            sentences(&rehearsal).contains(&sentence.as_str()),
            "{words}"
        );
    }
    let text = "Tag,Type,Make,Model,Place\n1,Rope lock,F,D,B\n";
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &said());
    assert_eq!(rehearsal.questions.len(), 1);
}

#[test]
fn a_description_that_is_kept_as_a_note_describes_its_item_too() {
    let text = "Tag,Kind,Description,Make,Model,Place\n\
                1,pulley,Double pulley with becket,F,D,B\n\
                2,pulley,Single pulley,F,Twin,B\n";
    let mut answers = said();
    answers.headings.insert(
        "Description".to_owned(),
        Target::from_words("note").unwrap(),
    );
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &answers);
    let told = sentences(&rehearsal);
    for sentence in [
        "Read from \"Double pulley with becket\" under \"Description\": number of sheaves 2, becket yes.",
        "The words of this row say two things of the number of sheaves: neither is taken.",
    ] {
        assert!(told.contains(&sentence), "{told:?}");
    }
    let plan = rehearsal.plan.unwrap();
    let of = |name: &str| {
        let mut models = plan.models.iter();
        models.find(|model| model.draft.name == name).unwrap()
    };
    assert_eq!(of("D").draft.attributes["becket"], "yes");
    assert!(!of("Twin").draft.attributes.contains_key("sheaves"));
}

#[test]
fn nobody_asks_whether_what_is_not_loaded_may_hold_people() {
    let text = "Tag,Kind,Make,Model,Place\n1,edge protector,F,D,B\n2,First aid kit,F,E,B\n3,helmet,F,G,B\n";
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &Answers::default());
    assert!(rehearsal.questions.is_empty(), "{:?}", rehearsal.questions);
    let plan = rehearsal.plan.unwrap();
    let kinds: Vec<&str> = plan
        .models
        .iter()
        .map(|model| model.draft.kind.as_str())
        .collect();
    assert_eq!(kinds, ["edge-protector", "other-equipment", "helmet"]);
}

#[test]
fn one_column_of_rope_diameters_is_read_row_by_row() {
    for (heading, separator) in [
        ("Rope dia", ','),
        ("Rope dia (mm)", ';'),
        ("Rope size", ';'),
    ] {
        let unit = if heading.ends_with("mm)") { "" } else { " mm" };
        let (range, one, clamp) = (
            format!("8-12,5{unit}"),
            format!("11{unit}"),
            format!("10{unit}"),
        );
        let text = list(
            separator,
            &[
                &["Tag", "Kind", "Make", "Model", "Place", "Standard", heading],
                &["R1", "rope", "Calder", "Ghyll", "Bay", "EN 1891 A", &one],
                &["P1", "pulley", "Fellside", "Hold", "Bay", "EN 567", &range],
                &[
                    "G1",
                    "rope clamp",
                    "Fellside",
                    "Grip",
                    "Bay",
                    "EN 567",
                    &clamp,
                ],
            ],
        );
        let rehearsal = rehearsed("x.csv", text.as_bytes(), &said());
        assert_eq!(
            (rehearsal.questions.len(), rehearsal.errors.len()),
            (0, 0),
            "{heading}"
        );
        let only = format!(
            "A diameter alone under \"{heading}\" is taken as the only rope that a device takes."
        );
        assert!(
            sentences(&rehearsal).contains(&only.as_str()),
            "{:?}",
            rehearsal.remarks
        );
        let plan = rehearsal.plan.unwrap();
        let models: Vec<_> = plan.models.iter().map(|model| &model.draft).collect();
        let ends = |at: usize| {
            let approval = &models[at].approvals[0];
            (approval.rope_least.as_str(), approval.rope_most.as_str())
        };
        assert_eq!(models[0].attributes["diameter"], "11 mm");
        assert_eq!(ends(0), ("", ""));
        assert_eq!(ends(1), ("10 mm", "10 mm"));
        assert_eq!(ends(2), ("8 mm", "12.5 mm"));
    }
}

#[test]
fn a_plain_diameter_of_a_pulley_is_no_rope_unless_it_is_a_range() {
    let text = "mark,kind,maker,model,store,standard,diameter\n1,pulley,F,A,B,EN 567,60 mm\n2,pulley,F,C,B,EN 567,8-13 mm\n";
    let plan = rehearsed("x.csv", text.as_bytes(), &said()).plan.unwrap();
    assert_eq!(plan.items[0].draft.note, "diameter: 60 mm");
    assert_eq!(plan.models[0].draft.approvals[0].rope_most, "");
    assert_eq!(plan.models[1].draft.approvals[0].rope_most, "13 mm");
}

#[test]
fn centimetres_are_read_as_they_are_written() {
    let text = "mark,kind,maker,model,store,length (cm)\n1,sling,F,A,B,60\n2,sling,F,A,B,1.2 m\n";
    let plan = rehearsed("x.csv", text.as_bytes(), &said()).plan.unwrap();
    let length = |at: usize| plan.items[at].draft.attributes["length"].as_str();
    assert_eq!((length(0), length(1)), ("60 cm", "1.2 m"));
    let read = |text: &str| {
        ropeloft::domain::Kind::Sling
            .attribute("length")
            .unwrap()
            .read(text)
            .unwrap()
    };
    let (Value::Length(one), Value::Length(other)) = (read("60 cm"), read("600 mm")) else {
        panic!("lengths")
    };
    assert!((one.quantity().millimetres() - other.quantity().millimetres()).abs() < 1e-9);
}

#[test]
fn a_decimal_mark_that_was_said_holds_for_the_columns_that_show_none() {
    let text = list(
        ',',
        &[
            &[
                "mark",
                "kind",
                "maker",
                "model",
                "store",
                "efficiency %",
                "MBS (N)",
            ],
            &["1", "pulley", "F", "A", "B", "92,5", "36,000"],
        ],
    );
    let answers = Answers {
        decimal: Some(DecimalMark::Point),
        ..said()
    };
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &answers);
    assert_eq!(rehearsal.errors, []);
    let model = &rehearsal.plan.unwrap().models[0].draft;
    assert_eq!(model.attributes["efficiency"], "0.925");
    assert_eq!(model.ratings[0].value, "36000 N");
}

#[test]
fn a_missing_date_made_is_said_with_its_rows_and_what_comes_of_it() {
    let text = "mark,kind,maker,model,store,made\n1,helmet,F,A,B,\n2,helmet,F,A,B,2021\n3,helmet,F,A,B,unknown\n4,helmet,F,A,B,soon\n";
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &said());
    let remark = rehearsal
        .remarks
        .iter()
        .find(|one| one.sentence.starts_with("No date made"));
    let remark = remark.unwrap();
    assert!(
        remark.sentence.contains("in rows 2, 4:"),
        "{}",
        remark.sentence
    );
    assert_eq!((remark.rows, remark.first_row), (2, 2));
}
