//! What a proposal names as nearest, what it says of the rest while a position stays empty, and how much it leaves to spare.

use proptest::prelude::*;
use ropeloft::domain::fitness::{KitItem, Plan};
use ropeloft::domain::kit_strength::{Extent, KitVerdict, kit_verdict, tightest};
use ropeloft::domain::proposal::{Proposal, propose};
use ropeloft::domain::{Job, Kind, Refusal, RefusalCode, StoreId};
use ropeloft::rigging::{Assessment, Check};

use crate::fitness_case::{Thing, connector, foot, job, rope, tripod};
use crate::proposal::{every_kit, marks, proposed, slots_of, stock};
use crate::strength_of_kit_coverage::belayed;

pub fn on_tripod(load: &str) -> Job {
    job(|draft| {
        draft.rig = "tripod-with-belay".into();
        // As near that the belay leaves the head no further aside than the rig counts with.
        draft.between_anchors = "2.15 m".into();
        draft.load = load.into();
    })
}

/// The kit of the tripod with a belay without what stands at some positions.
pub fn without(positions: &[&str]) -> Vec<Thing> {
    let mut kit = belayed();
    kit.retain(|thing| !positions.contains(&thing.position.as_deref().unwrap_or_default()));
    kit
}

pub fn marked(mut thing: Thing, mark: &str) -> Thing {
    thing.item.mark = mark.into();
    thing
}

pub fn back_up(mark: &str, load: &str) -> Thing {
    let approval = format!("EN 12841|A|8 mm|13 mm|low-stretch|{load}");
    Thing::new(
        Kind::BackUpDevice,
        mark,
        &[&approval],
        &["body|60 kN|breaking"],
    )
    .with(&[("belays", "yes")])
}

fn clamp(mark: &str) -> Thing {
    let holds = "EN 567||8 mm|13 mm|low-stretch|300 kg";
    Thing::new(Kind::RopeClamp, mark, &[holds], &["body|60 kN|breaking"])
}

fn descender(mark: &str) -> Thing {
    let lowers = [
        "EN 12841|C|8 mm|13 mm|low-stretch|300 kg",
        "EN 341|A|8 mm|13 mm|low-stretch|300 kg",
    ];
    Thing::new(Kind::Descender, mark, &lowers, &["body|60 kN|breaking"])
}

/// The marks of what is named as the nearest at a position, with what speaks against each.
pub fn nearest(
    proposal: &Proposal,
    things: &[Thing],
    position: &str,
) -> Vec<(String, Vec<Refusal>)> {
    let mut missing = proposal.missing.iter();
    let missing = missing
        .find(|missing| missing.position == position)
        .unwrap();
    let named = missing.nearest.iter().map(|near| {
        let thing = things.iter().find(|thing| thing.item.id == near.item);
        (thing.unwrap().item.mark.clone(), near.refusals.clone())
    });
    named.collect()
}

