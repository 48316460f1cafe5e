//! The lists that come with the program, as data.

use ropeloft::domain::{
    Checklist, Kind, ListEdition,
    checklist::{By, measured, read},
};

const ROPE_LIST: &str = include_str!("../../src/domain/checklist/rope.toml");

fn faults(sheet: &str) -> Vec<String> {
    let faults = read(sheet).unwrap_err().0;
    faults.iter().map(ToString::to_string).collect()
}

#[test]
fn every_kind_has_a_list_and_every_line_its_source() {
    for kind in Kind::ALL {
        let list = Checklist::newest(*kind, None);
        assert_eq!(list.edition.to_string(), format!("{}@1", kind.key()));
        assert!(list.criteria.len() >= 8, "{}", kind.key());
        assert!(list.for_look(false).count() >= 4, "{}", kind.key());
        assert!(list.criterion("marks").is_some() && list.criterion("log").is_some());
        for (at, one) in list.criteria.iter().enumerate() {
            assert!(!one.from.source.is_empty(), "{} {}", kind.key(), one.key);
            assert_eq!(
                one.by == By::Measure,
                one.measure.is_some(),
                "{} {}",
                kind.key(),
                one.key
            );
            let before = &list.criteria[..at];
            assert!(
                !before.iter().any(|other| other.key == one.key),
                "{} {}",
                kind.key(),
                one.key
            );
        }
        assert_eq!(Checklist::of(list.edition, None).unwrap(), list);
    }
    let keys: Vec<String> = measured(Kind::Connector)
        .into_iter()
        .map(|one| one.key)
        .collect();
    assert_eq!(keys, ["groove-depth", "gate-play"]);
    let unknown: ListEdition = "rope@99".parse().unwrap();
    assert!(Checklist::of(unknown, None).is_none());
}

#[test]
fn a_fault_of_a_sheet_names_its_place() {
    assert!(read(ROPE_LIST).is_ok());
    let line = |text: &str| {
        let before = &ROPE_LIST[..ROPE_LIST.find(text).unwrap()];
        before.matches('\n').count() + 1
    };
    for (from, to, fault) in [
        (
            "by = \"sight\"",
            "by = \"smell\"",
            "criterion 1, by: Write one of sight, touch, function, measure",
        ),
        (
            "out = \"retire\"",
            "out = \"burn\"",
            "criterion 1, out: Write one of quarantine, retire",
        ),
        (
            "from = \"record-first\"",
            "from = \"hearsay\"",
            "criterion 1, from: Write one of record-first",
        ),
        (
            "edition = 1",
            "edition = 0",
            "edition: This must be a whole number between 1",
        ),
        (
            "key = \"sheath\"",
            "key = \"Sheath!\"",
            "criterion 2, key: Write small letters",
        ),
        ("key = \"sheath\"", "key = \"log\"", "stands twice"),
        (
            "quick = true",
            "quick = true\nscore = 3",
            "No such key is known here",
        ),
        (
            "points = 3",
            "points = 0",
            "measure.points: This must be a whole number between 1 and 12",
        ),
    ] {
        assert!(ROPE_LIST.contains(from), "{from}");
        let found = faults(&ROPE_LIST.replacen(from, to, 1));
        assert!(
            found.iter().any(|one| one.contains(fault)),
            "{fault}: {found:?}"
        );
    }
    let found = faults(&ROPE_LIST.replacen("by = \"sight\"", "by = \"smell\"", 1));
    assert!(
        found[0].starts_with(&format!("line {}, ", line("by = \"sight\""))),
        "{found:?}"
    );
    assert!(faults("kind = \"rope\"\nedition = 1\n")[0].contains("criterion"));
}
