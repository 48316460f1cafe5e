//! Standards as lists write them: with edition and class behind the number, several in one cell.

use ropeloft::domain::rulebook::shipped;
use ropeloft::domain::{ApprovalDraft, ModelDraft, ModelId, has_class, standards_in};
use ropeloft::import::{Answers, Known, Question, Rehearsal, read_table, rehearse};
use time::macros::date;
use uuid::Uuid;

use crate::import_inventory::rehearsed;

/// One connector whose standards are written so, in a list between these signs.
fn connector(separator: char, standard: &str, answers: &Answers) -> Rehearsal {
    let cells = [
        [
            "mark",
            "kind",
            "maker",
            "model",
            "store",
            "life support",
            "standard",
        ],
        ["1", "connector", "F", "Oval", "B", "yes", standard],
    ];
    let lines = cells.map(|line| {
        let quoted = line.map(|cell| format!("\"{cell}\""));
        quoted.join(&separator.to_string())
    });
    rehearsed("x.csv", lines.join("\n").as_bytes(), answers)
}

fn told(approvals: &[ApprovalDraft]) -> Vec<(&str, &str, &str)> {
    approvals
        .iter()
        .map(|one| {
            (
                one.standard.as_str(),
                one.edition.as_str(),
                one.class.as_str(),
            )
        })
        .collect()
}

#[test]
fn standard_edition_and_class_are_told_apart() {
    for (written, read) in [
        ("EN 1891 A", &[("EN 1891", "", "A")][..]),
        ("EN 1891 type A", &[("EN 1891", "", "A")]),
        ("EN1891A", &[("EN 1891", "", "A")]),
        ("EN 795 B", &[("EN 795", "", "B")]),
        ("EN 795:2012 (type B)", &[("EN 795", "2012", "B")]),
        ("EN 12275 class B", &[("EN 12275", "", "B")]),
        ("EN 12275:2013 B", &[("EN 12275", "2013", "B")]),
        ("EN 12275:2013-06/b", &[("EN 12275", "2013-06", "B")]),
        ("EN 567:2013", &[("EN 567", "2013", "")]),
        ("EN 567 (2013)", &[("EN 567", "2013", "")]),
        ("EN 353-2:2002", &[("EN 353-2", "2002", "")]),
        ("EN 12841 type C", &[("EN 12841", "", "C")]),
        ("EN 12841-C", &[("EN 12841", "", "C")]),
        ("BS EN 341-2011/2A", &[("BS EN 341", "2011", "2A")]),
        ("EN 12277:2015+A1:2018", &[("EN 12277", "2015+A1:2018", "")]),
        ("NFPA 1983, 2017 edition, G", &[("NFPA 1983", "2017", "G")]),
        ("NFPA 1983 general use", &[("NFPA 1983", "", "general use")]),
        (
            "ANSI/ASSP Z359.12-2019",
            &[("ANSI/ASSP Z359.12", "2019", "")],
        ),
        ("CEN/TS 16415:2013", &[("CEN/TS 16415", "2013", "")]),
        (
            "The firm's own rule 7",
            &[("The firm's own rule 7", "", "")],
        ),
    ] {
        for separator in [',', ';'] {
            let rehearsal = connector(separator, written, &Answers::default());
            assert_eq!(rehearsal.questions, [], "{written}");
            let plan = rehearsal.plan.unwrap();
            assert_eq!(told(&plan.models[0].draft.approvals), read, "{written}");
        }
    }
}

#[test]
fn several_standards_in_one_cell_make_several_approvals() {
    for (written, read) in [
        (
            "UIAA 126 / EN 567",
            &[("UIAA 126", "", ""), ("EN 567", "", "")][..],
        ),
        (
            "EN 567/EN 12278",
            &[("EN 567", "", ""), ("EN 12278", "", "")],
        ),
        (
            "EN 362/12275 B",
            &[("EN 362", "", ""), ("EN 12275", "", "B")],
        ),
        (
            "EN 362 B and EN 12275 B",
            &[("EN 362", "", "B"), ("EN 12275", "", "B")],
        ),
        (
            "EN 362 EN 12275",
            &[("EN 362", "", ""), ("EN 12275", "", "")],
        ),
        (
            "EN 12841:2006 type A/B",
            &[("EN 12841", "2006", "A"), ("EN 12841", "2006", "B")],
        ),
        (
            "EN 12841 types B and C",
            &[("EN 12841", "", "B"), ("EN 12841", "", "C")],
        ),
        (
            "EN 795:2012 B + CEN/TS 16415",
            &[("EN 795", "2012", "B"), ("CEN/TS 16415", "", "")],
        ),
        (
            "EN 354; EN 355, EN 795/B",
            &[("EN 354", "", ""), ("EN 355", "", ""), ("EN 795", "", "B")],
        ),
    ] {
        let rehearsal = connector(',', written, &Answers::default());
        let plan = rehearsal.plan.unwrap();
        assert_eq!(told(&plan.models[0].draft.approvals), read, "{written}");
        let said = format!("\"{written}\" is read as ");
        let mut remarks = rehearsal.remarks.iter();
        let is_said = remarks.any(|remark| remark.sentence.starts_with(&said));
        assert!(is_said, "{:?}", rehearsal.remarks);
    }
}