#[test]
fn the_nearest_is_what_is_made_for_it_and_lacks_the_least() {
    let mut things = vec![clamp("A-1"), descender("B-1"), back_up("D-1", "140 kg")];
    things.extend(without(&["belay-device"]));
    let proposal = proposed(&on_tripod("2 persons"), &things);
    let named = nearest(&proposal, &things, "belay-device");
    // The clamp and the back-up device have a reason each; the descender may well do, if its maker says so.
    let order: Vec<&str> = named.iter().map(|(mark, _)| mark.as_str()).collect();
    assert_eq!(order, ["B-1", "D-1", "A-1"]);
    let reasons: Vec<usize> = named.iter().map(|(_, refusals)| refusals.len()).collect();
    assert_eq!(reasons, [1, 1, 1]);
    // Where its maker says no, it is made for something else, as the clamp is.
    things[1] = things[1].clone().with(&[("belays", "no")]);
    let proposal = proposed(&on_tripod("2 persons"), &things);
    let named = nearest(&proposal, &things, "belay-device");
    assert_eq!(named[0].0, "D-1", "{named:?}");
    assert_eq!(named[0].1[0].code, RefusalCode::RatedLoad);
    // Nobody is told to write down an approval that the clamp has not got.
    let (_, of_clamp) = named.iter().find(|(mark, _)| mark == "A-1").unwrap();
    assert!(
        of_clamp[0].sentence.ends_with(
            "take an item that has it. All that is on record of this one is other approvals, which do not stand for it."
        ),
        "{}",
        of_clamp[0].sentence
    );
    // Of one without any on record nobody can tell.
    things[0] = Thing::new(Kind::RopeClamp, "A-1", &[], &["body|60 kN|breaking"]);
    let proposal = proposed(&on_tripod("2 persons"), &things);
    let named = nearest(&proposal, &things, "belay-device");
    let (_, of_clamp) = named.iter().find(|(mark, _)| mark == "A-1").unwrap();
    assert!(
        of_clamp[0].sentence.ends_with(
            "if its maker's papers say that this one has it, write it on the model's record."
        ),
        "{}",
        of_clamp[0].sentence
    );
    // What only waits for an examination is nearer than what is too weak for ever.
    let mut late = back_up("E-1", "300 kg");
    late.item.next_due_on = Some(time::macros::date!(2026 - 02 - 01));
    things.push(late);
    let proposal = proposed(&on_tripod("2 persons"), &things);
    assert_eq!(nearest(&proposal, &things, "belay-device")[0].0, "E-1");
}

#[test]
fn a_missing_approval_is_further_than_a_load_that_is_too_small() {
    // Of this clamp no approval at all is on record: it hardly has two.
    let bare = Thing::new(Kind::RopeClamp, "A-1", &[], &["body|60 kN|breaking"]);
    let mut things = vec![bare, back_up("D-1", "140 kg")];
    things.extend(without(&["belay-device"]));
    let proposal = proposed(&on_tripod("2 persons"), &things);
    assert_eq!(nearest(&proposal, &things, "belay-device")[0].0, "D-1");
}

/// A pulley for the belay at the head that holds so much; 23.34 kN are asked of it for one person.
pub fn belay_pulley(mark: &str, axle: &str) -> Thing {
    let pulley = foot().rated(&[&format!("axle|{axle}|breaking")]);
    marked(pulley.with(&[("sheaves", "1")]), mark)
}

#[test]
fn with_an_empty_position_the_rest_is_judged_as_far_as_it_can_be() {
    let one = on_tripod("1 person");
    let mut things = without(&["tripod", "belay-pulley"]);
    things.push(belay_pulley("A-1", "23.2 kN"));
    let proposal = proposed(&one, &things);
    assert_eq!(proposal.missing.len(), 1, "{:?}", proposal.missing);
    let rest = proposal.rest.as_ref().unwrap();
    assert!(rest.fails, "{rest:?}");
    assert!(
        rest.sentence
            .starts_with("Whatever is put at what is empty, this is not strong enough: the ")
            && rest.sentence.contains("A-1")
            && rest
                .sentence
                .contains("at rest on the belay; 10 is asked for."),
        "{}",
        rest.sentence
    );
    // What holds is taken in its place, whatever is missing elsewhere.
    things.push(belay_pulley("B-1", "23.4 kN"));
    let proposal = proposed(&one, &things);
    assert!(
        marks(&proposal, &things).contains(&"belay-pulley=B-1".to_owned()),
        "{:?}",
        marks(&proposal, &things)
    );
    let rest = proposal.rest.as_ref().unwrap();
    assert!(!rest.fails, "{}", rest.sentence);
    assert!(
        rest.sentence
            .starts_with("As far as it can be judged, the rest is strong enough: "),
        "{}",
        rest.sentence
    );
    assert_eq!(
        rest.unjudged[0],
        "Not judged, since nothing is there yet: \"Tripod\"."
    );
    let aside = "How far aside a rope leaves the head is not told before \"Tripod\" is there";
    assert!(rest.unjudged[1].starts_with(aside), "{:?}", rest.unjudged);
    assert!(!rest.unjudged.iter().any(|line| line.contains("rubbed")));
    // A whole kit has no rest.
    let whole = proposed(&one, &belayed());
    assert!(
        whole.is_whole() && whole.rest.is_none(),
        "{}",
        whole.verdict.sentence
    );
}

