//! What may go wrong: a stuck load and a catch; and what would have to change.

use ropeloft::rigging::{
    ArrestLimit, Assessment, Catch, Conditions, FallFactor, Force, Gap, Length, LoadingMode, Mass,
    Outfit, Phase, Rig, RigError, Speed, StrengthKind, assess, fall_factor_within, fall_peak,
    sensitivity, shipped_rig, solve,
};

use crate::rigging_kit::{conditions, factor_of, fitted, near};

fn kilonewtons(number: f64) -> Force {
    Force::from_kilonewtons(number).unwrap()
}

fn metres(number: f64) -> Length {
    Length::from_metres(number).unwrap()
}

/// A rig whose every part breaks at the same force.
pub fn all_of(rig: &Rig, strength: f64) -> Outfit {
    fitted(rig, |mode| {
        (
            mode,
            StrengthKind::Breaking,
            kilonewtons(strength),
            "marking",
        )
    })
}

pub fn asked(change: impl Fn(&mut Conditions)) -> Conditions {
    let mut conditions = conditions();
    conditions.way.between_anchors = Some(metres(4.0));
    change(&mut conditions);
    conditions
}

pub fn belay() -> Catch {
    Catch {
        slack: metres(0.3),
        in_play: metres(6.0),
        modulus: kilonewtons(30.0),
        modulus_source: "elongation of 3.3 % between 50 and 150 kg".to_owned(),
        limit: None,
    }
}

pub fn judged(key: &str, strength: f64, change: impl Fn(&mut Conditions)) -> Assessment {
    let rig = shipped_rig(key).unwrap();
    assess(rig, &all_of(rig, strength), &asked(change)).unwrap()
}

#[test]
fn a_stuck_load_takes_what_the_crew_gives_times_the_gain() {
    // The 4:1 of the computed reference values gains 3.2615 at an efficiency of 0.92, so a crew that
    // pulls with 1 kN puts 3.2615 kN on the load and 4.2615 kN on the anchor, whatever the load weighs.
    let verdict = judged("four-to-one-pull-down", 40.0, |conditions| {
        conditions.exceptional.stuck_pull = Some(kilonewtons(1.0));
    });
    let stuck = verdict.forces(Phase::StuckLoad).unwrap();
    near(stuck.load.likely().kilonewtons(), 3.26148, 0.00001);
    near(
        stuck.on_body("anchor").unwrap().likely().kilonewtons(),
        4.26148,
        0.00001,
    );
    near(stuck.hand.unwrap().likely().kilonewtons(), 1.0, 1e-12);
    let weakest = verdict.weakest.unwrap();
    assert_eq!(weakest.phase, Phase::StuckLoad);
    near(weakest.factor.ratio(), 40.0 / 4.26148, 0.0001);
    assert!(!verdict.passes, "nine is not ten");
    assert!(
        verdict.remedies.lighter.is_none(),
        "a lighter load is as stuck"
    );
}

#[test]
fn what_may_go_wrong_has_a_factor_of_its_own() {
    let verdict = judged("four-to-one-pull-down", 40.0, |conditions| {
        conditions.exceptional.stuck_pull = Some(kilonewtons(1.0));
        conditions.exceptional.required = Some(factor_of(2.0));
    });
    assert!(verdict.passes);
    let not_asked = judged("four-to-one-pull-down", 40.0, |_| {});
    assert!(not_asked.forces(Phase::StuckLoad).is_none());
}

#[test]
fn a_belay_is_slack_until_it_catches_and_then_carries_alone() {
    let verdict = judged("tripod-with-belay", 90.0, |conditions| {
        conditions.exceptional.catch = Some(belay());
    });
    let working = verdict.forces(Phase::Hauling).unwrap();
    assert!(working.parts.iter().all(|part| part.rope == "rope"));
    let caught = verdict.forces(Phase::BelayCatch).unwrap();
    assert!(caught.parts.iter().all(|part| part.rope == "belay-rope"));
    assert!(caught.hands.is_empty(), "the device holds");
    let mass = Mass::from_kilograms(120.0).unwrap();
    let factor = FallFactor::from_ratio(0.05).unwrap();
    let peak = fall_peak(mass, kilonewtons(30.0), factor).unwrap();
    let arrest = verdict.catch.as_ref().unwrap();
    near(arrest.peak.likely().newtons(), peak.newtons(), 1e-9);
    near(arrest.peak.high().newtons(), peak.newtons() * 1.3, 1e-9);
    let end = caught.on("belay-rope", LoadingMode::Terminated).unwrap();
    near(end.high().newtons(), peak.newtons() * 1.3, 1e-6);
    near(end.low().newtons(), peak.newtons(), 1e-6);
    let ground = caught.on_body("ground").unwrap();
    near(ground.high().newtons(), peak.newtons() * 1.3, 1e-6);
    assert!(
        verdict
            .warnings
            .iter()
            .any(|said| said.contains("the head of the tripod"))
    );
}

