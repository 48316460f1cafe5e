//! Strength, rated load, strands and parts: on the limit and just beyond it.

use std::collections::BTreeMap;

use ropeloft::domain::{Kind, LifeLimit, Material, RefusalCode};

use crate::fitness_case::{
    Case, Thing, changed_rulebook, connector, foot, head, helmet, rope, tripod,
};

fn descender(approval: &str, ratings: &[&str]) -> Thing {
    Thing::new(Kind::Descender, "D-1", &[approval], ratings)
}

#[test]
fn exactly_the_minimum_is_enough() {
    // EN 1891:1998 type A 22 kN and EN 362:2004 class B 20 kN, read in pages that report them.
    Case::of(rope().rated(&["straight|22 kN|breaking"])).is_fit();
    Case::of(rope().rated(&["straight|21.99 kN|breaking"]))
        .refused(&[RefusalCode::StrengthBelowMinimum]);
    let major = |kilonewtons: &str| {
        connector("C-1", "head-connector").rated(&[&format!("major-axis|{kilonewtons}|breaking")])
    };
    Case::of(major("20 kN")).is_fit();
    Case::of(major("4496.2 lbf")).is_fit();
    Case::of(major("4496.1 lbf")).refused(&[RefusalCode::StrengthBelowMinimum]);
}

#[test]
fn the_minimum_goes_by_the_class_of_the_approval() {
    let type_b = rope().approved(&["EN 1891|B"]);
    Case::of(type_b.clone().rated(&["straight|18 kN|breaking"])).is_fit();
    Case::of(type_b.rated(&["straight|17.9 kN|breaking"]))
        .refused(&[RefusalCode::StrengthBelowMinimum]);
    // Two classes of one thing: both must be reached. EN 12275:2013, table: K asks for 25 kN.
    let both = connector("C-1", "head-connector")
        .approved(&["EN 12275|B", "EN 12275|K"])
        .rated(&["major-axis|24 kN|breaking"]);
    let refusals = Case::of(both).refused(&[RefusalCode::StrengthBelowMinimum]);
    assert!(refusals[0].sentence.contains("EN 12275 class K"));
}

#[test]
fn a_class_that_is_not_known_is_held_against_every_class() {
    // EN 362:2004: class Q asks for 25 kN, the others for 20 kN along the major axis.
    let rated = |approvals: &[&str], rating: &str| {
        Case::of(
            connector("C-1", "head-connector")
                .approved(approvals)
                .rated(&[rating]),
        )
    };
    for approval in ["EN 362", "EN 362|Z"] {
        rated(&[approval], "major-axis|25 kN|breaking").is_fit();
        let refusals = rated(&[approval], "major-axis|24.9 kN|breaking")
            .refused(&[RefusalCode::StrengthUnknown]);
        let sentence = &refusals[0].sentence;
        assert!(
            sentence.contains("EN 362 class Q asks for at least 25 kN"),
            "{sentence}"
        );
        let told = if approval == "EN 362" {
            "is not known"
        } else {
            "is \"Z\", which the rulebook does not know"
        };
        assert!(
            sentence.contains(&format!("its class of EN 362 {told}")),
            "{sentence}"
        );
    }
    // Where one approval says its class, the item is held against that.
    rated(&["EN 362|B", "EN 12275"], "major-axis|20 kN|breaking").is_fit();
}

#[test]
fn a_way_of_loading_that_is_not_used_counts_only_where_it_is_written_down() {
    let class_b = connector("C-1", "head-connector").approved(&["EN 12275|B"]);
    Case::of(class_b.clone().rated(&["major-axis|22 kN|breaking"])).is_fit();
    // EN 12275:2013, table: 7 kN with the gate open.
    let open = |text| class_b.clone().rated(&["major-axis|22 kN|breaking", text]);
    Case::of(open("gate-open|7 kN|breaking")).is_fit();
    Case::of(open("gate-open|6.9 kN|breaking")).refused(&[RefusalCode::StrengthBelowMinimum]);
}

#[test]
fn a_number_from_memory_is_labelled_in_the_refusal() {
    let refusals = Case::of(foot().rated(&["axle|14.9 kN|breaking"]))
        .refused(&[RefusalCode::StrengthBelowMinimum]);
    assert!(refusals[0].rule.to_string().contains("from memory, "));
}

