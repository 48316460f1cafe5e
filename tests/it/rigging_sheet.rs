//! Sheets: what is written is read again as the same rig, and everything that is wrong is told at its place.

use ropeloft::rigging::{Faults, Rig, RigError, Sheet, shipped};

use crate::rigging_kit::tackle;

/// A rig that hangs from a line across a span, off its middle, with a tripod beside it.
pub const ON_A_LINE: &str = r#"
key = "on-a-line"
title = "A 2:1 on a line"
when = "In a test."
limits = ["Only here.", "And \"nowhere\" else."]
body = [
    { key = "point", title = "the point", kind = "anchor" },
    { key = "load", title = "the load", kind = "load" },
]
position = [
    { key = "rope", title = "Rope", accepts = ["rope"], loaded = "straight" },
    { key = "head", title = "Head", accepts = ["pulley"], loaded = "axle", body = "point" },
    { key = "foot", title = "Foot", accepts = ["pulley"], loaded = "axle", body = "load" },
    { key = "first", title = "First side", accepts = ["rope"], loaded = "straight" },
    { key = "second", title = "Second side", accepts = ["rope"], loaded = "straight" },
    { key = "stand", title = "Tripod", accepts = ["tripod"], loaded = "body", optional = true },
]
[[rope]]
position = "rope"
path = [
    { meets = "hand" },
    { meets = "sheave", position = "head", capture = true },
    { meets = "sheave", position = "foot" },
    { meets = "end", body = "point", knot = "figure-eight" },
]
[[chain]]
carries_body = "point"
positions = ["stand"]
[[line]]
carries_body = "point"
span_metres = 30
sag_metres = 3.3
from_first_metres = 10.1
first = ["first"]
second = ["second"]
[[tripod]]
position = "stand"
leg_degrees = 20
"#;

/// Reads a rig from both of its written forms and expects it back.
pub fn comes_back(rig: &Rig) {
    let text = rig.sheet_text();
    let again = Rig::from_toml(&text).unwrap_or_else(|faults| panic!("{faults}\n{text}"));
    assert_eq!(again, *rig, "{text}");
    let json = serde_json::to_string(&rig.sheet()).unwrap();
    let sheet: Sheet = serde_json::from_str(&json).unwrap();
    assert_eq!(Rig::from_sheet(sheet).unwrap(), *rig, "{json}");
}

#[test]
fn every_shipped_rig_is_read_again_as_it_is_written() {
    for rig in shipped() {
        comes_back(rig);
    }
    comes_back(&Rig::from_toml(ON_A_LINE).unwrap());
}

#[test]
fn a_sheet_is_written_as_those_are_that_come_with_the_program() {
    let rig = Rig::parse(&tackle(2, false)).unwrap();
    let text = rig.sheet_text();
    assert!(
        text.contains("\npath = [\n    { meets = \"hand\" },\n    { meets = \"sheave\", position = \"foot\", sheave = 1 },\n"),
        "{text}"
    );
    assert!(
        text.contains("\n[[body]]\nkey = \"anchor\"\ntitle = \"the anchor\"\nkind = \"anchor\"\n"),
        "{text}"
    );
    assert!(text.contains("limits = []\n"), "{text}");
}

/// What is told about a sheet: line and column, place, and the sentence.
fn told(faults: &Faults) -> Vec<(usize, usize, String)> {
    let told = faults.iter().map(|fault| {
        let mark = fault.mark.unwrap();
        (mark.line, mark.column, fault.place.to_string())
    });
    told.collect()
}

