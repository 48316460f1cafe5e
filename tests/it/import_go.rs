//! Bringing a list in is one go: what can be foreseen is asked at once, and what only decides what jobs say holds nothing up.

use std::borrow::Cow;

use axum::http::StatusCode;
use ropeloft::{
    domain::rulebook::rulebook,
    import::{
        Answers, Fate, Known, Markings, Question, ReadIn, Rehearsal, Target, read_table, rehearse,
    },
};
use time::macros::date;

use crate::import_inventory::rehearsed;

/// A list with headings of its own: no column of markings, one unknown, and a word for a kind that nobody knows.
const LIST: &str = "\
Asset,Equipment,Brand,Product,S/N,Mfg date,Location,Last insp.,Inspector,Pass/Fail,Strength,Stds,For rope (mm),Behaviour
R-1,Low stretch rope 11 mm,Greyholm,Beck 11,S1,03/2021,Van 1,20/02/2026,A. Brook & Co,Pass,32 kN,EN 1891 A,,
P-1,Pulley single,Stainmoor,Runner,S2,03/2021,Van 1,20/02/2026,A. Brook & Co,Pass,30 kN,EN 12278,<=13,
P-2,Pulley double,Stainmoor,Runner Twin,S3,03/2021,Van 1,20/02/2026,A. Brook & Co,Pass,36 kN,EN 12278,<=13,
D-1,Descender,Stainmoor,Downwell,S4,03/2021,Van 1,20/02/2026,A. Brook & Co,Pass,12 kN,EN 341; EN 12841 C,,slips at 5 kN
X-1,Whatsit,Stainmoor,Odd,S5,03/2021,Van 1,20/02/2026,A. Brook & Co,Pass,9 kN,,,
";

on_both_databases! {
    async fn a_list_is_in_after_one_page_of_answers(world) {
        world.hold_competent().await;
        let officer = world.visitor(&world.officer).await;
        let page = officer.upload("/import", &[("file", Some("gear.csv"), LIST.as_bytes())]).await.location().to_owned();
        let asked = officer.get(&page).await.text;
        for words in [
            "Nothing can be taken in yet: 4 questions to answer. The list has 5 rows.",
            "What does &#34;Whatsit&#34; mean as kind of gear?",
            "What holds for the 5 rows that say nothing about whether the gear may hold people",
            "What holds for the 5 rows that say nothing about where the strengths were read",
            "on the gear itself: its marking was seen",
            "What jobs will ask beside",
            "Of the ropes that Stainmoor Runner and Stainmoor Runner Twin take (2 rows) the list gives only the thickest, 13 mm.",
            "Seen and readable on each of these 5",
            "The rated load of its approval to EN 341 is not known.",
            "Where you read what you write here",
        ] {
            assert!(asked.contains(words), "{words}\n{asked}");
        }
        assert_eq!(asked.matches("Where you read what you write here").count(), 1);
        let all = [
            ("heading-13", "Behaviour"), ("column-13", "in-note"),
            ("field-0", "kind"), ("word-0", "Whatsit"), ("meaning-0", "connector"),
            ("silent-life-support", "yes"), ("rows-silent-life-support", "5"),
            ("silent-strength-source", "marking"), ("rows-silent-strength-source", "5"),
            ("source", "paper"),
            ("given-0", "8"), ("model-0", "Stainmoor Runner\nStainmoor Runner Twin"), ("of-0", "rope-least"), ("by-0", "source"),
            ("given-1", "200 kg"), ("model-1", "Stainmoor Downwell"), ("of-1", "rated-load"), ("by-1", "source"),
            ("given-2", "92 %"), ("model-2", "Stainmoor Runner"), ("of-2", "attribute-efficiency"), ("by-2", "source"),
        ];
        assert_eq!(officer.post(&page, &all).await.status, StatusCode::SEE_OTHER);
        let ready = officer.get(&page).await.text;
        for words in [
            "5 items can be taken in, with 5 new models and 1 new store.",
            "Take in 5 items",
            "such as &#34;slips at 5 kN&#34;, is kept in the note of each item as words: jobs reckon with none of it.",
        ] {
            assert!(ready.contains(words), "{words}\n{ready}");
        }
        assert!(!ready.contains("To which does it belong?") && !ready.contains("Which is the thinnest?"), "{ready}");
        let taken = officer.post(&format!("{page}/take"), &[]).await;
        assert_eq!((taken.status, taken.location()), (StatusCode::SEE_OTHER, "/items"));
        let mut tx = world.database.read(world.team).await.unwrap();
        let item = tx.item_marked("D-1").await.unwrap().unwrap();
        let descender = tx.model(item.model).await.unwrap().unwrap();
        let loads: Vec<_> = descender.draft().approvals.iter().map(|one| one.rated_load.clone()).collect();
        assert_eq!(loads, ["200 kg", ""], "the question named EN 341");
        let item = tx.item_marked("P-1").await.unwrap().unwrap();
        assert_eq!(item.markings_readable, None, "nobody has looked");
        let pulley = tx.model(item.model).await.unwrap().unwrap().draft();
        assert_eq!(pulley.attributes["efficiency"], "0.92");
        let twin = tx.item_marked("P-2").await.unwrap().unwrap();
        let twin = tx.model(twin.model).await.unwrap().unwrap().draft();
        for one in [&pulley.approvals[0], &twin.approvals[0]] {
            assert_eq!((one.rope_least.as_str(), one.rope_most.as_str()), ("8 mm", "13 mm"));
        }
    }
}

