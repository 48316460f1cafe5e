//! Diameters of rope that a device takes, as lists write them. No end is made up.

use ropeloft::domain::{ApprovalDraft, ModelDraft, ModelId};
use ropeloft::import::{
    Answers, DecimalMark, Known, ReadIn, Rehearsal, Unit, read_table, rehearse,
};
use time::macros::date;
use uuid::Uuid;

use crate::import_inventory::rehearsed;

/// One rope clamp by EN 567 whose rope range is written so.
fn clamp(range: &str, answers: &Answers) -> Rehearsal {
    let text = format!(
        "mark,kind,maker,model,store,life support,standard,rope range\n1,rope clamp,F,Grip,B,yes,EN 567,\"{range}\"\n"
    );
    rehearsed("x.csv", text.as_bytes(), answers)
}

fn ends(rehearsal: &Rehearsal) -> (String, String) {
    assert_eq!(
        (rehearsal.questions.as_slice(), rehearsal.errors.as_slice()),
        (&[][..], &[][..])
    );
    let approval = &rehearsal.plan.as_ref().unwrap().models[0].draft.approvals[0];
    (approval.rope_least.clone(), approval.rope_most.clone())
}

#[test]
fn both_ends_are_read_however_they_are_written() {
    let both = ("8 mm".to_owned(), "13 mm".to_owned());
    for range in [
        "8-13 mm",
        "8 – 13 mm",
        "8 mm to 13 mm",
        "from 8 up to 13 mm",
        "min 8 mm, max 13 mm",
        "≥ 8 mm, ≤ 13 mm",
        "Ø 8 … 13mm",
    ] {
        assert_eq!(ends(&clamp(range, &Answers::default())), both, "{range}");
    }
    let inches = ("0.375 in".to_owned(), "0.5 in".to_owned());
    assert_eq!(ends(&clamp("3/8 - 1/2 in", &Answers::default())), inches);
    let one = ("11 mm".to_owned(), "11 mm".to_owned());
    assert_eq!(ends(&clamp("11 mm", &Answers::default())), one);
}

#[test]
fn the_other_end_of_a_range_is_asked_for() {
    for (range, message) in [
        (
            "up to 13 mm",
            "only the thickest, 13 mm. Which is the thinnest?",
        ),
        (
            "max. 13 mm",
            "only the thickest, 13 mm. Which is the thinnest?",
        ),
        (
            "≤ 13 mm",
            "only the thickest, 13 mm. Which is the thinnest?",
        ),
        (
            "from 8 mm",
            "only the thinnest, 8 mm. Which is the thickest?",
        ),
    ] {
        let rehearsal = clamp(range, &Answers::default());
        let [asked] = rehearsal.open.as_slice() else {
            panic!("{range}: {:?}", rehearsal.open)
        };
        let sentence = asked.sentence();
        assert!(sentence.contains(message), "{sentence}");
        assert!(sentence.contains("none is made up"));
        assert!(rehearsal.is_ready(), "it may stay open");
        // What is known stands on record alone.
        let known = if message.contains("thickest,") {
            ("", "13 mm")
        } else {
            ("8 mm", "")
        };
        assert_eq!(
            ends(&rehearsal),
            (known.0.to_owned(), known.1.to_owned()),
            "{range}"
        );
        let draft = &rehearsal.plan.as_ref().unwrap().models[0].draft;
        let model = draft.check(ModelId(Uuid::from_u128(7)), 1).unwrap();
        let half = model.approvals[0].rope_range.unwrap();
        assert!(half.lacks().is_some());
        assert_eq!(model.draft().approvals, draft.approvals, "kept as it is");
    }
}

#[test]
fn the_end_that_is_said_stands_beside_that_of_the_list() {
    // Where nobody knows it, the other stands in the approval alone.
    for (said, both, note) in [
        (
            "8 mm",
            ("8 mm", "13 mm"),
            "Thinnest rope: read on the gear itself: its marking was seen; said when the list was brought in.",
        ),
        ("unknown", ("", "13 mm"), ""),
    ] {
        let mut answers = Answers::default();
        let of = answers.models.entry("F Grip".to_owned()).or_default();
        of.insert("rope-least".to_owned(), said.to_owned());
        let read = answers.sources.entry("F Grip".to_owned()).or_default();
        read.insert("rope-least".to_owned(), ReadIn::Marking);
        let rehearsal = clamp("max 13 mm", &answers);
        assert!(rehearsal.is_ready(), "{:?}", rehearsal.questions);
        assert_eq!(ends(&rehearsal), (both.0.to_owned(), both.1.to_owned()));
        assert_eq!(rehearsal.plan.unwrap().models[0].draft.note, note);
    }
}

