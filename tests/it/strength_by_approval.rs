//! What no paper states as a number: a harness is taken by its approval, a device at a belay by the load to which its
//! maker rates it, and the verdict says so.

use ropeloft::domain::kit_strength::{KitVerdict, Outcome};
use ropeloft::domain::rulebook::rulebook;
use ropeloft::domain::{Job, Kind, RefusalCode, RefusalCode::NotApproved, RefusalCode::RatedLoad};
use ropeloft::rigging::{Judged, Phase, StrengthKind};
use serde_json::json;

use crate::{
    fitness_case::{Case, Thing, connector, foot, harness, head, job, rope, tripod, verdict},
    job_given::{fill, planned},
    strength_of_kit_coverage::{belayed, caught},
};

/// The kit of the tripod with a belay, its harness and its belay device without any rating.
fn unrated() -> Vec<Thing> {
    let mut kit = belayed();
    for thing in &mut kit {
        if matches!(thing.model.kind, Kind::Harness | Kind::BackUpDevice) {
            thing.model.ratings.clear();
        }
    }
    kit
}

fn tripod_job(change: impl FnOnce(&mut ropeloft::domain::JobDraft)) -> Job {
    job(|draft| {
        draft.rig = "tripod-with-belay".into();
        draft.between_anchors = "2.17 m".into();
        change(draft);
    })
}

fn codes(verdict: &KitVerdict) -> Vec<&'static str> {
    verdict.gaps.iter().map(|gap| gap.code).collect()
}

#[test]
fn a_harness_is_taken_by_its_approval_and_the_verdict_says_so() {
    let bare = || harness().rated(&[]);
    for (book, approval) in [
        ("european", "EN 361"),
        ("rope-access", "EN 1497"),
        ("us-rescue", "NFPA 2500|III"),
    ] {
        let case = |thing: Thing| Case::of(thing).on(|draft| draft.rulebook = book.into());
        let refused = case(bare().approved(&[approval])).codes();
        assert!(
            !refused.contains(&RefusalCode::StrengthUnknown),
            "{book}: {refused:?}"
        );
        assert!(!refused.contains(&NotApproved), "{book}: {refused:?}");
        // Without the approval nothing stands in the place of a number.
        let refused = case(bare().approved(&[])).codes();
        assert!(refused.contains(&NotApproved), "{book}: {refused:?}");
    }
    let said = verdict(&tripod_job(|_| {}), &unrated());
    assert_eq!(said.outcome, Outcome::StrongEnough, "{:?}", said.gaps);
    assert!(
        said.sentence.starts_with(
            "Rig strong enough; a fall into the belay is not judged, and harness W-1 is approved to EN 361 and not judged by a number: of the rest, "
        ),
        "{}",
        said.sentence
    );
    let answer = said.assessment.unwrap();
    assert!(
        answer
            .checks
            .iter()
            .all(|check| check.position != "harness")
    );
    let [by_approval] = answer.by_approval.as_slice() else {
        panic!("{:?}", answer.by_approval);
    };
    assert_eq!(by_approval.position, "harness");
}

#[test]
fn a_harness_without_the_approval_is_a_gap_and_one_with_a_number_is_judged() {
    let mut kit = unrated();
    for thing in &mut kit {
        if thing.model.kind == Kind::Harness {
            thing.model.approvals.clear();
        }
    }
    let said = verdict(&tripod_job(|_| {}), &kit);
    assert_eq!(
        (said.outcome, codes(&said)),
        (Outcome::CannotSay, vec!["no-rating"])
    );
    let said = verdict(&tripod_job(|_| {}), &belayed());
    let answer = said.assessment.unwrap();
    assert!(answer.by_approval.is_empty());
    assert!(
        answer
            .checks
            .iter()
            .any(|check| check.position == "harness")
    );
    // Where a rulebook asks for no approval of a harness, a number is asked for.
    let bare = Case::of(harness().rated(&[])).on(|draft| draft.rulebook = "us-general".into());
    assert!(bare.codes().contains(&RefusalCode::StrengthUnknown));
}

#[test]
fn a_belay_device_is_held_against_the_load_to_which_its_maker_rates_it() {
    let device = |approval: &str| {
        let device = Thing::new(Kind::BackUpDevice, "K-1", &[approval], &[]);
        let device = device.with(&[("belays", "yes")]).at("belay-device");
        Case::of(device).on(|draft| {
            draft.rig = "tripod-with-belay".into();
            draft.between_anchors = "2.17 m".into();
        })
    };
    device("EN 12841|A|8 mm|13 mm|low-stretch|150 kg").is_fit();
    device("EN 12841|A|8 mm|13 mm|low-stretch|100 kg").refused(&[RatedLoad]);
    // What is asked is the load, once, and not a strength beside it.
    let refused = device("EN 12841|A|8 mm|13 mm|low-stretch").refused(&[RatedLoad]);
    assert!(
        refused[0]
            .lacks
            .as_deref()
            .unwrap()
            .starts_with("rated load"),
        "{refused:?}"
    );
    let kit: Vec<Thing> = unrated()
        .into_iter()
        .map(|thing| match thing.model.kind {
            Kind::BackUpDevice => thing.approved(&["EN 12841|A|8 mm|13 mm|low-stretch"]),
            _ => thing,
        })
        .collect();
    let said = verdict(&tripod_job(|_| {}), &kit);
    assert_eq!(
        (said.outcome, codes(&said)),
        (Outcome::CannotSay, vec!["no-rating"])
    );
}

