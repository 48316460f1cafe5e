//! Rope and devices, both ways: diameter, kind, length; and the approval that the rulebook asks for.

use ropeloft::domain::{Kind, RefusalCode};

use crate::fitness_case::{Case, Thing, connector, foot, full_kit, head, rope};

fn thick(diameter: &str) -> Thing {
    rope().with(&[("diameter", diameter)])
}

/// A rope without something on its record.
fn lacking(key: &str) -> Thing {
    let mut rope = rope();
    rope.model.attributes.0.remove(key);
    rope.item.attributes.0.remove(key);
    rope
}

#[test]
fn both_ends_of_a_range_are_in() {
    for (diameter, fits) in [
        ("7.99 mm", false),
        ("8 mm", true),
        ("13 mm", true),
        ("13.01 mm", false),
        ("1/2 in", true),
    ] {
        let diameter = if diameter == "1/2 in" {
            "0.5 in"
        } else {
            diameter
        };
        let onto_rope = Case::of(foot()).beside(vec![thick(diameter)]);
        let onto_device = Case::of(thick(diameter)).beside(vec![foot()]);
        for case in [onto_rope, onto_device] {
            if fits {
                case.is_fit();
            } else {
                case.refused(&[RefusalCode::RopeDiameter]);
            }
        }
    }
}

#[test]
fn a_half_inch_rope_is_not_in_a_range_that_ends_at_12_5_mm() {
    // 12.7 mm by the inch of 1959.
    let narrow = foot().approved(&["EN 12278||8 mm|12.5 mm"]);
    Case::of(narrow)
        .beside(vec![thick("0.5 in")])
        .refused(&[RefusalCode::RopeDiameter]);
    let same = foot().approved(&["EN 12278||8 mm|12.7 mm"]);
    Case::of(same).beside(vec![thick("0.5 in")]).is_fit();
}

#[test]
fn a_rope_is_held_against_each_device_that_it_runs_through() {
    let narrow = |thing: Thing| {
        let position = thing.position.clone().unwrap();
        let ranges = ["EN 12278||10 mm|11 mm", "EN 567||10 mm|11 mm"];
        thing.approved(&ranges).at(&position)
    };
    let kit = vec![narrow(head()), narrow(foot())];
    let refusals = Case::of(thick("9 mm")).beside(kit).refused(&[
        RefusalCode::RopeDiameter,
        RefusalCode::RopeDiameter,
        RefusalCode::RopeDiameter,
    ]);
    // Two of the head, which captures and so has two approvals that count, and one of the foot.
    assert!(refusals[0].sentence.contains("P-1") && refusals[2].sentence.contains("P-2"));
}

#[test]
fn only_what_the_rope_runs_through_is_compared() {
    let mut spare = foot().approved(&["EN 12278||10 mm|11 mm"]);
    spare.position = None;
    let kit = vec![spare, connector("C-1", "head-connector")];
    Case::of(thick("9 mm")).beside(kit).is_fit();
    // A spare rope runs through nothing.
    let mut spare = thick("20 mm");
    spare.position = None;
    Case::of(spare).beside(full_kit()).is_fit();
    Case::of(foot()).beside(vec![]).is_fit();
}

#[test]
fn the_rulebook_chooses_between_two_approvals_of_one_device() {
    // Common practice, no source: one capture device, 8 to 13 mm as a clamp, 10 to 13 mm as a rescue grab.
    let device = head()
        .approved(&[
            "EN 12278||8 mm|13 mm",
            "EN 567||8 mm|13 mm|low-stretch",
            "NFPA 2500|G|8 mm|13 mm",
            "NFPA 2500|rope grab G|10 mm|13 mm|low-stretch",
        ])
        .rated(&["axle|36 kN|breaking", "becket|20 kN|breaking"]);
    let line = |diameter| {
        thick(diameter)
            .approved(&["EN 1891|A", "NFPA 2500|T"])
            .rated(&["straight|30 kN|breaking"])
    };
    let asked = |key: &str, diameter| {
        let us = key.to_owned();
        let onto = Case::of(device.clone()).on(|draft| draft.rulebook = us.clone());
        let back = Case::of(line(diameter)).on(|draft| draft.rulebook = us);
        [
            onto.beside(vec![line(diameter)]),
            back.beside(vec![device.clone()]),
        ]
    };
    for case in asked("european", "9 mm") {
        case.is_fit();
    }
    // Class T begins at 9.5 mm, so that the device alone refuses it.
    for case in asked("us-rescue", "9.5 mm") {
        let refusals = case.refused(&[RefusalCode::RopeDiameter]);
        assert!(refusals[0].sentence.contains("rope grab G"));
        assert!(refusals[0].evidence.contains("10 mm to 13 mm"));
    }
    for case in asked("us-rescue", "10 mm") {
        case.is_fit();
    }
}