#[test]
fn standards_joined_by_any_sign_have_their_own_classes() {
    for (written, read) in [
        (
            "EN 362:2004/B + EN 12275:2013 H",
            &[("EN 362", "2004", "B"), ("EN 12275", "2013", "H")][..],
        ),
        (
            "EN 362:2004/B+EN 12275:2013/H",
            &[("EN 362", "2004", "B"), ("EN 12275", "2013", "H")],
        ),
        (
            "EN 362/B & EN 12275 H",
            &[("EN 362", "", "B"), ("EN 12275", "", "H")],
        ),
        (
            "EN 12841/A plus EN 353-2:2002",
            &[("EN 12841", "", "A"), ("EN 353-2", "2002", "")],
        ),
        (
            "EN 12841:2006 C + EN 341:2011 2A",
            &[("EN 12841", "2006", "C"), ("EN 341", "2011", "2A")],
        ),
        (
            "EN 795:2012 B + CEN/TS 16415:2013 B",
            &[("EN 795", "2012", "B"), ("CEN/TS 16415", "2013", "B")],
        ),
        (
            "EN 361:2002 + EN 358:2018; EN 813:2008 / EN 1497:2007",
            &[
                ("EN 361", "2002", ""),
                ("EN 358", "2018", ""),
                ("EN 813", "2008", ""),
                ("EN 1497", "2007", ""),
            ],
        ),
    ] {
        let plan = connector(';', written, &Answers::default());
        let plan = plan.plan.unwrap();
        assert_eq!(told(&plan.models[0].draft.approvals), read, "{written}");
    }
}

#[test]
fn a_class_that_is_taken_is_said_in_the_rehearsal() {
    let rehearsal = connector(',', "EN 12275:2013 B", &Answers::default());
    let sentences: Vec<_> = rehearsal
        .remarks
        .iter()
        .map(|one| one.sentence.as_str())
        .collect();
    let said = "\"EN 12275:2013 B\" is read as EN 12275:2013 class B.";
    assert!(sentences.contains(&said), "{sentences:?}");
    // Nothing is to be said where the cell says it all itself.
    let plain = connector(',', "EN 12275:2013 type B", &Answers::default());
    assert!(
        plain
            .remarks
            .iter()
            .all(|one| !one.sentence.contains("12275"))
    );
}

#[test]
fn what_is_not_known_to_be_a_class_is_asked() {
    let rehearsal = connector(';', "EN 567 B; EN 362 B", &Answers::default());
    let [Question::Word { word, .. }] = rehearsal.questions.as_slice() else {
        panic!("{:?}", rehearsal.questions)
    };
    assert_eq!(word, "EN 567 B");
    assert_eq!((rehearsal.tally().wait, rehearsal.errors.len()), (1, 0));
    let keys: Vec<_> = rehearsal.questions[0]
        .choices()
        .into_iter()
        .map(|one| one.0)
        .collect();
    assert_eq!(keys, ["class", "alone", "whole"]);
    for (said, read) in [
        ("class", ("EN 567", "", "B")),
        ("alone", ("EN 567", "", "")),
        ("whole", ("EN 567 B", "", "")),
    ] {
        let mut answers = Answers::default();
        let words = answers.words.entry("standard".to_owned()).or_default();
        words.insert("en 567 b".to_owned(), said.to_owned());
        let plan = connector(';', "EN 567 B; EN 362 B", &answers).plan.unwrap();
        let approvals = &plan.models[0].draft.approvals;
        assert_eq!(told(approvals), [read, ("EN 362", "", "B")]);
        let kept = plan.items[0].draft.note == "standard: EN 567 B; EN 362 B";
        assert_eq!(kept, said == "alone", "{}", plan.items[0].draft.note);
    }
}

#[test]
fn rows_of_a_model_may_say_less_than_each_other_but_nothing_else() {
    let two = |one: &str, other: &str, class: &str| {
        let text = format!(
            "mark,kind,maker,model,store,life support,standard,class\n1,rope,C,Ghyll,B,yes,{one},\n2,rope,C,Ghyll,B,yes,{other},{class}\n"
        );
        rehearsed("x.csv", text.as_bytes(), &Answers::default())
    };
    let plan = two("EN 1891 A", "BS EN 1891:1998", "").plan.unwrap();
    assert_eq!(
        told(&plan.models[0].draft.approvals),
        [("EN 1891", "1998", "A")]
    );
    let against = two("EN 1891 A", "EN 1891 B", "");
    assert_eq!(against.errors, []);
    assert_eq!(
        against.questions[0].sentence(),
        "The rows of C Ghyll say two things of the class or type in the standard. Which holds for all of them?"
    );
    let against = two("EN 1891 A", "EN 1891 A", "type B");
    assert_eq!(against.errors[0].place(), "row 3, column H (class)");
    assert!(against.errors[0].message.contains("says class A"));
}