#[test]
fn a_printed_pair_in_pounds_passes_as_printed() {
    // NFPA 1983, technical use, from memory: 20 kN printed beside 4496 lbf, a hair less.
    let line = |rating: &str| {
        let rope = rope().approved(&["NFPA 2500|T"]).rated(&[rating]);
        Case::of(rope).on(|draft| draft.rulebook = "us-rescue".into())
    };
    line("straight|4496 lbf|breaking").is_fit();
    line("straight|4495 lbf|breaking").refused(&[RefusalCode::StrengthBelowMinimum]);
}

#[test]
fn the_minimum_of_an_anchor_goes_by_its_material() {
    // EN 795:2012, read: 12 kN of metal, 18 kN where the load path is not.
    let metal = tripod().rated(&["body|12 kN|breaking"]);
    Case::of(metal).is_fit();
    let mut strap = Thing::new(
        Kind::AnchorDevice,
        "A-1",
        &["EN 795|B"],
        &["body|17.9 kN|breaking"],
    )
    .at("anchor");
    Case::of(strap.clone()).is_fit();
    strap.model.material = Material::Textile;
    Case::of(strap).refused(&[RefusalCode::StrengthBelowMinimum]);
}

#[test]
fn cord_is_judged_by_its_diameter() {
    // EN 564 as a rope maker's page prints it: 6 mm 7.2 kN, 7 mm 9.8 kN.
    let cord = |diameter: Option<&str>, rating: &str| {
        let cord = Thing::new(Kind::Cord, "K-1", &["EN 564"], &[rating]);
        Case::of(match diameter {
            Some(diameter) => cord.with(&[("diameter", diameter)]),
            None => cord,
        })
    };
    cord(Some("6 mm"), "straight|7.2 kN|breaking").is_fit();
    cord(Some("7 mm"), "straight|9.7 kN|breaking").refused(&[RefusalCode::StrengthBelowMinimum]);
    cord(Some("6.5 mm"), "straight|20 kN|breaking").refused(&[RefusalCode::StrengthUnknown]);
    cord(None, "straight|20 kN|breaking").refused(&[RefusalCode::StrengthUnknown]);
}

#[test]
fn a_working_limit_is_no_breaking_strength_where_one_is_asked_for() {
    Case::of(foot().rated(&["axle|20 kN|working-limit"])).refused(&[RefusalCode::StrengthUnknown]);
    let clamp = Thing::new(
        Kind::RopeClamp,
        "G-1",
        &["EN 567||8 mm|13 mm"],
        &["body|2 kN|working-limit"],
    );
    Case::of(clamp).is_fit();
}

#[test]
fn every_way_in_which_the_position_loads_it_must_be_known() {
    let no_becket = head().rated(&["axle|22 kN|breaking"]);
    let refusals = Case::of(no_becket.clone()).refused(&[RefusalCode::StrengthUnknown]);
    assert!(refusals[0].sentence.contains("by its becket"));
    let mut spare = no_becket;
    spare.position = None;
    Case::of(spare).is_fit();
    // A connector along an axis without a rating.
    let minor = connector("C-1", "head-connector").rated(&["minor-axis|8 kN|breaking"]);
    Case::of(minor).refused(&[RefusalCode::StrengthUnknown]);
    // A rope's strength with its ends answers for the plain rope too.
    Case::of(rope().rated(&["terminated|16 kN|breaking"])).is_fit();
    Case::of(rope().rated(&[])).refused(&[RefusalCode::StrengthUnknown]);
}

#[test]
fn a_spare_must_hold_something_and_a_helmet_nothing() {
    let mut spare = foot().rated(&[]);
    spare.position = None;
    Case::of(spare).refused(&[RefusalCode::StrengthUnknown]);
    Case::of(helmet()).is_fit();
}

