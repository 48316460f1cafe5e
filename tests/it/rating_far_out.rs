//! The limits from which on a figure is asked about, by kind of gear, and what is refused as no figure of such gear.

use ropeloft::domain::{ApprovalDraft, FieldErrors, Kind, ModelDraft, ModelId};

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

const LIMITS: [Limit; 15] = [
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
    // One for lifting goods, in whole tonnes.
    (
        Kind::Sling,
        "straight",
        "working-limit",
        "4000 kg",
        "5000 kg",
        "seldom above 20 kN",
    ),
    (
        Kind::AnchorDevice,
        "straight",
        "working-limit",
        "12 kN",
        "14 kN",
        "seldom above 12.5 kN",
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
        "800 kg",
        "seldom above 5 kN",
    ),
    (
        Kind::Litter,
        "body",
        "rated-load",
        "11 kN",
        "1500 kg",
        "seldom above 12 kN",
    ),
    (
        Kind::RopeClamp,
        "body",
        "breaking",
        "30 kN",
        "40 kN",
        "holds more than 30 kN",
    ),
    (
        Kind::Lanyard,
        "straight",
        "working-limit",
        "5 kN",
        "800 kg",
        "seldom above 5 kN",
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
                "Is it really 14000 kg? The rated load of such gear is seldom above 5 kN, the weight of 510 kg, and a decimal mark that was lost makes it ten times too strong. Write 1400 kg if that is meant, or confirm that 14000 kg is what the maker states.",
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

/// A cord that is so thick and breaks at this.
fn cord(diameter: &str, breaking: &str) -> ModelDraft {
    let mut typed = draft(Kind::Cord, vec![rating("straight", breaking, "breaking")]);
    let attributes = &mut typed.attributes;
    attributes.insert("diameter".to_owned(), diameter.to_owned());
    typed
}

#[test]
fn a_cord_is_asked_about_by_its_thickness() {
    // EN 564: 0.2 d², so 0.8, 3.2, 5 and 7.2 kN; ten times that is asked, and the strongest fibres are not.
    for (diameter, usual, tenfold) in [
        ("2 mm", "0.8 kN", "8 kN"),
        ("4 mm", "3.2 kN", "32 kN"),
        ("5 mm", "26 kN", "50 kN"),
        ("6 mm", "7.2 kN", "72 kN"),
    ] {
        cord(diameter, usual).check(ModelId::new(), 1).unwrap();
        let mut far = cord(diameter, tenfold);
        let found = wrong(&far);
        let words = format!("Such gear of {diameter} seldom holds more than");
        assert!(found[0].1.contains(&words), "{found:?}");
        "yes".clone_into(&mut far.ratings[0].confirmed);
        assert!(far.check(ModelId::new(), 1).unwrap().ratings[0].confirmed);
    }
}

#[test]
fn what_may_be_carried_is_asked_about_beside_what_breaks_it() {
    let connector = |limit: &str| {
        let ratings = vec![
            rating("major-axis", "22 kN", "breaking"),
            rating("major-axis", limit, "working-limit"),
        ];
        draft(Kind::Connector, ratings)
    };
    let mut far = connector("15 kN");
    assert_eq!(
        wrong(&far),
        [(
            "ratings[1][value]".to_owned(),
            "Is it really 15 kN? What breaks it, 22 kN, is only 1.47 times that, and of such gear seldom less than 3 times. Write another if one of the two is a slip, or confirm that 15 kN is what the maker states.".to_owned()
        )]
    );
    "15 kN".clone_into(&mut far.ratings[1].confirmed);
    assert!(far.check(ModelId::new(), 1).unwrap().ratings[1].confirmed);
    let third = connector("7.333 kN").check(ModelId::new(), 1).unwrap();
    assert!(!third.ratings[1].confirmed);
    let mut approved = draft(Kind::Pulley, vec![rating("axle", "22 kN", "breaking")]);
    approved.approvals = vec![ApprovalDraft {
        standard: "EN 12278".into(),
        rated_load: "2000 kg".into(),
        ..ApprovalDraft::default()
    }];
    let found = wrong(&approved);
    assert_eq!(found[0].0, "approvals[0][rated_load]");
    assert!(
        found[0]
            .1
            .starts_with("Is it really 2000 kg? What breaks it, 22 kN, is only 1.12 times"),
        "{found:?}"
    );
    "2000 kg".clone_into(&mut approved.approvals[0].confirmed);
    let model = approved.check(ModelId::new(), 1).unwrap();
    assert!(model.approvals[0].confirmed);
    // A form that asks shows where to confirm.
    let tripod = vec![
        rating("body", "20 kN", "breaking"),
        rating("body", "9 kN", "rated-load"),
    ];
    draft(Kind::Tripod, tripod)
        .check(ModelId::new(), 1)
        .unwrap();
}