on_both_databases! {
    async fn to_which_approval_a_load_belongs_stays_said(world) {
        let officer = world.visitor(&world.officer).await;
        let list = "mark,kind,maker,model,store,life support,standard,rated load\n1,descender,F,Slide,B,yes,\"EN 341 A, EN 12841 C\",200 kg\n";
        let page = officer.upload("/import", &[("file", Some("gear.csv"), list.as_bytes())]).await.location().to_owned();
        let open = officer.get(&page).await.text;
        assert!(open.contains("To which does it belong?") && open.contains("Take in 1 item"), "{open}");
        let said = [("field-0", "rated-load"), ("word-0", "F Slide"), ("meaning-0", "EN 12841 C")];
        officer.post(&page, &said).await;
        let kept = officer.get(&page).await.text;
        assert!(!kept.contains("To which does it belong?"), "{kept}");
        let chosen = "<option value=\"EN 12841 C\" selected>to EN 12841 C alone</option>";
        assert!(kept.contains(chosen), "it is sent along again: {kept}");
    }
}

/// What is said of models, each with where it was read.
fn saying(said: &[(&str, &str, &str)]) -> Answers {
    let mut answers = Answers {
        source: Some(ReadIn::Paper),
        ..Answers::default()
    };
    for (title, key, text) in said {
        let of = answers.models.entry((*title).to_owned()).or_default();
        of.insert((*key).to_owned(), (*text).to_owned());
    }
    answers
}

const CLAMP: &str = "mark,kind,maker,model,store,life support,standard,rope range\n1,rope clamp,F,Grip,B,yes,EN 567,max 13 mm\n";

fn faults(rehearsal: &Rehearsal) -> Vec<&str> {
    let faults = rehearsal.faulty.0.iter();
    faults.map(|fault| fault.field.as_str()).collect()
}

#[test]
fn what_does_not_hold_of_a_model_is_told_and_holds_nothing_up() {
    for (key, text, is_read) in [
        // The thinnest cannot be thicker than the thickest: seen only beside what the list says.
        ("rope-least", "20 mm", true),
        ("rope-least", "8 furlongs", true),
        ("attribute-efficiency", "0.9", false),
        ("rated-load", "200", true),
        ("standard", "something", true),
        ("breaking-strength", "12 stone", true),
    ] {
        let rehearsal = rehearsed("x.csv", CLAMP.as_bytes(), &saying(&[("F Grip", key, text)]));
        assert!(rehearsal.is_ready(), "{key} {text}: {:?}", rehearsal.errors);
        let name = format!("models[F Grip][{key}]");
        let told = if is_read {
            vec![name.as_str()]
        } else {
            Vec::new()
        };
        assert_eq!(faults(&rehearsal), told, "{key} {text}");
        let draft = &rehearsal.plan.as_ref().unwrap().models[0].draft;
        assert_eq!(draft.approvals.len(), 1, "{key} {text}");
        assert_eq!(draft.approvals[0].rope_least, "", "{key} {text}");
        assert_eq!(draft.ratings, [], "{key} {text}");
    }
    // What is right beside it applies.
    let said = [
        ("F Grip", "breaking-strength", "12 stone"),
        ("F Grip", "rope-least", "8 mm"),
    ];
    let rehearsal = rehearsed("x.csv", CLAMP.as_bytes(), &saying(&said));
    assert_eq!(faults(&rehearsal), ["models[F Grip][breaking-strength]"]);
    assert_eq!(
        rehearsal.plan.unwrap().models[0].draft.approvals[0].rope_least,
        "8 mm"
    );
}

