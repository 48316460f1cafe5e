//! What a notice was about before it, or what is on record of an item or its model, was corrected.

use std::collections::{BTreeSet, HashMap};

use super::Notice;
use crate::domain::{Item, ItemId, Model, ModelId};

/// What was on record from an entry on.
pub type Version<T> = (u64, T);

/// Some items and their models as they were on record each time, the first one first.
#[derive(Clone, Debug, Default)]
pub struct NoticePast {
    /// The items. A piece of a rope begins as the rope was when it was cut.
    pub items: HashMap<ItemId, Vec<Version<Item>>>,
    /// Every model that one of them was of.
    pub models: HashMap<ModelId, Vec<Version<Model>>>,
}

impl NoticePast {
    /// Whether a notice, as it stood each time, was ever about this item.
    pub fn was_about(&self, item: ItemId, notice: &[Version<Notice>]) -> bool {
        let mut stood = self.stood(item, notice);
        stood.any(|(_, about)| about)
    }

    /// Whether a notice was about this item until what is on record of the item or its model was corrected. Where the notice
    /// itself was corrected it is about what it says since.
    pub fn slipped(&self, item: ItemId, notice: &[Version<Notice>]) -> bool {
        let (mut held, mut about) = (false, false);
        for (seq, is_about) in self.stood(item, notice) {
            let is_corrected = notice.iter().any(|(of, _)| *of == seq);
            held = is_about || held && !is_corrected;
            about = is_about;
        }
        held && !about
    }

    /// Whether a notice was about an item, after each entry that may have changed it.
    fn stood<'a>(
        &'a self,
        item: ItemId,
        notice: &'a [Version<Notice>],
    ) -> impl Iterator<Item = (u64, bool)> + 'a {
        let items = self.items.get(&item).map_or(&[][..], Vec::as_slice);
        let models = items.iter().map(|(_, item)| item.model);
        let models: BTreeSet<ModelId> = models.collect();
        let models = models.into_iter().filter_map(|id| self.models.get(&id));
        let of_models = models.flatten().map(|(seq, _)| *seq);
        let of_items = items.iter().map(|(seq, _)| *seq);
        let of_notice = notice.iter().map(|(seq, _)| *seq);
        let turns: BTreeSet<u64> = of_models.chain(of_items).chain(of_notice).collect();
        turns.into_iter().filter_map(move |seq| {
            let (notice, item) = (at(notice, seq)?, at(items, seq)?);
            let model = at(self.models.get(&item.model)?, seq)?;
            Some((seq, notice.is_about(item, model)))
        })
    }
}

/// What was on record once this entry had been made.
fn at<T>(versions: &[Version<T>], seq: u64) -> Option<&T> {
    let known = versions.iter().rev();
    let mut known = known.skip_while(|(from, _)| *from > seq);
    known.next().map(|(_, what)| what)
}
