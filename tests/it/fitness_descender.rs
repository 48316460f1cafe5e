//! A descender at a belay: it holds one by its maker's word or by an approval to catch.

use ropeloft::domain::{
    Kind, RefusalCode,
    RefusalCode::{LacksPart, NotApproved},
};

use crate::fitness_belay::at_the_belay;
use crate::fitness_case::{Case, Thing};

/// A descender at the belay of a shipped rig, with what its maker says of belaying.
fn descender(rig: &str, rulebook: &str, (approvals, word): (&[&str], Option<&str>)) -> Case {
    let device = Thing::new(Kind::Descender, "D-1", approvals, &["body|60 kN|breaking"]);
    let device = match word {
        None => device,
        Some(word) => device.with(&[("belays", word)]),
    };
    let mut case = at_the_belay(device.at("belay-device"), rulebook);
    case.rig = ropeloft::rigging::shipped_rig(rig).unwrap().clone();
    case
}

/// A descender is for letting down, by EN 341 too: at a belay its maker's word is asked for, or an approval to catch.
#[test]
fn the_shipped_rigs_take_a_descender_at_the_belay_by_its_makers_word_or_an_approval_to_catch() {
    let lowers = "EN 12841|C|8 mm|13 mm|low-stretch|200 kg";
    let rescues = "EN 341|A|8 mm|13 mm|low-stretch|200 kg";
    for (rig, rulebook) in [
        ("tripod-with-belay", "european"),
        ("tripod-with-belay-clamp", "european"),
        ("tripod-with-belay", "uk-lifting"),
        ("tripod-with-belay", "rope-access"),
    ] {
        let shipped = |approvals: &[&str], word| descender(rig, rulebook, (approvals, word));
        for approvals in [&[lowers][..], &[rescues], &[lowers, rescues]] {
            let refused = shipped(approvals, None).refused(&[LacksPart]);
            assert!(
                refused[0].sentence.ends_with(
                    "Take an item whose maker does; if the maker's papers say that this one may, write it on the model's record."
                ),
                "{}",
                refused[0].sentence
            );
            assert!(
                refused[0]
                    .rule
                    .to_string()
                    .contains("common practice, no source"),
                "{}",
                refused[0].rule
            );
            assert!(refused[0].lacks.is_some() && !refused[0].is_for_good());
            shipped(approvals, Some("yes")).is_fit();
            let refused = shipped(approvals, Some("no")).refused(&[LacksPart]);
            assert!(refused[0].is_for_good(), "{refused:?}");
            assert!(
                refused[0]
                    .sentence
                    .contains("the maker of this descender does not allow that"),
                "{}",
                refused[0].sentence
            );
        }
    }
}

#[test]
fn neither_an_approval_nor_a_makers_word_stands_for_the_other() {
    let lowers = "EN 12841|C|8 mm|13 mm|low-stretch|200 kg";
    let catches = "EN 12841|A|8 mm|13 mm|low-stretch|200 kg";
    let shipped = |approvals: &[&str], word: Option<&str>| {
        descender("tripod-with-belay", "european", (approvals, word))
    };
    shipped(&[catches, lowers], None).is_fit();
    // What the maker forbids no approval allows.
    shipped(&[catches, lowers], Some("no")).refused(&[LacksPart]);
    // His word stands for no approval to let down on the rope, and for no rated load.
    shipped(&[], Some("yes")).refused(&[NotApproved]);
    let weak = shipped(&["EN 12841|C|8 mm|13 mm|low-stretch|80 kg"], Some("yes"));
    weak.refused(&[RefusalCode::RatedLoad]);
    // A braking device of mountaineering is made for dynamic rope and a hand on it.
    let mountain = shipped(&["EN 15151-1|8|8 mm|11 mm|dynamic"], Some("yes")).codes();
    assert!(mountain.contains(&NotApproved), "{mountain:?}");
}

#[test]
fn a_rulebook_that_names_no_approval_to_catch_asks_for_the_makers_word_too() {
    let device = Thing::new(
        Kind::Descender,
        "D-1",
        &["NFPA 2500|descent G|8 mm|13 mm|low-stretch"],
        &["body|60 kN|breaking"],
    )
    .at("belay-device");
    let codes = at_the_belay(device.clone(), "us-rescue").codes();
    assert!(codes.contains(&LacksPart), "{codes:?}");
    let codes = at_the_belay(device.with(&[("belays", "yes")]), "us-rescue").codes();
    assert!(!codes.contains(&LacksPart), "{codes:?}");
}

#[test]
fn one_approval_that_answers_for_two_rules_is_one_reason() {
    let harness = Thing::new(
        Kind::Harness,
        "H-1",
        &["EN 361|||||150 kg"],
        &["body|15 kN|breaking"],
    );
    let case = at_the_belay(harness.at("harness"), "european").on(|draft| {
        draft.rig = "tripod-with-belay".into();
        draft.between_anchors = "3 m".into();
        draft.load = "2 persons".into();
    });
    let told: Vec<String> = case
        .refusals()
        .into_iter()
        .map(|refusal| refusal.sentence)
        .collect();
    let once: std::collections::BTreeSet<&String> = told.iter().collect();
    assert!(
        told.iter().any(|said| said.contains("ends at 150 kg")),
        "{told:?}"
    );
    assert_eq!(told.len(), once.len(), "{told:?}");
}
