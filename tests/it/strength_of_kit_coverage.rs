//! From records to a verdict: which approval covers the rig, and what may go wrong.

use ropeloft::domain::entered::EnteredForce;
use ropeloft::domain::fitness::Plan;
use ropeloft::domain::kit_strength::{Extent, KitVerdict, Outcome, kit_verdict};
use ropeloft::domain::{Kind, RefusalCode, Zone};
use ropeloft::rigging::{Phase, fall_peak};

use crate::fitness_case::{Case, Thing, connector, full_kit, harness, head, job, verdict};

/// A capturing double pulley that is approved as a rope clamp for thin rope too, and as a rescue device
/// of one person only in a set with another pulley, on ropes of one diameter, up to 280 kg, in a tackle
/// of at least four strands. The shape of it is common practice, no source.
const IN_A_SET: &str = "EN 567||11 mm|11 mm|low-stretch|280 kg|4|1|Model P-2";

fn with_head(approvals: &[&str]) -> Vec<Thing> {
    let mut kit = full_kit();
    kit[1] = head().approved(approvals);
    kit
}

fn codes(verdict: &KitVerdict) -> Vec<&'static str> {
    verdict.gaps.iter().map(|gap| gap.code).collect()
}

#[test]
fn the_verdict_says_which_approval_covers_the_rig() {
    let kit = with_head(&[
        "EN 12278||8 mm|13 mm",
        "EN 567||8 mm|13 mm|low-stretch",
        IN_A_SET,
    ]);
    let verdict = verdict(&job(|_| {}), &kit);
    assert!(codes(&verdict).is_empty(), "{:?}", verdict.gaps);
    let mut at_head = verdict
        .approvals
        .iter()
        .filter(|one| one.position == "head");
    assert!(at_head.all(|one| one.covers()));
    assert_eq!(
        verdict
            .approvals
            .iter()
            .filter(|one| one.position == "head")
            .count(),
        3
    );
}

#[test]
fn an_approval_for_a_set_holds_only_with_the_whole_set_on_the_rig() {
    let mut kit = with_head(&["EN 12278||8 mm|13 mm", IN_A_SET]);
    let whole = verdict(&job(|_| {}), &kit);
    assert!(codes(&whole).is_empty(), "{:?}", whole.gaps);
    // The same foot by another name is not the one of the set.
    kit[2].model.name = "Model P-9".into();
    let broken = verdict(&job(|_| {}), &kit);
    assert_eq!(broken.outcome, Outcome::CannotSay);
    assert_eq!(codes(&broken), ["set-not-whole"]);
    let against = broken.approvals.iter().flat_map(|one| &one.against);
    let said: Vec<_> = against
        .filter(|words| words.contains("only in a set with Model P-2"))
        .collect();
    assert_eq!(said.len(), 1, "{:?}", broken.approvals);
    // Choosing the device alone does not ask for what may come later.
    Case::of(head().approved(&["EN 12278||8 mm|13 mm", IN_A_SET])).is_fit();
}

#[test]
fn an_approval_for_one_person_is_not_one_for_two() {
    let heads = head().approved(&["EN 12278||8 mm|13 mm", IN_A_SET]);
    let case = Case::of(heads).on(|draft| draft.load = "2 persons".into());
    let refusals = case.refused(&[RefusalCode::RatedLoad]);
    assert!(
        refusals[0].sentence.contains("1 person at once"),
        "{}",
        refusals[0].sentence
    );
}

/// A device that is made to catch.
fn catcher() -> Thing {
    let device = Thing::new(
        Kind::BackUpDevice,
        "K-1",
        &["EN 12841|A|8 mm|13 mm|low-stretch|300 kg"],
        &["body|60 kN|breaking"],
    );
    device.with(&[("belays", "yes")]).at("belay-device")
}

