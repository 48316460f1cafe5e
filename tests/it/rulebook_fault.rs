//! A rulebook's sheet with faults is refused, with all of them.

use ropeloft::domain::rulebook::{Fault, Rulebook, RulebookError};

const EUROPEAN: &str = include_str!("../../src/domain/rulebook/european.toml");
const US_RESCUE: &str = include_str!("../../src/domain/rulebook/us-rescue.toml");

fn faults(sheet: &str) -> Vec<String> {
    let RulebookError { faults } = Rulebook::parse(sheet).unwrap_err();
    faults.iter().map(Fault::to_string).collect()
}

/// The line of a text of a sheet, from 1.
fn line_of(sheet: &str, text: &str) -> usize {
    let before = &sheet[..sheet.find(text).unwrap()];
    before.matches('\n').count() + 1
}

/// The European sheet with one text put in place of another, which must be there.
fn changed(from: &str, to: &str) -> String {
    assert!(EUROPEAN.contains(from), "the sheet has no {from}");
    EUROPEAN.replacen(from, to, 1)
}

#[track_caller]
fn refused(sheet: &str, part: &str) {
    let faults = faults(sheet);
    assert!(
        faults.iter().any(|fault| fault.contains(part)),
        "no fault says \"{part}\": {faults:?}"
    );
}

#[test]
fn a_number_out_of_its_limits_is_refused() {
    let faults = [
        ("months = 12", "months = 0", "between 1 and 120, not 0"),
        ("months = 12", "months = 121", "between 1 and 120, not 121"),
        ("months = 12", "months = 5.5", "whole number"),
        ("value = 120.0", "value = 39.9", "between 40 and 300 kg"),
        ("value = 120.0", "value = 300.1", "between 40 and 300 kg"),
        (
            "value = 10.0\nreason",
            "value = 0.5\nreason",
            "between 1 and 100",
        ),
        ("value = 22.0", "value = 0.0", "above 0"),
        (
            "value = 22.0",
            "value = -22.0",
            "between 0 and 1000 kN, not -22",
        ),
        (
            "unit = \"kN\" }\nfrom = { source = \"EN 1891",
            "unit = \"kg\" }\nfrom = { source = \"EN 1891",
            "Write the unit as one of kN, daN, N, lbf, kgf, not \"kg\"",
        ),
        (
            ", unit = \"kN\" }\nfrom = { source = \"EN 1891",
            " }\nfrom = { source = \"EN 1891",
            "unit: This key is missing",
        ),
        (
            "at_least = { value = 22.0, unit = \"kN\" }",
            "at_least = 22.0",
            "Write a table such as",
        ),
        (
            "value = 10.0\nreason",
            "value = \"ten\"\nreason",
            "Write a number such as",
        ),
    ];
    for (from, to, part) in faults {
        refused(&changed(from, to), part);
    }
}

/// A text of the sheet, what is put in its place, and what the fault says.
const WORDS: &[(&str, &str, &str)] = &[
    (
        "known = \"read-secondary\"",
        "known = \"hearsay\"",
        "Write one of read, read-secondary",
    ),
    (
        "key = \"european\"",
        "key = \"European\"",
        "lower-case letters",
    ),
    (
        "\"EN 1891:1998, static strength\"",
        "\" \"",
        "from.source: This is empty",
    ),
    (
        "\"EN 892:2004, dynamic ropes\"",
        "\"EN 1891:1998, low-stretch kernmantle ropes\"",
        "stands twice",
    ),
    ("mode = \"straight\"", "mode = \"axle\"", "is not loaded"),
    ("class = \"B\"\nmode", "class = \"A\"\nmode", "stands twice"),
    (
        "no_minimum = \"A helmet carries nobody.\"",
        "",
        "say why not in no_minimum",
    ),
    (
        "strength = \"breaking\"",
        "strength = \"breaking\"\nno_approval = \"why\"",
        "take one out",
    ),
    (
        "strength = \"breaking\"",
        "strength = \"nothing\"",
        "no strength is asked for",
    ),
    (
        "rope_kinds = [\"low-stretch\"]",
        "rope_kinds = [\"bouncy\"]",
        "Write words of low-stretch, static, dynamic",
    ),
    (
        "any_of = [{ standard = \"EN 564\" }]",
        "any_of = []",
        "Name a standard",
    ),
    ("when = \"captures\"", "when = \"always\"", "stands twice"),
    (
        "[\"serial-or-lot\", \"made\", \"markings\"]",
        "[]",
        "identity, asks: Say what must be known",
    ),
];

