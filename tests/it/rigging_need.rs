//! Rope, people and strokes, and verdicts over ranges of friction.

use ropeloft::rigging::{
    Band, Efficiency, Force, Friction, Gap, Judged, Length, LoadingMode, Phase, SpanAsked,
    StrengthKind, Turning, Way, assess, people, rope_need, shipped, shipped_rig, spans_asked,
};

use crate::rigging_kit::{conditions, fitted, near};

fn way() -> Way {
    conditions().way
}

fn kilonewtons(number: f64) -> Force {
    Force::from_kilonewtons(number).unwrap()
}

#[test]
fn people_are_rounded_up_but_not_for_a_rounding() {
    for (hand, each, wanted) in [
        (0.5, 0.25, 2),
        (0.500_1, 0.25, 3),
        (0.3, 0.1, 3),
        (0.0, 0.25, 0),
    ] {
        assert_eq!(
            people(kilonewtons(hand), kilonewtons(each)),
            wanted,
            "{hand} by {each}"
        );
    }
    assert_eq!(people(kilonewtons(1.0), kilonewtons(0.0)), u32::MAX);
}

#[test]
fn a_travelling_pulley_needs_its_throw_to_be_given() {
    let rig = shipped_rig("three-to-one").unwrap();
    for throw in [None, Some(Length::from_metres(0.0).unwrap())] {
        let gaps = rope_need(rig, &Way { throw, ..way() }).unwrap_err();
        assert!(
            matches!(&gaps[..], [Gap::NotGiven { field: "throw", .. }]),
            "{gaps:?}"
        );
    }
    let tackle = shipped_rig("four-to-one-pull-down").unwrap();
    let need = rope_need(
        tackle,
        &Way {
            throw: None,
            ..way()
        },
    )
    .unwrap();
    assert_eq!(
        (need.strokes, need.resets),
        (None, None),
        "a tackle has no strokes"
    );
}

#[test]
fn blocks_longer_than_the_way_are_refused() {
    let rig = shipped_rig("four-to-one-pull-down").unwrap();
    let metres = |number| Length::from_metres(number).unwrap();
    let with = |block_length| {
        rope_need(
            rig,
            &Way {
                depth: metres(1.0),
                head_gap: metres(1.0),
                block_length,
                ..way()
            },
        )
    };
    assert!(with(metres(1.9)).is_ok());
    for blocks in [2.0, 2.1] {
        let gaps = with(metres(blocks)).unwrap_err();
        assert!(
            matches!(&gaps[..], [Gap::NotGiven { field: "depth", .. }]),
            "{gaps:?}"
        );
    }
}

#[test]
fn rope_on_the_main_line_is_one_strand_and_the_way_of_the_pulleys() {
    let metres = |number| Length::from_metres(number).unwrap();
    let way = Way {
        throw: Some(metres(2.0)),
        ..way()
    };
    // Depth 15 + gap 2.1 - blocks 0.6 = 16.5; knots 1, tail 3. A rope that only ends at the load runs down to it: 17.1.
    let lengths = |key| {
        let need = rope_need(shipped_rig(key).unwrap(), &way).unwrap();
        let ropes = need.ropes.into_iter();
        ropes.map(|rope| rope.length.metres()).collect::<Vec<_>>()
    };
    near(lengths("three-to-one")[0], 17.1 + 2.0 * 2.0 + 4.0, 1e-9);
    near(lengths("five-to-one")[0], 5.0 * 16.5 + 4.0, 1e-9);
    // The outer grab goes three metres for each metre of the inner one.
    let compound = lengths("nine-to-one");
    near(compound[0], 3.0 * 6.0 + 4.0, 1e-9);
    near(compound[1], 17.1 + 2.0 + 6.0 + 1.0, 1e-9);
}

#[test]
fn a_rig_asks_for_just_the_lengths_that_its_ropes_cannot_be_measured_without() {
    for rig in shipped() {
        let asked: Vec<_> = spans_asked(rig)
            .into_iter()
            .map(|span| match span {
                SpanAsked::Throw { .. } => "throw",
                SpanAsked::Anchors { .. } => "between_anchors",
            })
            .collect();
        let bare = Way {
            throw: None,
            between_anchors: None,
            ..way()
        };
        let gaps = rope_need(rig, &bare).err().unwrap_or_default();
        let missing: Vec<_> = gaps
            .iter()
            .map(|gap| match gap {
                Gap::NotGiven { field, .. } => *field,
                other => panic!("{}: {other}", rig.key()),
            })
            .collect();
        assert_eq!(asked, missing, "{}", rig.key());
    }
}

