//! The thickest rope alone on record: whole for a plain pulley, half for what grips.

use ropeloft::domain::{Kind, RefusalCode};

use crate::{
    fitness_case::{Case, Thing, foot, head, job, rope, verdict},
    proposal::strong_kit,
};

/// A rope of this diameter.
fn thick(diameter: &str) -> Thing {
    rope().with(&[("diameter", diameter)])
}

#[test]
fn the_thickest_rope_alone_is_whole_for_a_plain_pulley() {
    let plain = || foot().approved(&["EN 12278|||13 mm"]);
    let under = |diameter: &str| Case::of(plain()).beside(vec![thick(diameter)]);
    under("13 mm").is_fit();
    under("9 mm").is_fit();
    under("13.1 mm").refused(&[RefusalCode::RopeDiameter]);
    // The thinnest alone tells nothing of a rope that is too thick.
    Case::of(foot().approved(&["EN 12278||8 mm"]))
        .beside(vec![thick("11 mm")])
        .refused(&[RefusalCode::RopeDiameter]);
    // Both ends are held as they stand.
    Case::of(foot().approved(&["EN 12278||10 mm|13 mm"]))
        .beside(vec![thick("9.9 mm")])
        .refused(&[RefusalCode::RopeDiameter]);
}

#[test]
fn what_grips_a_rope_is_asked_both_ends() {
    let capturing = head().approved(&["EN 12278|||13 mm", "EN 567|||13 mm|low-stretch"]);
    let refused = Case::of(capturing).beside(vec![thick("11 mm")]).refusals();
    assert!(
        refused.iter().any(|one| one.code == RefusalCode::RopeDiameter
            && one.sentence.contains("How thin a rope")),
        "{refused:#?}"
    );
    let clamp = Thing::new(
        Kind::RopeClamp,
        "G-1",
        &["EN 567|||13 mm|low-stretch"],
        &["body|60 kN|breaking"],
    );
    let case = Case::of(clamp.at("clamp")).beside(vec![thick("11 mm")]);
    let case = case.on(|draft| draft.rig = "four-to-one-clamp".into());
    case.refused(&[RefusalCode::RopeDiameter]);
}

#[test]
fn the_verdict_says_what_is_taken() {
    let taken = |foot: Thing| {
        let mut kit = strong_kit();
        kit[2] = foot.rated(&["axle|60 kN|breaking"]);
        let said = verdict(&job(|_| {}), &kit).assumptions;
        said.into_iter().find(|one| one.contains("only the thickest rope"))
    };
    let said = taken(foot().approved(&["EN 12278|||13 mm"])).unwrap();
    assert!(
        said.starts_with("Of pulley P-2 only the thickest rope is on record, 13 mm:")
            && said.contains("common practice, no source"),
        "{said}"
    );
    assert_eq!(taken(foot()), None);
}
