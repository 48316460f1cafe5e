//! Answers by kind of gear, kinds that a standard tells, per cent, and errors that are told at once.

use ropeloft::import::{Answers, Question, Rehearsal};

use crate::import_inventory::{rehearsed, said};

fn sentences(rehearsal: &Rehearsal) -> Vec<&str> {
    let remarks = rehearsal.remarks.iter();
    remarks.map(|one| one.sentence.as_str()).collect()
}

const KINDS: &str = "\
Tag,Type,Maker,Model,Store,Made
S-1,Sling,Fellside,Loop,Van,2021
P-1,Pulley,Fellside,Twin,Van,2021
C-1,Connector,Fellside,Oval,Van,2021
";

#[test]
fn a_kind_may_differ_from_what_is_said_of_all() {
    let mut answers = Answers::default();
    answers.people.insert("pulley".to_owned(), "no".to_owned());
    let rehearsal = rehearsed("x.csv", KINDS.as_bytes(), &answers);
    let [question] = rehearsal.questions.as_slice() else {
        panic!("{:?}", rehearsal.questions);
    };
    let asked = question.sentence();
    assert!(
        asked.starts_with("What holds for the 2 rows")
            && asked.contains("connector (1), sling (1)")
            || asked.contains("sling (1), connector (1)"),
        "{asked}"
    );
    answers
        .silent
        .insert("life-support".to_owned(), "yes".to_owned());
    let plan = rehearsed("x.csv", KINDS.as_bytes(), &answers).plan.unwrap();
    for model in &plan.models {
        let held = if model.draft.kind == "pulley" {
            "no"
        } else {
            "yes"
        };
        assert_eq!(model.draft.life_support, held, "{}", model.title());
    }
    // Each kind by itself needs no answer for all.
    answers.silent.clear();
    for kind in ["Sling", "connector"] {
        answers.people.insert(kind.to_owned(), "yes".to_owned());
    }
    let rehearsal = rehearsed("x.csv", KINDS.as_bytes(), &answers);
    assert!(rehearsal.is_ready(), "{:?}", rehearsal.questions);
    answers.people.insert("rock".to_owned(), "yes".to_owned());
    answers
        .people
        .insert("pulley".to_owned(), "maybe".to_owned());
    let wrong = rehearsed("x.csv", KINDS.as_bytes(), &answers);
    assert_eq!(wrong.faulty.on("people[rock]").count(), 1);
    assert_eq!(wrong.faulty.on("people[pulley]").count(), 1);
    assert!(!wrong.is_ready(), "what does not hold answers nothing");
}

on_both_databases! {
    async fn the_page_offers_it_by_kind_and_keeps_it(world) {
        let officer = world.visitor(&world.officer).await;
        let page = officer.upload("/import", &[("file", Some("gear.csv"), KINDS.as_bytes())]).await.location().to_owned();
        let text = officer.get(&page).await.text;
        for words in ["Say it otherwise for a kind of gear", "name=\"people[pulley]\"", "May hold people: pulley (1)"] {
            assert!(text.contains(words), "{words}\n{text}");
        }
        officer.post(&page, &[("people[pulley]", "no"), ("people[sling]", "yes"), ("people[connector]", "yes")]).await;
        let text = officer.get(&page).await.text;
        assert!(text.contains("Take in 3 items") && text.contains("Said for a kind of its own (3)"), "{text}");
        officer.post(&page, &[("people[pulley]", "no"), ("silent-life-support", "yes")]).await;
        let text = officer.get(&page).await.text;
        assert!(text.contains("Take in 3 items") && text.contains("Said for a kind of its own (1)"), "{text}");
    }
}

#[test]
fn a_wire_strop_by_the_standard_of_anchors_alone_is_an_anchor_device() {
    let list = |kind: &str, standard: &str| {
        format!(
            "Tag,Type,Maker,Model,Store,Made,Standard\nW-1,{kind},Fellside,Strop,Van,2021,{standard}\n"
        )
    };
    for (kind, standard, read) in [
        ("Wire strop", "EN 795", "anchor device"),
        ("Wire sling", "EN 795 type B", "anchor device"),
        ("Wire strop", "EN 795; EN 566", "sling"),
        ("Wire strop", "", "sling"),
        ("Sling", "EN 795", "sling"),
    ] {
        let rehearsal = rehearsed("x.csv", list(kind, standard).as_bytes(), &said());
        let told = sentences(&rehearsal);
        let is_told = told
            .iter()
            .any(|one| one.contains("is read as an anchor device (an anchor sling)"));
        assert_eq!(
            is_told,
            read == "anchor device",
            "{kind} {standard}: {told:?}"
        );
        let plan = rehearsal.plan.unwrap();
        assert_eq!(
            plan.models[0].draft.kind.replace('-', " "),
            read,
            "{kind} {standard}"
        );
    }
}