#[test]
fn the_rated_load_of_an_approval_covers_exactly_its_load() {
    // One person is 120 kg in this rulebook.
    let rated = |load: &str| Case::of(foot().approved(&[&format!("EN 12278||8 mm|13 mm||{load}")]));
    rated("120 kg").is_fit();
    rated("119.99 kg").refused(&[RefusalCode::RatedLoad]);
    rated("265 lb").is_fit();
    let refused = rated("264 lb").refused(&[RefusalCode::RatedLoad]);
    // 120 kg are 264.55 lb, told in the unit of the approval.
    assert!(
        refused[0]
            .sentence
            .contains("ends at 264 lb, and it would carry 265 lb:"),
        "{}",
        refused[0].sentence
    );
}

#[test]
fn a_rated_load_on_the_part_itself_counts_too() {
    // 120 kg weigh 1.1768 kN under standard gravity.
    let rated = |force: &str| {
        let ratings = [
            "axle|22 kN|breaking".to_owned(),
            format!("axle|{force}|rated-load"),
        ];
        Case::of(foot().rated(&[&ratings[0], &ratings[1]]))
    };
    rated("1.177 kN").is_fit();
    for (force, told) in [
        ("1.176 kN", "is 1.176 kN, and it would carry 1.18 kN:"),
        ("264 lbf", "is 264 lbf, and it would carry 265 lbf:"),
    ] {
        let refused = rated(force).refused(&[RefusalCode::RatedLoad]);
        assert!(
            refused[0].sentence.contains(told),
            "{}",
            refused[0].sentence
        );
    }
}

#[test]
fn a_descender_must_state_its_rated_load() {
    let case = |approval: &str, least: Option<&str>| {
        let device = descender(approval, &["body|15 kN|breaking"]);
        Case::of(match least {
            Some(least) => device.with(&[("rated-load-least", least)]),
            None => device,
        })
    };
    case("EN 12841|C|10 mm|12 mm|low-stretch|150 kg", None).is_fit();
    case("EN 12841|C|10 mm|12 mm|low-stretch", None).refused(&[RefusalCode::RatedLoad]);
    case("EN 12841|C|10 mm|12 mm|low-stretch|150 kg", Some("120 kg")).is_fit();
    for (least, told) in [
        ("121 kg", "at least 121 kg, and it would carry 120 kg:"),
        ("266 lb", "at least 266 lb, and it would carry 265 lb:"),
    ] {
        let refused = case("EN 12841|C|10 mm|12 mm|low-stretch|150 kg", Some(least))
            .refused(&[RefusalCode::RatedLoad]);
        assert!(
            refused[0].sentence.contains(told),
            "{}",
            refused[0].sentence
        );
    }
    case("EN 12841|A|10 mm|12 mm|low-stretch|150 kg", None).refused(&[RefusalCode::NotApproved]);
}

#[test]
fn a_persons_own_gear_carries_one_person_unless_it_takes_the_whole_load() {
    let harness = Thing::new(
        Kind::Harness,
        "N-1",
        &["EN 361|||||140 kg"],
        &["body|15 kN|breaking"],
    );
    let two = |thing: Thing| Case::of(thing).on(|draft| draft.load = "2 persons".into());
    two(harness.clone()).is_fit();
    two(harness.clone().at("harness")).refused(&[RefusalCode::RatedLoad]);
    let weighed = Case::of(harness).on(|draft| draft.load = "240 kg".into());
    weighed.refused(&[RefusalCode::RatedLoad]);
}

