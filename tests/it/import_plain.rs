//! A list in everyday words, as a section keeps its own: what its columns are is guessed from what stands in them, and the
//! figures that stand in words beside other things are read once somebody says so.

use std::borrow::Cow;

use ropeloft::domain::rulebook::rulebook;
use ropeloft::domain::{Competence, Holder, PersonId, Qualification, QualificationId};
use ropeloft::import::{
    Answers, Field, Known, Question, ReadIn, Rehearsal, RemarkKind, Seen, SeenOf, Target,
    read_table, rehearse,
};
use time::macros::date;

const LIST: &str = "\
Our no.;What it is;Name on it;Made by;Number stamped on it;Standing at (place);State;Month made;EN marking;Holds (kN, from the marking);Other figures on it (kN / kg);mm: own thickness, or rope it takes;Length / size;Colour;Big check done;Big check by;Next big check before;Notes
R-1;Rope, low stretch;Ghyll 11;Calder Lines;C-1;Van 1;in use;2024-02;EN 1891:1998 A;33;with figure-8 ends 22;11;60 m;red;2026-10-16;A. Brook (Brook & Sons);2027-04-16;
P-1;Double pulley;Twin;Fellside;F-1;Van 1;in use;2024-02;EN 12278:2007;36;becket 18, WLL 8;8-13;;green;2026-10-16;A. Brook, Brook & Sons;2027-04-16;number worn away
K-1;Karabiner steel, screw;Oval;Fellside;F-2;Van 2;in use;2024-02;EN 362:2004/B + EN 12275:2013 X;40;gate open 15, across 12;;;;2026-10-16;A. Brook (Brook & Sons);2027-04-16;
S-1;Sling, sewn tape;Band;Calder Lines;C-2;Van 2;in use;2024-02;EN 566:2017;25;;25 wide;120 cm;blue;2026-10-16;A. Brook (Brook & Sons);2027-04-16;
T-1;Tripod;Three;Fellside;F-3;Van 2;in use;2024-02;EN 795:2012 B;22;WLL 5;;;;2026-10-16;A. Brook (Brook & Sons);2027-04-16;
G-1;Harness, full body;Full;Fellside;F-4;Van 2;in use;2024-02;EN 361:2002;15;max 140 kg, blue;;size M;;2026-10-16;A. Brook (Brook & Sons);2027-04-16;
";

/// Somebody from outside whose firm is on record.
fn known() -> Known {
    let brook = Qualification {
        id: QualificationId::new(),
        holder: Holder::Outside {
            name: "A. Brook".into(),
            body: "Brook & Sons".into(),
        },
        kinds: Vec::new(),
        from: date!(2020 - 01 - 01),
        until: None,
        evidence: "a course".into(),
        address: String::new(),
        ended: None,
    };
    let competence = Competence {
        people: Vec::new(),
        qualifications: vec![brook],
    };
    Known {
        rulebook: Some(Cow::Borrowed(rulebook("european").unwrap())),
        competence: Some((competence, (PersonId::new(), "D. Marl".into()))),
        ..Known::default()
    }
}

fn rehearsed(answers: &Answers) -> Rehearsal {
    let table = read_table("x.csv", LIST.as_bytes(), None).unwrap();
    rehearse(&table, answers, &known(), date!(2026 - 11 - 20)).unwrap()
}

/// Takes every guess, as whoever sends the page as it stands.
fn guesses() -> Answers {
    let mut answers = Answers::default();
    for question in rehearsed(&answers).questions {
        if let Question::Heading { heading, guess, .. } = question {
            let guess = guess.unwrap_or_else(|| panic!("{heading} is asked without a guess"));
            answers.headings.insert(heading, guess.target);
        }
    }
    for (key, value) in [("life-support", "yes"), ("strength-source", "marking")] {
        answers.silent.insert(key.to_owned(), value.to_owned());
    }
    answers
}