#[test]
fn of_approvals_that_would_all_do_the_widest_counts() {
    let clamp = Thing::new(
        Kind::RopeClamp,
        "G-1",
        &[
            "EN 12841|B|10 mm|13 mm|low-stretch",
            "EN 567||8 mm|13 mm|low-stretch",
        ],
        &["body|5 kN|working-limit"],
    );
    let case = |diameter| {
        Case::of(clamp.clone().at("grab"))
            .on(|draft| {
                draft.rig = "three-to-one".into();
                draft.throw = "2 m".into();
            })
            .beside(vec![thick(diameter)])
    };
    case("9 mm").is_fit();
    case("7 mm").refused(&[RefusalCode::RopeDiameter]);
}

#[test]
fn an_approval_without_a_range_lets_no_rope_through() {
    let silent = foot().approved(&["EN 12278"]);
    Case::of(silent.clone()).is_fit();
    Case::of(silent.clone())
        .beside(vec![rope()])
        .refused(&[RefusalCode::RopeDiameter]);
    Case::of(rope())
        .beside(vec![silent])
        .refused(&[RefusalCode::RopeDiameter]);
    // One approval that counts with a range is enough to know it.
    let known = head().approved(&["EN 12278", "EN 567||8 mm|13 mm"]);
    Case::of(known).beside(vec![rope()]).is_fit();
}

#[test]
fn a_rope_does_not_go_onto_a_device_without_an_approval_that_counts() {
    Case::of(rope())
        .beside(vec![foot().approved(&[])])
        .refused(&[RefusalCode::RopeDiameter]);
}

#[test]
fn a_device_without_an_approval_that_counts_is_refused_for_that_alone() {
    Case::of(foot().approved(&[]))
        .beside(vec![rope()])
        .refused(&[RefusalCode::NotApproved]);
}

#[test]
fn a_rope_of_unknown_diameter_runs_through_nothing() {
    Case::of(lacking("diameter")).refused(&[RefusalCode::RopeDiameter]);
    Case::of(foot())
        .beside(vec![lacking("diameter")])
        .refused(&[RefusalCode::RopeDiameter]);
}

#[test]
fn a_device_that_grips_takes_the_kinds_of_rope_that_it_is_approved_for() {
    // EN 567:2013, scope, read in an extract: ropes to EN 892, EN 564 and EN 1891.
    let silent = head().approved(&["EN 12278||8 mm|13 mm", "EN 567||8 mm|13 mm"]);
    let of_kind = |kind| rope().with(&[("rope-kind", kind)]);
    Case::of(silent.clone())
        .beside(vec![of_kind("low-stretch")])
        .is_fit();
    Case::of(silent.clone())
        .beside(vec![of_kind("dynamic")])
        .is_fit();
    for case in [
        Case::of(silent.clone()).beside(vec![of_kind("static")]),
        Case::of(of_kind("static")).beside(vec![silent]),
        Case::of(head()).beside(vec![lacking("rope-kind")]),
    ] {
        case.refused(&[RefusalCode::RopeKind]);
    }
}

#[test]
fn a_plain_sheave_lets_any_kind_of_rope_run_unless_its_approval_says_otherwise() {
    Case::of(foot()).beside(vec![lacking("rope-kind")]).is_fit();
    let said = foot().approved(&["EN 12278||8 mm|13 mm|dynamic"]);
    Case::of(said)
        .beside(vec![rope()])
        .refused(&[RefusalCode::RopeKind]);
}

#[test]
fn a_rope_reaches_with_its_exact_length() {
    // Four strands of 15 + 2.1 - 0.6 m, 3 m of tail and 1 m of knots: 70.0 m, computed apart.
    for (length, fits) in [("70 m", true), ("69.99 m", false), ("229.66 ft", true)] {
        let case = Case::of(rope().with(&[("length", length)]));
        if fits {
            case.is_fit();
        } else {
            case.refused(&[RefusalCode::RopeTooShort]);
        }
    }
    let refusals = Case::of(lacking("length")).refused(&[RefusalCode::RopeTooShort]);
    assert!(refusals[0].sentence.contains("70.0 m"));
    // 70 m are 229.66 ft, told in the unit of the rope's own length.
    for (length, told) in [
        ("60 m", "is 60 m long and must be 70.0 m, 10.0 m more:"),
        (
            "200 ft",
            "is 200 ft long and must be 229.7 ft, 29.7 ft more:",
        ),
    ] {
        let refusals =
            Case::of(rope().with(&[("length", length)])).refused(&[RefusalCode::RopeTooShort]);
        assert!(
            refusals[0].sentence.contains(told),
            "{}",
            refusals[0].sentence
        );
    }
}

#[test]
fn a_need_that_cannot_be_told_is_not_met() {
    let case = |throw: &str| {
        let throw = throw.to_owned();
        Case::of(rope()).on(|draft| {
            draft.rig = "three-to-one".into();
            draft.throw = throw;
        })
    };
    case("2 m").is_fit();
    let refusals = case("").refused(&[RefusalCode::RopeTooShort]);
    assert!(refusals[0].evidence.contains("throw"), "{refusals:?}");
}
