//! The drawing of a rig: every strand in its line, every word in a place of its own, whoever wrote the rig.

use proptest::prelude::*;
use ropeloft::rigging::{
    Assessment, BodyKind, Catch, Conditions, Duty, Efficiency, Element, Force, Forces, Length,
    Phase, Rig, StrengthKind, assess, shipped, shipped_rig, solve,
};
use ropeloft::view::drawing::{Area, Back, Drawing, Fit, Mark, Point, Sight, draw};

use crate::drawing_sheet::{Made, made, sheet};
use crate::rigging_kit::{conditions, fitted, turning};

const FITS: [Fit; 3] = [Fit::Wide, Fit::Narrow, Fit::Small];
/// What a phone of 390 px leaves for a picture, in px.
const PHONE: f64 = 356.0;
/// The smallest letters that may be shown, in px.
const SMALLEST: f64 = 12.0;

fn kilonewtons(number: f64) -> Force {
    Force::from_kilonewtons(number).unwrap()
}

fn words(force: Force) -> String {
    format!("{:.3} kN", force.kilonewtons())
}

/// A rig judged in every phase that it has.
pub fn judged(rig: &Rig) -> Assessment {
    let outfit = fitted(rig, |mode| {
        (mode, StrengthKind::Breaking, kilonewtons(22.0), "the test")
    });
    let metres = |number| Length::from_metres(number).unwrap();
    let mut asked: Conditions = conditions();
    asked.way.between_anchors = Some(metres(4.0));
    asked.exceptional.stuck_pull = Some(kilonewtons(1.0)).filter(|_| !rig.only_lowers());
    asked.exceptional.catch = rig.catches().then(|| Catch {
        slack: metres(0.3),
        in_play: metres(6.0),
        modulus: kilonewtons(30.0),
        modulus_source: "the test".to_owned(),
        limit: None,
    });
    assess(rig, &outfit, &asked).unwrap()
}

pub fn drawn(rig: &Rig, forces: Option<&Forces>, judged: Option<&Assessment>, fit: Fit) -> Drawing {
    let sight = Sight {
        rig,
        forces,
        assessment: judged,
        words: &words,
    };
    draw(&sight, fit, "rig")
}

/// Every shipped rig in every phase, with the picture for each use.
fn shipped_drawings() -> Vec<(String, Fit, Drawing)> {
    let mut all = Vec::new();
    for rig in shipped() {
        let judged = judged(rig);
        assert!(judged.phases.len() > 1, "{}", rig.key());
        for forces in &judged.phases {
            for fit in FITS {
                let name = format!("{} {} {fit:?}", rig.key(), forces.phase.key());
                all.push((name, fit, drawn(rig, Some(forces), Some(&judged), fit)));
            }
        }
    }
    all
}

fn is_inside(drawing: &Drawing) -> bool {
    let marks = drawing.marks.iter().filter_map(Mark::area);
    let labels = drawing.labels.iter().map(|label| label.area);
    marks.chain(labels).all(|area| {
        let ends = [area.from.x, area.from.y, area.to.x, area.to.y];
        ends.iter().all(|end| end.is_finite()) && drawing.area.holds(area)
    })
}

/// The first two labels that share a place.
fn overlap(drawing: &Drawing) -> Option<String> {
    let labels = &drawing.labels;
    labels.iter().enumerate().find_map(|(index, one)| {
        let mut others = labels[index + 1..].iter();
        let other = others.find(|other| other.area.meets(one.area))?;
        Some(format!("{:?} and {:?}", one.lines, other.lines))
    })
}

/// Degrees from straight up to the right.
fn direction(from: Point, to: Point) -> f64 {
    (to.x - from.x).atan2(from.y - to.y).to_degrees()
}

fn apart(one: f64, other: f64) -> f64 {
    let turn = (one - other).rem_euclid(360.0);
    turn.min(360.0 - turn)
}

