//! Rows of one model: what is no difference stops nothing, and what is one is asked once a model and field.

use axum::http::StatusCode;
use ropeloft::import::{Answers, Field, LessThanDay, Question, Rehearsal, Target, Unit};
use ropeloft::rigging::StrengthKind;

use crate::import_cells::{asked, planned};
use crate::import_inventory::{rehearsed, said};

const HEAD: &str = "Tag;Kind;Make;Model;EN / cl.;B.S.;Takes mm;Location\n";

fn with_units() -> Answers {
    let mut answers = said();
    let kilonewtons = Unit::from_words("kN").unwrap();
    answers.units.insert("B.S.".to_owned(), kilonewtons);
    let range = Target::Field(Field::RopeRange);
    let standard = Target::Field(Field::Standard);
    let strength = Target::Field(Field::Strength(StrengthKind::Breaking, None));
    for (heading, field) in [
        ("Takes mm", range),
        ("EN / cl.", standard),
        ("B.S.", strength),
    ] {
        answers.headings.insert(heading.to_owned(), field);
    }
    answers
}

fn list(rows: &[&str]) -> String {
    let rows = rows.iter().enumerate();
    let rows: Vec<String> = rows.map(|(at, row)| format!("M{at};{row};Van\n")).collect();
    format!("{HEAD}{}", rows.concat())
}

#[test]
fn what_is_no_difference_stops_nothing() {
    let text = list(&[
        "Rope;Fenwall;Low;EN 1891:1998/A;3500 daN;",
        "Rope;Fenwall;Low;1891 A;35;",
        "Rope;Fenwall;Low;1891/A;35 kN;",
        "Rope;Fenwall;Low;;;",
        "Connector;Fenwall;Pear;362 B + 12275 H;22;",
        "Connector;Fenwall;Pear;12275 H, EN 362;2200 kg;",
        "Connector;Fenwall;Pear;362 B + 12275 H;22/8/7;",
    ]);
    let plan = planned(&text, &with_units());
    let told = |at: usize| {
        let draft = &plan.models[at].draft;
        let approvals = draft.approvals.iter();
        let approvals: Vec<String> = approvals
            .map(|one| format!("{} {}", one.standard, one.class))
            .collect();
        let ratings = draft.ratings.iter();
        let ratings: Vec<String> = ratings
            .map(|one| format!("{} {}", one.mode, one.value))
            .collect();
        (approvals, ratings)
    };
    assert_eq!(
        told(0),
        (
            vec!["EN 1891 A".to_owned()],
            vec!["straight 3500 daN".to_owned()]
        )
    );
    // Of 22 kN and 2200 kg, which is 21.6 kN, the lower counts.
    let (approvals, ratings) = told(1);
    assert_eq!(approvals, ["EN 362 B", "EN 12275 H"]);
    assert_eq!(
        ratings,
        ["major-axis 2200 kgf", "gate-open 7 kN", "minor-axis 7 kN"]
    );
}

#[test]
fn a_standard_keeps_the_name_that_its_first_row_gives_it() {
    for (rows, kept) in [
        (["EN 1891 A", "BS EN 1891 A", "1891"], "EN 1891"),
        (["BS EN 1891 A", "EN 1891 A", "1891"], "BS EN 1891"),
        // A bare number takes the body of the row that names one.
        (["1891", "EN 1891 A", "BS EN 1891 A"], "EN 1891"),
    ] {
        let told = approved(
            &beside(&rows.map(|standard| [standard, "", ""])),
            &Answers::default(),
        );
        assert_eq!(
            told,
            [("Low".to_owned(), vec![format!("{kept}  A")])],
            "{rows:?}"
        );
    }
}

const BESIDE: &str = "Tag,Kind,Make,Model,PPE,Standard,Edition,Class,Location\n";

/// Rows of one rope, each with its standard, edition and class.
fn beside(rows: &[[&str; 3]]) -> String {
    let rows = rows.iter().enumerate();
    let rows: Vec<String> = rows
        .map(|(at, row)| format!("M{at},Rope,Fenwall,Low,yes,{},Van\n", row.join(",")))
        .collect();
    format!("{BESIDE}{}", rows.concat())
}

