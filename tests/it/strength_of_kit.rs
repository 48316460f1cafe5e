//! From records to a verdict: the numbers are those of the mechanics, the sentence is in plain English.

use ropeloft::domain::Job;
use ropeloft::domain::kit_strength::{KitVerdict, Outcome};
use ropeloft::rigging::{Assessment, LoadingMode, Phase};

use crate::fitness_case::{Thing, connector, foot, full_kit, head, job, tripod, verdict};

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

/// The job of 2.000 kN that the printed numbers are for: 2000 N / 9.80665 m/s².
fn two_kilonewtons() -> Job {
    job(|draft| draft.load = "203.943242595587 kg".into())
}

/// The tensions of the one rope in a phase, from the hand on, in kN.
fn tensions(verdict: &KitVerdict, phase: Phase) -> Vec<f64> {
    let forces = numbers(verdict).forces(phase).unwrap();
    forces
        .parts
        .iter()
        .map(|part| part.tension.likely().kilonewtons())
        .collect()
}

fn force(verdict: &KitVerdict, phase: Phase, position: &str, mode: LoadingMode) -> f64 {
    let forces = numbers(verdict).forces(phase).unwrap();
    forces.on(position, mode).unwrap().likely().kilonewtons()
}

#[test]
fn the_entry_of_15_m_fails_at_the_anchor_while_hauling() {
    // Scenario computed apart with numpy: 120 kg, 4:1 pulled down, e = 0.92; rope 30 kN, pulleys and
    // connectors 22 kN, becket 12 kN, anchor frame 15 kN. Printed to these digits.
    let verdict = verdict(&job(|_| {}), &full_kit());
    assert_eq!(verdict.outcome, Outcome::NotStrongEnough);
    assert!(!verdict.passes);
    assert_eq!(
        verdict.sentence,
        "Not strong enough: the anchor or tripod head (tripod T-1) has a factor of 9.7 while hauling; 10 is asked for."
    );
    let answer = numbers(&verdict);
    near(
        answer.weakest.as_ref().unwrap().factor.ratio(),
        9.755,
        0.0005,
    );
    let hand = |phase| {
        answer
            .forces(phase)
            .unwrap()
            .hand
            .unwrap()
            .likely()
            .newtons()
    };
    near(hand(Phase::Hauling), 360.8, 0.05);
    near(hand(Phase::Lowering), 237.8, 0.05);
    assert_eq!(answer.haulers, 2);
    // Lowering: anchor 15 / 1.4146.
    let anchor = force(&verdict, Phase::Lowering, "anchor", LoadingMode::Body);
    near(15.0 / anchor, 10.604, 0.0005);
    let load = force(
        &verdict,
        Phase::Hauling,
        "load-connector",
        LoadingMode::MajorAxis,
    );
    near(22.0 / load, 18.695, 0.0005);
    // Four strands of 16.5 m, a tail of 3 m, knots of 1 m.
    near(answer.rope.ropes[0].length.metres(), 70.0, 0.05);
}

#[test]
fn a_stronger_head_makes_the_same_kit_pass() {
    let mut kit = full_kit();
    kit[1] = head().rated(&["axle|36 kN|breaking", "becket|12 kN|breaking"]);
    kit[3] = tripod().rated(&["body|22 kN|breaking"]);
    let verdict = verdict(&job(|_| {}), &kit);
    assert_eq!(verdict.outcome, Outcome::StrongEnough);
    assert!(verdict.passes);
    // 22 / 1.5376, the anchor's force of the scenario computed apart.
    assert_eq!(
        verdict.sentence,
        "Rig strong enough; the harness is not judged, since none is on the list: of the rest, the weakest link is the anchor or tripod head (tripod T-1) with a factor of 14.3 while hauling; 10 is asked for."
    );
}

#[test]
fn a_four_to_one_pulled_down_has_the_printed_tensions() {
    // Computed apart with numpy: 4:1 pulled down, 4 sheaves, e = 0.92, W = 2.000 kN, to four decimals.
    let verdict = verdict(&two_kilonewtons(), &full_kit());
    let printed = [
        (Phase::Hauling, [0.6132, 0.5642, 0.5190, 0.4775, 0.4393]),
        (Phase::Lowering, [0.4042, 0.4393, 0.4775, 0.5190, 0.5642]),
        (Phase::Frictionless, [0.5; 5]),
    ];
    for (phase, printed) in printed {
        let found = tensions(&verdict, phase);
        assert_eq!(found.len(), 5);
        for (found, printed) in found.iter().zip(printed) {
            near(*found, printed, 0.000_05);
        }
    }
    for (phase, anchor, becket, advantage) in [
        (Phase::Hauling, 2.6132, 0.4393, 3.2615),
        (Phase::Lowering, 2.4042, 0.5642, 4.9485),
    ] {
        near(
            force(&verdict, phase, "anchor", LoadingMode::Body),
            anchor,
            0.000_05,
        );
        near(
            force(&verdict, phase, "head", LoadingMode::Becket),
            becket,
            0.000_05,
        );
        let forces = numbers(&verdict).forces(phase).unwrap();
        near(
            forces.advantage.unwrap().likely().ratio(),
            advantage,
            0.000_05,
        );
    }
    near(
        force(&verdict, Phase::Frictionless, "anchor", LoadingMode::Body),
        2.5,
        0.000_05,
    );
    // The sheaves while hauling: top A, moving B, top C, moving D.
    let forces = numbers(&verdict).forces(Phase::Hauling).unwrap();
    for (position, sheave, printed) in [
        ("head", 1, 1.1774),
        ("foot", 1, 1.0832),
        ("head", 2, 0.9965),
        ("foot", 2, 0.9168),
    ] {
        let found = forces
            .sheaves
            .iter()
            .find(|force| force.position == position && force.sheave == sheave);
        near(
            found.unwrap().force.likely().kilonewtons(),
            printed,
            0.000_05,
        );
    }
}