#[test]
fn a_crew_that_pulls_nothing_is_asked_for() {
    let rig = shipped_rig("two-to-one").unwrap();
    let outfit = fitted(rig, |mode| {
        (mode, StrengthKind::Breaking, kilonewtons(30.0), "marking")
    });
    let mut conditions = conditions();
    conditions.pull_each = kilonewtons(0.0);
    conditions.load = kilonewtons(0.0);
    let gaps = assess(rig, &outfit, &conditions).unwrap_err();
    let fields: Vec<_> = gaps
        .iter()
        .map(|gap| match gap {
            Gap::NotGiven { field, .. } => *field,
            other => panic!("{other}"),
        })
        .collect();
    assert_eq!(fields, ["load", "pull_each"]);
}

#[test]
fn the_verdict_rests_on_the_worst_of_every_range() {
    let rig = shipped_rig("four-to-one-pull-down").unwrap();
    let rating = |mode| (mode, StrengthKind::Breaking, kilonewtons(15.0), "marking");
    let share = |number| Efficiency::from_share(number).unwrap();
    let with = |efficiency: Band<Efficiency>| {
        let mut outfit = fitted(rig, rating);
        for key in ["head", "foot"] {
            let mut pulley = outfit.at(key).unwrap().clone();
            pulley.wheel.as_mut().unwrap().efficiency = efficiency;
            outfit.fit(key, pulley);
        }
        assess(rig, &outfit, &conditions()).unwrap()
    };
    let ranged = with(Band::new(share(0.7), share(0.92), share(0.95)).unwrap());
    let poorest = with(Band::exactly(share(0.7)));
    let likely = with(Band::exactly(share(0.92)));
    let of =
        |verdict: &ropeloft::rigging::Assessment| verdict.weakest.clone().unwrap().factor.ratio();
    // The anchor is worst where every sheave is poorest.
    near(of(&ranged), of(&poorest), 1e-9);
    assert!(of(&ranged) < of(&likely));
    let hopeless = with(Band::new(share(0.4), share(0.92), share(0.95)).unwrap());
    assert_eq!(
        (hopeless.warnings.len(), ranged.warnings.len()),
        (2, 1),
        "it can be worse than by hand, and what the capture grips is not on record"
    );
    assert_eq!(ranged.haulers, poorest.haulers);
    assert!(ranged.haulers > likely.haulers);
    let anchor = ranged.worst_of("anchor").unwrap();
    let Judged::Factor {
        likely: Some(shown),
        ..
    } = anchor.judged
    else {
        panic!("{anchor:?}");
    };
    near(shown.ratio(), of(&likely), 1e-9);
}

#[test]
fn the_worst_check_of_a_position_is_the_nearest_to_its_limit() {
    let rig = shipped_rig("four-to-one-from-load").unwrap();
    let outfit = fitted(rig, |mode| {
        (mode, StrengthKind::Breaking, kilonewtons(15.0), "marking")
    });
    let verdict = assess(rig, &outfit, &conditions()).unwrap();
    // Held by the capture the load hangs on two strands: the dead end carries half of it, not a quarter.
    let rope = verdict.worst_of("rope").unwrap();
    assert_eq!(rope.mode, LoadingMode::Terminated);
    assert!(matches!(rope.phase, Phase::Held), "{:?}", rope.phase);
    assert!(rope.force.high() > verdict.forces(Phase::AtRest).unwrap().hand.unwrap().high());
}

#[test]
fn what_is_assumed_stands_beside_the_answer() {
    let rig = shipped_rig("four-to-one-pull-down").unwrap();
    let mut outfit = fitted(rig, |mode| {
        (mode, StrengthKind::Breaking, kilonewtons(15.0), "marking")
    });
    let mut head = outfit.at("head").unwrap().clone();
    let mu = |number| Friction::from_coefficient(number).unwrap();
    head.wheel.as_mut().unwrap().turning = Turning::OneWay {
        friction: Band::new(mu(0.1), mu(0.2), mu(0.3)).unwrap(),
        source: "worked examples in print".to_owned(),
    };
    outfit.fit("head", head);
    let verdict = assess(rig, &outfit, &conditions()).unwrap();
    let says = |piece: &str| {
        verdict
            .assumptions
            .iter()
            .any(|sentence| sentence.contains(piece))
    };
    assert!(says(
        "stands still and the rope rubs on it with a coefficient of 0.2 (from 0.1 to 0.3) (worked examples in print)"
    ));
    assert!(says(
        "Efficiency of the sheaves of the item at foot: 0.92 (common practice, no source)"
    ));
    assert!(says("Nothing is fitted at Harness or litter"));
    assert!(says("10.00 by the team's rule"));
    assert!(says("The gear stays dry."));
}
