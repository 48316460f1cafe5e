//! By what a catch is judged, and what is left open where there is nothing to judge it by.

use ropeloft::domain::rulebook::{Rulebook, rulebook, shipped};
use ropeloft::domain::{Job, Units, kit_strength::KitVerdict};
use ropeloft::rigging::{
    Conditions, Length, LoadingMode, Phase, SafetyFactor, assess, shipped_rig,
};

use crate::{
    fitness_case::verdict,
    rigging_exceptional::{all_of, asked, belay, judged},
    rigging_kit::{factor_of, near},
    rulebook_own::sheet,
    strength_of_kit_coverage::{belayed, caught},
};

fn with_catch(conditions: &mut Conditions) {
    conditions.exceptional.catch = Some(belay());
}

#[test]
fn the_factor_of_slow_movement_judges_no_catch() {
    // All of 40 kN against a peak of up to 4.41 kN: nine times, less what knots take. By the usual factor of 10 it would
    // fail, and that factor is not made for it.
    let verdict = judged("tripod-with-belay", 40.0, with_catch);
    assert!(verdict.passes);
    assert_eq!(
        verdict.open.as_deref(),
        Some("a fall into the belay is not judged")
    );
    assert!(
        verdict
            .checks
            .iter()
            .all(|check| check.phase != Phase::BelayCatch)
    );
    let device = verdict
        .unjudged
        .iter()
        .find(|one| one.position == "belay-device")
        .unwrap();
    let force = &device.caught.as_ref().unwrap().force;
    let peak = verdict.catch.as_ref().unwrap().peak.high();
    assert!((force.high().newtons() - peak.newtons()).abs() < 1e-6);
    assert!((device.times().unwrap() - 40.0 / force.high().kilonewtons()).abs() < 1e-9);
    assert!(verdict.remedies.stronger.is_empty());
}

#[test]
fn a_factor_for_a_catch_judges_it_and_the_plan_goes_before_the_rulebook() {
    let ruled = |factor: f64, own: Option<f64>| {
        judged("tripod-with-belay", 40.0, |conditions| {
            with_catch(conditions);
            conditions.exceptional.in_a_catch = Some(factor_of(factor));
            conditions.exceptional.required = own.map(factor_of);
        })
    };
    let passes = ruled(2.0, None);
    assert!(passes.passes && passes.open.is_none() && passes.unjudged.is_empty());
    assert!(
        passes
            .checks
            .iter()
            .any(|check| check.phase == Phase::BelayCatch)
    );
    assert!(!ruled(20.0, None).passes);
    assert!(ruled(20.0, Some(2.0)).passes);
    assert!(!ruled(2.0, Some(20.0)).passes);
}

#[test]
fn a_belay_that_holds_the_load_at_rest_is_held_to_the_usual_factor() {
    let rig = shipped_rig("tripod-with-belay").unwrap();
    let with_pulley = |strength: f64| {
        let mut outfit = all_of(rig, 90.0);
        let weak = all_of(rig, strength);
        outfit.fit("belay-pulley", weak.at("belay-pulley").unwrap().clone());
        assess(rig, &outfit, &asked(|_| {})).unwrap()
    };
    let verdict = with_pulley(23.4);
    assert!(verdict.passes, "{:?}", verdict.weakest);
    let rest = verdict.forces(Phase::OnBelay).unwrap();
    assert!(rest.parts.iter().all(|part| part.rope == "belay-rope"));
    let end = rest.on("belay-rope", LoadingMode::Terminated).unwrap();
    near(end.high().kilonewtons(), 1.176_798, 1e-6);
    // A sheave that turns the rope by 165 degrees and rubs off nothing carries 2 W sin(165/2).
    let pulley = rest.positions.iter();
    let mut pulley = pulley.filter(|one| one.position == "belay-pulley");
    near(
        pulley.next().unwrap().force.high().kilonewtons(),
        2.333_460,
        1e-6,
    );
    // Ten times that is 23.33 kN: less fails at rest, though nobody plans a catch.
    let weak = with_pulley(23.3);
    let failing: Vec<_> = weak
        .failing()
        .map(|one| (one.position.as_str(), one.phase))
        .collect();
    assert_eq!(failing, [("belay-pulley", Phase::OnBelay)]);
    // It is named, though of a catch that holds a smaller factor is enough.
    let mut outfit = all_of(rig, 90.0);
    let pulley = all_of(rig, 23.3).at("belay-pulley").unwrap().clone();
    outfit.fit("belay-pulley", pulley);
    let caught = asked(|conditions| {
        with_catch(conditions);
        conditions.exceptional.in_a_catch = Some(factor_of(2.0));
    });
    let caught = assess(rig, &outfit, &caught).unwrap();
    let least = caught.checks.iter().filter_map(|check| check.factor());
    let least = least.map(SafetyFactor::ratio).fold(f64::INFINITY, f64::min);
    let weakest = caught.weakest.unwrap();
    assert_eq!(
        (weakest.position.as_str(), weakest.phase),
        ("belay-pulley", Phase::OnBelay)
    );
    assert!(weakest.factor.ratio() > least, "{least}");
    // Without a rope that stands by there is no such phase: of two that share the load each carries it all at rest.
    for without in ["two-to-one", "twin-tension-lower"] {
        assert!(
            judged(without, 90.0, |_| {})
                .forces(Phase::OnBelay)
                .is_none()
        );
    }
}

