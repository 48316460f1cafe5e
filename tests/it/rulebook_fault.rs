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
fn a_sheet_with_faults_is_refused() {
    refused("key = ", "cannot be read");
    refused(
        &changed("months = 12", "months = 0"),
        "between 1 and 120 months",
    );
    refused(
        &changed("months = 12", "months = 121"),
        "between 1 and 120 months",
    );
    refused(
        &changed(
            "value = 120.0, unit = \"kg\"",
            "value = 39.9, unit = \"kg\"",
        ),
        "between 40 and 300 kg",
    );
    refused(
        &changed("value = 10.0\nreason", "value = 0.5\nreason"),
        "between 1 and 100",
    );
    refused(
        &changed("known = \"read-secondary\"", "known = \"hearsay\""),
        "cannot be read",
    );
    refused(&changed("unit = \"kN\"", "unit = \"kg\""), "cannot be read");
    refused(&changed("value = 22.0", "value = 0.0"), "above 0");
    refused(&changed("value = 22.0", "value = -22.0"), "cannot be read");
    refused(
        &changed("key = \"european\"", "key = \"European rules\""),
        "lower-case letters",
    );
    refused(
        &changed(
            "source = \"EN 1891:1998, static strength\"",
            "source = \" \"",
        ),
        "has no source",
    );
    refused(
        &changed("mode = \"straight\"", "mode = \"axle\""),
        "is not loaded",
    );
    refused(
        &changed(
            "class = \"B\"\nmode = \"straight\"",
            "class = \"A\"\nmode = \"straight\"",
        ),
        "stands twice",
    );
    refused(
        &changed("no_minimum = \"A helmet carries nobody.\"", ""),
        "say why not in no_minimum",
    );
    refused(
        &changed(
            "rope_kinds = [\"low-stretch\"]",
            "rope_kinds = [\"bouncy\"]",
        ),
        "is not one of",
    );
    refused(
        &changed("strength = \"breaking\"", "strength = \"nothing\""),
        "no strength is asked for",
    );
    refused(
        &changed("asks = [\"serial\", \"made\", \"markings\"]", "asks = []"),
        "identity.asks is empty",
    );
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
