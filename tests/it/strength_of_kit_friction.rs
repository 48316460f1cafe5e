//! From records to a verdict: how sheaves turn, what water and ends do to a rope, and what is assumed.

use ropeloft::domain::kit_strength::{KitVerdict, Outcome};
use ropeloft::rigging::{Assessment, LoadingMode, Phase};

use crate::fitness_case::{Thing, full_kit, head, job, rope, verdict};

fn near(computed: f64, printed: f64, tolerance: f64) {
    assert!(
        (computed - printed).abs() <= tolerance,
        "{computed}, printed {printed}"
    );
}

fn numbers(verdict: &KitVerdict) -> &Assessment {
    verdict
        .assessment
        .as_ref()
        .unwrap_or_else(|| panic!("{:#?}", verdict.gaps))
}

/// A pulley without something on its record.
fn lacking(mut pulley: Thing, keys: &[&str]) -> Thing {
    for key in keys {
        pulley.model.attributes.0.remove(*key);
    }
    pulley
}

fn with_head(head: Thing) -> Vec<Thing> {
    let mut kit = full_kit();
    kit[1] = head;
    kit
}

#[test]
fn an_unknown_efficiency_is_a_gap_and_no_default() {
    let kit = with_head(lacking(head(), &["efficiency"]));
    let verdict = verdict(&job(|_| {}), &kit);
    assert_eq!(verdict.outcome, Outcome::CannotSay);
    assert_eq!(verdict.gaps.len(), 1);
    assert_eq!(verdict.gaps[0].code, "no-efficiency");
    assert!(
        verdict
            .sentence
            .starts_with("Cannot say yet: The efficiency of pulley P-1")
    );
}

#[test]
fn an_efficiency_without_its_range_gets_an_assumed_one_that_is_said() {
    // A trade technical article, read: the stiffness of the rope can move it by up to 15 %.
    let kit = with_head(lacking(head(), &["efficiency-low", "efficiency-high"]));
    let verdict = verdict(&job(|_| {}), &kit);
    let said = verdict
        .assumptions
        .iter()
        .any(|words| words.contains("15 %"));
    assert!(said, "{:#?}", verdict.assumptions);
    let anchor = numbers(&verdict).forces(Phase::Hauling).unwrap();
    let anchor = anchor.on("anchor", LoadingMode::Body).unwrap();
    // 0.92 times 0.85 at both sheaves of the head: e1 e3 low, e2 e4 of the foot as they were.
    let (low, foot) = (0.92 * 0.85, 0.92);
    let strands = [low, low * foot, low * foot * low, low * foot * low * foot];
    let hand = 120.0 * 9.806_65 / 1000.0 / strands.iter().sum::<f64>();
    near(
        anchor.high().kilonewtons(),
        120.0 * 9.806_65 / 1000.0 + hand,
        1e-9,
    );
    // 15 % above 0.92 would be more than 1, and no sheave gives back more than was pulled.
    let strands = [1.0, foot, foot, foot * foot];
    let hand = 120.0 * 9.806_65 / 1000.0 / strands.iter().sum::<f64>();
    near(
        anchor.low().kilonewtons(),
        120.0 * 9.806_65 / 1000.0 + hand,
        1e-9,
    );
}

#[test]
fn a_range_that_is_out_of_order_is_a_gap() {
    let kit = with_head(head().with(&[("efficiency-low", "0.95")]));
    let verdict = verdict(&job(|_| {}), &kit);
    assert_eq!(verdict.gaps[0].code, "no-efficiency");
    assert!(verdict.gaps[0].sentence.contains("0.95"));
}

#[test]
fn a_sheave_that_stands_while_lowering_rubs_within_an_assumed_range() {
    let kit = with_head(head().with(&[("one-way-sheave", "yes")]));
    let verdict = verdict(&job(|_| {}), &kit);
    let said = verdict
        .assumptions
        .iter()
        .find(|words| words.contains("stands still"));
    let said = said.unwrap_or_else(|| panic!("{:#?}", verdict.assumptions));
    assert!(said.contains("from memory") && said.contains("0.1") && said.contains("0.3"));
    let lowering = numbers(&verdict).forces(Phase::Lowering).unwrap();
    let hand = lowering.hand.unwrap();
    // Friction holds back: the captured sheave leaves the hand exp(-0.1 pi) to exp(-0.3 pi) of the next part.
    let next = lowering.parts[1].tension;
    near(
        hand.high().newtons() / next.high().newtons(),
        (-0.1 * std::f64::consts::PI).exp(),
        0.02,
    );
    assert!(hand.low() < hand.likely() && hand.likely() < hand.high());
}

#[test]
fn a_capture_of_unknown_make_is_a_gap() {
    let kit = with_head(lacking(head(), &["one-way-sheave"]));
    let verdict = verdict(&job(|_| {}), &kit);
    assert_eq!(verdict.gaps[0].code, "no-turning");
    assert!(!verdict.passes);
}

#[test]
fn water_takes_strength_from_the_rope() {
    let rope = |wet: &str, fibre: &str| {
        let job = job(|draft| draft.wet = wet.into());
        let mut kit = full_kit();
        kit[0] = rope().with(&[("fibre", fibre)]);
        let verdict = verdict(&job, &kit);
        numbers(&verdict).worst_of("rope").unwrap().strength.clone()
    };
    let strongest = |wet| rope(wet, "polyamide").effective.kilonewtons();
    for (fibre, said) in [
        ("polyamide", "wet nylon"),
        ("polyamide-polyester", "wet nylon"),
        ("polyester", "no figure with a source"),
    ] {
        let strength = rope("yes", fibre);
        let reasons = strength.reductions.iter().map(|one| one.reason.as_str());
        assert!(
            reasons.clone().any(|reason| reason.contains(said)),
            "{strength:?}"
        );
    }
    // A rescue exam note and pull tests, read: wet nylon keeps 0.85.
    near(strongest("yes") / strongest(""), 0.85, 1e-9);
}

#[test]
fn a_strength_with_made_ends_stands_in_place_of_the_knot() {
    let mut kit = full_kit();
    kit[0] = rope().rated(&["straight|30 kN|breaking", "terminated|16 kN|breaking"]);
    let verdict = verdict(&job(|_| {}), &kit);
    let ends = numbers(&verdict)
        .checks
        .iter()
        .filter(|check| check.position == "rope" && check.mode == LoadingMode::Terminated);
    for check in ends {
        near(check.strength.effective.kilonewtons(), 16.0, 1e-9);
        assert!(check.strength.reductions.is_empty());
    }
}
