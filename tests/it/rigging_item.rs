//! An item at its place: what its record says counts there, once, and no more than that.

use ropeloft::rigging::{
    Assessment, Band, Efficiency, Fitted, Force, Friction, LoadingMode, Outfit, Phase, Rig,
    RigError, StrengthKind, Turning, assess, shipped_rig, solve,
};

use crate::rigging_kit::{conditions, fitted, near, tackle, turning};

fn kilonewtons(number: f64) -> Force {
    Force::from_kilonewtons(number).unwrap()
}

/// The verdict on a 2:1 whose rope is this and all else is strong.
fn with_rope(rope: Fitted) -> Assessment {
    let rig = shipped_rig("two-to-one").unwrap();
    let mut outfit = fitted(rig, |mode| {
        (mode, StrengthKind::Breaking, kilonewtons(100.0), "the test")
    });
    outfit.fit("rope", rope);
    assess(rig, &outfit, &conditions()).unwrap()
}

/// The kinds of strength that the rope is judged by while hauling, where it is made off.
fn judged(verdict: &Assessment, mode: LoadingMode) -> Vec<(StrengthKind, Force)> {
    let checks = verdict.checks.iter().filter(|check| {
        check.position == "rope" && check.phase == Phase::Hauling && check.mode == mode
    });
    checks
        .map(|check| (check.strength.rating.kind, check.strength.rating.force))
        .collect()
}

#[test]
fn every_kind_of_strength_is_judged_once_by_its_lowest_rating() {
    let rope = |kinds: &[(StrengthKind, f64)]| {
        let rated = kinds
            .iter()
            .fold(Fitted::new("rope"), |rope, (kind, force)| {
                rope.rated(
                    LoadingMode::Straight,
                    *kind,
                    kilonewtons(*force),
                    "the test",
                )
            });
        judged(&with_rope(rated), LoadingMode::Straight)
    };
    let (breaking, limit) = (StrengthKind::Breaking, StrengthKind::WorkingLimit);
    assert_eq!(rope(&[(breaking, 30.0)]), [(breaking, kilonewtons(30.0))]);
    assert_eq!(
        rope(&[
            (breaking, 30.0),
            (limit, 3.0),
            (breaking, 28.0),
            (limit, 4.0)
        ]),
        [(breaking, kilonewtons(28.0)), (limit, kilonewtons(3.0))]
    );
}

#[test]
fn a_rating_with_made_ends_answers_for_the_rope_between_them_and_the_other_way_round() {
    let rope = |mode| {
        Fitted::new("rope").rated(mode, StrengthKind::Breaking, kilonewtons(30.0), "the test")
    };
    for given in [LoadingMode::Terminated, LoadingMode::Straight] {
        let verdict = with_rope(rope(given));
        for asked in [LoadingMode::Terminated, LoadingMode::Straight] {
            let found = judged(&verdict, asked);
            assert_eq!(
                found,
                [(StrengthKind::Breaking, kilonewtons(30.0))],
                "{given:?} {asked:?}"
            );
        }
    }
}

#[test]
fn a_sheave_that_turns_one_way_stands_still_only_where_it_captures() {
    // The foot of the tackle captures nothing: its pulley turns freely both ways, whatever its cam.
    let rig = Rig::parse(&tackle(2, true)).unwrap();
    let turns = turning(&rig, Efficiency::from_share(0.9).unwrap());
    let mut one_way = turns.clone();
    for key in ["head", "foot"] {
        let mut item = turns.at(key).unwrap().clone();
        item.wheel.as_mut().unwrap().turning = Turning::OneWay {
            friction: Band::exactly(Friction::from_coefficient(0.3).unwrap()),
            source: "the test".to_owned(),
        };
        one_way.fit(key, item);
    }
    let hand = |outfit: &Outfit| {
        let forces = solve(&rig, outfit, kilonewtons(1.0), Phase::Lowering).unwrap();
        forces.hand.unwrap().likely().newtons()
    };
    assert!(!rig.has_capture());
    near(hand(&one_way), hand(&turns), 1e-9);
}

#[test]
fn a_sheave_that_stands_and_grips_too_hard_is_refused_by_itself() {
    let plain = shipped_rig("one-to-one-redirect").unwrap();
    let key = plain
        .positions()
        .iter()
        .find(|place| place.sheaves() > 0)
        .unwrap()
        .key()
        .to_owned();
    let mut sheet = plain.sheet();
    for element in &mut sheet.ropes[0].path {
        let mut value = serde_json::to_value(&*element).unwrap();
        if value["meets"] == "sheave" {
            value["capture"] = true.into();
            *element = serde_json::from_value(value).unwrap();
        }
    }
    let rig = Rig::from_sheet(sheet).unwrap();
    let grips = |share: f64, mu: f64| {
        let mut outfit = turning(&rig, Efficiency::from_share(share).unwrap());
        let mut item = outfit.at(&key).unwrap().clone();
        item.wheel.as_mut().unwrap().turning = Turning::OneWay {
            friction: Band::exactly(Friction::from_coefficient(mu).unwrap()),
            source: "the test".to_owned(),
        };
        outfit.fit(&key, item);
        solve(&rig, &outfit, kilonewtons(1.0), Phase::Lowering)
    };
    assert!(grips(0.9, 0.3).is_ok());
    // A wheel that lets next to nothing through, and a sheave that rubs as it should: refused for hauling.
    let refused = grips(1e-11, 0.3).unwrap_err();
    assert_eq!(
        refused,
        RigError::Jammed {
            position: key.clone()
        }
    );
}
