//! What an assessment says beside its numbers, and how it compares what is no breaking strength.

use ropeloft::rigging::{
    Assessment, Band, Catch, Conditions, Efficiency, Force, Friction, Length, LoadingMode, Outfit,
    Rig, SafetyFactor, StrengthKind, Turning, assess, shipped_rig,
};

use crate::{
    rigging_exceptional::{belay, judged},
    rigging_kit::{conditions, fitted, near},
};

fn kilonewtons(number: f64) -> Force {
    Force::from_kilonewtons(number).unwrap()
}

fn strong(rig: &Rig) -> Outfit {
    fitted(rig, |mode| {
        (mode, StrengthKind::Breaking, kilonewtons(40.0), "marking")
    })
}

fn four_to_one() -> (&'static Rig, Outfit) {
    let rig = shipped_rig("four-to-one-pull-down").unwrap();
    (rig, strong(rig))
}

/// The 4:1 with a rating of a kind in place of that at one position.
fn with_limit(position: &str, kind: StrengthKind, force: f64) -> Assessment {
    let (rig, mut outfit) = four_to_one();
    let mut item = outfit.at(position).unwrap().clone();
    for rating in &mut item.strengths {
        (rating.kind, rating.force) = (kind, kilonewtons(force));
    }
    outfit.fit(position, item);
    assess(rig, &outfit, &conditions()).unwrap()
}

#[test]
fn a_rated_load_is_the_load_for_a_device_on_a_rope_and_the_force_for_a_link() {
    // The load weighs 1.177 kN; the head's connector takes the hand's pull as well, 1.538 kN hauling.
    assert!(with_limit("head", StrengthKind::RatedLoad, 1.3).passes);
    assert!(!with_limit("head-connector", StrengthKind::RatedLoad, 1.3).passes);
    assert!(!with_limit("head", StrengthKind::WorkingLimit, 1.3).passes);
    assert!(with_limit("head-connector", StrengthKind::RatedLoad, 1.6).passes);
}

#[test]
fn what_fails_by_its_limit_is_listed_and_says_how_much_lighter_would_do() {
    let verdict = with_limit("head", StrengthKind::RatedLoad, 1.0);
    let failing: Vec<_> = verdict
        .failing()
        .map(|check| check.position.as_str())
        .collect();
    assert!(
        !failing.is_empty() && failing.iter().all(|key| *key == "head"),
        "{failing:?}"
    );
    near(
        verdict.worst_of("head").unwrap().room(),
        1.0 / 1.176_798,
        1e-6,
    );
    near(verdict.remedies.lighter.unwrap().kilonewtons(), 1.0, 1e-9);
    let needed = verdict.remedies.stronger[0].needed;
    near(needed.kilonewtons(), 1.176_798, 1e-6);
    assert_eq!(verdict.remedies.stronger[0].kind, StrengthKind::RatedLoad);
}

#[test]
fn a_rig_without_a_belay_has_no_catch_whatever_the_job_gives() {
    let (rig, outfit) = four_to_one();
    let mut asked = conditions();
    let metres = |number| Length::from_metres(number).unwrap();
    asked.exceptional.catch = Some(Catch {
        slack: metres(0.5),
        in_play: metres(5.0),
        modulus: kilonewtons(30.0),
        modulus_source: "the test".to_owned(),
        limit: None,
    });
    assert!(assess(rig, &outfit, &asked).unwrap().catch.is_none());
}

#[test]
fn a_rig_that_neither_gains_nor_loses_is_not_warned_of() {
    let rig = shipped_rig("one-to-one-redirect").unwrap();
    let mut outfit = strong(rig);
    let mut head = outfit.at("head").unwrap().clone();
    let all = Efficiency::from_share(1.0).unwrap();
    head.wheel.as_mut().unwrap().efficiency = Band::exactly(all);
    outfit.fit("head", head);
    let verdict = assess(rig, &outfit, &conditions()).unwrap();
    let of_gain = |verdict: &Assessment| {
        let warnings = verdict.warnings.iter();
        warnings
            .filter(|one| !one.contains("grips is not judged"))
            .count()
    };
    assert_eq!(of_gain(&verdict), 0, "{:?}", verdict.warnings);
    let lossy = assess(rig, &strong(rig), &conditions()).unwrap();
    assert_eq!(of_gain(&lossy), 1);
}

fn said(verdict: &Assessment, words: &str) -> usize {
    verdict
        .assumptions
        .iter()
        .filter(|line| line.contains(words))
        .count()
}

