//! Filling every slot from as few places as possible, and among those at the least cost. Pure numbers.
//!
//! Places are added one at a time. Where the places so far cannot fill every slot, Hall's theorem names slots that
//! share too few offers, and any set of places that can must bring another offer for one of them: only such places
//! are tried next. So every least set of places is met, and none is missed. Within a set, which offer fills which
//! slot is an assignment problem, solved exactly by the Hungarian method of the library `pathfinding`.

use std::collections::{BTreeSet, HashSet};

use pathfinding::kuhn_munkres::kuhn_munkres_min;
use pathfinding::matrix::Matrix;

use super::matching::{Matching, Suits};

/// What an offer costs where it cannot go: more than any whole assignment costs.
const NEVER: i64 = 1 << 55;
/// What a slot costs that stays empty: more than all costs of offers together.
const EMPTY: i64 = 1 << 50;
/// The greatest cost of one offer; 64 of them are still less than one empty slot.
pub(super) const DEAREST: i64 = 1 << 43;
/// How many sets of places are tried before the search for the fewest is given up.
const MOST_SETS: usize = 20_000;

/// Something that can fill slots.
#[derive(Clone, Debug)]
pub(super) struct Offer {
    /// What it is, for whoever asks.
    pub name: usize,
    /// The place that it is taken from.
    pub place: usize,
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
    /// The places beyond those that were free, in order.
    pub places: BTreeSet<usize>,
    /// Whether no filling from fewer places, and none at less cost from as few, exists.
    pub is_least: bool,
}

impl Filling {
    /// Nothing in any slot.
    pub(super) fn nothing(slots: usize) -> Self {
        Self {
            names: vec![None; slots],
            cost: 0,
            places: BTreeSet::new(),
            is_least: true,
        }
    }
}

/// The best filling of some variants of one puzzle, each of which offers the same things with other costs: as many
/// slots as possible, from as few places beyond the `free` ones as possible, at the least cost. None where there is
/// no variant.
pub(super) fn best(
    slots: usize,
    variants: &[Vec<Offer>],
    free: &BTreeSet<usize>,
) -> Option<Filling> {
    let all: Vec<usize> = (0..slots).collect();
    let filled = |offers: &[Offer]| {
        let offers: Vec<&Offer> = offers.iter().collect();
        Matching::of(&all, &offers).filled.iter().flatten().count()
    };
    let counts: Vec<usize> = variants.iter().map(|offers| filled(offers)).collect();
    let most = *counts.iter().max()?;
    let open: Vec<(&Vec<Offer>, Vec<usize>)> = variants
        .iter()
        .zip(counts)
        .filter(|(_, count)| *count == most)
        .map(|(offers, _)| (offers, fillable(slots, offers)))
        .collect();
    let mut tried = 0;
    for places in 0..=most {
        let mut found: Option<Filling> = None;
        for (offers, wanted) in &open {
            let mut sets = Sets::new(offers, wanted, free);
            sets.search(&mut BTreeSet::new(), places, &mut tried);
            for set in sets.whole {
                let limit = found.as_ref().map_or(i64::MAX, |best| best.cost);
                found = fill(wanted, slots, offers, free, set, limit).or(found);
            }
        }
        if let Some(mut filling) = found {
            filling.is_least = tried <= MOST_SETS;
            return Some(filling);
        }
        if tried > MOST_SETS {
            break;
        }
    }
    open.iter()
        .filter_map(|(offers, wanted)| {
            let every = offers.iter().map(|offer| offer.place).collect();
            let mut filling = fill(wanted, slots, offers, free, every, i64::MAX)?;
            filling.is_least = false;
            Some(filling)
        })
        .min_by_key(|filling| (filling.places.len(), filling.cost))
}

/// The slots that a cheapest largest filling fills; all of them where all can be.
fn fillable(slots: usize, offers: &[Offer]) -> Vec<usize> {
    let every = offers.iter().map(|offer| offer.place).collect();
    let all: Vec<usize> = (0..slots).collect();
    let filling = fill(&all, slots, offers, &BTreeSet::new(), every, i64::MAX);
    let names = filling.map(|filling| filling.names).unwrap_or_default();
    (0..slots)
        .filter(|slot| names.get(*slot).is_some_and(Option::is_some))
        .collect()
}

/// The sets of places that can fill every wanted slot.
struct Sets<'a> {
    offers: &'a [Offer],
    wanted: &'a [usize],
    free: &'a BTreeSet<usize>,
    seen: HashSet<BTreeSet<usize>>,
    whole: Vec<BTreeSet<usize>>,
}

impl<'a> Sets<'a> {
    fn new(offers: &'a [Offer], wanted: &'a [usize], free: &'a BTreeSet<usize>) -> Self {
        Self {
            offers,
            wanted,
            free,
            seen: HashSet::new(),
            whole: Vec::new(),
        }
    }