#[test]
fn a_catch_that_stops_a_body_too_hard_does_not_pass() {
    assert!(limited(6.0, None).passes);
    let hard = limited(3.0, None);
    assert!(!hard.passes && hard.failing().next().is_none());
    assert!(!hard.catch.unwrap().passes);
}

fn limited(force: f64, body: Option<f64>) -> Assessment {
    judged("tripod-with-belay", 500.0, |conditions| {
        conditions.exceptional.catch = Some(Catch {
            limit: Some(ArrestLimit {
                force: kilonewtons(force),
                source: "the team's rule".to_owned(),
                body: body.map(|mass| Mass::from_kilograms(mass).unwrap()),
            }),
            ..belay()
        });
    })
}

#[test]
fn a_body_is_stopped_with_its_share_of_the_peak() {
    // What hangs together is slowed down alike (second law of motion): of a load of 120 kg a body of
    // 80 kg takes two thirds of what the rope gives, and one that outweighs the load takes all of it.
    let peak = limited(6.0, None).catch.unwrap().peak;
    for (body, share) in [(Some(80.0), 2.0 / 3.0), (Some(200.0), 1.0), (None, 1.0)] {
        let caught = limited(6.0, body).catch.unwrap();
        near(
            caught.on_body.likely().newtons(),
            peak.likely().newtons() * share,
            1e-9,
        );
        near(
            caught.on_body.high().newtons(),
            peak.high().newtons() * share,
            1e-9,
        );
        assert_eq!(caught.peak, peak, "the rope holds all of the load");
        assert!(caught.passes && caught.most_slack.is_none());
    }
    // Exactly the limit passes.
    let high = peak.high().kilonewtons();
    assert!(limited(high, None).passes);
    assert!(limited(high * 2.0 / 3.0, Some(80.0)).passes);
    assert!(!limited(high * 0.999, None).passes);
    assert!(!limited(high * 0.666, Some(80.0)).passes);
}

#[test]
fn the_slack_that_would_keep_the_limit_is_told() {
    let hard = limited(4.0, None).catch.unwrap();
    let slack = hard.most_slack.unwrap();
    assert!(slack < belay().slack);
    let soft = judged("tripod-with-belay", 500.0, |conditions| {
        conditions.exceptional.catch = Some(Catch { slack, ..belay() });
    });
    near(soft.catch.unwrap().peak.high().kilonewtons(), 4.0, 1e-9);
    // Half of the load may take half as much, so the slack is the same.
    let half = limited(2.0, Some(60.0)).catch.unwrap();
    near(half.most_slack.unwrap().metres(), slack.metres(), 1e-12);
    // A load let go without slack gives twice its weight of 1.177 kN, and measured up to 1.3 times that.
    assert!(limited(3.05, None).catch.unwrap().most_slack.is_none());
    let least = limited(3.07, None).catch.unwrap().most_slack.unwrap();
    assert!(least.metres() < 0.01);
}