/// The first part of rope that is not drawn in its line, towards the hand.
fn askew(rig: &Rig, drawing: &Drawing) -> Option<String> {
    let ropes = rig.ropes().iter().enumerate();
    let parts =
        ropes.flat_map(|(rope, reeved)| (0..reeved.path().len() - 1).map(move |part| (rope, part)));
    parts
        .zip(&drawing.strands)
        .find_map(|((rope, part), &(near, far))| {
            let wanted = rig.line_of(rope, part).unwrap().degrees();
            let is_long = near.far(far) > 5.0;
            let good = is_long && apart(direction(far, near), wanted) < 0.01;
            (!good)
                .then(|| format!("rope {rope}, part {part}: {near:?} to {far:?}, wanted {wanted}"))
        })
}

/// The first two upright strands that run into each other.
fn on_each_other(drawing: &Drawing) -> Option<String> {
    let upright = drawing.strands.iter().enumerate();
    let upright: Vec<(usize, Area)> = upright
        .filter(|(_, (near, far))| (near.x - far.x).abs() < 1e-6)
        .map(|(index, (near, far))| (index, Area::across(*near, *far)))
        .collect();
    upright.iter().enumerate().find_map(|(at, (index, one))| {
        let mut others = upright[at + 1..].iter();
        let (other, _) = others.find(|(_, other)| {
            let beside = (one.from.x - other.from.x).abs() < 8.0;
            beside && one.from.y < other.to.y - 1.0 && other.from.y < one.to.y - 1.0
        })?;
        Some(format!("strands {index} and {other}"))
    })
}

#[test]
fn no_words_share_a_place_and_nothing_is_cut_off() {
    for (name, fit, drawing) in shipped_drawings() {
        assert_eq!(overlap(&drawing), None, "{name}");
        assert!(is_inside(&drawing), "{name}");
        assert_eq!(drawing.labels.is_empty(), fit == Fit::Small, "{name}");
    }
}

#[test]
fn words_are_large_enough_on_a_phone() {
    for (name, fit, drawing) in shipped_drawings() {
        if fit == Fit::Narrow {
            let scale = (PHONE / drawing.area.wide()).max(0.0);
            let letters = drawing.labels.iter().map(|label| label.text * scale);
            let least = letters.fold(f64::INFINITY, f64::min);
            assert!(least >= SMALLEST, "{name}: {least}");
        }
    }
}

#[test]
fn every_strand_runs_in_its_line_and_beside_the_others() {
    for rig in shipped() {
        for fit in FITS {
            let drawing = drawn(rig, None, None, fit);
            assert_eq!(askew(rig, &drawing), None, "{}", rig.key());
            assert_eq!(on_each_other(&drawing), None, "{}", rig.key());
        }
    }
}

#[test]
fn legs_stand_at_their_true_angle() {
    for rig in shipped() {
        let drawing = drawn(rig, None, None, Fit::Wide);
        let legs = rig.bridles().iter().flat_map(|bridle| bridle.legs());
        let offs: Vec<f64> = legs.map(|leg| leg.off().degrees()).collect();
        for (at, (off, &(from, to))) in offs.iter().zip(&drawing.legs).enumerate() {
            let side = if at % 2 == 0 { -1.0 } else { 1.0 };
            assert!(
                apart(direction(from, to), side * off) < 0.01,
                "{}",
                rig.key()
            );
        }
        for (tripod, &(head, foot)) in rig.tripods().iter().zip(&drawing.legs[offs.len()..]) {
            let wanted = 180.0 + tripod.off().degrees();
            assert!(apart(direction(head, foot), wanted) < 0.01, "{}", rig.key());
        }
    }
}

