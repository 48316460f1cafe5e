//! A kit that is taken from one store first, held against trying every kit there is.

use proptest::prelude::*;
use ropeloft::domain::fitness::{KitItem, Plan};
use ropeloft::domain::proposal::{Stock, propose};
use ropeloft::domain::{Job, JobDraft, StoreId};

use crate::fitness_case::{Thing, job, rope};
use crate::proposal::{every_kit, of_store, slots_of, stock, strong_kit, things};

fn from_first(store: StoreId) -> Job {
    job(|draft: &mut JobDraft| draft.first_from = store.to_string())
}

#[test]
fn what_lies_in_the_store_that_is_said_goes_before_fewer_stores() {
    let (van, bay) = (StoreId::new(), StoreId::new());
    // The van has all of it; the bay has a rope alone.
    let mut things: Vec<Thing> = strong_kit()
        .into_iter()
        .map(|thing| of_store(thing, van))
        .collect();
    things.push(of_store(rope().with(&[("length", "200 m")]), bay));
    let last = things.len() - 1;
    let proposed = |job: &Job| propose(&Plan::of(job).unwrap(), &stock(&things, &[]));
    assert_eq!(proposed(&job(|_| {})).stores, [van]);
    let proposal = proposed(&from_first(bay));
    assert!(proposal.is_whole() && proposal.is_least);
    let of_bay = proposal.picks.iter();
    let of_bay: Vec<_> = of_bay
        .filter(|pick| pick.item == things[last].item.id)
        .collect();
    assert_eq!(of_bay.len(), 1);
    assert!(
        of_bay[0]
            .why
            .contains(&"It lies where this job takes from first.".to_owned())
    );
    let mut stores = proposal.stores.clone();
    stores.sort_unstable();
    let mut both = [van, bay];
    both.sort_unstable();
    assert_eq!(stores, both);
    let others = proposal
        .picks
        .iter()
        .filter(|pick| pick.item != things[last].item.id);
    for pick in others {
        let why = "Nothing that lies where this job takes from first may go here.";
        assert!(pick.why.contains(&why.to_owned()), "{pick:?}");
    }
    // A store in which nothing of it lies changes nothing.
    assert_eq!(proposed(&from_first(StoreId::new())).stores, [van]);
}

/// How many positions are filled; of those kits the fewest places beyond the first one, and of these the most from it.
type Count = (usize, (usize, usize), usize);

fn exhaustive(plan: &Plan<'_>, stock: &Stock<'_>, things: &[Thing], first: StoreId) -> Count {
    let mut best: Option<Count> = None;
    let mut keep = |kit: &[KitItem<'_>]| {
        let this = count(kit, stock, first);
        let rank = |(filled, places, of_first): Count| {
            (
                std::cmp::Reverse(filled),
                places,
                std::cmp::Reverse(of_first),
            )
        };
        if best.is_none_or(|best| rank(this) < rank(best)) {
            best = Some(this);
        }
    };
    every_kit(plan, things, &slots_of(plan), &mut Vec::new(), &mut keep);
    best.unwrap()
}

fn count(kit: &[KitItem<'_>], stock: &Stock<'_>, first: StoreId) -> Count {
    let within = |id: StoreId| stock.within.get(&id).copied();
    let lies = |item: &KitItem<'_>| {
        let bag = item.item.store;
        (within(bag).unwrap_or(bag), within(bag).map(|_| bag))
    };
    let (mut stores, mut bags) = (Vec::new(), Vec::new());
    for item in kit {
        let (store, bag) = lies(item);
        stores.push(store);
        bags.extend(bag);
    }
    let free = within(first).unwrap_or(first);
    stores.retain(|store| *store != free);
    bags.retain(|bag| *bag != first);
    for places in [&mut stores, &mut bags] {
        places.sort_unstable();
        places.dedup();
    }
    let of_first = kit.iter().filter(|item| {
        let (store, bag) = lies(item);
        store == first || bag == Some(first)
    });
    (kit.len(), (stores.len(), bags.len()), of_first.count())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// Trying every kit fills no more positions; and where all are filled, from no fewer places beyond the first, and with
    /// no more from the first.
    #[test]
    fn no_kit_that_could_be_tried_takes_more_from_there((things, within) in things(), which in 0..8_usize) {
        let first = things[which % things.len()].item.store;
        let job = job(|draft: &mut JobDraft| {
            draft.rig = "two-to-one".into();
            draft.first_from = first.to_string();
        });
        let plan = Plan::of(&job).unwrap();
        let stock = Stock { within: &within, ..stock(&things, &[]) };
        let proposal = propose(&plan, &stock);
        let expected = exhaustive(&plan, &stock, &things, first);
        prop_assert_eq!(proposal.picks.len(), expected.0, "{:?}", proposal.missing);
        if proposal.missing.is_empty() && proposal.verdict.passes {
            let kit: Vec<KitItem<'_>> = proposal.picks.iter().map(|pick| {
                let mut things = things.iter();
                let thing = things.find(|thing| thing.item.id == pick.item).unwrap();
                KitItem { position: Some(&pick.position), ..thing.kit_item() }
            }).collect();
            prop_assert_eq!(count(&kit, &stock, first), expected);
        }
    }
}
