//! A rated load is what may be carried: it is held against the load, and a catch and a stuck load against strengths.

use ropeloft::domain::kit_strength::{KitVerdict, Outcome};
use ropeloft::domain::{JobId, Kind, Zone};
use ropeloft::rigging::{Judged, Phase, StrengthKind};

use crate::{
    fitness_case::{Thing, harness, job, verdict},
    strength_of_kit_coverage::{belayed, caught},
};

/// The kit of the tripod with a belay, with other things at the positions of these.
fn with(things: &[Thing]) -> Vec<Thing> {
    let mut kit = belayed();
    kit.retain(|one| {
        let mut others = things.iter();
        !others.any(|other| other.position == one.position)
    });
    kit.extend(things.iter().cloned());
    kit
}

/// What a kit comes to with a catch, dry and under a load.
fn in_a_catch(load: &str, kit: &[Thing]) -> KitVerdict {
    in_a_catch_when(load, "", kit)
}

/// The same where it may be wet.
fn in_a_catch_when(load: &str, wet: &str, kit: &[Thing]) -> KitVerdict {
    let mut draft = caught().draft(&Zone::UTC);
    (draft.load, draft.wet) = (load.into(), wet.into());
    verdict(&draft.check(JobId::new(), 1, &Zone::UTC).unwrap(), kit)
}

/// The positions that fail.
fn failing(verdict: &KitVerdict) -> Vec<(String, Phase)> {
    let answer = verdict
        .assessment
        .as_ref()
        .unwrap_or_else(|| panic!("{:?}", verdict.gaps));
    let failing = answer.failing();
    failing
        .map(|check| (check.position.clone(), check.phase))
        .collect()
}

/// Everything that a rated load at a position is held against, in newtons.
fn against(verdict: &KitVerdict, position: &str) -> Vec<(Phase, f64, String)> {
    let answer = verdict.assessment.as_ref().unwrap();
    let here = answer.checks.iter().filter(|check| {
        check.position == position && check.strength.rating.kind == StrengthKind::RatedLoad
    });
    here.map(|check| match &check.judged {
        Judged::Limit { against, what } => (check.phase, against.newtons(), what.clone()),
        Judged::Factor { .. } => panic!("{check:?}"),
    })
    .collect()
}

#[test]
fn the_mass_that_a_harness_carries_is_held_against_the_load_in_every_phase() {
    // 140 kg, as a mass on the marking, as a force on the marking, and by its approval beside a strength.
    let light = [
        harness().rated(&["body|140 kgf|rated-load"]),
        harness().rated(&["body|1372.931 N|rated-load"]),
        harness().approved(&["EN 361|||||140 kg"]),
    ];
    for harness in light {
        let kit = with(&[harness]);
        let holds = in_a_catch("140 kg", &kit);
        assert!(failing(&holds).is_empty(), "{}", holds.sentence);
        let all = against(&holds, "harness");
        assert!(all.iter().any(|(phase, ..)| *phase == Phase::BelayCatch));
        for (phase, newtons, what) in all {
            assert!(
                (newtons - 140.0 * 9.80665).abs() < 1e-6,
                "{phase:?}: {newtons}"
            );
            assert_eq!(what, "the load that is carried");
        }
        let wet = in_a_catch_when("140 kg", "yes", &kit);
        assert!(failing(&wet).is_empty(), "{}", wet.sentence);
        let fails = in_a_catch("140.1 kg", &kit);
        assert!(!fails.passes);
        let at = failing(&fails);
        assert!(
            !at.is_empty() && at.iter().all(|(position, _)| position == "harness"),
            "{at:?}"
        );
    }
}

#[test]
fn a_harness_of_which_no_strength_is_known_is_neither_failed_nor_passed_in_a_catch() {
    let kit = with(&[harness().rated(&["body|140 kgf|rated-load"])]);
    let said = in_a_catch("120 kg", &kit);
    assert_eq!(said.outcome, Outcome::StrongEnough, "{}", said.sentence);
    assert!(
        said.sentence.starts_with(
            "Rig strong enough; harness W-1 is not judged by a number in a catch: of the rest, "
        ),
        "{}",
        said.sentence
    );
    // The peak on the person is told against what a person may be stopped with.
    let told = said.catch.as_deref().unwrap();
    assert!(told.ends_with("allows is 6 kN."), "{told}");
    let answer = said.assessment.as_ref().unwrap();
    let [open] = answer.unjudged.as_slice() else {
        panic!("{:?}", answer.unjudged);
    };
    assert_eq!(
        (open.position.as_str(), open.phase, open.times()),
        ("harness", Phase::BelayCatch, None)
    );
    assert!(open.caught.as_ref().unwrap().force.high().newtons() > 3000.0);
    // One of which a strength is known is judged by it.
    let known = in_a_catch("120 kg", &belayed());
    assert!(known.open.is_empty() && known.passes, "{}", known.sentence);
    // The factor of the plan for a catch is 2, on the 4.504 kN of 120 kg.
    let breaking = |strength: &str| in_a_catch("120 kg", &with(&[harness().rated(&[strength])]));
    let in_catch = |verdict: KitVerdict| {
        failing(&verdict)
            .iter()
            .any(|(_, phase)| *phase == Phase::BelayCatch)
    };
    assert!(in_catch(breaking("body|9 kN|breaking")));
    assert!(!in_catch(breaking("body|9.02 kN|breaking")));
}

