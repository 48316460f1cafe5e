//! What a list is brought in with: makers in front of the names, lengths of ropes, brackets behind strengths, and answers
//! that are kept or told to be missing.

use axum::http::StatusCode;
use ropeloft::import::{Answers, MakerIs, Question};

use crate::import_inventory::{rehearsed, said};

/// Maker and name in one cell, a length in the name of the rope, ways of loading behind strengths.
const LIST: &str = "\
Tag;Kind;Model;Store;PPE;Made;MBS
R-1;Low stretch kernmantle rope 11 mm, 60 m;Tarnbeck Static 11;Bay;yes;2022;30 kN
R-2;Low stretch rope 11 mm 100m;Tarnbeck Static 11;Bay;yes;2022;30 kN
C-1;Carabiner HMS;Holmar Tri;Bay;yes;2022;25 kN (major axis)
C-2;Carabiner HMS;Holmar Tri;Bay;yes;2022;25 kN (major axis)
P-1;Double pulley;Fellgate Twin B;Bay;yes;2022;36 kN
";

/// The list with strengths under a heading that names another way of loading than the brackets behind them.
fn at_odds() -> String {
    let list = LIST.replace(";MBS", ";MBS gate open");
    list.replace("30 kN", "").replace("36 kN", "")
}

fn first_word() -> Answers {
    Answers {
        maker_is: Some(MakerIs::FirstWord),
        ..said()
    }
}

#[test]
fn the_first_word_of_the_type_is_the_maker_where_somebody_says_so() {
    let asked = rehearsed("x.csv", LIST.as_bytes(), &said());
    let mut names = asked.questions.iter().filter_map(|one| match one {
        Question::Silent { names, .. } => Some(names.len()),
        _ => None,
    });
    assert_eq!(names.next(), Some(3), "{:?}", asked.questions);
    assert!(!asked.is_ready(), "nobody guesses it");
    let told = rehearsed("x.csv", LIST.as_bytes(), &first_word());
    assert!(told.is_ready(), "{:?} {:?}", told.questions, told.errors);
    let titles: Vec<&str> = told
        .new_models
        .iter()
        .map(|(title, _)| title.as_str())
        .collect();
    assert_eq!(titles.len(), 3);
    for title in ["Tarnbeck Static 11", "Holmar Tri", "Fellgate Twin B"] {
        assert!(titles.contains(&title), "{titles:?}");
    }
    let plan = told.plan.unwrap();
    let twin = plan.models.iter().find(|one| one.draft.maker == "Fellgate");
    assert_eq!(twin.unwrap().draft.name, "Twin B");
}

#[test]
fn a_maker_that_was_answered_does_not_stand_twice() {
    let mut answers = said();
    answers
        .silent
        .insert("maker".to_owned(), "Fellgate".to_owned());
    let told = rehearsed("x.csv", LIST.as_bytes(), &answers);
    let titles: Vec<&str> = told
        .new_models
        .iter()
        .map(|(title, _)| title.as_str())
        .collect();
    assert!(titles.contains(&"Fellgate Twin B"), "{titles:?}");
}

#[test]
fn the_length_of_a_rope_is_read_from_its_name_and_told() {
    let told = rehearsed("x.csv", LIST.as_bytes(), &first_word());
    let mut remarks = told.remarks.iter();
    assert!(
        remarks.any(|one| one.sentence.contains("length now 60 m")),
        "{:?}",
        told.remarks
    );
    let plan = told.plan.unwrap();
    let lengths: Vec<&str> = plan
        .items
        .iter()
        .filter_map(|item| item.draft.attributes.get("length").map(String::as_str))
        .collect();
    assert_eq!(lengths, ["60 m", "100 m"]);
}

#[test]
fn a_bracket_behind_a_strength_is_its_way_of_loading() {
    let told = rehearsed("x.csv", LIST.as_bytes(), &first_word());
    let mut remarks = told.remarks.iter();
    let read = remarks.find(|one| one.sentence.contains("Read from the bracket behind"));
    assert_eq!(read.map(|one| one.rows), Some(2), "{:?}", told.remarks);
    let plan = told.plan.unwrap();
    let model = plan.models.iter().find(|one| one.draft.maker == "Holmar");
    let ratings = format!("{:?}", model.unwrap().draft.ratings);
    assert!(
        ratings.contains("25 kN") && ratings.contains("major"),
        "{ratings}"
    );
    let other = LIST.replace("major axis", "as new");
    let told = rehearsed("x.csv", other.as_bytes(), &first_word());
    assert!(told.plan.is_none() && told.errors.is_empty());
    let asked: Vec<String> = told.questions.iter().map(Question::sentence).collect();
    assert_eq!(
        asked,
        [
            "\"25 kN (as new)\" cannot be read as breaking strength, loaded as usual. It stands in 2 rows, first in row 4. What of it?"
        ]
    );
    // Under a heading that names a way of loading the bracket can only be at odds with it.
    let told = rehearsed("x.csv", at_odds().as_bytes(), &first_word());
    assert_eq!(told.errors.len(), 2, "{:?}", told.errors);
    assert_eq!(told.errors[0].message, told.errors[1].message);
    assert!(
        told.errors[0]
            .message
            .contains("The bracket says \"major axis\"")
    );
}