#[test]
fn every_entry_that_does_not_hold_is_told_at_once_with_its_line() {
    let text = ON_A_LINE
        .replace("title = \"A 2:1 on a line\"", "title = \"\"")
        .replace(
            "kind = \"anchor\" }",
            "kind = \"anchor\", line_degrees = 3 }",
        )
        .replace("accepts = [\"tripod\"]", "accepts = [\"trestle\"]")
        .replace("position = \"foot\" }", "position = \"feet\" }")
        .replace("body = \"point\", knot", "body = \"wall\", knot")
        .replace("second = [\"second\"]", "second = []");
    let faults = Rig::from_toml(&text).unwrap_err();
    assert_eq!(
        told(&faults),
        [
            (3, 1, "title".to_owned()),
            (7, 60, "body 1, line_degrees".to_owned()),
            (16, 40, "position 6, accepts".to_owned()),
            (23, 25, "rope 1, path 3, position".to_owned()),
            (24, 22, "rope 1, path 4, body".to_owned()),
            (35, 1, "line 1, second".to_owned()),
        ]
    );
    let last = faults.iter().last().unwrap().to_string();
    assert_eq!(
        last,
        "line 35, column 1: the positions of line 1 must have 1 to 60 entries, not 0."
    );
}

#[test]
fn what_does_not_go_together_is_told_at_its_place() {
    let place = |piece: &str, by: &str| {
        assert!(ON_A_LINE.contains(piece), "{piece}");
        let faults = Rig::from_toml(&ON_A_LINE.replace(piece, by)).unwrap_err();
        assert_eq!(faults.iter().count(), 1, "{faults}");
        told(&faults).swap_remove(0)
    };
    let end = "    { meets = \"end\", body = \"point\", knot = \"figure-eight\" },\n";
    let cases = [
        (place("kind = \"load\"", "kind = \"anchor\""), 6, "body"),
        (place(end, ""), 23, "rope 1, path 3"),
        (
            place(
                "position = \"foot\" }",
                "position = \"foot\", between_degrees = 20 }",
            ),
            22,
            "rope 1, path 2",
        ),
        (
            place("position = \"foot\" }", "position = \"head\", sheave = 1 }"),
            23,
            "rope 1, path 3, sheave",
        ),
        (
            place("first = [\"first\"]", "first = [\"second\"]"),
            14,
            "position 4",
        ),
        (
            place("leg_degrees = 20", "leg_degrees = 4"),
            38,
            "tripod 1, leg_degrees",
        ),
        (
            place(
                "carries_body = \"point\"\nspan",
                "carries_body = \"load\"\nspan",
            ),
            29,
            "line 1",
        ),
    ];
    for ((line, _, place), expected_line, expected) in cases {
        assert_eq!((line, place.as_str()), (expected_line, expected));
    }
}

#[test]
fn what_is_no_sheet_names_the_line_where_reading_stopped() {
    let text = ON_A_LINE.replace("optional = true", "optional = maybe");
    let faults = Rig::from_toml(&text).unwrap_err();
    let fault = faults.iter().next().unwrap();
    assert_eq!(fault.mark.unwrap().line, 16, "{fault}");
    let text = ON_A_LINE.replace("loaded = \"body\"", "loaded = \"somehow\"");
    let faults = Rig::from_toml(&text).unwrap_err();
    let fault = faults.iter().next().unwrap();
    assert_eq!(fault.mark.unwrap().line, 16, "{fault}");
    assert!(fault.to_string().contains("somehow"), "{fault}");
}

#[test]
fn a_flood_is_refused_before_it_is_worked_on() {
    let mut sheet = Rig::parse(&tackle(8, true)).unwrap().sheet();
    sheet.limits = vec!["x".to_owned(); 61];
    let faults = Rig::from_sheet(sheet.clone()).unwrap_err();
    assert!(matches!(
        faults.into_first(),
        RigError::Count {
            least: 0,
            most: 60,
            count: 61,
            ..
        }
    ));
    sheet.limits.clear();
    let rope = sheet.ropes[0].clone();
    sheet.ropes = vec![rope; 14];
    let faults = Rig::from_sheet(sheet.clone()).unwrap_err();
    assert!(matches!(
        faults.into_first(),
        RigError::Count {
            most: 60,
            count: 140,
            ..
        }
    ));
    sheet.ropes.truncate(1);
    sheet.title = "two\nlines".to_owned();
    let faults = Rig::from_sheet(sheet).unwrap_err();
    assert!(matches!(faults.into_first(), RigError::Text { .. }));
}