/// The models that come of rows, each with its approvals: standard, edition, class.
fn approved(text: &str, answers: &Answers) -> Vec<(String, Vec<String>)> {
    let plan = planned(text, answers);
    let models = plan.models.iter().map(|model| {
        let approvals = model.draft.approvals.iter();
        let approvals =
            approvals.map(|one| format!("{} {} {}", one.standard, one.edition, one.class));
        (model.draft.name.clone(), approvals.collect())
    });
    models.collect()
}

fn agreed_on(field: &str, said: &str) -> Answers {
    let mut answers = Answers::default();
    let of = answers.agreed.entry("Fenwall Low".to_owned()).or_default();
    of.insert(field.to_owned(), said.to_owned());
    answers
}

#[test]
fn a_class_beside_the_standard_and_one_in_a_column_of_another_row_are_asked_about() {
    let apart = "Each what it says: a model of its own for each, named after what differs";
    for rows in [
        [["EN 1891 A", "", ""], ["EN 1891", "", "B"]],
        [["EN 1891 A", "", ""], ["", "", "B"]],
        [["EN 1891 A", "", ""], ["EN 1891 type B", "", ""]],
        [["EN 1891", "", "A"], ["EN 1891", "", "B"]],
    ] {
        let text = beside(&rows);
        let first = rehearsed("list.csv", text.as_bytes(), &Answers::default());
        assert_eq!(first.errors, [], "{rows:?}");
        assert_eq!(
            differing(&first),
            [(
                "The rows of Fenwall Low say two things of the class or type in the standard. Which holds for all of them?"
                    .to_owned(),
                vec!["A (row 2)".to_owned(), "B (row 3)".to_owned(), apart.to_owned()]
            )],
            "{rows:?}"
        );
        for class in ["A", "B"] {
            let told = approved(&text, &agreed_on("class", class));
            let one = vec![format!("EN 1891  {class}")];
            assert_eq!(told, [("Low".to_owned(), one)], "{rows:?}");
        }
    }
}

#[test]
fn a_model_of_its_own_for_a_class_has_it() {
    let text = beside(&[["EN 1891 A", "", ""], ["EN 1891", "", "B"]]);
    let told = approved(&text, &agreed_on("class", "apart"));
    let own = |name: &str, class: &str| (name.to_owned(), vec![format!("EN 1891  {class}")]);
    assert_eq!(told.len(), 2);
    assert_eq!(told[0], own("Low", "A"));
    assert_eq!(told[1].1, own("", "B").1);
}

#[test]
fn an_edition_beside_the_standard_and_one_in_a_column_are_asked_about() {
    let text = beside(&[["EN 1891:1998 A", "", ""], ["EN 1891", "2031", "type A"]]);
    assert_eq!(
        told_to_differ(&text),
        [
            "The rows of Fenwall Low say two things of the edition of the standard. Which holds for all of them?"
        ]
    );
    let told = approved(&text, &agreed_on("edition", "2031"));
    assert_eq!(
        told,
        [("Low".to_owned(), vec!["EN 1891 2031 A".to_owned()])]
    );
}

#[test]
fn a_class_goes_with_its_standard() {
    let text = beside(&[["EN 1891 A", "", ""], ["EN 564", "", ""]]);
    assert_eq!(
        told_to_differ(&text),
        ["The rows of Fenwall Low say two things of the standard. Which holds for all of them?"]
    );
    for (said, kept) in [("EN 1891 class A", "EN 1891  A"), ("EN 564", "EN 564  ")] {
        let told = approved(&text, &agreed_on("standard", said));
        assert_eq!(told, [("Low".to_owned(), vec![kept.to_owned()])]);
    }
}

