//! A kit put together for a job, held against trying every kit there is.

use std::collections::{BTreeSet, HashMap};
use std::sync::LazyLock;

use proptest::prelude::*;
use ropeloft::domain::fitness::{Circumstances, KitItem, Plan, fitness};
use ropeloft::domain::kit_strength::gaps_of;
use ropeloft::domain::proposal::{Offered, Proposal, Stock, propose};
use ropeloft::domain::{Job, JobDraft, RefusalCode, StoreId, Zone};

use crate::fitness_case::{TODAY, Thing, connector, foot, full_kit, head, job, rope, tripod};

/// A kit that is strong enough for one person.
pub fn strong_kit() -> Vec<Thing> {
    let mut kit = full_kit();
    kit[1] = head().rated(&["axle|60 kN|breaking", "becket|40 kN|breaking"]);
    kit[2] = foot().rated(&["axle|60 kN|breaking"]);
    kit[3] = tripod().rated(&["body|60 kN|breaking"]);
    kit[4] = connector("C-1", "head-connector").rated(&["major-axis|60 kN|breaking"]);
    kit[5] = connector("C-2", "load-connector").rated(&["major-axis|60 kN|breaking"]);
    kit
}

/// A thing of a store.
pub fn of_store(mut thing: Thing, store: StoreId) -> Thing {
    thing.item.store = store;
    thing
}

pub fn stock<'a>(things: &'a [Thing], kit: &'a [KitItem<'a>]) -> Stock<'a> {
    Stock {
        items: things
            .iter()
            .map(|thing| Offered {
                item: &thing.item,
                model: &thing.model,
                is_out: false,
                elsewhere: &[],
            })
            .collect(),
        within: &LOOSE,
        kit,
        notices: &[],
        closings: &[],
        still_open: &[],
        today: TODAY,
        zone: &UTC,
    }
}

/// No bag lies in a store.
static LOOSE: LazyLock<HashMap<StoreId, StoreId>> = LazyLock::new(HashMap::new);

/// The clocks of every story here.
static UTC: Zone = Zone::UTC;

pub fn proposed(job: &Job, things: &[Thing]) -> Proposal {
    propose(&Plan::of(job).unwrap(), &stock(things, &[]))
}

/// The marks of what is proposed, in the order of the positions.
pub fn marks(proposal: &Proposal, things: &[Thing]) -> Vec<String> {
    let picks = proposal.picks.iter();
    picks
        .map(|pick| {
            let mut things = things.iter();
            let thing = things.find(|thing| thing.item.id == pick.item).unwrap();
            format!("{}={}", pick.position, thing.item.mark)
        })
        .collect()
}

#[test]
fn what_is_there_once_is_all_taken() {
    let kit = strong_kit();
    let proposal = proposed(&job(|_| {}), &kit);
    assert!(proposal.is_whole(), "{}", proposal.verdict.sentence);
    assert_eq!(proposal.picks.len(), kit.len());
    assert_eq!((proposal.looked_at, proposal.fit), (6, 6));
    for (pick, thing) in proposal.picks.iter().map(|pick| {
        let mut things = kit.iter();
        (
            pick,
            things.find(|thing| thing.item.id == pick.item).unwrap(),
        )
    }) {
        assert!(pick.why.iter().all(|why| why.ends_with('.')), "{pick:?}");
        let rig = ropeloft::rigging::shipped_rig("four-to-one-pull-down").unwrap();
        let position = rig.position(&pick.position).unwrap();
        assert!(
            position
                .accepts()
                .contains(&thing.model.kind.word().to_owned())
        );
    }
}