#[test]
fn what_the_missing_rubs_is_said_not_to_be_counted() {
    let one = on_tripod("1 person");
    let things = without(&["head-pulley", "belay-rope"]);
    let rest = proposed(&one, &things).rest.unwrap();
    assert!(!rest.fails, "{}", rest.sentence);
    let said = rest.unjudged.join(" ");
    assert!(
        said.contains("as if nothing rubbed at \"Head double pulley with progress capture\""),
        "{said}"
    );
    assert!(said.contains("is not judged"), "{said}");
    // The forces are those without friction there: over all phases nothing leaves less than with a pulley that rubs.
    let answer = rest.assessment.unwrap();
    let whole = proposed(&one, &belayed()).verdict.assessment.unwrap();
    let least = |answer: &Assessment, position: &str| {
        let checks = answer.checks.iter();
        tightest(checks.filter(|check| check.position == position)).map(Check::room)
    };
    let mut compared = 0;
    for check in &answer.checks {
        let without = least(&answer, &check.position).unwrap();
        let with = least(&whole, &check.position).unwrap();
        assert!(
            with <= without * (1.0 + 1e-9),
            "{}: {with} of {without}",
            check.position
        );
        compared += 1;
    }
    assert!(compared > 10, "{compared}");
}

#[test]
fn of_two_that_are_alike_the_one_with_more_to_spare_is_taken() {
    let one = on_tripod("1 person");
    let mut things = without(&["belay-pulley"]);
    things.push(belay_pulley("A-1", "23.4 kN"));
    // It has a becket that nobody asks for, and still leaves a margin where the other has none.
    things.push(belay_pulley("B-1", "36 kN").with(&[("becket", "yes")]));
    let whys = |proposal: &Proposal| {
        let mut picks = proposal.picks.iter();
        picks
            .find(|pick| pick.position == "belay-pulley")
            .unwrap()
            .why
            .join(" ")
    };
    let proposal = proposed(&one, &things);
    assert!(
        marks(&proposal, &things).contains(&"belay-pulley=B-1".to_owned()),
        "{:?}",
        proposal.picks
    );
    let why = whys(&proposal);
    // 36 / 23.335 = 1.5427.
    assert!(
        why.contains("54 % more strength than is asked; another that may go here has less."),
        "{why}"
    );
    // With none better it is taken all the same, and said.
    things.pop();
    let proposal = proposed(&one, &things);
    assert!(proposal.is_whole(), "{}", proposal.verdict.sentence);
    let why = whys(&proposal);
    assert!(
        why.contains(
            "Only 0 % more strength than is asked, and nothing that is left for this has more."
        ),
        "{why}"
    );
    // A better one that another job's store has is not taken before one from the store that is gone to anyway.
    let van = StoreId::new();
    for thing in &mut things {
        thing.item.store = van;
    }
    things.push(belay_pulley("C-1", "60 kN"));
    let proposal = proposed(&one, &things);
    assert!(marks(&proposal, &things).contains(&"belay-pulley=A-1".to_owned()));
    assert!(
        whys(&proposal).contains("What has more lies elsewhere"),
        "{}",
        whys(&proposal)
    );
}