#[test]
fn a_strength_is_not_taken_from_a_note_and_nothing_without_its_source() {
    let mut answers = saying(&[
        ("F Grip", "breaking-strength", "12 kN"),
        ("F Grip", "rope-least", "8 mm"),
    ]);
    answers.source = Some(ReadIn::Note);
    let rehearsal = rehearsed("x.csv", CLAMP.as_bytes(), &answers);
    assert_eq!(faults(&rehearsal), ["sources[F Grip][breaking-strength]"]);
    let draft = &rehearsal.plan.as_ref().unwrap().models[0].draft;
    assert_eq!(
        (draft.ratings.len(), draft.approvals[0].rope_least.as_str()),
        (0, "8 mm")
    );
    // One value may have been read elsewhere than the rest.
    let own = answers.sources.entry("F Grip".to_owned()).or_default();
    own.insert("breaking-strength".to_owned(), ReadIn::Marking);
    let rehearsal = rehearsed("x.csv", CLAMP.as_bytes(), &answers);
    assert_eq!(faults(&rehearsal), [""; 0]);
    assert_eq!(
        rehearsal.plan.unwrap().models[0].draft.ratings[0].source,
        "marking"
    );
    answers.sources.clear();
    answers.source = None;
    let rehearsal = rehearsed("x.csv", CLAMP.as_bytes(), &answers);
    assert!(rehearsal.is_ready());
    assert_eq!(rehearsal.faulty.0.len(), 2);
    assert_eq!(
        rehearsal.plan.unwrap().models[0].draft.approvals[0].rope_least,
        ""
    );
}

const DESCENDER: &str = "mark,kind,maker,model,store,life support,standard\n\
    1,descender,F,Slide,B,yes,\"EN 12841 C, EN 341 A\"\n";

#[test]
fn a_rated_load_is_that_of_the_approval_that_was_asked_for() {
    let known = Known {
        rulebook: Some(Cow::Borrowed(rulebook("european").unwrap())),
        ..Known::default()
    };
    let table = read_table("x.csv", DESCENDER.as_bytes(), None).unwrap();
    let answers = saying(&[("F Slide", "rated-load", "200 kg")]);
    for (known, loads, open) in [
        (&known, ["200 kg", ""], 0),
        (&Known::default(), ["", ""], 1),
    ] {
        let rehearsal = rehearse(&table, &answers, known, date!(2026 - 11 - 25)).unwrap();
        assert_eq!(rehearsal.open.len(), open, "{:?}", rehearsal.open);
        let approvals = &rehearsal.plan.unwrap().models[0].draft.approvals;
        let found: Vec<&str> = approvals
            .iter()
            .map(|one| one.rated_load.as_str())
            .collect();
        assert_eq!(found, loads);
    }
}

#[test]
fn one_range_of_many_models_is_asked_once() {
    let text = CLAMP.to_owned()
        + "2,rope clamp,F,Hold,B,yes,EN 567,max 13 mm\n3,rope clamp,F,Bite,B,yes,EN 567,max 12 mm\n";
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &Answers::default());
    let models = rehearsal.open.iter().map(|question| match question {
        Question::RopeEnd { models, .. } => models.join(", "),
        other => panic!("{other:?}"),
    });
    let mut models: Vec<String> = models.collect();
    models.sort_unstable();
    assert_eq!(models, ["F Bite", "F Grip, F Hold"]);
}

