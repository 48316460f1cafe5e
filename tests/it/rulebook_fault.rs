//! A rulebook's sheet with faults is refused, with all of them.

use ropeloft::domain::rulebook::{Rulebook, RulebookError};

const EUROPEAN: &str = include_str!("../../src/domain/rulebook/european.toml");
const US_RESCUE: &str = include_str!("../../src/domain/rulebook/us-rescue.toml");

fn faults(sheet: &str) -> Vec<String> {
    let RulebookError { faults } = Rulebook::parse(sheet).unwrap_err();
    faults
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
        ("months = 12", "months = 0", "between 1 and 120 months"),
        ("months = 12", "months = 121", "between 1 and 120 months"),
        ("value = 120.0", "value = 39.9", "between 40 and 300 kg"),
        ("value = 120.0", "value = 300.1", "between 40 and 300 kg"),
        (
            "value = 10.0\nreason",
            "value = 0.5\nreason",
            "between 1 and 100",
        ),
        ("value = 22.0", "value = 0.0", "above 0"),
        ("value = 22.0", "value = -22.0", "cannot be read"),
        ("unit = \"kN\"", "unit = \"kg\"", "cannot be read"),
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
        "cannot be read",
    ),
    (
        "key = \"european\"",
        "key = \"European\"",
        "lower-case letters",
    ),
    (
        "\"EN 1891:1998, static strength\"",
        "\" \"",
        "has no source",
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
        "is not one of",
    ),
    (
        "any_of = [{ standard = \"EN 564\" }]",
        "any_of = []",
        "names no standard",
    ),
    (
        "when = \"captures\"",
        "when = \"always\"",
        "in the same use",
    ),
    (
        "[\"serial\", \"made\", \"markings\"]",
        "[]",
        "identity.asks is empty",
    ),
];

#[test]
fn a_word_that_does_not_hold_is_refused() {
    for (from, to, part) in WORDS {
        refused(&changed(from, to), part);
    }
    refused("key = ", "cannot be read");
}

#[test]
fn a_printed_pair_must_be_one_force() {
    let wrong = US_RESCUE.replacen("value = 8992.0", "value = 5000.0", 1);
    let faults = faults(&wrong);
    assert!(
        faults[0].contains("is not 40 kN in another unit"),
        "{faults:?}"
    );
}

#[test]
fn all_faults_are_told_at_once() {
    let sheet = changed("months = 12", "months = 0").replacen("value = 22.0", "value = 0.0", 1);
    assert_eq!(faults(&sheet).len(), 2);
}

#[test]
fn a_kind_that_is_left_out_is_missed() {
    let at = EUROPEAN.find("[[kind]]\nkind = \"swivel\"").unwrap();
    let end = at
        + EUROPEAN[at..]
            .find("[[kind]]\nkind = \"rigging-plate\"")
            .unwrap();
    let sheet = format!("{}{}", &EUROPEAN[..at], &EUROPEAN[end..]);
    refused(&sheet, "The kind swivel must have exactly one entry, not 0");
}
