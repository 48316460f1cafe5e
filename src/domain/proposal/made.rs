//! Complete sets of particular items, and whether each is strong enough. Two sets never share an item: this is the
//! one place that deals items out to sets, and each is dealt once.

use std::collections::{HashMap, VecDeque};

use super::Stock;
use super::rounds::failing;
use super::search::Filling;
use super::sets::Most;
use super::stock::Market;
use crate::domain::ModelId;
use crate::domain::fitness::Plan;
use crate::domain::kit_strength::{Extent, kit_verdict};

/// An item of the stock for each slot.
pub(super) type Made = Vec<usize>;

/// The sets of particular items. `pools` has for each class the items that may be dealt, as many as are used at least.
pub(super) fn made(most: &Most, mut pools: Vec<VecDeque<usize>>) -> Vec<Made> {
    let mut made = Vec::new();
    for alike in &most.alike {
        let dealt: Vec<Vec<usize>> = alike
            .slots
            .iter()
            .map(|classes| {
                let each = classes.iter();
                let dealt = each.map(|(class, count)| {
                    let pool = &mut pools[*class];
                    pool.drain(..(*count).min(pool.len())).collect::<Vec<_>>()
                });
                dealt.flatten().collect()
            })
            .collect();
        let sets = dealt.iter().map(Vec::len).min().unwrap_or(0);
        made.extend((0..sets).map(|set| dealt.iter().map(|slot| slot[set]).collect::<Made>()));
    }
    made
}

/// What the mechanics said to sets of models; to the same models they say the same.
pub(super) struct Judge<'a> {
    plan: &'a Plan<'a>,
    stock: &'a Stock<'a>,
    market: &'a Market<'a>,
    known: HashMap<Vec<ModelId>, Judged>,
}

/// Whether a set is strong enough, and the models that are not where they are.
#[derive(Clone, Debug)]
pub(super) struct Judged {
    pub passes: bool,
    pub failing: Vec<(usize, ModelId)>,
}

impl<'a> Judge<'a> {
    pub(super) fn new(plan: &'a Plan<'a>, stock: &'a Stock<'a>, market: &'a Market<'a>) -> Self {
        Self {
            plan,
            stock,
            market,
            known: HashMap::new(),
        }
    }

    /// What the mechanics say to a set.
    pub(super) fn judge(&mut self, set: &Made) -> &Judged {
        let models = set.iter().map(|item| self.market.model(*item)).collect();
        let (plan, stock, market) = (self.plan, self.stock, self.market);
        self.known.entry(models).or_insert_with(|| {
            let filling = Filling {
                names: set.iter().map(|item| Some(*item)).collect(),
                ..Filling::nothing(set.len())
            };
            let verdict = kit_verdict(plan, &market.kit(&filling), Extent::Answer);
            Judged {
                passes: verdict.passes,
                failing: failing(
                    (verdict.assessment.as_ref(), &verdict),
                    stock,
                    market,
                    &filling,
                ),
            }
        })
    }
}