#[test]
fn a_word_that_does_not_hold_is_refused() {
    for (from, to, part) in WORDS {
        refused(&changed(from, to), part);
    }
    refused("key = ", "This is no TOML");
}

#[test]
fn a_printed_pair_must_be_one_force() {
    let wrong = US_RESCUE.replacen("value = 8992.0", "value = 5000.0", 1);
    let faults = faults(&wrong);
    assert!(
        faults[0].contains("5000 lbf is not 40 kN in another unit"),
        "{faults:?}"
    );
}

#[test]
fn all_faults_are_told_at_once_each_with_its_line_and_key() {
    let sheet = changed("months = 12", "months = 0\nmoths = 3")
        .replacen("value = 22.0", "value = 0.0", 1)
        .replacen("unit = \"m\"", "unit = \"ell\"", 1)
        .replacen("factor]\nvalue = 10.0", "factor]\nvalue = 0.5", 1);
    let found = faults(&sheet);
    let expected = [
        format!("line {}, factor, value: ", line_of(&sheet, "value = 0.5")),
        format!(
            "line {}, interval 1, months: ",
            line_of(&sheet, "months = 0")
        ),
        format!(
            "line {}, interval 1, moths: No such key",
            line_of(&sheet, "moths")
        ),
        format!(
            "line {}, bound 1, value.unit: Write the unit",
            line_of(&sheet, "\"ell\"")
        ),
        format!(
            "line {}, minimum 1, at_least: ",
            line_of(&sheet, "value = 0.0")
        ),
    ];
    assert_eq!(found.len(), expected.len(), "{found:#?}");
    for (found, expected) in found.iter().zip(expected) {
        assert!(found.starts_with(&expected), "{found}; expected {expected}");
    }
}

#[test]
fn faults_of_the_text_itself_are_told_beside_the_others() {
    let sheet = changed("months = 12", "months = = 12").replacen("value = 22.0", "value = 0.0", 1);
    let found = faults(&sheet);
    let line = line_of(&sheet, "months = =");
    assert!(
        found[0].starts_with(&format!("line {line}, ")),
        "{found:#?}"
    );
    assert!(found[0].contains("This is no TOML"), "{found:#?}");
    assert!(
        found.iter().any(|one| one.contains("minimum 1, at_least")),
        "{found:#?}"
    );
}

#[test]
fn a_least_value_above_a_greatest_one_leaves_nothing() {
    let bound = |side: &str, value: &str| {
        format!(
            "\n[[bound]]\nkind = \"rope\"\nattribute = \"diameter\"\nside = \"{side}\"\nvalue = {{ value = {value}, unit = \"mm\" }}\nfrom = {{ source = \"the team\", known = \"setting\" }}\n"
        )
    };
    let sheet = format!(
        "{EUROPEAN}{}{}",
        bound("at-least", "12.0"),
        bound("at-most", "11.0")
    );
    refused(&sheet, "At least 12 mm and at most 11 mm leaves nothing");
    let sheet = format!(
        "{EUROPEAN}{}{}",
        bound("at-least", "11.0"),
        bound("below", "11.0")
    );
    refused(&sheet, "At least 11 mm and below 11 mm leaves nothing");
    let sheet = format!(
        "{EUROPEAN}{}{}",
        bound("at-least", "11.0"),
        bound("at-most", "11.0")
    );
    Rulebook::parse(&sheet).unwrap();
    let wrong = bound("at-least", "11.0").replace("diameter", "colour");
    refused(&format!("{EUROPEAN}{wrong}"), "has no attribute \"colour\"");
    let wrong = bound("at-least", "11.0").replace("mm", "kN");
    refused(&format!("{EUROPEAN}{wrong}"), "11 kN is no diameter");
}

#[test]
fn what_a_sheet_is_based_on_must_be_there() {
    let sheet = "key = \"own\"\ntitle = \"Own\"\nbased_on = \"imaginary\"\n";
    refused(sheet, "line 3, based_on: Write one of european");
}

#[test]
fn a_kind_that_is_left_out_is_missed() {
    let at = EUROPEAN.find("[[kind]]\nkind = \"swivel\"").unwrap();
    let end = at
        + EUROPEAN[at..]
            .find("[[kind]]\nkind = \"rigging-plate\"")
            .unwrap();
    let sheet = format!("{}{}", &EUROPEAN[..at], &EUROPEAN[end..]);
    refused(&sheet, "The kind swivel has no entry");
}
