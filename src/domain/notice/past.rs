//! What a notice was about before it, or what is on record of an item or its model, was corrected.

use std::collections::{BTreeSet, HashMap};

use super::Notice;
use crate::domain::{Item, ItemId, Model, ModelId};

/// What was on record from an entry on.
pub type Version<T> = (u64, T);

/// Some items and their models as they were on record each time, the first one first.
#[derive(Clone, Debug, Default)]
pub struct NoticePast {
    /// The items. A piece of a rope has the past of the rope.
    pub items: HashMap<ItemId, Vec<Version<Item>>>,
    /// Every model that one of them was of.
    pub models: HashMap<ModelId, Vec<Version<Model>>>,
}

impl NoticePast {
    /// Whether a notice, as it stood each time, was ever about this item.
    pub fn was_about(&self, item: ItemId, notice: &[Version<Notice>]) -> bool {
        self.covered(item, notice).next().is_some()
    }

    /// Whether a notice was about this item until what is on record of the item or its model was corrected, and as it stands
    /// now still is about what was on record then. Where the notice itself was corrected so that it is not, it lets go.
    pub fn slipped(&self, item: ItemId, notice: &[Version<Notice>]) -> bool {
        let Some((_, now)) = notice.last() else {
            return false;
        };
        let is_about = |(item, model): (&Item, &Model)| now.is_about(item, model);
        let items = self.items.get(&item).and_then(|all| all.last());
        let today = items.and_then(|(_, item)| {
            let models = self.models.get(&item.model)?;
            Some((item, &models.last()?.1))
        });
        !today.is_some_and(is_about) && self.covered(item, notice).any(is_about)
    }

    /// What was on record of an item and its model each time that a notice, as it stood then, was about it.
    fn covered<'a>(
        &'a self,
        item: ItemId,
        notice: &'a [Version<Notice>],
    ) -> impl Iterator<Item = (&'a Item, &'a Model)> {
        let items = self.items.get(&item).map_or(&[][..], Vec::as_slice);
        let models: BTreeSet<ModelId> = items.iter().map(|(_, item)| item.model).collect();
        let models = models.into_iter().filter_map(|id| self.models.get(&id));
        let of_models = models.flatten().map(|(seq, _)| *seq);
        let of_items = items.iter().map(|(seq, _)| *seq);
        let of_notice = notice.iter().map(|(seq, _)| *seq);
        let turns: BTreeSet<u64> = of_models.chain(of_items).chain(of_notice).collect();
        turns.into_iter().filter_map(move |seq| {
            let (notice, item) = (at(notice, seq)?, at(items, seq)?);
            let model = at(self.models.get(&item.model)?, seq)?;
            notice.is_about(item, model).then_some((item, model))
        })
    }
}

/// What was on record once this entry had been made.
fn at<T>(versions: &[Version<T>], seq: u64) -> Option<&T> {
    let known = versions.iter().rev();
    let mut known = known.skip_while(|(from, _)| *from > seq);
    known.next().map(|(_, what)| what)
}
