//! Places, and which sets of them can fill every slot.
//!
//! Places are added one at a time. Where the places so far cannot fill every slot, Hall's theorem names slots that
//! share too few offers, and any set of places that can must bring another offer for one of them: only such places
//! are tried next. So every least set of places is met, and none is missed.

use std::collections::{BTreeMap, BTreeSet, HashSet};

use super::matching::Matching;
use super::search::Offer;

/// Where something lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Place {
    /// The store.
    pub store: usize,
    /// The bag in the store; none where it lies loose, or where the bag stands by itself and is the store.
    pub bag: Option<usize>,
}

/// Some stores and some bags.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Places {
    /// The stores.
    pub stores: BTreeSet<usize>,
    /// The bags in stores.
    pub bags: BTreeSet<usize>,
}

impl FromIterator<Place> for Places {
    fn from_iter<T: IntoIterator<Item = Place>>(all: T) -> Self {
        let mut places = Self::default();
        for place in all {
            places.stores.insert(place.store);
            places.bags.extend(place.bag);
        }
        places
    }
}

impl Places {
    /// Those that the others are not among.
    pub(super) fn beyond(&self, others: &Self) -> Self {
        Self {
            stores: self.stores.difference(&others.stores).copied().collect(),
            bags: self.bags.difference(&others.bags).copied().collect(),
        }
    }
}

/// How many sets of places are tried before the search for the fewest is given up.
const MOST_SETS: usize = 20_000;

/// How many sets were tried so far.
#[derive(Debug, Default)]
pub(super) struct Tried(usize);

impl Tried {
    /// Whether the search is given up.
    pub(super) fn is_too_many(&self) -> bool {
        self.0 > MOST_SETS
    }
}

/// What counts as a place: a store, or a bag.
pub(super) struct Level<'a> {
    /// The place of an offer; none for what is to be had without going anywhere.
    pub key: fn(&Offer) -> Option<usize>,
    /// The places that are gone to anyway.
    pub free: &'a BTreeSet<usize>,
}

impl Level<'_> {
    /// The offers of some places and the free ones.
    pub(super) fn within<'b>(
        &self,
        offers: &[&'b Offer],
        taken: &BTreeSet<usize>,
    ) -> Vec<&'b Offer> {
        let offers = offers.iter().copied();
        offers
            .filter(|offer| self.is_free(offer) || self.is_in(offer, taken))
            .collect()
    }

    fn is_free(&self, offer: &Offer) -> bool {
        (self.key)(offer).is_none_or(|place| self.free.contains(&place))
    }

    fn is_in(&self, offer: &Offer, taken: &BTreeSet<usize>) -> bool {
        (self.key)(offer).is_some_and(|place| taken.contains(&place))
    }

    /// The sets of so many places beyond the free ones that can fill every wanted slot, each without a place that could be
    /// left out if no smaller set does.
    pub(super) fn whole_sets(
        &self,
        offers: &[&Offer],
        wanted: &[usize],
        places: usize,
        tried: &mut Tried,
    ) -> Vec<BTreeSet<usize>> {
        let mut search = Search::of(self, offers, wanted);
        search.go(&mut BTreeSet::new(), places, tried);
        search.whole
    }
}

/// What one place has to offer.
#[derive(Default)]
struct Shelf<'a> {
    offers: Vec<&'a Offer>,
    /// For each slot whether something here can fill it.
    fills: Vec<bool>,
}

struct Search<'a> {
    wanted: &'a [usize],
    /// What is to be had without going anywhere.
    free: Vec<&'a Offer>,
    shelves: BTreeMap<usize, Shelf<'a>>,
    seen: HashSet<BTreeSet<usize>>,
    whole: Vec<BTreeSet<usize>>,
}

impl<'a> Search<'a> {
    fn of(level: &Level<'_>, offers: &[&'a Offer], wanted: &'a [usize]) -> Self {
        let mut free = Vec::new();
        let mut shelves: BTreeMap<usize, Shelf<'a>> = BTreeMap::new();
        for offer in offers.iter().copied() {
            let place = (level.key)(offer).filter(|place| !level.free.contains(place));
            let Some(place) = place else {
                free.push(offer);
                continue;
            };
            let shelf = shelves.entry(place).or_default();
            shelf.fills.resize(offer.costs.len(), false);
            for (fills, cost) in shelf.fills.iter_mut().zip(&offer.costs) {
                *fills |= cost.is_some();
            }
            shelf.offers.push(offer);
        }
        Self {
            wanted,
            free,
            shelves,
            seen: HashSet::new(),
            whole: Vec::new(),
        }
    }

    /// Keeps every set with `more` places beyond those that are `taken` that can do it.
    fn go(&mut self, taken: &mut BTreeSet<usize>, more: usize, tried: &mut Tried) {
        tried.0 += 1;
        if tried.is_too_many() || !self.seen.insert(taken.clone()) {
            return;
        }
        let mut offers = self.free.clone();
        for place in taken.iter() {
            offers.extend(&self.shelves[place].offers);
        }
        let matching = Matching::of(self.wanted, &offers);
        if matching.is_whole() {
            self.whole.push(taken.clone());
            return;
        }
        if more == 0 {
            return;
        }
        let starved = &matching.starved[0];
        let shelves = self.shelves.iter();
        let next: Vec<usize> = shelves
            .filter(|(place, _)| !taken.contains(place))
            .filter(|(_, shelf)| starved.iter().any(|slot| shelf.fills[*slot]))
            .map(|(place, _)| *place)
            .collect();
        for place in next {
            taken.insert(place);
            self.go(taken, more - 1, tried);
            taken.remove(&place);
        }
    }
}