#[test]
fn one_store_that_has_all_is_taken_before_nearer_fits_of_many() {
    let (van, bay) = (StoreId::new(), StoreId::new());
    let mut things: Vec<Thing> = strong_kit()
        .into_iter()
        .map(|thing| of_store(thing, van))
        .collect();
    // The rope of the van is longer than needed, and a rope of the bay just reaches.
    things[0] = of_store(rope().with(&[("length", "200 m")]), van);
    things.push(of_store(rope().with(&[("length", "80 m")]), bay));
    let proposal = proposed(&job(|_| {}), &things);
    assert_eq!(proposal.stores, [van]);
    assert!(proposal.is_least);
    // With both in one store, the shorter one that reaches is taken.
    let last = things.len() - 1;
    things[last].item.store = van;
    let proposal = proposed(&job(|_| {}), &things);
    let rope = proposal.picks.iter().find(|pick| pick.position == "rope");
    assert_eq!(rope.unwrap().item, things[last].item.id);
}

#[test]
fn the_rope_decides_which_pulleys_go_with_it() {
    let mut things = strong_kit();
    // The only rope is 9 mm; the foot pulley that is first by its mark begins at 10 mm.
    things[0] = rope().with(&[("diameter", "9 mm")]);
    let thick = ["EN 12278||10 mm|13 mm"];
    things[2] = foot().rated(&["axle|60 kN|breaking"]).approved(&thick);
    let mut other = foot().rated(&["axle|60 kN|breaking"]);
    other.item.mark = "P-3".into();
    things.push(other);
    let proposal = proposed(&job(|_| {}), &things);
    assert!(marks(&proposal, &things).contains(&"foot=P-3".to_owned()));
    // With a thick rope beside it, either goes, and nothing is missing.
    things.remove(6);
    let proposal = proposed(&job(|_| {}), &things);
    assert_eq!(proposal.missing.len(), 1);
    let thicker = rope();
    things.push(thicker);
    let proposal = proposed(&job(|_| {}), &things);
    assert!(proposal.is_whole(), "{:?}", proposal.missing);
    assert!(marks(&proposal, &things).contains(&"foot=P-2".to_owned()));
}

#[test]
fn what_falls_due_soon_after_the_job_is_passed_over_where_another_will_do() {
    let mut things = strong_kit();
    things[1].item.next_due_on = Some(time::macros::date!(2026 - 03 - 20));
    let proposal = proposed(&job(|_| {}), &things);
    let head = proposal.picks.iter().find(|pick| pick.position == "head");
    let why = head.unwrap().why.join(" ");
    assert!(
        why.contains("Its next examination is due on 2026-03-20, soon after the job: "),
        "{why}"
    );
    let mut later = head_of("P-9");
    later.item.store = things[1].item.store;
    things.push(later);
    let proposal = proposed(&job(|_| {}), &things);
    assert!(marks(&proposal, &things).contains(&"head=P-9".to_owned()));
}

pub fn head_of(mark: &str) -> Thing {
    let mut head = head().rated(&["axle|60 kN|breaking", "becket|40 kN|breaking"]);
    head.item.mark = mark.into();
    head
}

#[test]
fn what_is_missing_is_named_exactly_with_the_nearest() {
    let mut things = strong_kit();
    things[0] = rope().with(&[("length", "40 m")]);
    let proposal = proposed(&job(|_| {}), &things);
    assert!(!proposal.is_whole());
    let [missing] = proposal.missing.as_slice() else {
        panic!("{:?}", proposal.missing);
    };
    assert_eq!(missing.position, "rope");
    let need = Plan::of(&job(|_| {})).unwrap().rope.unwrap();
    let metres = need.ropes[0].length.metres();
    assert_eq!(
        missing.sentence,
        format!("No rope of at least {metres:.1} m may go here and is fit until 2026-03-12.")
    );
    assert_eq!(missing.reasons, [(RefusalCode::RopeTooShort, 1)]);
    assert_eq!(missing.nearest[0].item, things[0].item.id);
    // The rest of the kit is proposed all the same.
    assert_eq!(proposal.picks.len(), 5);
}