#[test]
fn what_is_no_range_is_an_error_with_its_place() {
    for range in [
        "8 min 13 mm",
        "-13 mm",
        "about 11 mm",
        "8, 9, 11 mm",
        "< 13 mm",
    ] {
        let rehearsal = clamp(range, &Answers::default());
        assert_eq!(
            rehearsal.errors[0].place(),
            "row 2, column H (rope range)",
            "{range}"
        );
    }
}

#[test]
fn without_a_standard_the_end_that_is_known_stands_in_the_note() {
    let text = "mark,kind,maker,model,store,life support,rope range\n1,rope clamp,F,Grip,B,yes,up to 13 mm\n";
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &Answers::default());
    assert!(!rehearsal.remarks.is_empty());
    let model = &rehearsal.plan.unwrap().models[0].draft;
    assert_eq!(model.note, "Thickest rope: 13 mm");
    assert_eq!(model.approvals, []);
}

#[test]
fn columns_of_one_end_take_words_and_signs_of_that_end_alone() {
    let text = "\
mark,kind,maker,model,store,life support,standard,min rope dia,max rope dia
1,rope clamp,F,Grip,B,yes,EN 567,min 8 mm,max 13 mm
2,rope clamp,F,Hold,B,yes,EN 567,8 mm,min 13 mm
";
    let rehearsal = rehearsed("x.csv", text.as_bytes(), &Answers::default());
    let told: Vec<_> = rehearsal.errors.iter().map(|error| error.place()).collect();
    assert_eq!(told, ["row 3, column I (max rope dia)"]);
    let first = text.lines().take(2).collect::<Vec<_>>().join("\n");
    let rehearsal = rehearsed("x.csv", first.as_bytes(), &Answers::default());
    assert_eq!(ends(&rehearsal), ("8 mm".to_owned(), "13 mm".to_owned()));
}

#[test]
fn unit_and_decimal_mark_of_a_range_are_asked_for_too() {
    let asked = clamp("8-13", &Answers::default());
    assert_eq!(asked.without_unit(), ["rope range"]);
    let mut answers = Answers::default();
    answers
        .units
        .insert("rope range".to_owned(), Unit::from_words("mm").unwrap());
    assert_eq!(
        ends(&clamp("8-13", &answers)),
        ("8 mm".to_owned(), "13 mm".to_owned())
    );
    // One mark before three digits may part thousands: the row must not be passed over.
    let asked = clamp("10,125-12,700 mm", &Answers::default());
    assert!(
        asked.questions[0]
            .sentence()
            .starts_with("Is the decimal mark of \"10,125\"")
    );
    assert!(!asked.is_ready());
    let answers = Answers {
        decimal: Some(DecimalMark::Comma),
        ..Answers::default()
    };
    let read = ends(&clamp("10,125-12,700 mm", &answers));
    assert_eq!(read, ("10.125 mm".to_owned(), "12.7 mm".to_owned()));
}

#[test]
fn a_range_that_the_register_knows_otherwise_is_asked() {
    let approval = ApprovalDraft {
        standard: "EN 567".to_owned(),
        rope_least: "8 mm".to_owned(),
        rope_most: "12 mm".to_owned(),
        ..ApprovalDraft::default()
    };
    let draft = ModelDraft {
        kind: "rope-clamp".to_owned(),
        maker: "F".to_owned(),
        name: "Grip".to_owned(),
        life_support: "yes".to_owned(),
        approvals: vec![approval],
        ..ModelDraft::default()
    };
    let known = Known {
        models: vec![draft.check(ModelId(Uuid::from_u128(7)), 1).unwrap()],
        ..Known::default()
    };
    let text = "mark,kind,maker,model,store,standard,rope range\n1,rope clamp,F,Grip,B,EN 567,max 13 mm\n2,rope clamp,F,Grip,B,,\n";
    let table = read_table("x.csv", text.as_bytes(), None).unwrap();
    let rehearsal = rehearse(&table, &Answers::default(), &known, date!(2026 - 11 - 25)).unwrap();
    let [question] = rehearsal.questions.as_slice() else {
        panic!("{:?}", rehearsal.questions)
    };
    let sentence = question.sentence();
    assert!(
        sentence.starts_with("The register has 8 mm to 12 mm as the")
            && sentence.contains("the list says up to 13 mm (row 2)"),
        "{sentence}"
    );
    assert_eq!(
        rehearsal.tally().wait,
        2,
        "no item of that model comes in meanwhile"
    );
    let same = text.replace("13 mm", "12 mm");
    let table = read_table("x.csv", same.as_bytes(), None).unwrap();
    let rehearsal = rehearse(&table, &Answers::default(), &known, date!(2026 - 11 - 25)).unwrap();
    assert!(rehearsal.is_ready(), "{:?}", rehearsal.errors);
}