/// What is left to spare in a kit: at how many positions a tenth more load is too much, and over all of them how many
/// hundredths short of 1.77 times what is asked.
fn spare(verdict: &KitVerdict, kit: &[KitItem<'_>]) -> (usize, i64) {
    let answer = verdict.assessment.as_ref().unwrap();
    let rooms = kit.iter().filter_map(|item| {
        let checks = answer.checks.iter();
        let here = checks.filter(|check| Some(check.position.as_str()) == item.position);
        Some(tightest(here)?.room())
    });
    let rooms: Vec<f64> = rooms.collect();
    #[expect(clippy::cast_possible_truncation, reason = "at most 77")]
    let short = |room: &f64| 77 - (((room - 1.0) * 100.0 + 1e-6).floor().clamp(-50.0, 77.0) as i64);
    let scant = rooms.iter().filter(|room| **room < 1.1).count();
    (scant, rooms.iter().map(short).sum())
}

/// Things of a 2:1 in one store that differ in nothing but what they hold.
fn of_many_strengths() -> impl Strategy<Value = Vec<Thing>> {
    let thing = (
        0..4_usize,
        prop::sample::select(vec![20, 24, 25, 26, 31, 60]),
    );
    let thing = thing.prop_map(|(which, holds)| {
        let rated = |mode: &str| format!("{mode}|{holds} kN|breaking");
        match which {
            0 => rope().rated(&[&rated("straight")]),
            1 => foot().rated(&[&rated("axle")]),
            2 => tripod().rated(&[&rated("body")]),
            _ => connector("C-1", "load-connector").rated(&[&rated("major-axis")]),
        }
    });
    prop::collection::vec(thing, 4..9).prop_map(|mut things| {
        let van = StoreId::new();
        for thing in &mut things {
            thing.item.store = van;
        }
        things
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// Trying every strong kit from one store leaves no more to spare.
    #[test]
    fn no_kit_that_could_be_tried_leaves_more_to_spare(things in of_many_strengths()) {
        let job = job(|draft| {
            draft.rig = "two-to-one".into();
            draft.load = "200 kg".into();
        });
        let plan = Plan::of(&job).unwrap();
        let slots = slots_of(&plan);
        let mut best: Option<(usize, i64)> = None;
        let mut keep = |kit: &[KitItem<'_>]| {
            if kit.len() < slots.len() {
                return;
            }
            let verdict = kit_verdict(&plan, kit, Extent::Answer);
            if verdict.passes {
                let this = spare(&verdict, kit);
                best = Some(best.map_or(this, |best| best.min(this)));
            }
        };
        every_kit(&plan, &things, &slots, &mut Vec::new(), &mut keep);
        let proposal = propose(&plan, &stock(&things, &[]));
        prop_assert_eq!(proposal.is_whole(), best.is_some(), "{:?}", proposal.verdict.sentence);
        if let Some(best) = best {
            let kit: Vec<KitItem<'_>> = proposal
                .picks
                .iter()
                .map(|pick| {
                    let thing = things.iter().find(|thing| thing.item.id == pick.item).unwrap();
                    KitItem { position: Some(&pick.position), ..thing.kit_item() }
                })
                .collect();
            prop_assert_eq!(spare(&proposal.verdict, &kit), best);
        }
    }
}

#[test]
fn where_rope_and_device_refuse_each_other_both_ways_out_are_named() {
    let job = on_tripod("1 person");
    let thin = |thing: Thing| match thing.model.kind {
        Kind::Rope => thing.with(&[("diameter", "9 mm")]),
        _ => thing,
    };
    let narrow = |mark: &str| {
        let approval = "EN 12841|A|10 mm|13 mm|low-stretch|140 kg";
        Thing::new(
            Kind::BackUpDevice,
            mark,
            &[approval],
            &["body|60 kN|breaking"],
        )
        .with(&[("belays", "yes")])
    };
    let mut things: Vec<Thing> = without(&["belay-device"]).into_iter().map(thin).collect();
    things.extend([narrow("BU-1"), narrow("BU-2")]);
    let proposal = proposed(&job, &things);
    let missing: Vec<(&str, &str)> = proposal
        .missing
        .iter()
        .map(|one| (one.position.as_str(), one.sentence.as_str()))
        .collect();
    let [("belay-device", sentence)] = missing.as_slice() else {
        panic!("{missing:?}")
    };
    for words in [
        " that takes low-stretch rope of 9 mm (R-2), fit until ",
        "; or else rope of at least ",
        " m, 10 mm to 13 mm thick, low-stretch at \"Belay rope\"",
        ", with which BU-1 or BU-2 may go here.",
    ] {
        assert!(sentence.contains(words), "{words}: {sentence}");
    }
    // With a rope as it says, or a device as it says, nothing is missing.
    let thick = without(&["belay-device"])
        .into_iter()
        .chain([narrow("BU-1")])
        .collect::<Vec<_>>();
    assert!(proposed(&job, &thick).missing.is_empty());
    things.push(back_up("BU-3", "140 kg"));
    assert!(proposed(&job, &things).missing.is_empty());
}
