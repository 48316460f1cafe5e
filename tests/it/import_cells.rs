//! Lists as teams keep them by hand: strengths in one cell, quantities, batches, models that differ; each comes in without
//! a change of the file.

use ropeloft::domain::Kind;
use ropeloft::import::{Answers, Differing, Field, Numbered, Plan, Question, Rehearsal};

use crate::import_inventory::{rehearsed, said};

pub fn asked(rehearsal: &Rehearsal) -> Vec<String> {
    let questions = rehearsal.questions.iter();
    questions.map(Question::sentence).collect()
}

fn told(rehearsal: &Rehearsal) -> Vec<&str> {
    let remarks = rehearsal.remarks.iter();
    remarks.map(|one| one.sentence.as_str()).collect()
}

pub fn planned(text: &str, answers: &Answers) -> Plan {
    let rehearsal = rehearsed("list.csv", text.as_bytes(), answers);
    assert_eq!(
        (asked(&rehearsal), &rehearsal.errors),
        (Vec::new(), &Vec::new())
    );
    rehearsal.plan.unwrap()
}

/// The ratings of each model: way of loading, value, kind.
fn ratings(plan: &Plan) -> Vec<String> {
    let models = plan.models.iter().map(|model| {
        let ratings = model.draft.ratings.iter();
        let ratings: Vec<String> = ratings
            .map(|one| format!("{} {} {}", one.kind, one.mode, one.value))
            .collect();
        format!("{}: {}", model.draft.name, ratings.join(", "))
    });
    models.collect()
}

const STRENGTHS: &str = "\
Tag,Kind,Make,Model,Strength (on gear),Norm,Location
R1,Rope,Aldermark,Lay 11,MBS 31kN,EN 1891 A,Van
R2,Rope,Aldermark,Lay 11,31 kN,EN 1891 A,Van
P1,Double pulley,Corrigill,Duo B,40 kN / becket 18 kN,EN 12278,Van
P2,Single pulley,Corrigill,Uno,28kN (2x14),EN 12278,Van
T1,Tripod,Bramhald,Tri,WLL 5kN MBS 20kN,EN 795 B,Van
K1,Carabiner,Fenwall,Big,major 40 kN / minor 15 / gate open 12,EN 362 B,Van
K2,Carabiner,Fenwall,Small,25/9/8 kN,EN 362 B,Van
H1,Harness,Fenwall,Seat,max 130 kg,EN 813,Van
D1,Descender,Lintwell,Low,max. 220 kg,EN 341 2A,Van
";

#[test]
fn strengths_in_one_cell_are_taken_apart() {
    let rehearsal = rehearsed("list.csv", STRENGTHS.as_bytes(), &said());
    let column = rehearsal.headings.columns.iter();
    let column = column.filter(|one| one.heading == "Strength (on gear)");
    let read: Vec<String> = column
        .filter_map(|one| one.field())
        .map(Field::key)
        .collect();
    assert_eq!(read, ["breaking-strength"], "by what stands below it");
    for sentence in [
        "\"40 kN / becket 18 kN\" under \"Strength (on gear)\" is read as breaking strength 40 kN, breaking strength by its becket 18 kN.",
        "\"max 130 kg\" under \"Strength (on gear)\" is read as rated load 130 kg.",
    ] {
        assert!(
            told(&rehearsal).contains(&sentence),
            "{sentence}: {:#?}",
            told(&rehearsal)
        );
    }
    let plan = planned(STRENGTHS, &said());
    assert_eq!(
        ratings(&plan),
        [
            "Lay 11: breaking straight 31 kN",
            "Tri: breaking body 20 kN, working-limit body 5 kN",
            "Duo B: breaking axle 40 kN, breaking becket 18 kN",
            "Uno: breaking axle 28 kN",
            "Big: breaking major-axis 40 kN, breaking gate-open 12 kN, breaking minor-axis 15 kN",
            "Seat: ",
            "Small: breaking major-axis 25 kN, breaking gate-open 8 kN, breaking minor-axis 8 kN",
            "Low: ",
        ]
    );
    let named = |name: &str| {
        let mut models = plan.models.iter();
        &models.find(|one| one.draft.name == name).unwrap().draft
    };
    assert_eq!(named("Seat").approvals[0].rated_load, "130 kg");
    assert_eq!(named("Low").approvals[0].rated_load, "220 kg");
    assert_eq!(named("Duo B").attributes["becket"], "yes");
}