#[test]
fn a_fall_factor_is_found_from_its_peak() {
    // Computed reference value: 80 kg on a modulus of 20 kN and a fall factor of 1.77 give 8.2786 kN.
    let mass = Mass::from_kilograms(80.0).unwrap();
    let within = |peak| fall_factor_within(mass, kilonewtons(20.0), kilonewtons(peak));
    near(within(8.2786).unwrap().unwrap().ratio(), 1.77, 0.00005);
    // No slack gives twice the weight, and nothing gives less.
    let twice = 2.0 * mass.weight().kilonewtons();
    near(within(twice).unwrap().unwrap().ratio(), 0.0, 1e-12);
    assert_eq!(within(twice * 0.999).unwrap(), None);
    assert!(within(20.0).is_err(), "more than a fall factor of 2 gives");
    let nothing = Mass::from_kilograms(0.0).unwrap();
    for (mass, modulus) in [(nothing, 20.0), (mass, 0.0)] {
        let refused = fall_factor_within(mass, kilonewtons(modulus), kilonewtons(5.0));
        let why = refused.unwrap_err().to_string();
        assert!(why.contains("must be more than nothing"), "{why}");
    }
}

#[test]
fn a_catch_without_its_numbers_says_so_and_nonsense_is_refused() {
    let silent = judged("tripod-with-belay", 90.0, |_| {});
    assert!(
        silent
            .warnings
            .iter()
            .any(|said| said.contains("not judged"))
    );
    let rig = shipped_rig("tripod-with-belay").unwrap();
    let short = asked(|conditions| {
        conditions.exceptional.catch = Some(Catch {
            in_play: metres(0.1),
            ..belay()
        });
    });
    let gaps = assess(rig, &all_of(rig, 90.0), &short).unwrap_err();
    assert!(
        matches!(
            gaps.as_slice(),
            [Gap::NotGiven {
                field: "in_play",
                ..
            }]
        ),
        "{gaps:?}"
    );
    let no_belay = shipped_rig("two-to-one").unwrap();
    let forces = solve(
        no_belay,
        &all_of(no_belay, 90.0),
        kilonewtons(2.0),
        Phase::BelayCatch,
    );
    assert_eq!(forces.unwrap_err(), RigError::NoBelay);
}

#[test]
fn of_two_ropes_that_share_each_is_judged_as_if_it_carried_all() {
    let verdict = judged("twin-tension-lower", 40.0, |_| {});
    let load = 120.0 * 9.80665;
    let lowering = verdict.forces(Phase::Lowering).unwrap();
    for rope in ["first-rope", "second-rope"] {
        let on = lowering.on(rope, LoadingMode::Terminated).unwrap();
        near(on.low().newtons(), 0.0, 1e-9);
        near(on.likely().newtons(), load / 2.0, 1e-9);
        near(on.high().newtons(), load, 1e-9);
    }
    // Hand over load round one and a half turns of a bar, by the capstan formula at its lowest friction.
    let hand = lowering.hand.unwrap();
    near(
        hand.high().newtons(),
        load * (-0.2 * 3.0 * std::f64::consts::PI).exp(),
        1e-9,
    );
    assert_eq!(lowering.hands.len(), 2);
    assert!(lowering.advantage.is_none(), "no single hand has it");
    assert!(verdict.forces(Phase::Hauling).is_none());
    let rig = shipped_rig("twin-tension-lower").unwrap();
    let hauled = solve(rig, &all_of(rig, 40.0), kilonewtons(2.0), Phase::Hauling);
    assert_eq!(hauled.unwrap_err(), RigError::OnlyLowers);
}

#[test]
fn when_one_of_two_ropes_fails_the_other_sees_twice_the_load_and_more() {
    let verdict = judged("twin-tension-lower", 90.0, |conditions| {
        conditions.exceptional.catch = Some(Catch {
            slack: metres(0.0),
            ..belay()
        });
    });
    let caught = verdict.forces(Phase::BelayCatch).unwrap();
    for rope in ["first-rope", "second-rope"] {
        let on = caught.on(rope, LoadingMode::Terminated).unwrap();
        near(on.likely().newtons(), 2.0 * 120.0 * 9.80665, 1e-6);
    }
}