#[test]
fn few_columns_are_asked_and_each_with_a_guess() {
    let said: Vec<(String, Target)> = guesses().headings.into_iter().collect();
    let field = |field| Target::Field(field);
    let strength = Field::from_key("breaking-strength").unwrap();
    let diameter = Field::Attribute("diameter");
    for (heading, target) in [
        ("Colour", Target::InNote),
        ("Holds (kN, from the marking)", field(strength)),
        ("Other figures on it (kN / kg)", field(Field::Figures)),
        ("mm: own thickness, or rope it takes", field(diameter)),
    ] {
        assert!(
            said.contains(&(heading.to_owned(), target)),
            "{heading}: {said:?}"
        );
    }
    assert_eq!(said.len(), 4, "{said:?}");
}

#[test]
fn figures_in_words_are_read_as_what_their_words_say() {
    let rehearsal = rehearsed(&guesses());
    assert_eq!(rehearsal.questions, []);
    assert_eq!(rehearsal.errors, []);
    let shown: Vec<&str> = rehearsal
        .remarks
        .iter()
        .filter(|remark| remark.kind == RemarkKind::LookAt)
        .map(|remark| remark.sentence.as_str())
        .collect();
    for words in [
        "breaking strength with the end that its maker states, sewn or tied 22 kN",
        "breaking strength by its becket 18 kN, working limit 8 kN",
        "\"WLL 5\" under \"Other figures on it (kN / kg)\" is read as working limit 5 kN.",
        "rated load 140 kg; the rest is kept in the note",
    ] {
        assert!(
            shown.iter().any(|one| one.contains(words)),
            "{words}: {shown:?}"
        );
    }
}

#[test]
fn each_figure_and_length_stands_where_it_belongs() {
    let plan = rehearsed(&guesses()).plan.unwrap();
    let model = |name: &str| {
        let mut models = plan.models.iter();
        &models.find(|one| one.draft.name == name).unwrap().draft
    };
    let ratings = |name: &str| {
        let ratings = model(name).ratings.iter();
        let ratings = ratings.map(|one| format!("{} {} {}", one.kind, one.mode, one.value));
        ratings.collect::<Vec<_>>()
    };
    assert!(
        ratings("Twin").contains(&"working-limit axle 8 kN".to_owned()),
        "{:?}",
        ratings("Twin")
    );
    assert!(
        ratings("Oval").contains(&"breaking gate-open 15 kN".to_owned()),
        "{:?}",
        ratings("Oval")
    );
    assert!(
        ratings("Oval").contains(&"breaking minor-axis 12 kN".to_owned()),
        "{:?}",
        ratings("Oval")
    );
    assert_eq!(model("Oval").attributes["locking"], "screw");
    let approvals: Vec<&str> = model("Oval")
        .approvals
        .iter()
        .map(|one| one.class.as_str())
        .collect();
    assert_eq!(approvals, ["B", "X"]);
    // The width of a tape is that of the sling, and no rope's diameter.
    assert_eq!(model("Band").attributes["width"], "25 mm");
    let item = |mark: &str| {
        let mut items = plan.items.iter();
        &items.find(|one| one.draft.mark == mark).unwrap().draft
    };
    assert_eq!(item("R-1").attributes["length"], "60 m");
    assert_eq!(item("S-1").attributes["length"], "120 cm");
    assert_eq!(item("G-1").attributes["size"], "M");
    assert!(item("G-1").note.contains("max 140 kg, blue"));
}