/// The kit of the tripod with a belay and a harness, all strong.
pub fn belayed() -> Vec<Thing> {
    let mut kit = full_kit();
    for (at, position) in [(1, "head-pulley"), (3, "tripod")] {
        kit[at].position = Some(position.into());
    }
    for thing in &mut kit {
        for rating in &mut thing.model.ratings {
            rating.value = EnteredForce::read("90 kN", None).unwrap();
        }
    }
    let mut belay = crate::fitness_case::rope().at("belay-rope");
    belay.item.mark = "R-2".into();
    let mut pulley = crate::fitness_case::foot().at("belay-pulley");
    pulley.item.mark = "P-3".into();
    let anchor = Thing::new(
        Kind::AnchorDevice,
        "A-1",
        &["EN 795|B"],
        &["body|60 kN|breaking"],
    );
    // Both carry the load nearly twice while it hangs on the belay.
    let twice = |mut thing: Thing| {
        for rating in &mut thing.model.ratings {
            rating.value = EnteredForce::read("40 kN", None).unwrap();
        }
        thing
    };
    kit.extend([
        belay.with(&[("elongation", "3.0"), ("elongation-test", "50-to-150-kg")]),
        twice(pulley.with(&[("sheaves", "1")])),
        catcher(),
        anchor.at("belay-anchor"),
        twice(connector("C-3", "belay-pulley-connector")),
        connector("C-4", "belay-connector"),
        harness(),
    ]);
    kit
}

pub fn caught() -> ropeloft::domain::Job {
    job(|draft| {
        draft.rig = "tripod-with-belay".into();
        draft.between_anchors = "2.17 m".into();
        draft.catch_slack = "0.3 m".into();
        draft.catch_rope = "6 m".into();
        draft.exceptional_factor = "2".into();
    })
}

#[test]
fn a_catch_is_worked_out_from_the_elongation_on_record() {
    let verdict = verdict(&caught(), &belayed());
    let answer = verdict
        .assessment
        .as_ref()
        .unwrap_or_else(|| panic!("{:#?}", verdict.gaps));
    // 100 kg more stretch it by 3 %, so its modulus is 0.980665 kN / 0.03 = 32.6888 kN.
    let modulus = ropeloft::rigging::Force::from_kilonewtons(0.980_665 / 0.03).unwrap();
    let mass = ropeloft::rigging::Mass::from_kilograms(120.0).unwrap();
    let factor = ropeloft::rigging::FallFactor::from_ratio(0.05).unwrap();
    let peak = fall_peak(mass, modulus, factor).unwrap();
    let found = answer.catch.as_ref().unwrap();
    assert!((found.peak.likely().newtons() - peak.newtons()).abs() < 1e-6);
    assert!(
        found
            .modulus_source
            .contains("rope R-2, 3 % between 50 and 150 kg")
    );
    assert!(answer.forces(Phase::BelayCatch).is_some());
    assert!(!verdict.swings.unwrap().is_empty());
}

/// The job of [`caught`] under a load and a rulebook, its belay with so many metres of slack.
fn caught_as(load: &str, slack: &str, rulebook: &str) -> KitVerdict {
    let mut draft = caught().draft(&Zone::UTC);
    draft.load = load.into();
    draft.catch_slack = slack.into();
    draft.rulebook = rulebook.into();
    draft.exceptional_factor = "1.5".into();
    let job = draft.check(ropeloft::domain::JobId::new(), 1, &Zone::UTC);
    verdict(&job.unwrap(), &belayed())
}