#[test]
fn who_examined_is_not_asked_while_a_column_may_say_it() {
    let text =
        "Tag,Type,Maker,Model,Store,PPE,Last check,Whodunnit\n1,helmet,F,D,B,yes,2026-01-02,Ada\n";
    let told = rehearsed("x.csv", text.as_bytes(), &Answers::default());
    assert!(
        told.questions
            .iter()
            .any(|one| matches!(one, Question::Heading { .. }))
    );
    assert!(
        !told
            .questions
            .iter()
            .any(|one| matches!(one, Question::Examiner { .. })),
        "{:?}",
        told.questions
    );
    assert!(!told.is_ready());
}

on_both_databases! {
    async fn an_empty_answer_that_is_needed_is_told_at_its_field(world) {
        let officer = world.visitor(&world.officer).await;
        let page = officer.upload("/import", &[("file", Some("gear.csv"), LIST.as_bytes())]).await.location().to_owned();
        let asked = officer.get(&page).await.text;
        for words in ["the first word of the model&#39;s name, row by row", "&#34;Fellgate Twin B&#34;"] {
            assert!(asked.contains(words), "{words}\n{asked}");
        }
        let empty = [("here", ""), ("maker-is", ""), ("silent-maker", ""), ("rows-silent-maker", "5"), ("silent-strength-source", "paper")];
        let missing = officer.post(&page, &empty).await;
        assert_eq!(missing.status, StatusCode::UNPROCESSABLE_ENTITY);
        for words in ["Your answers are kept, and the list waits for more: ", "Choose one: the list waits for it."] {
            assert!(missing.text.contains(words), "{words}\n{}", missing.text);
        }
        assert!(officer.get(&page).await.text.contains("Where the list says nothing: "), "what was answered is kept");
        let one = [("here", ""), ("maker-is", "one"), ("silent-maker", ""), ("silent-strength-source", "paper")];
        let missing = officer.post(&page, &one).await;
        assert!(missing.text.contains("This must not be empty"), "{}", missing.text);
        // Where no name may begin with the maker there is one field, which says that it is needed.
        let plain = LIST.replace("Tarnbeck Static 11", "Static").replace("Holmar Tri", "Tri").replace("Fellgate Twin B", "Twin");
        let page = officer.upload("/import", &[("file", Some("gear.csv"), plain.as_bytes())]).await.location().to_owned();
        let asked = officer.get(&page).await.text;
        let label = asked.split("nothing about the maker (first: row 2)?").nth(1).unwrap_or_default();
        assert!(!label.split("</label>").next().unwrap_or_default().contains("may be empty"), "{asked}");
    }

    async fn what_was_typed_is_kept_with_another_file_and_what_is_next_is_told(world) {
        let officer = world.visitor(&world.officer).await;
        let page = officer.upload("/import", &[("file", Some("gear.csv"), LIST.as_bytes())]).await.location().to_owned();
        let shown = officer.get(&page).await.text;
        assert!(shown.contains(&format!("formaction=\"{page}/file\" formenctype=\"multipart/form-data\"")), "{shown}");
        let mended = LIST.replace("R-2;", "R-3;");
        let fields: [(&str, Option<&str>, &[u8]); 4] = [
            ("here", None, b""), ("maker-is", None, b"first-word"), ("silent-strength-source", None, b"paper"),
            ("file", Some("mended.csv"), mended.as_bytes()),
        ];
        let sent = officer.upload(&format!("{page}/file"), &fields).await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.text);
        let text = officer.get(&page).await.text;
        assert!(text.contains("5 items can be taken in") && text.contains("mended.csv"), "{text}");
        // Without a file what was typed is kept too.
        let fields: [(&str, Option<&str>, &[u8]); 3] = [("here", None, b""), ("maker-is", None, b"first-word"), ("file", Some(""), b"")];
        let none = officer.upload(&format!("{page}/file"), &fields).await;
        assert_eq!(none.status, StatusCode::UNPROCESSABLE_ENTITY);
        let ready = [("here", ""), ("maker-is", "first-word"), ("silent-strength-source", "paper")];
        officer.post(&page, &ready).await;
        let taken = officer.post(&format!("{page}/take"), &[]).await;
        assert_eq!((taken.status, taken.location()), (StatusCode::SEE_OTHER, "/items"));
        let items = officer.follow(&taken).await.text;
        for words in ["Taken in: 5 items", "5 of them cannot go on a job yet:", "href=\"/bench\"", "href=\"/jobs/new\">Plan a job</a>"] {
            assert!(items.contains(words), "{words}\n{items}");
        }
    }

    async fn errors_that_are_alike_stand_in_one_line(world) {
        let officer = world.visitor(&world.officer).await;
        let page = officer.upload("/import", &[("file", Some("gear.csv"), at_odds().as_bytes())]).await.location().to_owned();
        let text = officer.get(&page).await.text;
        assert!(text.contains("2 rows alike, first: "), "{text}");
        assert!(text.contains("What is wrong, by row and column (1)"), "{text}");
    }
}

#[test]
fn the_hidden_button_of_a_form_is_not_as_wide_as_the_page() {
    let css = std::fs::read_to_string("static/app.css").unwrap();
    let wide = css
        .lines()
        .find(|line| line.starts_with("input:not(") && line.contains("width: 100%"));
    assert!(wide.unwrap().contains("[type=\"submit\"]"));
}
