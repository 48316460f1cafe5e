//! The limits from which on a figure is asked about, by kind of gear, and what is refused as no figure of such gear.

use ropeloft::domain::{ApprovalDraft, FieldErrors, Kind, ModelId};

use crate::rating_doubt::{draft, rating, wrong};

/// Kind, way of loading, of which kind, on the limit, beyond it, and what is said then. On the limit nothing is asked.
type Limit = (
    Kind,
    &'static str,
    &'static str,
    &'static str,
    &'static str,
    &'static str,
);

const LIMITS: [Limit; 10] = [
    (
        Kind::Connector,
        "major-axis",
        "breaking",
        "100 kN",
        "101 kN",
        "holds more than 100 kN",
    ),
    (
        Kind::RiggingPlate,
        "body",
        "breaking",
        "100 kN",
        "225 kN",
        "holds more than 100 kN",
    ),
    (
        Kind::Tripod,
        "body",
        "breaking",
        "80 kN",
        "225 kN",
        "holds more than 80 kN",
    ),
    (
        Kind::AnchorDevice,
        "straight",
        "breaking",
        "80 kN",
        "120 kN",
        "holds more than 80 kN",
    ),
    (
        Kind::Connector,
        "major-axis",
        "working-limit",
        "20 kN",
        "90 kN",
        "working limit of such gear is seldom above 20 kN, the weight of 2039 kg",
    ),
    (
        Kind::Sling,
        "straight",
        "working-limit",
        "20 kN",
        "2400 kg",
        "seldom above 20 kN",
    ),
    (
        Kind::Tripod,
        "body",
        "rated-load",
        "10 kN",
        "1400 kg",
        "rated load of such gear is seldom above 10 kN",
    ),
    (
        Kind::Descender,
        "body",
        "working-limit",
        "8 kN",
        "2400 kg",
        "seldom above 8 kN",
    ),
    (
        Kind::Harness,
        "body",
        "rated-load",
        "140 kg",
        "1400 kg",
        "seldom above 8 kN",
    ),
    // A mass without a standard, as lists have it.
    (
        Kind::Pulley,
        "axle",
        "rated-load",
        "2000 kg",
        "12000 kg",
        "seldom above 20 kN",
    ),
];

#[test]
fn every_kind_of_gear_has_a_limit_for_what_breaks_it_and_for_what_it_may_carry() {
    for (kind, mode, of, on, beyond, words) in LIMITS {
        let check = |value: &str, confirmed: &str| {
            let mut rating = rating(mode, value, of);
            confirmed.clone_into(&mut rating.confirmed);
            draft(kind, vec![rating]).check(ModelId::new(), 1)
        };
        assert!(
            !check(on, "").unwrap().ratings[0].confirmed,
            "{kind:?} {on}"
        );
        let found = wrong(&draft(kind, vec![rating(mode, beyond, of)]));
        let asked = format!("Is it really {beyond}?");
        assert!(
            found[0].1.starts_with(&asked) && found[0].1.contains(words),
            "{found:?}"
        );
        for said in ["true", beyond] {
            assert!(
                check(beyond, said).unwrap().ratings[0].confirmed,
                "{kind:?} {beyond}"
            );
        }
    }
}

#[test]
fn the_rated_load_of_an_approval_is_asked_about_in_the_same_way() {
    for (kind, load, words) in [
        (
            Kind::Harness,
            "14000 kg",
            Some(
                "Is it really 14000 kg? The rated load of such gear is seldom above 8 kN, the weight of 816 kg, and a decimal mark that was lost makes it ten times too strong. Write 1400 kg if that is meant, or confirm that 14000 kg is what the maker states (programs: \"confirmed\": true beside it).",
            ),
        ),
        (Kind::Descender, "2400 kg", Some("Is it really 2400 kg?")),
        (Kind::Pulley, "5000 lb", Some("Is it really 5000 lb?")),
        (Kind::Pulley, "2000 kg", None),
        (Kind::Descender, "280 kg", None),
        (
            Kind::Connector,
            "0 kg",
            Some("A rated load is at least 10 kg, not 0 kg."),
        ),
    ] {
        let mut typed = draft(kind, Vec::new());
        typed.approvals = vec![ApprovalDraft {
            standard: "EN 361".into(),
            rated_load: load.into(),
            ..ApprovalDraft::default()
        }];
        match words {
            None => assert!(!typed.check(ModelId::new(), 1).unwrap().approvals[0].confirmed),
            Some(words) => {
                let found = wrong(&typed);
                assert_eq!(found[0].0, "approvals[0][rated_load]");
                assert!(found[0].1.starts_with(words), "{found:?}");
            }
        }
        if words.is_some_and(|words| words.starts_with("Is it")) {
            for said in ["true", load] {
                said.clone_into(&mut typed.approvals[0].confirmed);
                let model = typed.check(ModelId::new(), 1).unwrap();
                assert!(model.approvals[0].confirmed);
                assert_eq!(model.draft().approvals[0].confirmed, load);
            }
            "900 kg".clone_into(&mut typed.approvals[0].confirmed);
            assert_eq!(wrong(&typed).len(), 1, "another load was confirmed");
        }
    }
}

#[test]
fn what_holds_next_to_nothing_is_no_breaking_strength() {
    let typed = draft(
        Kind::Connector,
        vec![rating("major-axis", "22 N", "breaking")],
    );
    let words = "A breaking strength is at least 0.1 kN, not 22 N.".to_owned();
    assert_eq!(wrong(&typed), [("ratings[0][value]".to_owned(), words)]);
}

#[test]
fn what_no_rope_has_is_refused_by_its_field() {
    for (key, on, beyond, words) in [
        ("elongation", "60", "500", "Write at most 60, not \"500\"."),
        ("diameter", "25 mm", "50 mm", "Write 1 to 25 mm, not 50 mm."),
    ] {
        let check = |text: &str| {
            let mut typed = draft(Kind::Rope, Vec::new());
            typed.attributes.insert(key.to_owned(), text.to_owned());
            typed.check(ModelId::new(), 1)
        };
        check(on).unwrap();
        let FieldErrors(wrong) = check(beyond).unwrap_err();
        assert_eq!(
            (wrong[0].field.as_str(), wrong[0].message.as_str()),
            (&*format!("attributes[{key}]"), words)
        );
    }
}