#[test]
fn an_answer_for_all_rows_is_not_asked_again_because_of_another_answer() {
    let text = "mark,kind,maker,model,store,MBS kN,thing\n1,sling,F,D,B,22,\n2,whatsit,F,E,B,22,x\nR3-R5,sling,F,D,B,22,\n";
    let asked = rehearsed("x.csv", text.as_bytes(), &Answers::default());
    let mut answers = Answers::default();
    answers.headings.insert("thing".to_owned(), Target::InNote);
    answers.ranges = Some(ropeloft::import::Ranges::Several);
    let kinds = answers.words.entry("kind".to_owned()).or_default();
    kinds.insert("whatsit".to_owned(), "connector".to_owned());
    for question in &asked.questions {
        if let Question::Silent { field, rows, .. } = question {
            let value = if field.key() == "life-support" {
                "yes"
            } else {
                "paper"
            };
            answers.silent.insert(field.key(), value.to_owned());
            answers.silent_rows.insert(field.key(), *rows);
        }
    }
    assert_eq!(answers.silent.len(), 2, "{:?}", asked.questions);
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &answers);
    assert!(
        rehearsal.is_ready(),
        "{:?} {:?}",
        rehearsal.questions,
        rehearsal.errors
    );
    assert_eq!(rehearsal.items(), 5);
}

#[test]
fn a_row_for_several_items_is_one_row_and_one_error() {
    let text = "mark,kind,maker,model,store,life support,made,qty\nR1-R3,sling,F,D,B,yes,soon,3\nR4,sling,F,D,B,yes,2020,1\n";
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &Answers::default());
    assert_eq!(
        rehearsal.sentence(),
        "Nothing can be taken in yet: 1 error in 1 row to put right. The list has 2 rows."
    );
    let rows = rehearsal.tally();
    assert_eq!((rows.rows, rows.refused, rows.come_in), (2, 1, 1));
    assert_eq!(
        (rehearsal.errors.len(), rehearsal.wrong_rows().len()),
        (1, 1)
    );
    assert_eq!(rehearsal.rows[0].fate, Fate::Wrong(1));
    let right = text.replace("soon", "2021");
    let rows = rehearsed("x.csv", right.as_bytes(), &Answers::default()).tally();
    assert_eq!((rows.rows, rows.refused, rows.come_in), (2, 0, 4));
}

#[test]
fn what_is_known_of_markings_is_one_of_three() {
    let list = Answers {
        markings: Some(Markings::List),
        ..Answers::default()
    };
    let bare = rehearsed("x.csv", CLAMP.as_bytes(), &list);
    assert!(bare.is_ready());
    assert_eq!(faults(&bare), ["markings"], "no column tells it");
    let told = CLAMP
        .replace("rope range\n", "rope range,markings readable\n")
        .replace("max 13 mm\n", "8-13 mm,yes\n");
    let told = rehearsed("x.csv", told.as_bytes(), &list);
    assert_eq!(faults(&told), [""; 0]);
    assert_eq!(told.plan.unwrap().items[0].draft.markings_readable, "yes");
    let not_yet = Answers {
        markings: Some(Markings::NotYet),
        ..Answers::default()
    };
    let not_yet = rehearsed("x.csv", CLAMP.as_bytes(), &not_yet);
    let draft = &not_yet.plan.unwrap().items[0].draft;
    assert_eq!(
        (draft.markings_readable.as_str(), draft.note.as_str()),
        ("", "")
    );
}

#[test]
fn what_is_read_otherwise_or_kept_in_words_is_told_once_a_column() {
    let text = "\
mark,kind,maker,model,store,life support,eff. %,remarks
1,pulley,F,D,B,yes,92,cam holds rope
2,pulley,F,D,B,yes,92,slips at 4 kN
3,pulley,F,E,B,yes,0.9,slips at 5 kN
";
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &Answers::default());
    let of = |words: &str| {
        let told = rehearsal
            .remarks
            .iter()
            .filter(|one| one.sentence.contains(words));
        told.map(|one| (one.rows, one.first_row, one.sentence.clone()))
            .collect::<Vec<_>>()
    };
    let per_cent = "The numbers above 1 under \"eff. %\" are read as per cent, as the heading says: 92 is the share 0.92.";
    assert_eq!(of("per cent"), [(2, 2, per_cent.to_owned())]);
    let note = "What stands under \"remarks\", such as \"cam holds rope\", is kept in the note of each item as words: jobs reckon with none of it. Where one names a load, such as \"slips at 4 kN\" in row 3, write it into a column of its own if it is to count.";
    assert_eq!(of("remarks"), [(3, 2, note.to_owned())]);
    let models = &rehearsal.plan.unwrap().models;
    let shares: Vec<&str> = models
        .iter()
        .map(|one| one.draft.attributes["efficiency"].as_str())
        .collect();
    assert_eq!(shares, ["0.92", "0.9"]);
}