#[test]
fn a_typed_mass_is_divided_only_where_the_plan_counts_people() {
    // The European rulebook plans with 120 kg a person, so of a mass M for two, one carries M - 120 kg and no less than 120.
    let harness = |rated: &str| {
        let approval = format!("EN 361|||||{rated} kg");
        let body = ["body|15 kN|breaking"];
        Thing::new(Kind::Harness, "N-1", &[&approval], &body)
    };
    let weighed = |rated: &str, mass: &str, case: &str| {
        Case::of(harness(rated)).on(|draft| {
            draft.load = format!("{mass} kg");
            case.clone_into(&mut draft.case);
        })
    };
    for (rated, mass, case, fits) in [
        // Nobody said for how many: the whole load stays on it.
        ("140", "240", "", false),
        ("140", "240", "one-person", false),
        // Who is lighter than the rulebook plans with is counted with its mass: what was typed may be a slip.
        ("100", "100", "one-person", false),
        ("120", "100", "one-person", true),
        ("120", "240", "two-persons", true),
        ("119", "240", "two-persons", false),
        ("140", "260", "rescue", true),
        ("140", "261", "rescue", false),
        // Lighter people than the rulebook plans with do not lighten the gear of one.
        ("120", "200", "two-persons", true),
        ("119", "200", "two-persons", false),
    ] {
        let asked = weighed(rated, mass, case);
        if fits {
            asked.is_fit();
            continue;
        }
        let refusals = asked.refused(&[RefusalCode::RatedLoad]);
        assert_eq!(
            refusals[0]
                .evidence
                .contains("with 120 kg for each of the others"),
            ["two-persons", "rescue"].contains(&case),
            "{refusals:?}"
        );
    }
    let worn_by_both = Case::of(harness("140").at("harness")).on(|draft| {
        draft.load = "240 kg".into();
        draft.case = "two-persons".into();
    });
    worn_by_both.refused(&[RefusalCode::RatedLoad]);
}

#[test]
fn an_approval_for_a_tackle_needs_its_strands() {
    // Common practice, no source: a device approved only inside a tackle of at least 4 strands.
    let four = || foot().approved(&["EN 12278||8 mm|13 mm|||4"]);
    Case::of(four()).is_fit();
    let two = Case::of({
        let mut spare = four();
        spare.position = None;
        spare
    });
    two.on(|draft| {
        draft.rig = "two-to-one".into();
        draft.between_anchors = "1 m".into();
    })
    .refused(&[RefusalCode::Strands]);
}

#[test]
fn a_position_needs_its_parts() {
    for (key, word) in [
        ("sheaves", "2 sheaves"),
        ("becket", "a becket"),
        ("capture", "capture"),
    ] {
        let mut unknown = head();
        unknown.model.attributes.0.remove(key);
        let refusals = Case::of(unknown).refused(&[RefusalCode::LacksPart]);
        assert!(refusals[0].sentence.contains(word));
        assert!(refusals[0].evidence.contains("not known"));
    }
    Case::of(head().with(&[("becket", "no")])).refused(&[RefusalCode::LacksPart]);
    Case::of(head().with(&[("sheaves", "3")])).is_fit();
    // As a spare it needs none of them.
    let mut spare = head().with(&[("becket", "no"), ("capture", "no"), ("sheaves", "1")]);
    spare.position = None;
    Case::of(spare).is_fit();
}

#[test]
fn a_capture_needs_its_own_approval_only_where_it_captures() {
    let plain = head().approved(&["EN 12278||8 mm|13 mm"]);
    let refusals = Case::of(plain.clone()).refused(&[RefusalCode::NotApproved]);
    assert!(
        refusals[0]
            .sentence
            .contains("EN 567 for a device that captures")
    );
    Case::of(plain.with(&[("capture", "no")]).at("foot")).is_fit();
}

#[test]
fn a_kind_of_which_no_approval_is_asked_passes_without_one() {
    let mut swivel = Thing::new(Kind::Swivel, "W-1", &[], &["body|30 kN|breaking"]);
    swivel.model.life = LifeLimit {
        by_condition: true,
        ..LifeLimit::default()
    };
    Case::of(swivel.at("load-swivel")).is_fit();
}

#[test]
fn an_approval_may_be_asked_for_only_where_a_device_grabs() {
    let clamp = Thing::new(Kind::RopeClamp, "G-1", &[], &["body|5 kN|breaking"]);
    let asked = |thing: Thing| {
        let mut case = Case::of(thing).on(|draft| {
            draft.rig = "three-to-one".into();
            draft.throw = "2 m".into();
        });
        case.rulebook = changed_rulebook(&BTreeMap::from([(
            "kind = \"rope-clamp\"\nwhen = \"always\"",
            "kind = \"rope-clamp\"\nwhen = \"grabs\"",
        )]));
        case
    };
    asked(clamp.clone()).is_fit();
    let refusals = asked(clamp.at("grab")).refused(&[RefusalCode::NotApproved]);
    assert!(refusals[0].sentence.contains("grabs the rope"));
}
