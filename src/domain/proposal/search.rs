//! Filling every slot from as few stores as possible, among those from as few bags, and among those at the least cost.
//! Pure numbers.
//!
//! Which sets of stores can fill every slot is searched in [`places`](super::places), the smallest first; within each
//! such set the same search finds the smallest sets of bags, where what lies loose in a store of the set is free. A
//! filling from the fewest stores lies in one of these sets, and one from the fewest bags of it in one of those, so that
//! none is missed. Within a set, which offer fills which slot is an assignment problem, solved exactly by the Hungarian
//! method of the library `pathfinding`.

use pathfinding::kuhn_munkres::kuhn_munkres_min;
use pathfinding::matrix::Matrix;

use super::matching::{Matching, Suits};
use super::places::{Level, Place, Places, Tried};

/// What an offer costs where it cannot go: more than any whole assignment costs.
const NEVER: i64 = 1 << 56;
/// What a slot costs that stays empty: more than all costs of offers together.
const EMPTY: i64 = 1 << 51;
/// The greatest cost of one offer; 64 of them are still less than one empty slot.
pub(super) const DEAREST: i64 = 1 << 44;

/// Something that can fill slots.
#[derive(Clone, Debug)]
pub(super) struct Offer {
    /// What it is, for whoever asks.
    pub name: usize,
    /// The place that it is taken from.
    pub place: Place,
    /// For each slot its cost there, at most [`DEAREST`]; none where it cannot go.
    pub costs: Vec<Option<i64>>,
}

impl Suits for &Offer {
    fn suits(&self, slot: usize) -> bool {
        self.costs[slot].is_some()
    }
}

/// What fills the slots, and at what cost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Filling {
    /// For each slot the name of the offer.
    pub names: Vec<Option<usize>>,
    /// The sum of the costs.
    pub cost: i64,
    /// The stores and bags beyond those that were free.
    pub places: Places,
    /// Whether no filling from fewer stores, none from fewer bags of as few stores, and none at less cost exists.
    pub is_least: bool,
}

impl Filling {
    /// Nothing in any slot.
    pub(super) fn nothing(slots: usize) -> Self {
        Self {
            names: vec![None; slots],
            cost: 0,
            places: Places::default(),
            is_least: true,
        }
    }

    /// What is least, in the order of its weight.
    fn rank(&self) -> (usize, usize, i64) {
        (self.places.stores.len(), self.places.bags.len(), self.cost)
    }
}

/// A variant of the puzzle that fills as many slots as any.
struct Variant<'a> {
    offers: Vec<&'a Offer>,
    wanted: Vec<usize>,
}

/// The best filling of some variants of one puzzle, each of which offers the same things with other costs: as many
/// slots as possible, from as few stores and then as few bags beyond the `free` ones as possible, at the least cost.
/// None where there is no variant.
pub(super) fn best(slots: usize, variants: &[Vec<Offer>], free: &Places) -> Option<Filling> {
    let all: Vec<usize> = (0..slots).collect();
    let filled = |offers: &[Offer]| {
        let offers: Vec<&Offer> = offers.iter().collect();
        Matching::of(&all, &offers).filled.iter().flatten().count()
    };
    let counts: Vec<usize> = variants.iter().map(|offers| filled(offers)).collect();
    let most = *counts.iter().max()?;
    let open: Vec<Variant<'_>> = variants
        .iter()
        .zip(counts)
        .filter(|(_, count)| *count == most)
        .map(|(offers, count)| Variant {
            wanted: if count == slots {
                all.clone()
            } else {
                fillable(slots, offers)
            },
            offers: offers.iter().collect(),
        })
        .collect();
    let mut tried = Tried::default();
    if let Some(filling) = from_fewest(slots, &open, most, free, &mut tried) {
        return Some(Filling {
            is_least: !tried.is_too_many(),
            ..filling
        });
    }
    let everywhere = open.iter().filter_map(|variant| {
        let mut filling = fill(&variant.wanted, slots, &variant.offers, free, i64::MAX)?;
        filling.is_least = false;
        Some(filling)
    });
    everywhere.min_by_key(Filling::rank)
}

