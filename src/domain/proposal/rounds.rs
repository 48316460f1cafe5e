//! Kits tried one after the other: what is not strong enough is passed over, and the search made again.

use std::{cmp::Reverse, collections::BTreeSet};

use super::Stock;
use super::search::{self, Filling, Offer};
use super::stock::{Market, Meeting};
use crate::domain::ModelId;
use crate::domain::fitness::Plan;
use crate::domain::kit_strength::{Extent, KitVerdict, Rest, kit_verdict, rest_of};
use crate::rigging::Assessment;

/// How often what is not strong enough is passed over and the search made again.
pub(super) const MOST_ROUNDS: usize = 8;

/// The best kit, or where none does, the one that is nearest to it.
pub(super) fn nearest(plan: &Plan<'_>, stock: &Stock<'_>, market: &Market<'_>) -> Tried {
    let combinations = market.combinations();
    let free = market.lying.free();
    let mut meeting = Meeting::default();
    let mut barred: Vec<(usize, ModelId)> = Vec::new();
    let mut nearest: Option<Tried> = None;
    for _ in 0..MOST_ROUNDS {
        let variants: Vec<_> = combinations
            .iter()
            .map(|ropes| market.offers(ropes, &barred, &mut meeting))
            .collect();
        let Some(filling) = search::best(market.slots.len(), &variants, &free) else {
            break;
        };
        let filled = market.filled_that_must(&filling);
        let before = nearest.as_ref().map(|before| &before.filling);
        if before.is_some_and(|before| filled < market.filled_that_must(before)) {
            break;
        }
        let tried = Tried::of(plan, market, filling);
        let failing = tried.failing(stock, market);
        let tried = Tried {
            fails: failing.len(),
            ..tried
        };
        let ends = tried.verdict.passes;
        if nearest
            .as_ref()
            .is_none_or(|before| before.rank() < tried.rank())
        {
            nearest = Some(tried);
        }
        let before = barred.len();
        barred.extend(replaceable(failing, market, stock, &variants));
        if ends || barred.len() == before {
            break;
        }
    }
    nearest.unwrap_or_else(|| Tried::of(plan, market, Filling::nothing(market.slots.len())))
}

/// Those of what fails in whose place something else may go, or nothing. What nothing else can stand in for is in the way
/// whatever is taken elsewhere.
fn replaceable(
    mut failing: Vec<(usize, ModelId)>,
    market: &Market<'_>,
    stock: &Stock<'_>,
    variants: &[Vec<Offer>],
) -> Vec<(usize, ModelId)> {
    failing.retain(|(slot, model)| {
        let mut offers = variants.iter().flatten();
        market.slots[*slot].is_optional()
            || offers.any(|offer| {
                offer.costs[*slot].is_some() && stock.items[offer.name].model.id != *model
            })
    });
    failing
}

/// A kit that was put together, and how far it is from one that does.
pub(super) struct Tried {
    pub filling: Filling,
    pub verdict: KitVerdict,
    /// What can be judged of it where a position stays empty.
    pub rest: Option<Rest>,
    /// At how many positions it fails.
    fails: usize,
}

impl Tried {
    fn of(plan: &Plan<'_>, market: &Market<'_>, filling: Filling) -> Self {
        let kit = market.kit(&filling);
        Self {
            verdict: kit_verdict(plan, &kit, Extent::Answer),
            rest: rest_of(plan, &kit),
            fails: 0,
            filling,
        }
    }

    /// The numbers of what is filled, if there are any.
    pub(super) fn answer(&self) -> Option<&Assessment> {
        let rest = || self.rest.as_ref()?.assessment.as_ref();
        self.verdict.assessment.as_ref().or_else(rest)
    }

    /// The higher, the nearer: one of which there is an answer before one of which there is none, so that a refusal names
    /// what cannot be helped.
    fn rank(&self) -> (bool, bool, Reverse<usize>) {
        let answered = self.answer().is_some();
        (self.verdict.passes, answered, Reverse(self.fails))
    }

    /// The new items that are not strong enough, or whose approval holds only in a set, at their slots.
    fn failing(&self, stock: &Stock<'_>, market: &Market<'_>) -> Vec<(usize, ModelId)> {
        failing((self.answer(), &self.verdict), stock, market, &self.filling)
    }
}

/// The new items that are not strong enough by an answer, or whose approval holds only in a set, at their slots.
pub(super) fn failing(
    (answer, verdict): (Option<&Assessment>, &KitVerdict),
    stock: &Stock<'_>,
    market: &Market<'_>,
    filling: &Filling,
) -> Vec<(usize, ModelId)> {
    let weak = answer.into_iter().flat_map(Assessment::failing);
    let weak = weak.map(|check| check.position.as_str());
    let gaps = verdict
        .gaps
        .iter()
        .filter_map(|gap| gap.position.as_deref());
    let keys: BTreeSet<&str> = weak.chain(gaps).collect();
    let names = filling.names.iter().enumerate();
    names
        .filter(|(slot, _)| keys.contains(market.slots[*slot].key()))
        .filter_map(|(slot, name)| Some((slot, stock.items[(*name)?].model.id)))
        .collect()
}
