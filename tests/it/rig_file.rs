//! The file of a rig in JSON: every fault says where it stands, as in TOML.

use ropeloft::domain::{RigForm, read_rig};
use ropeloft::rigging::{Sheet, shipped};

/// What stands from the spot of each fault on, and the faults in words.
fn faults(text: &str) -> Vec<(String, String)> {
    let faults = read_rig(text.as_bytes()).unwrap_err();
    let found = faults.iter().map(|fault| {
        let mark = fault.mark.unwrap_or_else(|| panic!("{fault} has no line"));
        let line = text.lines().nth(mark.line - 1).unwrap();
        let from: String = line.chars().skip(mark.column - 1).collect();
        (from, fault.to_string())
    });
    found.collect()
}

fn written(sheet: &Sheet) -> String {
    RigForm::Json.write(sheet)
}

#[test]
fn every_field_that_is_wrong_in_a_file_of_json_has_its_line() {
    for rig in shipped() {
        let good = rig.sheet();
        for at in 0..good.positions.len() {
            let mut sheet = good.clone();
            sheet.positions[at].accepts = vec!["string".to_owned()];
            let text = written(&sheet);
            let [(from, told)] = <[_; 1]>::try_from(faults(&text)).unwrap();
            assert!(from.starts_with("\"accepts\": ["), "{from}");
            let line = told
                .split([' ', ','])
                .nth(1)
                .unwrap()
                .parse::<usize>()
                .unwrap();
            let before = text
                .lines()
                .take(line)
                .filter(|line| line.contains("\"accepts\""));
            assert_eq!(before.count(), at + 1, "{told}");
        }
        for (rope, at) in good
            .ropes
            .iter()
            .enumerate()
            .flat_map(|(rope, sheet)| (0..sheet.path.len()).map(move |at| (rope, at)))
        {
            let mut value = serde_json::to_value(&good).unwrap();
            value["rope"][rope]["path"][at] =
                serde_json::json!({ "end": "nowhere", "knot": "none" });
            let text = serde_json::to_string_pretty(&value).unwrap();
            let Err(found) = read_rig(text.as_bytes()) else {
                continue;
            };
            // What the sheet does not take at all stops the reading, and has its spot too.
            for fault in found.iter() {
                assert!(fault.mark.is_some(), "{fault}");
            }
        }
    }
}

#[test]
fn brackets_quotes_and_commas_in_texts_lead_nobody_astray() {
    let mut sheet = shipped()[0].sheet();
    sheet.when = "A \\ and a \" before ] } , : [ { and \"body\": too.".to_owned();
    sheet.limits = vec!["[\\\\\"]".to_owned(), "ß – {".to_owned()];
    sheet.bodies[1].title = String::new();
    let pretty = written(&sheet);
    let short = serde_json::to_string(&sheet).unwrap();
    for text in [&pretty, &short, &pretty.replace('\n', "\r\n\t")] {
        let found = faults(text);
        let (from, told) = &found[0];
        let from: String = from.chars().filter(|c| !c.is_whitespace()).collect();
        assert!(from.starts_with("\"title\":\"\""), "{from}");
        assert!(told.starts_with("line "), "{told}");
    }
}

#[test]
fn what_is_left_out_is_told_at_what_is_around_it() {
    let mut sheet = shipped()[0].sheet();
    sheet.ropes[0].path.pop();
    let found = faults(&written(&sheet));
    assert!(
        found.iter().all(|(from, _)| from.starts_with(['"', '{'])),
        "{found:?}"
    );
    let mut sheet = shipped()[0].sheet();
    sheet.bodies.clear();
    for (from, told) in faults(&written(&sheet)) {
        assert!(from.starts_with(['"', '{']), "{told}: {from}");
    }
}

#[test]
fn a_sheet_that_was_no_text_names_the_place_of_its_fault() {
    let mut sheet = shipped()[0].sheet();
    sheet.positions[0].accepts = vec!["string".to_owned()];
    let faults = ropeloft::rigging::Rig::from_sheet(sheet).unwrap_err();
    let told = faults.to_string();
    assert!(told.starts_with("position 1, accepts: "), "{told}");
}