#[test]
fn the_hand_strand_of_a_set_pulled_down_hangs_outside_and_that_of_one_pulled_up_rises() {
    let hand = |key: &str| {
        let drawing = drawn(shipped_rig(key).unwrap(), None, None, Fit::Wide);
        let outside = drawing.strands[1..]
            .iter()
            .all(|(near, _)| near.x > drawing.strands[0].0.x);
        let (near, far) = drawing.strands[0];
        (outside, near.y > far.y)
    };
    assert_eq!(hand("four-to-one-pull-down"), (true, true));
    assert_eq!(hand("three-to-one-redirect"), (true, true));
    assert_eq!(hand("four-to-one-from-load"), (true, false));
    assert_eq!(hand("nine-to-one"), (true, false));
}

#[test]
fn the_rope_goes_from_sheave_to_sheave_in_the_order_of_its_path() {
    let drawing = drawn(shipped_rig("five-to-one").unwrap(), None, None, Fit::Wide);
    let columns: Vec<f64> = drawing.strands.iter().map(|(near, _)| near.x).collect();
    assert_eq!(columns.len(), 5);
    let paces: Vec<f64> = columns.windows(2).map(|pair| pair[1] - pair[0]).collect();
    assert!(
        paces
            .iter()
            .all(|pace| (pace - paces[0]).abs() < 1e-9 && *pace > 0.0)
    );
}

fn count(drawing: &Drawing, class: &str) -> usize {
    let classes = drawing.marks.iter().filter(|mark| match mark {
        Mark::Path { class: own, .. } | Mark::Circle { class: own, .. } => {
            own.split(' ').any(|word| word == class)
        }
    });
    classes.count()
}

fn in_phase(key: &str, phase: Phase) -> Drawing {
    let rig = shipped_rig(key).unwrap();
    let judged = judged(rig);
    drawn(rig, judged.forces(phase), Some(&judged), Fit::Wide)
}

#[test]
fn a_slack_strand_is_dashed_and_says_so() {
    let hauling = in_phase("four-to-one-pull-down", Phase::Hauling);
    let held = in_phase("four-to-one-pull-down", Phase::Held);
    let says = |drawing: &Drawing| {
        let lines = drawing.labels.iter().flat_map(|label| &label.lines);
        lines.filter(|(words, _)| words == "slack").count()
    };
    assert_eq!((count(&hauling, "d-slack"), says(&hauling)), (0, 0));
    assert_eq!((count(&held, "d-slack"), says(&held)), (1, 1));
}

#[test]
fn arrows_stand_on_strands_that_run_and_turn_with_the_phase() {
    // Of the five strands of a 4:1 pulled down, the last is tied to the anchor and stands still.
    let hauling = in_phase("four-to-one-pull-down", Phase::Hauling);
    let lowering = in_phase("four-to-one-pull-down", Phase::Lowering);
    assert_eq!(count(&hauling, "d-arrow"), 4);
    assert_eq!(count(&lowering, "d-arrow"), 4);
    assert_eq!(
        count(&in_phase("four-to-one-pull-down", Phase::Held), "d-arrow"),
        0
    );
    assert_eq!(
        count(&in_phase("four-to-one-pull-down", Phase::AtRest), "d-arrow"),
        0
    );
    assert_ne!(hauling.marks, lowering.marks);
    for rig in shipped() {
        let (judged, motion) = (judged(rig), rig.motion().unwrap());
        let ropes = rig.ropes().iter().enumerate();
        let parts = ropes
            .flat_map(|(rope, reeved)| (0..reeved.path().len() - 1).map(move |part| (rope, part)));
        let running = parts.filter(|&(rope, part)| motion.of(rope, part).unwrap().abs() > 1e-9);
        let running = running.count();
        for fit in [Fit::Wide, Fit::Narrow] {
            let forces = judged.forces(Phase::Lowering);
            let drawing = drawn(rig, forces, Some(&judged), fit);
            assert_eq!(count(&drawing, "d-arrow"), running, "{} {fit:?}", rig.key());
        }
    }
    // The dead end of a 5:1 goes up with the load.
    assert_eq!(
        count(&in_phase("five-to-one", Phase::Hauling), "d-arrow"),
        5
    );
}