#[test]
fn a_strength_that_cannot_be_read_is_asked_once_a_text_and_may_stay_a_note() {
    let text = "Tag,Kind,Make,Model,Strength,Location\n\
        R1,Rope,Aldermark,Lay 11,see label,Van\n\
        R2,Rope,Aldermark,Lay 11,see label,Van\n\
        R3,Rope,Aldermark,Lay 9,20 kN / 18 kN,Van\n";
    let first = rehearsed("list.csv", text.as_bytes(), &said());
    assert_eq!(first.errors, []);
    let words = |one: &Question| {
        matches!(
            one,
            Question::Word {
                field: Field::Strength(..),
                ..
            }
        )
    };
    let questions: Vec<&Question> = first.questions.iter().filter(|one| words(one)).collect();
    assert_eq!(questions.len(), 2, "{:?}", asked(&first));
    let keys = |at: usize| -> Vec<String> {
        questions[at]
            .choices()
            .into_iter()
            .map(|(key, _)| key)
            .collect()
    };
    assert_eq!(
        (keys(0), keys(1)),
        (
            vec!["20 kN".to_owned(), "18 kN".to_owned(), "in-note".to_owned()],
            vec!["in-note".to_owned()],
        )
    );
    let mut answers = said();
    let words = answers
        .words
        .entry("breaking-strength".to_owned())
        .or_default();
    words.insert("see label".to_owned(), "in-note".to_owned());
    words.insert("20 kN / 18 kN".to_owned(), "18 kN".to_owned());
    let plan = planned(text, &answers);
    assert_eq!(plan.items[0].draft.note, "Strength: see label");
    assert_eq!(
        ratings(&plan),
        ["Lay 11: ", "Lay 9: breaking straight 18 kN"]
    );
}

#[test]
fn three_numbers_of_a_connector_without_a_unit_wait_for_it() {
    let text = "Tag,Kind,Make,Model,MBS,Location\nK1,Carabiner,Fenwall,Big,40/15/12,Van\n";
    let first = rehearsed("list.csv", text.as_bytes(), &said());
    assert_eq!(first.without_unit(), ["MBS"]);
    let mut answers = said();
    let kilonewton = ropeloft::import::Unit::from_words("kN").unwrap();
    answers.units.insert("MBS".to_owned(), kilonewton);
    let plan = planned(text, &answers);
    assert_eq!(
        ratings(&plan),
        ["Big: breaking major-axis 40 kN, breaking gate-open 12 kN, breaking minor-axis 12 kN"]
    );
}

#[test]
fn a_quantity_beside_one_mark_is_answered_once_and_its_batch_is_a_lot() {
    let text = "Tag,Kind,Make,Model,Serial / batch,Qty,Location\n\
        K-01,Carabiner,Fenwall,Big,batch 03/21,3,Van\n\
        K-02,Carabiner,Fenwall,Big,batch 03/21,2,Van\n\
        P-01,Pulley,Corrigill,Uno,A77,1,Van\n\
        P-02,Pulley,Corrigill,Uno,B12,1,Van\n\
        P-03,Pulley,Corrigill,Uno,B12,1,Van\n";
    let first = rehearsed("list.csv", text.as_bytes(), &said());
    assert_eq!(first.errors, []);
    assert_eq!(
        asked(&first),
        [
            "2 rows have one mark and a quantity above one, 5 items in all, such as \"K-01\" with 3 (row 2). What do they stand for? As numbers behind the mark they are K-01.1 to K-01.3."
        ]
    );
    let with = |numbered| Answers {
        numbered: Some(numbered),
        ..said()
    };
    let plan = planned(text, &with(Numbered::Each));
    let items: Vec<String> = plan
        .items
        .iter()
        .map(|one| format!("{} {}/{}", one.draft.mark, one.draft.serial, one.draft.lot))
        .collect();
    assert_eq!(
        items,
        [
            "K-01.1 /03/21",
            "K-01.2 /03/21",
            "K-01.3 /03/21",
            "K-02.1 /03/21",
            "K-02.2 /03/21",
            "P-01 A77/",
            "P-02 /B12",
            "P-03 /B12",
        ]
    );
    let plan = planned(text, &with(Numbered::One));
    assert_eq!(plan.items.len(), 5);
    assert!(
        plan.items[0].draft.note.starts_with("One item for 3:"),
        "{}",
        plan.items[0].draft.note
    );
}

#[test]
fn rows_that_say_otherwise_of_their_model_get_one_of_their_own() {
    let text = "Tag,Kind,Make,Model,Norm,Location\n\
        M1,Helmet,Fenwall,Dome,EN 397,Van\n\
        M2,Helmet,Fenwall,Dome,EN 12492,Van\n\
        M3,Helmet,Fenwall,Dome,EN 12492,Van\n";
    let first = rehearsed("list.csv", text.as_bytes(), &said());
    assert_eq!((first.errors.len(), first.differing), (0, 2));
    let asked = asked(&first);
    assert_eq!(
        asked,
        ["The rows of Fenwall Dome say two things of the standard. Which holds for all of them?"]
    );
    let answers = Answers {
        differing: Some(Differing::Apart),
        ..said()
    };
    let plan = planned(text, &answers);
    let models: Vec<(&str, usize)> = plan
        .models
        .iter()
        .map(|model| (model.draft.name.as_str(), model.items))
        .collect();
    assert_eq!(models, [("Dome", 1), ("Dome (EN 12492)", 2)]);
}