#[test]
fn an_efficiency_above_ten_is_per_cent_and_one_a_little_above_one_is_refused() {
    let list = |efficiency: &str| {
        format!(
            "Tag,Type,Maker,Model,Store,Made,Efficiency\nP-1,Pulley,Fellside,Twin,Van,2021,\"{efficiency}\"\n"
        )
    };
    for (typed, kept) in [
        ("90", "0.9"),
        ("90 %", "0.9"),
        ("0,9", "0.9"),
        ("92.5", "0.925"),
    ] {
        let rehearsal = rehearsed("x.csv", list(typed).as_bytes(), &said());
        let told = sentences(&rehearsal).join("\n");
        assert_eq!(
            told.contains("are read as per cent, as no share is above 1"),
            ["90", "92.5"].contains(&typed),
            "{typed}: {told}"
        );
        let plan = rehearsal.plan.unwrap();
        assert_eq!(
            plan.models[0].draft.attributes["efficiency"], kept,
            "{typed}"
        );
    }
    // No sheave is without friction.
    for typed in ["1", "100", "100 %"] {
        let rehearsal = rehearsed("x.csv", list(typed).as_bytes(), &said());
        let asked: Vec<String> = rehearsal.questions.iter().map(Question::sentence).collect();
        let told = asked.join("\n");
        assert!(
            told.contains("really 1?") && rehearsal.plan.is_none(),
            "{typed}: {told}"
        );
    }
    for typed in ["1.2", "9", "101", "0", "-90", "90 kN"] {
        let rehearsal = rehearsed("x.csv", list(typed).as_bytes(), &said());
        assert_eq!(rehearsal.errors.len(), 1, "{typed}");
        assert_eq!(
            rehearsal.errors[0].heading.as_deref(),
            Some("Efficiency"),
            "{typed}"
        );
    }
}

#[test]
fn what_is_wrong_whatever_is_answered_is_told_while_it_is_asked() {
    // Asked are the order of days, a unit and where the strengths were read; wrong are a day to come, no strength at
    // all. Two strengths of one model are asked once their unit is known.
    let text = "\
Tag,Type,Maker,Model,Store,PPE,Made,Last examined,Strength
K-1,Connector,F,A,Van,yes,2021,03/04/2025,24
K-2,Connector,F,A,Van,yes,2021,03/04/2025,22
K-3,Connector,F,B,Van,yes,2021,03/04/2049,0
K-4,Connector,F,C,Van,yes,2021,03/04/2025,20
";
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &Answers::default());
    let asked = rehearsal.questions.iter();
    assert!(
        asked
            .clone()
            .any(|one| matches!(one, Question::DateOrder { .. }))
    );
    assert!(
        asked
            .clone()
            .any(|one| matches!(one, Question::Unit { .. }))
    );
    let errors: Vec<(u32, &str)> = rehearsal
        .errors
        .iter()
        .map(|one| (one.row, one.heading.as_deref().unwrap_or_default()))
        .collect();
    assert_eq!(
        errors,
        [(4, "Last examined"), (4, "Strength")],
        "{:?}",
        rehearsal.errors
    );
    assert_eq!(rehearsal.wrong_rows(), [4].into());
    // A day that is none in one order only hangs on the answer.
    let text = "Tag,Type,Maker,Model,Store,PPE,Made,Last examined\nS-1,Sling,F,A,Van,yes,2021,03/04/2025\n";
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &Answers::default());
    assert_eq!(rehearsal.errors, []);
}

on_both_databases! {
    async fn what_is_typed_in_per_cent_is_shown_with_its_sign_and_sent_again_is_the_same(world) {
        let officer = world.visitor(&world.officer).await;
        let page = officer.upload("/import", &[("file", Some("gear.csv"), KINDS.as_bytes())]).await.location().to_owned();
        let typed = |value: &'static str| [
            ("silent-life-support", "yes"), ("source", "paper"),
            ("given-0", value), ("model-0", "Fellside Twin"), ("of-0", "attribute-efficiency"), ("by-0", "source"),
        ];
        officer.post(&page, &typed("90")).await;
        let text = officer.get(&page).await.text;
        assert!(text.contains("value=\"90 %\""), "{text}");
        // Nothing was typed since, so it is taken in.
        let taken = officer.post(&format!("{page}/take"), &typed("90 %")).await;
        assert_eq!(taken.location(), "/items");
        let mut tx = world.database.read(world.team).await.unwrap();
        let pulley = tx.item_marked("P-1").await.unwrap().unwrap().model;
        let pulley = tx.model(pulley).await.unwrap().unwrap();
        assert_eq!(pulley.attributes.number("efficiency"), Some(0.9));
    }
}