#[test]
fn the_hand_goes_as_many_times_as_fast_as_the_load_as_its_pull_goes_into_it() {
    // The principle of virtual work, against the solver of forces.
    for rig in shipped() {
        let motion = rig.motion().unwrap();
        let ideal = rig.ideal_advantage().unwrap().ratio();
        let ropes = rig.ropes().iter().enumerate();
        let pulled = ropes.filter(|(_, rope)| {
            rope.duty() != Duty::Belay && matches!(rope.path()[0], Element::Hand)
        });
        let speeds: Vec<f64> = pulled.filter_map(|(rope, _)| motion.of(rope, 0)).collect();
        assert!(!speeds.is_empty(), "{}", rig.key());
        for speed in speeds {
            assert!(
                (speed - ideal).abs() < 1e-9,
                "{}: {speed} for {ideal}",
                rig.key()
            );
        }
    }
}

#[test]
fn the_weakest_link_is_ringed_and_named_in_its_phase_alone() {
    for rig in shipped() {
        let judged = judged(rig);
        let weakest = judged.weakest.as_ref().unwrap();
        for forces in &judged.phases {
            for fit in [Fit::Wide, Fit::Narrow] {
                let drawing = drawn(rig, Some(forces), Some(&judged), fit);
                let named = drawing.labels.iter().filter(|label| {
                    label.back == Back::Frame && label.lines[0].0 == "Weakest link"
                });
                let is_here = forces.phase == weakest.phase;
                assert_eq!(count(&drawing, "d-weak"), if is_here { 2 } else { 0 });
                assert_eq!(named.count(), usize::from(is_here), "{}", rig.key());
                assert!(drawing.desc.contains(&weakest.title));
            }
        }
    }
}

#[test]
fn ropes_differ_by_more_than_their_place() {
    for key in [
        "six-to-one",
        "nine-to-one",
        "tripod-with-belay",
        "twin-tension-lower",
    ] {
        let drawing = drawn(shipped_rig(key).unwrap(), None, None, Fit::Wide);
        // One rope has a core of another pattern, the other has none.
        assert_eq!(count(&drawing, "d-core"), 1, "{key}");
    }
}

#[test]
fn typed_text_stays_text() {
    let mut sheet = sheet(&Made {
        stages: vec![1],
        turned: None,
        held: crate::drawing_sheet::Held::Bare,
        belay: None,
        linked: false,
        title: "</title><script>alert(1)</script>&\"'".to_owned(),
    });
    sheet = sheet.replace("title = \"A rig\"", "title = \"<b>\"");
    let rig = Rig::parse(&sheet).unwrap();
    assert!(
        rig.bodies()
            .iter()
            .any(|body| body.kind() == BodyKind::Load)
    );
    for fit in FITS {
        let svg = drawn(&rig, None, None, fit).to_string();
        assert!(!svg.contains("<script") && !svg.contains("<b>"), "{svg}");
        assert!(svg.contains("role=\"img\"") && svg.contains("<title id="));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn any_rig_that_can_be_rigged_is_drawn(made in made()) {
        let Ok(rig) = Rig::parse(&sheet(&made)) else {
            return Ok(());
        };
        let outfit = turning(&rig, Efficiency::from_share(0.9).unwrap());
        for phase in [Phase::Frictionless, Phase::Held, Phase::BelayCatch] {
            let forces = solve(&rig, &outfit, kilonewtons(1.0), phase).ok();
            for fit in FITS {
                let drawing = drawn(&rig, forces.as_ref(), None, fit);
                prop_assert_eq!(overlap(&drawing), None, "{:?}", fit);
                prop_assert!(is_inside(&drawing), "{:?}", fit);
                prop_assert_eq!(askew(&rig, &drawing), None, "{:?}", fit);
                prop_assert_eq!(on_each_other(&drawing), None, "{:?}", fit);
                prop_assert!(drawing.to_string().ends_with("</svg>"));
            }
        }
    }
}