#[test]
fn a_rated_load_alone_leaves_a_catch_open() {
    let said = verdict(&caught(), &unrated());
    assert_eq!(
        said.outcome,
        Outcome::StrongEnough,
        "{:?} {}",
        said.gaps,
        said.sentence
    );
    assert!(
        said.sentence
            .contains("a fall into the belay is not judged"),
        "{}",
        said.sentence
    );
    let answer = said.assessment.unwrap();
    let open: Vec<&str> = answer
        .unjudged
        .iter()
        .map(|one| one.position.as_str())
        .collect();
    assert_eq!(open, ["belay-device"]);
    let caught = answer.unjudged[0].caught.as_ref().unwrap();
    assert_eq!(
        (caught.strength.as_ref(), answer.unjudged[0].times()),
        (None, None)
    );
    assert!(caught.force.high().newtons() > 3000.0);
    // The load is held against what it is rated for all the same: 300 kg are 2.942 kN, 120 kg are 1.177 kN.
    let mut of_device = answer
        .checks
        .iter()
        .filter(|check| check.position == "belay-device");
    let check = of_device.next().unwrap();
    assert_eq!(check.strength.rating.kind, StrengthKind::RatedLoad);
    let Judged::Limit { against, .. } = check.judged else {
        panic!("{check:?}");
    };
    assert!((against.newtons() - 120.0 * 9.80665).abs() < 1e-6);
}

#[test]
fn a_load_that_may_be_carried_says_nothing_of_a_stuck_load() {
    let grab = ["EN 567||8 mm|13 mm|low-stretch|200 kg"];
    let kit = [
        rope(),
        head().at("anchor-pulley"),
        foot().at("travelling-pulley"),
        Thing::new(Kind::RopeClamp, "K-1", &grab, &[]).at("grab"),
        tripod().at("anchor"),
        connector("C-1", "anchor-connector"),
        connector("C-2", "travelling-connector"),
        connector("C-3", "load-connector"),
    ];
    for pull in ["0.3 kN", "3 kN"] {
        let job = job(|draft| {
            draft.rig = "three-to-one".into();
            draft.throw = "3 m".into();
            draft.stuck_pull = pull.into();
        });
        let said = verdict(&job, &kit);
        let answer = said.assessment.unwrap_or_else(|| panic!("{:?}", said.gaps));
        let of_grab = answer.checks.iter().filter(|one| one.position == "grab");
        for check in of_grab {
            let Judged::Limit { against, .. } = check.judged else {
                panic!("{check:?}");
            };
            // 120 kg are carried, and 200 kg may be.
            assert!(
                (against.newtons() - 120.0 * 9.806_65).abs() < 1e-9,
                "{check:?}"
            );
            assert!(check.passes, "{check:?}");
        }
        // What the crew pulls on what is stuck is no load that is carried: nothing says that the grab holds it.
        let mut open = answer.unjudged.iter();
        let open = open.any(|one| (one.position.as_str(), one.phase) == ("grab", Phase::StuckLoad));
        assert!(open, "{pull}: {:?}", answer.unjudged);
    }
}

#[test]
fn a_kind_is_taken_by_its_approval_only_where_one_is_always_asked_for() {
    for book in ["european", "uk-lifting", "rope-access", "us-rescue"] {
        let book = rulebook(book).unwrap();
        assert!(
            book.strength_asked(Kind::Harness)
                .words()
                .contains("its approval"),
            "{}",
            book.key()
        );
        assert!(book.approvals_asked(Kind::Harness, &[]).next().is_some());
    }
    let sheet = include_str!("../../src/domain/rulebook/us-general.toml").replace(
        "kind = \"harness\"\nstrength = \"any\"",
        "kind = \"harness\"\nstrength = \"approval\"",
    );
    let wrong = ropeloft::domain::rulebook::Rulebook::parse(&sheet).unwrap_err();
    assert!(
        wrong.to_string().contains("is taken by its approval alone"),
        "{wrong}"
    );
}

on_both_databases! {
    async fn the_verdict_page_names_what_no_number_judges(world) {
        let kit = unrated();
        world.shelve(&kit).await;
        let crew = world.visitor(&world.crew).await;
        let rig = json!({"rig": "tripod-with-belay", "between_anchors": "2.17 m", "load": "1 person"});
        let job = planned(&crew, rig).await;
        fill(&crew, &job, &kit).await;
        let page = crew.get(&format!("/jobs/{job}/verdict")).await.text;
        for words in ["not judged by a number", "approved to EN 361, and no strength is on record"] {
            assert!(page.contains(words), "{words}\n{page}");
        }
    }
}