#[test]
fn the_kind_is_that_of_the_noun_and_of_what_it_is_approved_as() {
    for (item, norm, kind) in [
        ("tripod hobble straps (set)", "", Kind::Sling),
        ("anchor clamp for beams", "EN 795 B", Kind::AnchorDevice),
        ("beam clamp", "EN 795 B", Kind::AnchorDevice),
        ("lanyard dyn. rope", "EN 354", Kind::Lanyard),
        ("back-up runner", "EN 353-2", Kind::BackUpDevice),
        ("belay device", "EN 341 2A EN 12841 A/C", Kind::BackUpDevice),
        ("belay device", "EN 15151-1 8", Kind::Descender),
        ("rope clamp", "EN 567 EN 12841 B", Kind::RopeClamp),
    ] {
        let text =
            format!("Tag,Kind,Make,Model,Norm,Location\nX1,{item},Fenwall,Thing,{norm},Van\n");
        let rehearsal = rehearsed("list.csv", text.as_bytes(), &said());
        let title = &rehearsal.rows[0].title;
        assert!(title.starts_with(kind.word()), "{item}: {title}");
    }
}

#[test]
fn several_standards_stand_in_one_cell_without_a_sign_between() {
    for (cell, read) in [
        (
            "EN 12841/C EN 15151-1 type 8",
            &["EN 12841 C", "EN 15151-1 8"][..],
        ),
        ("EN 362:2004/B EN 12275 H", &["EN 362 B", "EN 12275 H"]),
        (
            "EN 341 type 2A EN 12841 A/C",
            &["EN 341 2A", "EN 12841 A", "EN 12841 C"],
        ),
        ("EN 567 EN 12841 B", &["EN 567", "EN 12841 B"]),
    ] {
        let standards = ropeloft::domain::standards_in(cell).into_iter();
        let told: Vec<String> = standards
            .map(|one| format!("{} {}", one.standard, one.class).trim().to_owned())
            .collect();
        assert_eq!(told, read, "{cell}");
    }
}

#[test]
fn of_what_an_anchor_is_made_is_asked_and_textile_is_taken_meanwhile() {
    let text = "Tag,Kind,Make,Model,Norm,Location,Remarks\n\
        A1,anchor strap,Aldermark,Loop D,EN 795 B,Van,\n\
        A2,anchor device,Aldermark,Plate,EN 795 B,Van,steel\n\
        A3,anchor device,Aldermark,Point,EN 795 B,Van,\n";
    let rehearsal = rehearsed("list.csv", text.as_bytes(), &said());
    let open = rehearsal.open.iter();
    // The life that the maker states is asked too.
    let open = open.filter(|one| !matches!(one, Question::Life { .. }));
    let open = open.map(Question::sentence);
    assert_eq!(
        open.collect::<Vec<_>>(),
        [
            "Of what is Aldermark Point made (1 row)? Neither its name nor its remarks say it. While it stays open textile is taken, which is held to more strength and to a life in years."
        ]
    );
    let materials = |plan: &Plan| -> Vec<String> {
        let models = plan.models.iter();
        models.map(|model| model.draft.material.clone()).collect()
    };
    let plan = rehearsal.plan.unwrap();
    assert_eq!(materials(&plan), ["textile", "metal", ""]);
    let mut answers = said();
    let words = answers.words.entry("material".to_owned()).or_default();
    words.insert("Aldermark Point".to_owned(), "metal".to_owned());
    assert_eq!(
        materials(&planned(text, &answers)),
        ["textile", "metal", "metal"]
    );
}

#[test]
fn a_column_that_is_something_else_is_told_once() {
    use std::fmt::Write;
    let mut text = "Tag,Kind,Make,Model,Length (m),Location\n".to_owned();
    for at in 1..=12 {
        writeln!(text, "R{at},Rope,Aldermark,Lay,as new,Van").unwrap();
    }
    let rehearsal = rehearsed("list.csv", text.as_bytes(), &said());
    let errors: Vec<&str> = rehearsal
        .errors
        .iter()
        .map(|one| one.message.as_str())
        .collect();
    assert_eq!(
        errors,
        [
            "12 of 12 cells of \"Length (m)\" cannot be read as \"Length now\", first in row 2, such as \"as new\". Say under \"The columns\" what else it is, or keep it in the note."
        ]
    );
    assert_eq!(rehearsal.tally().refused, 12);
}