#[test]
fn a_four_to_one_pulled_from_the_load_has_the_printed_tensions() {
    // Computed apart with numpy: the hand strand leaves the moving block, 3 sheaves, e = 0.92, W = 2.000 kN.
    let job = job(|draft| {
        draft.load = "203.943242595587 kg".into();
        draft.rig = "four-to-one-from-load".into();
    });
    let verdict = verdict(&job, &full_kit());
    near(tensions(&verdict, Phase::Hauling)[0], 0.5642, 0.000_05);
    near(tensions(&verdict, Phase::Lowering)[0], 0.4393, 0.000_05);
    near(
        force(&verdict, Phase::Hauling, "anchor", LoadingMode::Body),
        1.4358,
        0.000_05,
    );
    near(
        force(&verdict, Phase::Lowering, "anchor", LoadingMode::Body),
        1.5607,
        0.000_05,
    );
}

fn without(positions: &[&str]) -> Vec<Thing> {
    let mut kit = full_kit();
    kit.retain(|thing| !positions.contains(&thing.position.as_deref().unwrap()));
    kit
}

#[test]
fn empty_positions_are_counted_and_nothing_is_made_up() {
    let three = verdict(
        &job(|_| {}),
        &without(&["foot", "anchor", "load-connector"]),
    );
    assert_eq!(three.outcome, Outcome::CannotSay);
    assert!(!three.passes && three.assessment.is_none());
    assert_eq!(three.sentence, "Cannot say yet: 3 positions are empty.");
    assert_eq!(three.gaps.len(), 3);
    let one = verdict(&job(|_| {}), &without(&["foot"]));
    assert_eq!(one.sentence, "Cannot say yet: 1 position is empty.");
}

#[test]
fn a_rated_load_below_the_load_fails_in_words() {
    let mut kit = full_kit();
    kit[2] = foot().approved(&["EN 12278||8 mm|13 mm||100 kg"]);
    kit[3] = tripod().rated(&["body|30 kN|breaking"]);
    let verdict = verdict(&job(|_| {}), &kit);
    assert_eq!(
        verdict.sentence,
        "Not strong enough: the double pulley at the load (pulley P-2) meets 1.18 kN while hauling, the load that is carried, and its rated load is 0.981 kN."
    );
}

#[test]
fn one_item_more_at_a_filled_position_is_a_gap() {
    let mut kit = full_kit();
    kit.push(connector("C-3", "load-connector"));
    let verdict = verdict(&job(|_| {}), &kit);
    assert_eq!(verdict.gaps[0].code, "filled-twice");
    kit.pop();
    kit.push(connector("C-3", "attic"));
    let verdict = crate::fitness_case::verdict(&job(|_| {}), &kit);
    assert_eq!(verdict.gaps[0].code, "no-such-position");
}

#[test]
fn a_rig_that_travels_needs_its_throw() {
    let job = job(|draft| draft.rig = "three-to-one".into());
    let verdict = verdict(&job, &[]);
    assert!(verdict.gaps.iter().any(|gap| gap.code == "not-given"));
    assert!(verdict.sentence.starts_with("Cannot say yet: "));
}

#[test]
fn the_answer_says_what_it_rests_on() {
    let verdict = verdict(&job(|_| {}), &full_kit());
    assert_eq!(verdict.cautions.len(), ropeloft::rigging::CAUTIONS.len());
    assert_eq!(verdict.asked.rulebook, "european");
    assert!(verdict.asked.from.source.contains("rule of thumb"));
    assert!(verdict.asked.load_note.as_ref().unwrap().contains("120 kg"));
    let json = serde_json::to_value(&verdict).unwrap();
    assert_eq!(json["outcome"], "not-strong-enough");
    assert!(
        json["sentence"]
            .as_str()
            .unwrap()
            .starts_with("Not strong enough")
    );
}

#[test]
fn a_spare_changes_nothing() {
    let mut kit = full_kit();
    let mut spare = connector("C-3", "load-connector").rated(&[]);
    spare.position = None;
    kit.push(spare);
    let job = job(|_| {});
    assert_eq!(
        verdict(&job, &kit).sentence,
        verdict(&job, &full_kit()).sentence
    );
}