    /// Keeps every set with `more` places beyond those that are `taken` that can do it.
    fn search(&mut self, taken: &mut BTreeSet<usize>, more: usize, tried: &mut usize) {
        *tried += 1;
        if *tried > MOST_SETS || !self.seen.insert(taken.clone()) {
            return;
        }
        let offers = within(self.offers, self.free, taken);
        let matching = Matching::of(self.wanted, &offers);
        if matching.is_whole() {
            self.whole.push(taken.clone());
            return;
        }
        if more == 0 {
            return;
        }
        let starved = &matching.starved[0];
        let next: BTreeSet<usize> = self
            .offers
            .iter()
            .filter(|offer| !self.free.contains(&offer.place) && !taken.contains(&offer.place))
            .filter(|offer| starved.iter().any(|slot| offer.costs[*slot].is_some()))
            .map(|offer| offer.place)
            .collect();
        for place in next {
            taken.insert(place);
            self.search(taken, more - 1, tried);
            taken.remove(&place);
        }
    }
}

fn within<'a>(
    offers: &'a [Offer],
    free: &BTreeSet<usize>,
    taken: &BTreeSet<usize>,
) -> Vec<&'a Offer> {
    offers
        .iter()
        .filter(|offer| free.contains(&offer.place) || taken.contains(&offer.place))
        .collect()
}

/// The cheapest filling from a set of places; none that costs as much as the limit.
fn fill(
    wanted: &[usize],
    slots: usize,
    offers: &[Offer],
    free: &BTreeSet<usize>,
    set: BTreeSet<usize>,
    limit: i64,
) -> Option<Filling> {
    let offers = within(offers, free, &set);
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
    let mut places = BTreeSet::new();
    for (row, column) in chosen.into_iter().enumerate() {
        let slot = wanted[row];
        match offers.get(column) {
            Some(offer) => {
                names[slot] = Some(offer.name);
                cost += offer.costs[slot].unwrap_or(NEVER);
                places.insert(offer.place);
            }
            None => cost += EMPTY,
        }
    }
    let places = places.difference(free).copied().collect();
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

    /// Every way to fill the slots: the most slots, then the fewest places, then the least cost.
    fn exhaustive(slots: usize, offers: &[Offer], free: &BTreeSet<usize>) -> (usize, usize, i64) {
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
        let mut best = (0, usize::MAX, i64::MAX);
        let mut keep = |used: &[usize], cost: i64| {
            let places: BTreeSet<usize> = used.iter().map(|index| offers[*index].place).collect();
            let beyond = places.difference(free).count();
            let key = |(filled, places, cost)| (std::cmp::Reverse(filled), places, cost);
            let this = (used.len(), beyond, cost);
            if key(this) < key(best) {
                best = this;
            }
        };
        go(0, slots, offers, &mut Vec::new(), 0, &mut keep);
        best
    }

    fn offers(slots: usize) -> impl Strategy<Value = Vec<Offer>> {
        let costs = prop::collection::vec(prop::option::weighted(0.45, 0..50_i64), slots);
        let offer = (0..4_usize, costs);
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
            free in prop::collection::btree_set(0..4_usize, 0..2),
        ) {
            let found = best(4, &variants, &free).unwrap();
            let key = |(filled, places, cost)| (std::cmp::Reverse(filled), places, cost);
            let expected = variants
                .iter()
                .map(|offers| exhaustive(4, offers, &free))
                .min_by_key(|best| key(*best))
                .unwrap();
            let filled = found.names.iter().flatten().count();
            prop_assert_eq!(filled, expected.0);
            if filled == 4 {
                prop_assert_eq!((found.places.len(), found.cost), (expected.1, expected.2));
                prop_assert!(found.is_least);
            }
        }

        /// Nothing is taken twice, and nothing goes where it cannot.
        #[test]
        fn fills_each_slot_with_an_offer_of_its_own(offers in offers(5)) {
            let found = best(5, std::slice::from_ref(&offers), &BTreeSet::new()).unwrap();
            let names: Vec<usize> = found.names.iter().flatten().copied().collect();
            let once: BTreeSet<usize> = names.iter().copied().collect();
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
        let found = best(40, &[offers], &BTreeSet::new()).unwrap();
        assert_eq!((found.places.len(), found.cost), (40, 40));
        assert!(found.is_least);
    }

    #[test]
    fn says_so_where_there_are_too_many_sets_to_try() {
        // 8 slots with 10 places of their own each: ten million sets of eight.
        let offers: Vec<Offer> = (0..80).map(|name| of(name, name, name / 10, 8)).collect();
        let found = best(8, &[offers], &BTreeSet::new()).unwrap();
        assert_eq!(found.names.iter().flatten().count(), 8);
        assert!(!found.is_least);
    }

    /// An offer that fills one slot, at the cost of 1.
    fn of(name: usize, place: usize, slot: usize, slots: usize) -> Offer {
        let mut costs = vec![None; slots];
        costs[slot] = Some(1);
        Offer { name, place, costs }
    }
}