#[test]
fn one_item_for_two_places_is_said_to_be_one_too_few() {
    let mut things = strong_kit();
    things.remove(5);
    let proposal = proposed(&job(|_| {}), &things);
    assert_eq!(proposal.missing.len(), 1);
    let sentence = &proposal.missing[0].sentence;
    let [pick] = proposal
        .picks
        .iter()
        .filter(|pick| pick.item == things[4].item.id)
        .collect::<Vec<_>>()[..]
    else {
        panic!("{:?}", proposal.picks);
    };
    let rig = ropeloft::rigging::shipped_rig("four-to-one-pull-down").unwrap();
    let title = rig.position(&pick.position).unwrap().title();
    assert_eq!(
        sentence,
        &format!(
            "1 item may go here by itself, but not beside the rest of this kit: C-1 is needed at \"{title}\". What would fill it is one more connector that is fit until 2026-03-12."
        )
    );
    let [nearest] = proposal.missing[0].nearest.as_slice() else {
        panic!("{:?}", proposal.missing);
    };
    assert_eq!(nearest.taken_for.as_ref(), Some(&pick.position));
}

#[test]
fn what_is_on_the_list_stays_and_its_store_costs_nothing() {
    let (van, bay) = (StoreId::new(), StoreId::new());
    let mut things: Vec<Thing> = strong_kit()
        .into_iter()
        .map(|thing| of_store(thing, van))
        .collect();
    things[1].item.store = bay;
    let mut near = head_of("P-9");
    near.item.store = StoreId::new();
    things.push(near);
    let on_list = things[0].clone();
    let kit = [on_list.kit_item()];
    let job = job(|_| {});
    let plan = Plan::of(&job).unwrap();
    let proposal = propose(&plan, &stock(&things, &kit));
    assert_eq!(proposal.picks.len(), 5);
    assert!(proposal.picks.iter().all(|pick| pick.position != "rope"));
    assert_eq!(proposal.stores.len(), 1);
}

/// Whether things may go where they are put, all beside each other.
fn holds(plan: &Plan<'_>, kit: &[KitItem<'_>]) -> bool {
    kit.iter().enumerate().all(|(at, item)| {
        let mut others = kit.to_vec();
        others.remove(at);
        let circumstances = Circumstances {
            kit: &others,
            notices: &[],
            closings: &[],
            still_open: &[],
            elsewhere: &[],
            today: TODAY,
            zone: &Zone::UTC,
        };
        fitness(*item, plan, &circumstances).is_empty() && gaps_of(plan, item, &[]).is_empty()
    })
}

/// Which bags lie in which stores.
pub type Within = HashMap<StoreId, StoreId>;
/// How many positions are filled, from how many stores, and from how many bags in stores.
type Count = (usize, usize, usize);

/// The positions of the rig that must be filled.
pub fn slots_of<'a>(plan: &Plan<'a>) -> Vec<&'a str> {
    let positions = plan.rig.positions().iter();
    positions
        .filter(|position| !position.is_optional())
        .map(|position| position.key())
        .collect()
}