#[test]
fn a_class_that_one_of_several_standards_has_is_no_other() {
    let text = beside(&[["EN 1891 A + EN 564", "", "type A"]]);
    let plan = planned(&text, &Answers::default());
    let model = &plan.models[0].draft;
    let approvals = model.approvals.iter();
    let told: Vec<(&str, &str)> = approvals
        .map(|one| (one.standard.as_str(), one.class.as_str()))
        .collect();
    assert_eq!(told, [("EN 1891", "A"), ("EN 564", "")]);
    assert_eq!(model.note, "");
}

/// Two ranges of one device, and standards of which one row names fewer.
fn at_odds() -> String {
    list(&[
        "Descender;Fenwall;Slide;12841 C;;10-12,5",
        "Descender;Fenwall;Slide;12841 C;;10-12",
        "Rope clamp;Fenwall;Bite;567 + 12841 B;;8-13",
        "Rope clamp;Fenwall;Bite;567;;8-13",
    ])
}

/// What is asked of rows that differ, without the choices.
fn told_to_differ(text: &str) -> Vec<String> {
    let rehearsal = rehearsed("list.csv", text.as_bytes(), &Answers::default());
    let asked = differing(&rehearsal).into_iter();
    asked.map(|(told, _)| told).collect()
}

fn differing(rehearsal: &Rehearsal) -> Vec<(String, Vec<String>)> {
    let questions = rehearsal.questions.iter();
    let differing = questions.filter(|one| matches!(one, Question::Differs { .. }));
    let told = differing.map(|one| {
        let words = one.choices().into_iter().map(|(_, words)| words);
        (one.sentence(), words.collect())
    });
    told.collect()
}

#[test]
fn what_is_one_is_asked_once_a_model_and_field() {
    let text = at_odds();
    let first = rehearsed("list.csv", text.as_bytes(), &with_units());
    assert_eq!(first.errors, []);
    let apart = "Each what it says: a model of its own for each, named after what differs";
    assert_eq!(
        differing(&first),
        [
            (
                "The rows of Fenwall Bite say two things of the standard. Which holds for all of them?".to_owned(),
                vec![
                    "EN 567 (row 5): the cautious one".to_owned(),
                    "EN 567; EN 12841 class B (row 4)".to_owned(),
                    apart.to_owned(),
                ]
            ),
            (
                "The rows of Fenwall Slide say two things of the thinnest and thickest rope. Which holds for all of them?".to_owned(),
                vec![
                    "10 mm to 12 mm (row 3): the cautious one".to_owned(),
                    "10 mm to 12.5 mm (row 2)".to_owned(),
                    apart.to_owned(),
                ]
            ),
        ]
    );
    assert_eq!(asked(&first).len(), 2, "{:?}", asked(&first));
    let mut answers = with_units();
    let of = answers
        .agreed
        .entry("Fenwall Slide".to_owned())
        .or_default();
    of.insert("rope-range".to_owned(), "10 mm to 12 mm".to_owned());
    let of = answers.agreed.entry("Fenwall Bite".to_owned()).or_default();
    of.insert("standard".to_owned(), "apart".to_owned());
    let plan = planned(&text, &answers);
    let models = plan.models.iter().map(|model| {
        let approvals = model.draft.approvals.iter();
        let most: Vec<&str> = approvals.map(|one| one.rope_most.as_str()).collect();
        (model.draft.name.as_str(), model.items, most)
    });
    assert_eq!(
        models.collect::<Vec<_>>(),
        [
            ("Bite", 1, vec!["13 mm", "13 mm"]),
            ("Bite (EN 567)", 1, vec!["13 mm"]),
            ("Slide", 2, vec!["12 mm"]),
        ]
    );
}