#[test]
fn a_class_is_held_against_the_registers_however_the_standard_is_written() {
    let model = ModelDraft {
        kind: "rope".to_owned(),
        maker: "C".to_owned(),
        name: "Ghyll".to_owned(),
        life_support: "yes".to_owned(),
        approvals: vec![ApprovalDraft {
            standard: "EN 1891".to_owned(),
            class: "A".to_owned(),
            ..ApprovalDraft::default()
        }],
        ..ModelDraft::default()
    };
    let known = Known {
        models: vec![model.check(ModelId(Uuid::nil()), 1).unwrap()],
        ..Known::default()
    };
    let against = |standard: &str| {
        let text = format!("mark,kind,maker,model,store,standard\n1,rope,C,Ghyll,B,{standard}\n");
        let table = read_table("x.csv", text.as_bytes(), None).unwrap();
        rehearse(&table, &Answers::default(), &known, date!(2026 - 11 - 25)).unwrap()
    };
    let same = against("BS EN 1891:1998 A");
    assert!(same.is_ready(), "{:?}", same.errors);
    assert!(
        same.remarks
            .iter()
            .all(|one| !one.sentence.contains("with less"))
    );
    let other = against("EN 1891 B");
    let sentence = other.questions[0].sentence();
    assert!(
        sentence.starts_with("The register has class A as the"),
        "{sentence}"
    );
}

#[test]
fn a_class_in_a_column_of_its_own_goes_to_the_standard_that_has_it() {
    let text = "mark,kind,maker,model,store,life support,standard,class\n1,rope,C,Ghyll,B,yes,\"EN 1891, UIAA 107\",A\n";
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &Answers::default());
    let plan = rehearsal.plan.unwrap();
    let read = [("EN 1891", "", "A"), ("UIAA 107", "", "")];
    assert_eq!(told(&plan.models[0].draft.approvals), read);
    assert_eq!(plan.models[0].draft.note, "");
}

#[test]
fn a_standard_typed_with_its_class_is_taken_apart_and_contradicts_no_field() {
    let typed = |standard: &str, class: &str| {
        let draft = ApprovalDraft {
            standard: standard.to_owned(),
            class: class.to_owned(),
            ..ApprovalDraft::default()
        };
        let checked = draft.check();
        checked.map(|one| {
            (
                one.standard,
                one.edition.unwrap_or_default(),
                one.class.unwrap_or_default(),
            )
        })
    };
    let read = |standard: &str, edition: &str, class: &str| {
        Ok((standard.to_owned(), edition.to_owned(), class.to_owned()))
    };
    assert_eq!(typed("EN 12275:2013 B", ""), read("EN 12275", "2013", "B"));
    assert_eq!(typed("EN 1891 type A", "A"), read("EN 1891", "", "A"));
    assert_eq!(typed("EN 567 B", ""), read("EN 567 B", "", ""));
    let wrong = typed("EN 1891 A", "B").unwrap_err();
    assert_eq!(
        wrong.on("class").next(),
        Some(
            "Beside the standard stands A. Write the class here alone, not \"B\" here and A there."
        )
    );
    let wrong = typed("EN 567 / UIAA 126", "").unwrap_err();
    assert!(
        wrong
            .on("standard")
            .next()
            .unwrap()
            .contains("UIAA 126 in the next")
    );
    let model = ModelDraft {
        kind: "rope".to_owned(),
        maker: "C".to_owned(),
        name: "Ghyll".to_owned(),
        life_support: "yes".to_owned(),
        approvals: vec![ApprovalDraft {
            standard: "EN 1891 A".to_owned(),
            ..ApprovalDraft::default()
        }],
        ..ModelDraft::default()
    };
    let model = model.check(ModelId(Uuid::nil()), 1).unwrap();
    assert_eq!(model.approvals[0].title(), "EN 1891 class A");
}

#[test]
fn every_class_that_a_shipped_rulebook_names_is_known_behind_its_standard() {
    let mut seen = 0;
    for rulebook in shipped() {
        let sheet = toml::to_string(rulebook).unwrap();
        let sheet: toml::Value = toml::from_str(&sheet).unwrap();
        let tables = |key: &str| {
            sheet
                .get(key)
                .and_then(|it| it.as_array().cloned())
                .unwrap_or_default()
        };
        let mut named = Vec::new();
        for minimum in tables("minimum") {
            let text = |key: &str| {
                minimum
                    .get(key)
                    .and_then(|it| it.as_str().map(str::to_owned))
            };
            named.extend(text("standard").zip(text("class")));
        }
        for approval in tables("approval") {
            for one in approval["any_of"].as_array().unwrap() {
                let standard = one["standard"].as_str().unwrap();
                let classes = one.get("classes").and_then(|it| it.as_array().cloned());
                let classes = classes.unwrap_or_default().into_iter();
                named.extend(
                    classes.map(|it| (standard.to_owned(), it.as_str().unwrap().to_owned())),
                );
            }
        }
        for (standard, class) in named {
            seen += 1;
            assert!(has_class(&standard, &class), "{standard} {class}");
            let [one] = standards_in(&format!("{standard} {class}"))
                .try_into()
                .unwrap();
            assert_eq!((one.class, one.rest), (class, String::new()));
        }
    }
    assert!(seen > 20, "{seen}");
}