#[test]
fn the_rulebook_says_what_a_person_may_be_stopped_with() {
    // 6 kN: EN 355, arrest force of an energy absorber. A fall factor of 0.05 on 32.6888 kN gives 120 kg
    // 3.464 kN by the spring model, and up to 30 % more.
    let soft = caught_as("120 kg", "0.3 m", "european");
    assert!(soft.passes, "{}", soft.sentence);
    assert_eq!(
        soft.catch.as_deref(),
        Some(
            "The belay would stop a person with 3.46 kN to 4.5 kN, and the most that \"European standards (EN), for rope rescue and rope work\" allows is 6 kN."
        )
    );
    assert!(soft.whole().ends_with(soft.catch.as_deref().unwrap()));
    // Four times the slack gives 5.272 kN, and up to 6.854 kN.
    let hard = caught_as("120 kg", "1.2 m", "european");
    assert_eq!(hard.outcome, Outcome::NotStrongEnough);
    assert_eq!(
        hard.sentence,
        "Every part holds, but the catch is too hard: the belay would stop a person with up to 6.85 kN, and 6 kN is the most that \"European standards (EN), for rope rescue and rope work\" allows."
    );
    let source = &hard
        .assessment
        .as_ref()
        .unwrap()
        .catch
        .as_ref()
        .unwrap()
        .limit;
    assert!(source.as_ref().unwrap().source.contains("EN 355:2002"));
    let told = hard.catch.as_deref().unwrap();
    assert!(
        told.contains("with 5.27 kN to 6.85 kN, which is over the 6 kN"),
        "{told}"
    );
    // The fall factor that gives 6 kN / 1.3 is 0.13568, which is 0.814 m on 6 m.
    let slack = hard.assessment.unwrap().catch.unwrap().most_slack.unwrap();
    assert!((slack.metres() - 0.8141).abs() < 0.00005, "{slack:?}");
}

#[test]
fn each_of_two_persons_takes_half_of_the_peak() {
    // Two persons of 120 kg give 5.991 kN, and up to 7.789 kN, on the rope; half of it on each.
    let two = caught_as("2 persons", "0.3 m", "european");
    let told = two.catch.as_deref().unwrap_or(&two.sentence);
    assert!(told.contains("a person with 3 kN to 3.89 kN"), "{told}");
    let peak = two.assessment.unwrap().catch.unwrap().peak;
    assert!((peak.high().kilonewtons() - 7.789).abs() < 0.0005);
}

#[test]
fn a_part_that_fails_is_named_before_a_catch_that_is_too_hard() {
    let mut draft = caught().draft(&Zone::UTC);
    draft.catch_slack = "1.2 m".into();
    draft.exceptional_factor = "100".into();
    let job = draft.check(ropeloft::domain::JobId::new(), 1, &Zone::UTC);
    let both = verdict(&job.unwrap(), &belayed()).sentence;
    assert!(both.starts_with("Not strong enough: the "), "{both}");
    assert!(
        both.contains("And the belay would stop a person with up to 6.85 kN"),
        "{both}"
    );
}

#[test]
fn what_nobody_limits_or_nobody_catches_is_said_so() {
    let unlimited = caught_as("120 kg", "0.3 m", "us-rescue");
    let told = unlimited.catch.as_deref().unwrap_or(&unlimited.sentence);
    assert!(
        told.contains("sets no limit to what a person may be stopped with"),
        "{told}"
    );
    let mut plain = caught();
    (plain.setup.catch_slack, plain.setup.catch_rope) = (None, None);
    assert_eq!(verdict(&plain, &belayed()).catch, None);
}

#[test]
fn what_moves_the_answer_is_tried_only_where_it_is_asked_for() {
    let (job, kit) = (caught(), belayed());
    let plan = Plan::of(&job).unwrap();
    let kit: Vec<_> = kit
        .iter()
        .map(crate::fitness_case::Thing::kit_item)
        .collect();
    let answer = kit_verdict(&plan, &kit, Extent::Answer);
    assert!(answer.assessment.is_some());
    assert_eq!(answer.swings, None);
    let told = kit_verdict(&plan, &kit, Extent::WithSwings);
    assert_eq!(answer.sentence, told.sentence);
    assert!(told.swings.is_some_and(|swings| !swings.is_empty()));
}