#[test]
fn a_belay_that_leaves_too_far_aside_is_not_judged_at_all() {
    let rig = shipped_rig("tripod-with-belay").unwrap();
    let aside = |metres: f64| {
        let conditions = asked(|conditions| {
            conditions.way.between_anchors = Some(Length::from_metres(metres).unwrap());
        });
        rig.belay_leaves_aside(&conditions.way)
    };
    // With the head 2.1 m up, 15 degrees are 2.1 / cos 15 = 2.174 m; what does not reach the ground is none that is known.
    assert_eq!([2.17, 2.2, 4.5, 2.0].map(aside), [false, true, true, true]);
    let verdict = judged("tripod-with-belay", 90.0, |conditions| {
        conditions.exceptional.belay_aside = true;
    });
    assert!(verdict.forces(Phase::OnBelay).is_none());
    assert_eq!(verdict.open.as_deref(), Some("the belay is not judged"));
    let mut told = verdict.warnings.iter();
    assert!(told.any(|said| said.contains("further aside than the rig counts with")));
}

#[test]
fn what_breaks_at_the_peak_fails_whatever_factor_is_set() {
    let at = |strength: f64| {
        judged("tripod-with-belay", strength, |conditions| {
            with_catch(conditions);
            conditions.required = factor_of(1.0);
        })
    };
    // The peak is up to 1.3 (W + sqrt(W² + 2 M f W)) = 4.41 kN, by the formula of the spring model.
    let weak = at(4.0);
    assert!(!weak.passes);
    assert!(weak.failing().all(|check| check.phase == Phase::BelayCatch));
    assert_eq!(
        weak.failing()
            .next()
            .unwrap()
            .factor()
            .map(SafetyFactor::ratio)
            .map(|ratio| ratio < 1.0),
        Some(true)
    );
    assert!(at(40.0).passes);
}

#[test]
fn a_catch_that_nobody_plans_leaves_its_positions_open() {
    let verdict = judged("tripod-with-belay", 90.0, |_| {});
    let open: Vec<&str> = verdict
        .unjudged
        .iter()
        .map(|one| one.position.as_str())
        .collect();
    assert!(
        open.contains(&"belay-rope") && open.contains(&"belay-device"),
        "{open:?}"
    );
    assert!(verdict.unjudged.iter().all(|one| one.caught.is_none()));
    // That it holds the load at rest is judged, and says nothing of a fall.
    let mut planned = verdict.checks.iter();
    let planned = planned
        .by_ref()
        .filter(|check| check.phase != Phase::OnBelay);
    let planned: Vec<&str> = planned.map(|check| check.position.as_str()).collect();
    let judged_too = |key: &&str| planned.contains(key);
    assert!(!open.iter().any(judged_too), "{open:?}");
    assert_eq!(
        verdict.open.as_deref(),
        Some("a fall into the belay is not judged")
    );
    assert!(judged("two-to-one", 90.0, |_| {}).open.is_none());
    let twin = judged("twin-tension-lower", 90.0, |_| {});
    assert!(
        twin.open
            .unwrap()
            .contains("one rope catches the load alone")
    );
}

fn without_a_factor() -> (Job, KitVerdict) {
    let mut job = caught();
    job.setup.exceptional_factor = None;
    let verdict = verdict(&job, &belayed());
    (job, verdict)
}

#[test]
fn the_first_sentence_says_that_the_belay_is_not_judged() {
    let (mut job, open) = without_a_factor();
    let first = "Rig strong enough; a fall into the belay is not judged: of the rest, the weakest link is the ";
    assert!(open.sentence.starts_with(first), "{}", open.sentence);
    let refused = open.beside_refused();
    assert!(
        refused
            .starts_with("By its numbers alone the rig is strong enough, but that does not count while an item may not go; a fall into the belay is not judged: "),
        "{refused}"
    );
    (job.setup.catch_slack, job.setup.catch_rope) = (None, None);
    let silent = verdict(&job, &belayed());
    assert!(silent.sentence.starts_with(first), "{}", silent.sentence);
    let whole = verdict(&caught(), &belayed());
    assert!(
        whole.sentence.starts_with("Strong enough: "),
        "{}",
        whole.sentence
    );
}

#[test]
fn the_sentences_follow_the_units() {
    let metric = verdict(&caught(), &belayed());
    let us = metric.told_in(Units::Us);
    assert!(
        us.catch.as_ref().unwrap().contains(" lbf"),
        "{:?}",
        us.catch
    );
    assert!(!us.besides().contains(" kN"), "{}", us.besides());
    assert_eq!(metric.told_in(Units::Metric), metric);
}

#[test]
fn no_shipped_rulebook_has_a_factor_for_a_catch_and_a_team_may() {
    for book in shipped() {
        assert!(book.catch().is_none(), "{}", book.title());
    }
    let own = |value: &str| {
        sheet(&format!(
            "[catch]\nvalue = {value}\nreason = \"our engineer's\"\nfrom = {{ source = \"our drop tests of 2026\", known = \"setting\" }}\n"
        ))
    };
    let book = Rulebook::parse_own(&own("2.5")).unwrap();
    let factor = book.catch().unwrap();
    assert!((factor.value.ratio() - 2.5).abs() < 1e-12);
    assert_eq!(factor.from.source, "our drop tests of 2026");
    // It is written and read again, and a kept rulebook of before has none.
    assert_eq!(
        Rulebook::parse_own(&book.sheet()).unwrap().catch(),
        book.catch()
    );
    assert!(Rulebook::parse_own(&own("0.5")).is_err());
    let kept = serde_json::to_value(rulebook("european").unwrap()).unwrap();
    assert!(kept.get("catch").is_none());
}
