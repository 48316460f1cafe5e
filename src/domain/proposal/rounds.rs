//! Kits tried one after the other: what is not strong enough is passed over, and the search made again. Where none holds,
//! what is not strong enough is the strongest that there is.

use std::{
    cmp::Reverse,
    collections::{BTreeMap, BTreeSet},
};

use super::Stock;
use super::cost::cost_of_the_weak;
use super::places::Places;
use super::search::{self, Filling, Offer};
use super::stock::{Market, Meeting};
use crate::domain::fitness::Plan;
use crate::domain::kit_strength::{Extent, KitVerdict, Rest, kit_verdict, rest_of, tightest};
use crate::domain::{ModelId, Shortfall};
use crate::rigging::{Assessment, Check};

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
        let failing = failing(
            (tried.answer(), &tried.verdict),
            stock,
            market,
            &tried.filling,
        );
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
    let nearest =
        nearest.unwrap_or_else(|| Tried::of(plan, market, Filling::nothing(market.slots.len())));
    stronger(&nearest, (plan, market), &combinations, &mut meeting).unwrap_or(nearest)
}

/// The same kit with what lacks least at each position at which it is not strong enough, wherever that lies; none where it
/// is strong enough, or where that is no nearer.
fn stronger(
    tried: &Tried,
    (plan, market): (&Plan<'_>, &Market<'_>),
    combinations: &[BTreeMap<usize, usize>],
    meeting: &mut Meeting,
) -> Option<Tried> {
    let weak = tried.weak(market);
    if weak.is_empty() {
        return None;
    }
    let group = market.groups_of_items();
    let cost = |slot: usize, offer: &Offer| {
        let usual = offer.costs[slot]?;
        if !weak.contains(&slot) {
            return Some(usual).filter(|_| tried.filling.names[slot] == Some(offer.name));
        }
        let room = market.room.at(slot, *group.get(&offer.name)?)?;
        Some(cost_of_the_weak(room, usual))
    };
    let offers = |ropes| {
        let mut offers = market.offers(ropes, &[], meeting);
        for offer in &mut offers {
            offer.costs = (0..market.slots.len())
                .map(|slot| cost(slot, offer))
                .collect();
        }
        offers.retain(|offer| offer.costs.iter().any(Option::is_some));
        offers
    };
    let variants: Vec<Vec<Offer>> = combinations.iter().map(offers).collect();
    let everywhere: Places = variants.iter().flatten().map(|offer| offer.place).collect();
    let filling = search::best(market.slots.len(), &variants, &everywhere)?;
    let is_as_full = market.filled_that_must(&filling) >= market.filled_that_must(&tried.filling);
    let stronger = Tried::of(plan, market, filling);
    (is_as_full && tried.rank() < stronger.rank()).then_some(stronger)
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
    /// How much it lacks at these, all together.
    short: Shortfall,
}

impl Tried {
    fn of(plan: &Plan<'_>, market: &Market<'_>, filling: Filling) -> Self {
        let kit = market.kit(&filling);
        let mut tried = Self {
            verdict: kit_verdict(plan, &kit, Extent::Answer),
            rest: rest_of(plan, &kit),
            fails: 0,
            short: Shortfall::default(),
            filling,
        };
        let answered = (tried.answer(), &tried.verdict);
        tried.fails = failing(answered, market.stock, market, &tried.filling).len();
        let weak = tried.weak(market).into_iter();
        let lacks = weak.filter_map(|slot| tried.tightest(market.slots[slot].key()));
        tried.short = lacks.map(|check| Shortfall::of(check.room(), 1.0)).sum();
        tried
    }

    /// The check with the least over what is asked at a position.
    pub(super) fn tightest(&self, position: &str) -> Option<&Check> {
        let checks = self.answer()?.checks.iter();
        tightest(checks.filter(|check| check.position == position))
    }

    /// The slots at which something new is not strong enough.
    fn weak(&self, market: &Market<'_>) -> BTreeSet<usize> {
        let names = self.filling.names.iter().enumerate();
        let filled = names.filter_map(|(slot, name)| name.map(|_| slot));
        filled
            .filter(|slot| {
                let check = self.tightest(market.slots[*slot].key());
                check.is_some_and(|check| !check.passes)
            })
            .collect()
    }

    /// The numbers of what is filled, if there are any.
    pub(super) fn answer(&self) -> Option<&Assessment> {
        let rest = || self.rest.as_ref()?.assessment.as_ref();
        self.verdict.assessment.as_ref().or_else(rest)
    }

    /// The higher, the nearer: one of which there is an answer before one of which there is none, so that a refusal names
    /// what cannot be helped; then one that fails at fewer positions, then one that lacks less at them.
    fn rank(&self) -> (bool, bool, Reverse<usize>, Reverse<Shortfall>) {
        let answered = self.answer().is_some();
        let lacks = (Reverse(self.fails), Reverse(self.short));
        (self.verdict.passes, answered, lacks.0, lacks.1)
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