#[test]
fn a_brake_post_rubs_as_its_record_says_or_as_is_assumed_in_words() {
    let post = job(|draft| draft.rig = "four-to-one-brake-post".into());
    let assumed = verdict(&post, &full_kit());
    let said = |verdict: &KitVerdict, words: &str| {
        verdict.assumptions.iter().any(|line| line.contains(words))
    };
    assert!(
        said(&assumed, "an assumed range, from memory"),
        "{:#?}",
        assumed.assumptions
    );
    let mut kit = full_kit();
    kit[1] = head().with(&[
        ("friction", "0.15"),
        ("friction-low", "0.12"),
        ("friction-high", "0.18"),
    ]);
    let recorded = verdict(&post, &kit);
    assert!(
        said(&recorded, "0.15 (from 0.12 to 0.18) (as on its record)"),
        "{:#?}",
        recorded.assumptions
    );
    kit[1] = head().with(&[("friction", "0.15")]);
    let partly = verdict(&post, &kit);
    assert!(codes(&partly).contains(&"no-friction"));
    assert!(
        partly.sentence.contains("only in part"),
        "{}",
        partly.sentence
    );
}

#[test]
fn a_stuck_load_is_judged_where_the_job_gives_the_pull_of_the_crew() {
    let verdict = verdict(
        &job(|draft| {
            draft.stuck_pull = "1 kN".into();
            draft.hand_speed = "0.4 m".into();
        }),
        &full_kit(),
    );
    let answer = verdict.assessment.unwrap();
    let stuck = answer.forces(Phase::StuckLoad).unwrap();
    // Hand force times the advantage of the computed reference values, 3.2615.
    assert!((stuck.load.likely().kilonewtons() - 3.2615).abs() < 0.00005);
    assert!((answer.rope.load_speed.unwrap().metres_per_second() - 0.1).abs() < 1e-12);
}

#[test]
fn half_of_a_catch_and_nonsense_are_refused_with_their_field() {
    let refused = |change: fn(&mut ropeloft::domain::JobDraft)| {
        let mut draft = job(|_| {}).draft(&Zone::UTC);
        change(&mut draft);
        let wrong = draft
            .check(ropeloft::domain::JobId::new(), 1, &Zone::UTC)
            .unwrap_err();
        wrong.0.into_iter().map(|one| one.field).collect::<Vec<_>>()
    };
    assert_eq!(
        refused(|draft| draft.catch_slack = "0.3 m".into()),
        ["catch_rope"]
    );
    assert_eq!(
        refused(|draft| draft.catch_rope = "6 m".into()),
        ["catch_slack"]
    );
    assert_eq!(
        refused(|draft| draft.exceptional_factor = "0.5".into()),
        ["exceptional_factor"]
    );
    assert_eq!(
        refused(|draft| draft.exceptional_factor = "NaN".into()),
        ["exceptional_factor"]
    );
    assert_eq!(
        refused(|draft| draft.stuck_pull = "60 kN".into()),
        ["stuck_pull"]
    );
    assert_eq!(
        refused(|draft| draft.hand_speed = "-1 m".into()),
        ["hand_speed"]
    );
}

#[test]
fn what_was_planned_beside_is_typed_back_as_it_was() {
    let planned = job(|draft| {
        draft.stuck_pull = "225 lbf".into();
        draft.catch_slack = "1 ft".into();
        draft.catch_rope = "20 ft".into();
        draft.exceptional_factor = "2.5".into();
        draft.line_planned = "yes".into();
    });
    let draft = planned.draft(&Zone::UTC);
    assert_eq!(draft.stuck_pull, "225 lbf");
    assert_eq!(draft.catch_slack, "1 ft");
    assert_eq!(draft.exceptional_factor, "2.5");
    assert_eq!(draft.check(planned.id, 1, &Zone::UTC).unwrap(), planned);
    let written = serde_json::to_value(job(|_| {})).unwrap();
    assert!(
        written["setup"].get("catch_slack").is_none(),
        "older entries read the same"
    );
}