#[test]
fn a_second_range_is_for_a_use_and_never_the_wider() {
    let text = list(&[
        "Descender;Fenwall;Both;12841 C, 341 2A;14;10-12,5 (resc. 11,5+)",
        "Pulley;Fenwall;Lift;12278, 567;30;8-13 / lift 11,5-12,5",
        "Rope clamp;Fenwall;Own;567 + 12841 B;;567: 8-13, 12841: 10-12,5",
    ]);
    let plan = planned(&text, &with_units());
    let told: Vec<String> = plan
        .models
        .iter()
        .flat_map(|model| &model.draft.approvals)
        .map(|one| format!("{} {}-{}", one.standard, one.rope_least, one.rope_most))
        .collect();
    assert_eq!(
        told,
        [
            "EN 12841 10 mm-12.5 mm",
            "EN 341 11.5 mm-12.5 mm",
            "EN 12278 11.5 mm-12.5 mm",
            "EN 567 11.5 mm-12.5 mm",
            "EN 567 8 mm-13 mm",
            "EN 12841 10 mm-12.5 mm",
        ]
    );
}

#[test]
fn ditto_is_what_the_line_above_says() {
    let text = list(&["Rope;Fenwall;Low;1891 A;35;", "do.;do.;do.;ditto;\"\"\"\";"]);
    let rehearsal = rehearsed("list.csv", text.as_bytes(), &with_units());
    let told = rehearsal.remarks.iter().map(|one| one.sentence.as_str());
    let told: Vec<&str> = told.collect();
    let sentence = "\"do.\" under \"Model\" is read as what the line above says there.";
    assert!(told.contains(&sentence), "{told:?}");
    let plan = rehearsal.plan.unwrap();
    assert_eq!((plan.models.len(), plan.models[0].items), (1, 2));
}

#[test]
fn months_of_a_first_use_and_of_what_is_due_are_read() {
    let text = "Tag;Kind;Make;Model;Location;Made;First use;Last check;Next due;Bought\n\
        M1;Helmet;Fenwall;Dome;Van;02/2019;06/21;13.10.2026;04/27;2019\n\
        M2;Helmet;Fenwall;Dome;Van;2019;2020?;13.05.2026;05/27;\n";
    let first = rehearsed("list.csv", text.as_bytes(), &said());
    assert_eq!(first.errors, []);
    let answers = Answers {
        less_than_day: Some(LessThanDay::First),
        ..said()
    };
    let answered = rehearsed("list.csv", text.as_bytes(), &answers);
    assert_eq!(answered.errors, []);
    let mut silent = answers.clone();
    let silent_of = &mut silent.silent;
    silent_of.insert("examiner".to_owned(), "history".to_owned());
    let plan = planned(text, &silent);
    let item = &plan.items[0].draft;
    assert_eq!(
        (item.first_used_on.as_str(), item.bought_on.as_str()),
        ("2021-06", "2019-02-01"),
        "nothing is bought before it is made"
    );
    let unsure = &plan.items[1].draft;
    assert_eq!(unsure.first_used_on, "");
    assert!(unsure.note.contains("First use: 2020?"), "{}", unsure.note);
}

on_both_databases! {
    async fn the_page_asks_it_once_and_keeps_the_answer(world) {
        let officer = world.visitor(&world.officer).await;
        let text = "Tag,Kind,Make,Model,Norm,PPE,Made,Location\n\
            M1,Helmet,Fenwall,Dome,EN 397,yes,2022,Van\n\
            M2,Helmet,Fenwall,Dome,EN 12492,yes,2022,Van\n";
        let page = officer.upload("/import", &[("file", Some("gear.csv"), text.as_bytes())]).await.location().to_owned();
        let shown = officer.get(&page).await.text;
        assert!(shown.contains("The rows of Fenwall Dome say two things of the standard. Which holds for all of them?"), "{shown}");
        let empty = [("here", ""), ("differs-model-0", "Fenwall Dome"), ("differs-field-0", "standard"), ("agreed-0", "")];
        let sent = officer.post(&page, &empty).await;
        assert_eq!(sent.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", sent.text);
        let said = [("here", ""), ("differs-model-0", "Fenwall Dome"), ("differs-field-0", "standard"), ("agreed-0", "EN 12492")];
        let sent = officer.post(&page, &said).await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text);
        let shown = officer.get(&page).await.text;
        assert!(shown.contains("2 items can be taken in, with 1 new model"), "{shown}");
        assert!(shown.contains("Standard of Fenwall Dome"), "{shown}");
    }
}