#[test]
fn a_column_of_figures_that_goes_to_the_note_is_asked_about() {
    let mut answers = guesses();
    let heading = "Other figures on it (kN / kg)";
    answers.headings.insert(heading.to_owned(), Target::InNote);
    let figures = |rehearsal: &Rehearsal| {
        let open = rehearsal.open.iter();
        let mut asked = open.filter(|one| {
            matches!(
                one,
                Question::Word {
                    field: Field::Figures,
                    ..
                }
            )
        });
        asked.next().map(Question::sentence)
    };
    let rehearsal = rehearsed(&answers);
    let asked = figures(&rehearsal).unwrap();
    assert!(
        asked.contains("holds 7 figures that look like strengths"),
        "{asked}"
    );
    assert!(rehearsal.is_ready(), "it may stay open");
    let words = answers.words.entry("figures".to_owned()).or_default();
    words.insert(heading.to_owned(), "read".to_owned());
    let rehearsal = rehearsed(&answers);
    assert_eq!(figures(&rehearsal), None);
    let models = rehearsal.plan.unwrap().models;
    let tripod = models.iter().find(|one| one.draft.name == "Three").unwrap();
    assert!(tripod.draft.ratings.iter().any(|one| one.value == "5 kN"));
    let words = answers.words.entry("figures".to_owned()).or_default();
    words.insert(heading.to_owned(), "in-note".to_owned());
    assert_eq!(figures(&rehearsed(&answers)), None);
}

#[test]
fn nobody_says_of_what_cannot_be_read_that_it_can() {
    let mut answers = guesses();
    let seen = Seen {
        by: "D. Marl".into(),
        on: "2026-11-19".into(),
        ..Seen::default()
    };
    answers.seen.insert(SeenOf::MarkingsUnknown, seen);
    let rehearsal = rehearsed(&answers);
    let told = rehearsal.foretold.as_ref().unwrap();
    let why = told
        .reasons
        .iter()
        .find(|one| one.code == "markings-unknown")
        .unwrap();
    assert!(why.to_do.contains("number worn away"), "{}", why.to_do);
    assert_eq!(why.items(), 1);
    for item in rehearsal.plan.unwrap().items {
        let readable = item.draft.markings_readable.as_str();
        assert_eq!(
            readable == "yes",
            item.draft.mark != "P-1",
            "{}",
            item.draft.mark
        );
        let examiner = item.examination.map(|one| one.examiner);
        assert_eq!(
            examiner.as_deref(),
            Some("A. Brook"),
            "the firm is no part of the name"
        );
    }
}

#[test]
fn the_life_that_a_maker_states_is_asked_of_textiles() {
    let mut answers = guesses();
    let asked = |answers: &Answers| {
        let open = rehearsed(answers).open.into_iter();
        let asked = open.filter_map(|one| match one {
            Question::Life { model, field, .. } => Some(format!("{model} {}", field.key())),
            _ => None,
        });
        asked.collect::<Vec<_>>()
    };
    let all = asked(&answers);
    assert!(
        all.contains(&"Calder Lines Ghyll 11 life-from-first-use".to_owned()),
        "{all:?}"
    );
    assert!(
        all.iter().all(|one| !one.starts_with("Fellside Oval")),
        "{all:?}"
    );
    let fields = answers
        .models
        .entry("Calder Lines Ghyll 11".to_owned())
        .or_default();
    fields.insert("life-from-first-use".to_owned(), "7".to_owned());
    answers.source = Some(ReadIn::Paper);
    assert_eq!(asked(&answers).len(), all.len() - 1);
    let models = rehearsed(&answers).plan.unwrap().models;
    let rope = models
        .iter()
        .find(|one| one.draft.name == "Ghyll 11")
        .unwrap();
    assert_eq!(rope.draft.life_years_from_first_use, "7");
    let fields = answers
        .models
        .entry("Calder Lines Ghyll 11".to_owned())
        .or_default();
    fields.insert("life-from-first-use".to_owned(), "long".to_owned());
    let wrong = answers.check(date!(2026 - 11 - 20)).unwrap_err();
    let name = "models[Calder Lines Ghyll 11][life-from-first-use]";
    assert!(
        wrong
            .on(name)
            .any(|one| one.contains("whole years from 1 to 60")),
        "{wrong:?}"
    );
}