/// Tries everything: at each slot nothing, or one of the things that goes beside what is taken already. `keep` sees each kit,
/// also those with slots still to come.
pub fn every_kit<'a>(
    plan: &Plan<'a>,
    things: &'a [Thing],
    slots: &[&'a str],
    kit: &mut Vec<KitItem<'a>>,
    keep: &mut impl FnMut(&[KitItem<'_>]),
) {
    keep(kit);
    let [slot, rest @ ..] = slots else { return };
    every_kit(plan, things, rest, kit, keep);
    for thing in things {
        if kit.iter().any(|item| item.item.id == thing.item.id) {
            continue;
        }
        kit.push(KitItem {
            position: Some(slot),
            ..thing.kit_item()
        });
        if holds(plan, kit) {
            every_kit(plan, things, rest, kit, keep);
        }
        kit.pop();
    }
}

/// Every way to fill the positions: the most filled, and of those the fewest stores, then the fewest bags.
fn exhaustive(plan: &Plan<'_>, things: &[Thing], within: &Within) -> Count {
    let mut best = (0, 0, 0);
    let mut keep = |kit: &[KitItem<'_>]| {
        let lies: BTreeSet<StoreId> = kit.iter().map(|item| item.item.store).collect();
        let stores = lies.iter().map(|id| within.get(id).unwrap_or(id));
        let stores = stores.collect::<BTreeSet<_>>().len();
        let bags = lies.iter().filter(|id| within.contains_key(id)).count();
        let fewer = kit.len() == best.0 && (stores, bags) < (best.1, best.2);
        if kit.len() > best.0 || fewer {
            best = (kit.len(), stores, bags);
        }
    };
    every_kit(plan, things, &slots_of(plan), &mut Vec::new(), &mut keep);
    best
}

/// A few things of the kinds of a 2:1, some of which do not go together, in three stores and three bags in two of them.
pub fn things() -> impl Strategy<Value = (Vec<Thing>, Within)> {
    let stores: Vec<StoreId> = std::iter::repeat_with(StoreId::new).take(6).collect();
    let bags = [(3, 0), (4, 0), (5, 1)].map(|(bag, store)| (stores[bag], stores[store]));
    let within = HashMap::from(bags);
    let thing = (0..8_usize, 0..6_usize).prop_map(move |(which, store)| {
        let thing = match which {
            0 => rope(),
            1 => rope().with(&[("diameter", "9 mm")]),
            2 => rope().with(&[("length", "20 m")]),
            3 => foot().rated(&["axle|60 kN|breaking"]),
            4 => foot()
                .rated(&["axle|60 kN|breaking"])
                .approved(&["EN 12278||10 mm|13 mm"]),
            5 => foot()
                .rated(&["axle|60 kN|breaking"])
                .approved(&["EN 12278||8 mm|10 mm"]),
            6 => tripod().rated(&["body|60 kN|breaking"]),
            _ => connector("C-1", "load-connector").rated(&["major-axis|60 kN|breaking"]),
        };
        of_store(thing, stores[store])
    });
    prop::collection::vec(thing, 3..8).prop_map(move |things| (things, within.clone()))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// Trying every kit fills no more positions; and where all are filled, from no fewer stores, and from no fewer bags
    /// of as few.
    #[test]
    fn no_kit_that_could_be_tried_is_better((things, within) in things(), four in any::<bool>()) {
        let rig = if four { "four-to-one-pull-down" } else { "two-to-one" };
        let job = job(|draft: &mut JobDraft| draft.rig = rig.into());
        let plan = Plan::of(&job).unwrap();
        let stock = Stock { within: &within, ..stock(&things, &[]) };
        let proposal = propose(&plan, &stock);
        let (filled, stores, bags) = exhaustive(&plan, &things, &within);
        prop_assert_eq!(proposal.picks.len(), filled, "{:?}", proposal.missing);
        if proposal.missing.is_empty() && proposal.verdict.passes {
            prop_assert_eq!((proposal.stores.len(), proposal.bags.len()), (stores, bags));
        }
        let kit: Vec<KitItem<'_>> = proposal
            .picks
            .iter()
            .map(|pick| {
                let mut things = things.iter();
                let thing = things.find(|thing| thing.item.id == pick.item).unwrap();
                KitItem { position: Some(&pick.position), ..thing.kit_item() }
            })
            .collect();
        prop_assert!(holds(&plan, &kit));
    }
}

#[test]
fn a_plan_without_its_lengths_is_told_and_no_rope_is_called_too_short() {
    let job = job(|draft| draft.rig = "three-to-one".into());
    let missing = proposed(&job, &strong_kit()).missing;
    let rope = missing.iter().find(|missing| missing.position == "rope");
    let rope = rope.unwrap();
    assert!(
        rope.sentence.starts_with("How long the rope must be"),
        "{}",
        rope.sentence
    );
    assert!(rope.reasons.is_empty(), "{:?}", rope.reasons);
}