#[test]
fn a_stuck_load_is_no_load_that_is_carried() {
    let stuck = |kit: &[Thing]| {
        let job = job(|draft| {
            draft.rig = "tripod-with-belay".into();
            draft.between_anchors = "2.17 m".into();
            draft.stuck_pull = "1 kN".into();
            draft.exceptional_factor = "2".into();
        });
        verdict(&job, kit)
    };
    let said = stuck(&with(&[harness().rated(&["body|140 kgf|rated-load"])]));
    assert!(failing(&said).is_empty(), "{}", said.sentence);
    assert!(
        said.open
            .contains(&"harness W-1 is not judged by a number with the load stuck".to_owned()),
        "{:?}",
        said.open
    );
    let phases: Vec<Phase> = against(&said, "harness")
        .into_iter()
        .map(|one| one.0)
        .collect();
    assert!(phases.contains(&Phase::StuckLoad), "{phases:?}");
    // A strength is held against the force: a pull of 1 kN is near 4 kN at the load, and the plan asks for twice that.
    let weak = stuck(&with(&[harness().rated(&["body|5 kN|breaking"])]));
    assert!(failing(&weak).contains(&("harness".to_owned(), Phase::StuckLoad)));
}

#[test]
fn every_kind_is_held_alike() {
    let litter = Thing::new(Kind::Litter, "Y-1", &[], &["body|140 kgf|rated-load"]).at("harness");
    assert!(failing(&in_a_catch("140 kg", &with(std::slice::from_ref(&litter)))).is_empty());
    assert!(!failing(&in_a_catch("141 kg", &with(&[litter]))).is_empty());
    let device = |load: &str| {
        let device = Thing::new(
            Kind::BackUpDevice,
            "K-1",
            &["EN 12841|A|8 mm|13 mm|low-stretch|300 kg"],
            &[load],
        );
        with(&[device.with(&[("belays", "yes")]).at("belay-device")])
    };
    let said = in_a_catch("120 kg", &device("body|120 kgf|rated-load"));
    assert!(failing(&said).is_empty(), "{}", said.sentence);
    assert!(
        said.open
            .contains(&"a fall into the belay is not judged".to_owned()),
        "{:?}",
        said.open
    );
    assert!(!failing(&in_a_catch("121 kg", &device("body|120 kgf|rated-load"))).is_empty());
    // A force to which an anchor is rated is no mass: the peak must not be above it.
    let anchor = |load: &str| {
        let anchor = Thing::new(Kind::AnchorDevice, "A-1", &["EN 795|B"], &[load]);
        in_a_catch("120 kg", &with(&[anchor.at("belay-anchor")]))
    };
    assert_eq!(
        failing(&anchor("body|4 kN|rated-load")),
        [("belay-anchor".to_owned(), Phase::BelayCatch)]
    );
    let by_mass = anchor("body|400 kgf|rated-load");
    assert!(failing(&by_mass).is_empty());
    assert!(
        by_mass
            .open
            .contains(&"anchor device A-1 is not judged by a number in a catch".to_owned()),
        "{:?}",
        by_mass.open
    );
}

#[test]
fn work_as_planned_may_ask_more_of_a_part_than_the_load() {
    // All of a 4:1 hangs from its tripod, and the hand pulls down beside it: more than the load is on it.
    let tripod = |load: &str| {
        let mut kit = crate::fitness_case::full_kit();
        kit[3] = kit[3].clone().rated(&[load]);
        let job = job(|draft| draft.load = "100 kg".into());
        verdict(&job, &kit)
    };
    let at_tripod = |verdict: &KitVerdict| failing(verdict).iter().any(|(at, _)| at == "anchor");
    assert!(at_tripod(&tripod("body|100 kgf|rated-load")));
    assert!(!at_tripod(&tripod("body|200 kgf|rated-load")));
}