/// The best filling from the fewest stores, and of those from the fewest bags; none where too many sets would have to be
/// tried.
fn from_fewest(
    slots: usize,
    open: &[Variant<'_>],
    most: usize,
    free: &Places,
    tried: &mut Tried,
) -> Option<Filling> {
    let by_store = Level {
        key: |offer| Some(offer.place.store),
        free: &free.stores,
    };
    for stores in 0..=most {
        let mut narrowed: Vec<Variant<'_>> = Vec::new();
        for variant in open {
            for set in by_store.whole_sets(&variant.offers, &variant.wanted, stores, tried) {
                narrowed.push(Variant {
                    offers: by_store.within(&variant.offers, &set),
                    wanted: variant.wanted.clone(),
                });
            }
        }
        if !narrowed.is_empty() {
            return from_fewest_bags(slots, &narrowed, most, free, tried);
        }
        if tried.is_too_many() {
            break;
        }
    }
    None
}

/// The best filling from the fewest bags. Each variant has the offers of one set of stores, each of which it needs.
fn from_fewest_bags(
    slots: usize,
    narrowed: &[Variant<'_>],
    most: usize,
    free: &Places,
    tried: &mut Tried,
) -> Option<Filling> {
    let by_bag = Level {
        key: |offer| offer.place.bag,
        free: &free.bags,
    };
    for bags in 0..=most {
        let mut found: Option<Filling> = None;
        for Variant { offers, wanted } in narrowed {
            for set in by_bag.whole_sets(offers, wanted, bags, tried) {
                let limit = found.as_ref().map_or(i64::MAX, |best| best.cost);
                let offers = by_bag.within(offers, &set);
                found = fill(wanted, slots, &offers, free, limit).or(found);
            }
        }
        if found.is_some() {
            return found;
        }
        if tried.is_too_many() {
            break;
        }
    }
    // The stores are as few as can be; from which of their bags is not settled any more.
    let every = narrowed.iter();
    every
        .filter_map(|one| fill(&one.wanted, slots, &one.offers, free, i64::MAX))
        .min_by_key(Filling::rank)
}

/// The slots that a cheapest largest filling fills; all of them where all can be.
fn fillable(slots: usize, offers: &[Offer]) -> Vec<usize> {
    let offers: Vec<&Offer> = offers.iter().collect();
    let all: Vec<usize> = (0..slots).collect();
    let filling = fill(&all, slots, &offers, &Places::default(), i64::MAX);
    let names = filling.map(|filling| filling.names).unwrap_or_default();
    (0..slots)
        .filter(|slot| names.get(*slot).is_some_and(Option::is_some))
        .collect()
}

/// The cheapest filling from some offers; none that costs as much as the limit.
fn fill(
    wanted: &[usize],
    slots: usize,
    offers: &[&Offer],
    free: &Places,
    limit: i64,
) -> Option<Filling> {
    if wanted.is_empty() {
        return Some(Filling::nothing(slots));
    }
    let least = |slot: &usize| offers.iter().filter_map(|offer| offer.costs[*slot]).min();
    let bound: i64 = wanted.iter().map(|slot| least(slot).unwrap_or(EMPTY)).sum();
    if bound >= limit {
        return None;
    }
    let columns = offers.len() + wanted.len();
    let costs = Matrix::from_fn(wanted.len(), columns, |(row, column)| {
        match offers.get(column) {
            Some(offer) => offer.costs[wanted[row]].unwrap_or(NEVER),
            None if column - offers.len() == row => EMPTY,
            None => NEVER,
        }
    });
    let (_, chosen) = kuhn_munkres_min(&costs);
    let mut names = vec![None; slots];
    let mut cost = 0;
    let mut places = Vec::new();
    for (row, column) in chosen.into_iter().enumerate() {
        let slot = wanted[row];
        match offers.get(column) {
            Some(offer) => {
                names[slot] = Some(offer.name);
                cost += offer.costs[slot].unwrap_or(NEVER);
                places.push(offer.place);
            }
            None => cost += EMPTY,
        }
    }
    let places = Places::from_iter(places).beyond(free);
    (cost < limit).then_some(Filling {
        names,
        cost,
        places,
        is_least: true,
    })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Stores, then bags, then cost.
    type Rank = (usize, usize, i64);

    /// Every way to fill the slots: the most slots, then the fewest stores, then the fewest bags, then the least cost.
    fn exhaustive(slots: usize, offers: &[Offer], free: &Places) -> (usize, Rank) {
        fn go(
            slot: usize,
            slots: usize,
            offers: &[Offer],
            used: &mut Vec<usize>,
            cost: i64,
            keep: &mut impl FnMut(&[usize], i64),
        ) {
            if slot == slots {
                keep(used, cost);
                return;
            }
            go(slot + 1, slots, offers, used, cost, keep);
            for (index, offer) in offers.iter().enumerate() {
                let Some(price) = offer.costs[slot].filter(|_| !used.contains(&index)) else {
                    continue;
                };
                used.push(index);
                go(slot + 1, slots, offers, used, cost + price, keep);
                used.pop();
            }
        }
        let mut best = (0, (usize::MAX, usize::MAX, i64::MAX));
        let mut keep = |used: &[usize], cost: i64| {
            let places: Places = used.iter().map(|index| offers[*index].place).collect();
            let beyond = places.beyond(free);
            let this = (used.len(), (beyond.stores.len(), beyond.bags.len(), cost));
            if key(this) < key(best) {
                best = this;
            }
        };
        go(0, slots, offers, &mut Vec::new(), 0, &mut keep);
        best
    }

    fn key((filled, rank): (usize, Rank)) -> (std::cmp::Reverse<usize>, Rank) {
        (std::cmp::Reverse(filled), rank)
    }

    /// One of four stores; loose in it, or in one of its two bags.
    fn place() -> impl Strategy<Value = Place> {
        (0..4_usize, prop::option::of(0..2_usize)).prop_map(|(store, bag)| Place {
            store,
            bag: bag.map(|bag| store * 2 + bag),
        })
    }

    fn offers(slots: usize) -> impl Strategy<Value = Vec<Offer>> {
        let costs = prop::collection::vec(prop::option::weighted(0.45, 0..50_i64), slots);
        let offer = (place(), costs);
        prop::collection::vec(offer, 0..7).prop_map(|offers| {
            offers
                .into_iter()
                .enumerate()
                .map(|(name, (place, costs))| Offer { name, place, costs })
                .collect()
        })
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(600))]

        /// Where all slots can be filled the answer is the exhaustive one; where not, it fills as many.
        #[test]
        fn equals_exhaustive_search(
            variants in prop::collection::vec(offers(4), 1..4),
            free in prop::collection::vec(place(), 0..3),
        ) {
            let free: Places = free.into_iter().collect();
            let found = best(4, &variants, &free).unwrap();
            let each = variants.iter().map(|offers| exhaustive(4, offers, &free));
            let expected = each.min_by_key(|best| key(*best)).unwrap();
            let filled = found.names.iter().flatten().count();
            prop_assert_eq!(filled, expected.0);
            if filled == 4 {
                prop_assert_eq!(found.rank(), expected.1);
                prop_assert!(found.is_least);
            }
        }

        /// Nothing is taken twice, and nothing goes where it cannot.
        #[test]
        fn fills_each_slot_with_an_offer_of_its_own(offers in offers(5)) {
            let found = best(5, std::slice::from_ref(&offers), &Places::default()).unwrap();
            let names: Vec<usize> = found.names.iter().flatten().copied().collect();
            let once: std::collections::BTreeSet<usize> = names.iter().copied().collect();
            prop_assert_eq!(names.len(), once.len());
            for (slot, name) in found.names.iter().enumerate() {
                prop_assert!(name.is_none_or(|name| offers[name].costs[slot].is_some()));
            }
        }
    }

    #[test]
    fn follows_a_chain_of_forced_places() {
        // 40 slots that each only one of 40 places fills: no fewer will do, and that is proved.
        let offers: Vec<Offer> = (0..40).map(|slot| of(slot, slot, slot, 40)).collect();
        let found = best(40, &[offers], &Places::default()).unwrap();
        assert_eq!(found.rank(), (40, 0, 40));
        assert!(found.is_least);
    }

    #[test]
    fn says_so_where_there_are_too_many_sets_to_try() {
        // 8 slots with 10 places of their own each: ten million sets of eight.
        let offers: Vec<Offer> = (0..80).map(|name| of(name, name, name / 10, 8)).collect();
        let found = best(8, &[offers], &Places::default()).unwrap();
        assert_eq!(found.names.iter().flatten().count(), 8);
        assert!(!found.is_least);
    }

    #[test]
    fn another_bag_is_less_than_another_store() {
        // Slot 0 is filled by what lies in bag 0 of store 0; slot 1 by what lies in its bag 1, or loose in store 1.
        let lying = |store, bag| Place { store, bag };
        let mut offers = vec![of(0, 0, 0, 2), of(1, 0, 1, 2), of(2, 1, 1, 2)];
        (offers[0].place, offers[1].place) = (lying(0, Some(0)), lying(0, Some(1)));
        let found = best(2, &[offers.clone()], &Places::default()).unwrap();
        assert_eq!((found.names, found.cost), (vec![Some(0), Some(1)], 2));
        // Where store 1 is gone to anyway, no bag of store 0 is opened but the one that must be.
        let free = Places::from_iter([lying(1, None)]);
        let found = best(2, &[offers.clone()], &free).unwrap();
        assert_eq!(found.names, [Some(0), Some(2)]);
        // What lies loose in a store of the set is no bag.
        offers.push(of(3, 0, 1, 2));
        let found = best(2, &[offers], &Places::default()).unwrap();
        assert_eq!(
            (found.names, found.places.bags.len()),
            (vec![Some(0), Some(3)], 1)
        );
    }

    /// An offer that fills one slot, at the cost of 1.
    fn of(name: usize, store: usize, slot: usize, slots: usize) -> Offer {
        let mut costs = vec![None; slots];
        costs[slot] = Some(1);
        let place = Place { store, bag: None };
        Offer { name, place, costs }
    }
}