#[test]
fn the_remedy_is_just_enough() {
    let rig = shipped_rig("four-to-one-pull-down").unwrap();
    let weak = asked(|_| {});
    let mut outfit = all_of(rig, 40.0);
    let mut head = outfit.at("anchor").unwrap().clone();
    head.strengths[0].force = kilonewtons(15.0);
    outfit.fit("anchor", head);
    let verdict = assess(rig, &outfit, &weak).unwrap();
    // Computed reference value of the scenario: a frame of 15 kN under 1.5376 kN has a factor of 9.755.
    near(
        verdict.weakest.as_ref().unwrap().factor.ratio(),
        9.755,
        0.0005,
    );
    let [remedy] = verdict.remedies.stronger.as_slice() else {
        panic!("{:?}", verdict.remedies);
    };
    assert_eq!(remedy.position, "anchor");
    near(remedy.needed.kilonewtons(), 15.376, 0.0005);

    let mut stronger = outfit.clone();
    let mut head = stronger.at("anchor").unwrap().clone();
    head.strengths[0].force = remedy.needed;
    stronger.fit("anchor", head);
    assert!(assess(rig, &stronger, &weak).unwrap().passes);

    let lighter = verdict.remedies.lighter.unwrap();
    let with = |load| asked(|conditions| conditions.load = load);
    assert!(assess(rig, &outfit, &with(lighter)).unwrap().passes);
    let hair = Force::from_newtons(lighter.newtons() * 1.001).unwrap();
    assert!(!assess(rig, &outfit, &with(hair)).unwrap().passes);
}

#[test]
fn a_remedy_counts_what_the_knot_takes() {
    let rig = shipped_rig("four-to-one-pull-down").unwrap();
    let mut outfit = all_of(rig, 400.0);
    let mut rope = outfit.at("rope").unwrap().clone();
    rope.strengths
        .iter_mut()
        .for_each(|rating| rating.force = kilonewtons(2.0));
    outfit.fit("rope", rope);
    let verdict = assess(rig, &outfit, &asked(|_| {})).unwrap();
    let needed = |mode| {
        let mut remedies = verdict.remedies.stronger.iter();
        remedies.find(|remedy| remedy.mode == mode).unwrap().needed
    };
    let mut strong = outfit.clone();
    let mut rope = strong.at("rope").unwrap().clone();
    let most = needed(LoadingMode::Terminated)
        .newtons()
        .max(needed(LoadingMode::Straight).newtons());
    let most = Force::from_newtons(most).unwrap();
    rope.strengths
        .iter_mut()
        .for_each(|rating| rating.force = most);
    strong.fit("rope", rope);
    assert!(assess(rig, &strong, &asked(|_| {})).unwrap().passes);
}

#[test]
fn the_load_and_the_rating_of_the_weakest_move_the_factor_most() {
    let rig = shipped_rig("four-to-one-pull-down").unwrap();
    let swings = sensitivity(rig, &all_of(rig, 20.0), &asked(|_| {})).unwrap();
    let base = assess(rig, &all_of(rig, 20.0), &asked(|_| {})).unwrap();
    let factor = base.weakest.as_ref().unwrap().factor.ratio();
    let load = swings
        .iter()
        .find(|swing| swing.input == "The load")
        .unwrap();
    near(load.one.factor.unwrap().ratio(), factor / 0.9, 1e-9);
    near(load.other.factor.unwrap().ratio(), factor / 1.1, 1e-9);
    assert!(
        swings
            .windows(2)
            .all(|pair| pair[0].width() >= pair[1].width())
    );
    let pulleys = swings
        .iter()
        .filter(|swing| swing.input.starts_with("Efficiency"));
    assert_eq!(pulleys.count(), 2);
    let angles = shipped_rig("bridle-high-point").unwrap();
    let swings = sensitivity(angles, &all_of(angles, 20.0), &asked(|_| {})).unwrap();
    let angle = swings
        .iter()
        .find(|swing| swing.input.contains("angle"))
        .unwrap();
    assert!(angle.one.factor >= angle.other.factor);
}

#[test]
fn the_load_moves_as_much_slower_than_the_hands_as_the_rig_gains() {
    let verdict = judged("four-to-one-pull-down", 40.0, |conditions| {
        conditions.way.hand_speed = Some(Speed::from_metres_per_second(0.4).unwrap());
    });
    near(
        verdict.rope.load_speed.unwrap().metres_per_second(),
        0.1,
        1e-12,
    );
    near(verdict.rope.seconds.unwrap(), 150.0, 1e-9);
    assert!(
        judged("four-to-one-pull-down", 40.0, |_| {})
            .rope
            .seconds
            .is_none()
    );
}