#[test]
fn only_what_turns_is_told_to_turn_and_only_a_capture_to_stand() {
    let (rig, mut outfit) = four_to_one();
    let one_way = outfit.at("head").unwrap().wheel.clone().unwrap();
    let mut connector = outfit.at("load-connector").unwrap().clone();
    connector.wheel = Some(one_way.clone());
    outfit.fit("load-connector", connector);
    let mut foot = outfit.at("foot").unwrap().clone();
    foot.wheel = Some(one_way);
    outfit.fit("foot", foot);
    let verdict = assess(rig, &outfit, &conditions()).unwrap();
    assert_eq!(said(&verdict, "Efficiency of the sheaves of"), 2);
    assert_eq!(said(&verdict, "its captured sheave stands still"), 1);
    assert_eq!(said(&verdict, "the rig has no capture there"), 1);

    for (position, told) in [("head", 1), ("foot", 0)] {
        let (rig, mut outfit) = four_to_one();
        let mut pulley = outfit.at(position).unwrap().clone();
        pulley.wheel.as_mut().unwrap().turning = Turning::Cam;
        outfit.fit(position, pulley);
        let verdict = assess(rig, &outfit, &conditions()).unwrap();
        assert_eq!(said(&verdict, "its cam is let go of"), told, "{position}");
    }
}

#[test]
fn a_range_of_friction_is_told_with_its_ends_and_a_number_alone() {
    let (rig, mut outfit) = four_to_one();
    let share = |number| Efficiency::from_share(number).unwrap();
    let mut foot = outfit.at("foot").unwrap().clone();
    let range = Band::new(share(0.85), share(0.92), share(0.95)).unwrap();
    foot.wheel.as_mut().unwrap().efficiency = range;
    outfit.fit("foot", foot);
    let verdict = assess(rig, &outfit, &conditions()).unwrap();
    assert_eq!(said(&verdict, "foot: 0.92 (from 0.85 to 0.95)"), 1);
    assert_eq!(said(&verdict, "head: 0.92 (common practice"), 1);
}

#[test]
fn a_band_shows_its_ends_only_where_they_look_different() {
    let band = |low, likely, high| {
        Band::new(kilonewtons(low), kilonewtons(likely), kilonewtons(high)).unwrap()
    };
    assert_eq!(band(1.0, 1.5, 2.0).to_string(), "1.5 kN (1 kN to 2 kN)");
    assert_eq!(band(2.0, 2.0, 2.0).to_string(), "2 kN");
    assert_eq!(band(2.0, 2.0 + 1e-9, 2.0 + 2e-9).to_string(), "2 kN");
    assert_eq!(kilonewtons(0.999_7).to_string(), "1 kN");
    assert_eq!(kilonewtons(0.999_4).to_string(), "0.999 kN");
}

#[test]
fn a_limit_is_told_in_the_unit_that_was_given() {
    let refused = Force::from_pounds_force(-1.0).unwrap_err().to_string();
    assert_eq!(refused, "force must be between 0 and 224809 lbf, not -1");
    let refused = Length::from_feet(1e9).unwrap_err().to_string();
    assert!(refused.contains("between 0 and 328084 ft"), "{refused}");
    let refused = Friction::from_coefficient(-0.1).unwrap_err().to_string();
    assert!(refused.starts_with("coefficient of friction"), "{refused}");
}

#[test]
fn modes_stand_once_for_each_way_of_loading() {
    let (rig, _) = four_to_one();
    assert_eq!(rig.modes("head"), [LoadingMode::Axle, LoadingMode::Becket]);
    assert_eq!(
        rig.modes("rope"),
        [LoadingMode::Straight, LoadingMode::Terminated]
    );
    assert!(rig.modes("none-such").is_empty());
}

#[test]
fn by_which_factor_a_catch_is_judged_is_said() {
    let told = |change: &dyn Fn(&mut Conditions)| {
        judged("tripod-with-belay", 40.0, change).warnings.join(" ")
    };
    let none = told(&|_| {});
    assert!(
        none.contains("nothing here says that the belay holds a fall"),
        "{none}"
    );
    let unset = told(&|conditions| conditions.exceptional.catch = Some(belay()));
    assert!(
        unset.contains("The catch is not judged: no factor for a catch is set"),
        "{unset}"
    );
    let ruled = told(&|conditions| {
        conditions.exceptional.catch = Some(belay());
        let mut required = conditions.required.clone();
        required.factor = SafetyFactor::from_ratio(3.0).unwrap();
        conditions.exceptional.in_a_catch = Some(required);
    });
    assert!(
        ruled.contains("A catch is held to the factor for a catch, 3.00 ("),
        "{ruled}"
    );
    let own = told(&|conditions| {
        conditions.exceptional.catch = Some(belay());
        conditions.exceptional.stuck_pull = Some(kilonewtons(1.0));
        let mut required = conditions.required.clone();
        required.factor = SafetyFactor::from_ratio(2.0).unwrap();
        conditions.exceptional.required = Some(required);
    });
    assert!(
        own.contains(
            "A stuck load and a catch are held to the plan's own factor, 2.00, not to the 10.00"
        ),
        "{own}"
    );
}
