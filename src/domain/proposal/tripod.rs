//! The tripods of a stock: how high the rig may come to hang, which the ropes must reach down from.

use std::cmp::Ordering;

use super::{Offered, Stock};
use crate::domain::Kind;
use crate::domain::entered::EnteredLength;
use crate::domain::fitness::{KitItem, Plan, fitness, is_right_kind};
use crate::rigging::Position;

fn height(offered: &Offered<'_>) -> Option<EnteredLength> {
    let is_tripod = offered.model.kind == Kind::Tripod;
    let height = offered.model.attributes.length("height");
    height.filter(|_| is_tripod)
}

fn by_height(one: EnteredLength, other: EnteredLength) -> Ordering {
    let metres = |height: EnteredLength| height.quantity().metres();
    metres(one).total_cmp(&metres(other))
}

impl<'a> Stock<'a> {
    /// What is on the list, and beside it what may come to carry the rig: each tripod of the stock at the first open
    /// position that takes one, if it may go there. Whichever is chosen, a rope that reaches under all of them reaches.
    pub(super) fn under(&self, plan: &'a Plan<'a>) -> Vec<KitItem<'a>> {
        let mut kit = self.kit.to_vec();
        let is_open = |position: &&Position| {
            let mut kit = self.kit.iter();
            is_right_kind(Kind::Tripod, position)
                && !kit.any(|item| item.position == Some(position.key()))
        };
        let Some(place) = plan.rig.positions().iter().find(is_open) else {
            return kit;
        };
        kit.extend(self.tripods(plan, place.key()));
        kit
    }

    /// The tripods of known height that may go at a position.
    fn tripods(&self, plan: &Plan<'_>, position: &'a str) -> Vec<KitItem<'a>> {
        let of_height = self
            .items
            .iter()
            .filter(|offered| height(offered).is_some());
        let placed = of_height.map(|offered| KitItem {
            item: offered.item,
            model: offered.model,
            position: Some(position),
        });
        let around = self.circumstances(self.kit, &[]);
        let may_go = placed.filter(|item| fitness(*item, plan, &around).is_empty());
        may_go.collect()
    }

    /// The same stock without the tripods that are higher than the lowest that may go; none where that leaves out nothing.
    pub(super) fn without_high_tripods(&self, plan: &'a Plan<'a>) -> Option<Self> {
        let mut positions = plan.rig.positions().iter();
        let place = positions.find(|position| is_right_kind(Kind::Tripod, position))?;
        let heights = self.tripods(plan, place.key());
        let heights = heights
            .iter()
            .filter_map(|item| item.model.attributes.length("height"));
        let lowest = heights.min_by(|one, other| by_height(*one, *other))?;
        let is_high = |offered: &Offered<'_>| {
            height(offered).is_some_and(|height| by_height(height, lowest) == Ordering::Greater)
        };
        let mut lower = self.clone();
        lower.items.retain(|offered| !is_high(offered));
        (lower.items.len() < self.items.len()).then_some(lower)
    }
}
