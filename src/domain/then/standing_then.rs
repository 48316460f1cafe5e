//! How items stood on a day, with what stood around them.

use std::borrow::Cow;

use time::Date;

use super::{BesideThen, Fold, ItemsThen, MODEL_KINDS, NOTICE_KINDS, Reckoning};
use crate::domain::{Change, Entry, ItemId, Zone};

/// Items on a day, and what stood around them.
#[derive(Clone, Debug)]
pub struct StandingThen {
    /// The items.
    pub items: ItemsThen,
    /// What stood around them.
    pub beside: BesideThen,
}

impl StandingThen {
    /// Nothing yet; `day` is one of `days`.
    pub fn new(day: Date, by: Reckoning, days: &Zone) -> Self {
        Self {
            items: ItemsThen::new(day, by, days.clone()),
            beside: BesideThen::new(day, by, days.clone()),
        }
    }

    /// Reckoned by this rulebook in place of the one of the team.
    #[must_use]
    pub fn under(mut self, rulebook: Option<&str>) -> Self {
        self.beside = self.beside.under(rulebook);
        self
    }

    /// How an item stood; none where it was not the team's yet.
    pub fn standing(&self, id: ItemId) -> Option<Cow<'static, str>> {
        self.items.item(id).map(|item| self.beside.standing(item))
    }
}

impl Fold for StandingThen {
    fn apply(&mut self, entry: &Entry<Change>) {
        self.items.apply(entry);
        self.beside.apply(entry);
        if let Change::RopeCut(cut) = &entry.change {
            self.beside.cut(cut);
        }
        if may_cover(&entry.change) {
            for item in self.items.all() {
                self.beside.keep_covered(item);
            }
        }
    }
}

/// Whether a change may be what brings an item under a notice.
fn may_cover(change: &Change) -> bool {
    let kind = change.kind();
    matches!(change, Change::ItemAdded(_) | Change::ItemRevised(_))
        || MODEL_KINDS.contains(&kind)
        || NOTICE_KINDS.contains(&kind)
}
