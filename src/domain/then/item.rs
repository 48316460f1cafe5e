//! Items as their entries make them.

use std::collections::BTreeMap;

use time::Date;

use super::{Fold, Reckoning};
use crate::domain::{Change, Condition, Entry, Item, ItemId, Made, RopeCut, UseShown, Zone};

/// The kinds of changes that make or change items, and those that say by which clocks a team counts its days.
pub const ITEM_KINDS: &[&str] = &[
    "item-added",
    "item-revised",
    "item-stepped",
    "item-moved",
    "return-asked",
    "examination-recorded",
    "rope-cut",
    "usage-logged",
    "event-reported",
    "notice-closed",
    "kit-issued",
    "kit-returned",
    "team-founded",
    "team-revised",
];

/// Items on a day, made from entries that are given in their order.
#[derive(Clone, Debug)]
pub struct ItemsThen {
    day: Date,
    by: Reckoning,
    /// In which the day is one.
    days: Zone,
    /// In which the team counted its days when an entry was recorded, as far as entries say it.
    zone: Zone,
    items: BTreeMap<ItemId, Kept>,
}

/// An item, and whether anything shows that it was the team's on the day.
#[derive(Clone, Debug)]
struct Kept {
    item: Item,
    was_there: bool,
}

impl ItemsThen {
    /// Nothing yet; `day` is one of `zone`.
    pub fn new(day: Date, by: Reckoning, zone: Zone) -> Self {
        Self {
            day,
            by,
            days: zone.clone(),
            zone,
            items: BTreeMap::new(),
        }
    }

    /// The item on that day; none where it was not the team's yet.
    ///
    /// As it is known now, it was the team's from the first day that anything names: that it was added, bought, first
    /// used, examined, used, or that something happened to it.
    pub fn item(&self, id: ItemId) -> Option<&Item> {
        let kept = self.items.get(&id)?;
        // Of a month or a year it was there at the end of it, for certain.
        let first_used = kept.item.first_used_on.map(Made::last_day);
        let named = [kept.item.bought_on, first_used];
        let mut named = named.into_iter().flatten();
        let was_there =
            kept.was_there || (self.by == Reckoning::Now && named.any(|named| named <= self.day));
        was_there.then_some(&kept.item)
    }

    /// Every item that the entries so far made, whether it was the team's on the day or not.
    pub(super) fn all(&self) -> impl Iterator<Item = &Item> {
        self.items.values().map(|kept| &kept.item)
    }

    fn keep(&mut self, item: Item, was_there: bool) {
        self.items.insert(item.id, Kept { item, was_there });
    }

    /// Takes what was corrected: what the thing is, however late; where it lived and what was noted from that day on.
    fn correct(&mut self, to: &Item, counts: bool) {
        let Some(kept) = self.items.get_mut(&to.id) else {
            return;
        };
        kept.was_there |= counts;
        kept.item.is_one_like(to);
        if counts {
            kept.item.is_kept_like(to);
        }
    }

    /// Does what the tables did.
    fn follow(&mut self, entry: &Entry<Change>) {
        let at = entry.recorded_at;
        let zone = self.zone.clone();
        match &entry.change {
            Change::TeamRevised(team) => self.zone = team.time_zone.clone(),
            Change::ItemAdded(item) | Change::ItemRevised(item) => self.keep(item.clone(), true),
            Change::ItemStepped(step) => self.change(step.item, |item| item.stepped(step, at).ok()),
            Change::ItemMoved(moved) => self.change(moved.item, |item| Some(item.moved(moved.to))),
            Change::ReturnAsked(asked) => {
                self.change(asked.item, |item| item.asked_back(asked).ok());
            }
            Change::ExaminationRecorded(one) => {
                self.change(one.item, |item| item.examined(one, at, &zone).ok());
            }
            Change::UsageLogged(usage) => {
                self.change(usage.item, |item| Some(item.after_use(usage)));
            }
            Change::EventReported(event) => {
                self.change(event.item, |item| Some(item.after_event(event, at)));
            }
            Change::NoticeClosed(closing) => {
                self.change(closing.item, |item| Some(item.notice_closed()));
            }
            Change::RopeCut(cut) => self.cut(cut, entry),
            // That it was with a crew shows use.
            Change::KitIssued(issue) => {
                for line in &issue.lines {
                    let shown = UseShown::of_issue(issue, line.item);
                    self.change(line.item, |item| Some(item.with_use_shown(shown)));
                }
            }
            Change::KitReturned(count) => {
                for line in &count.lines {
                    let asked = line.condition == Condition::LookAt;
                    let look = |item: Item| asked.then(|| item.look_asked_by(count, &line.note));
                    self.change(line.item, look);
                }
            }
            // The rest changes no item.
            _ => (),
        }
    }

    /// Changes an item; where the change does not go on what it is, it stays, and was there all the same.
    fn change(&mut self, id: ItemId, change: impl FnOnce(Item) -> Option<Item>) {
        if let Some(kept) = self.items.get_mut(&id) {
            kept.was_there = true;
            if let Some(changed) = change(kept.item.clone()) {
                kept.item = changed;
            }
        }
    }

    fn cut(&mut self, cut: &RopeCut, entry: &Entry<Change>) {
        let Some(kept) = self.items.get(&cut.rope) else {
            return;
        };
        if let Ok((rope, pieces)) = kept.item.clone().cut(cut, entry.seq, entry.recorded_at) {
            for item in std::iter::once(rope).chain(pieces) {
                self.keep(item, true);
            }
        }
    }
}

impl Fold for ItemsThen {
    fn apply(&mut self, entry: &Entry<Change>) {
        let counts = match self.by {
            Reckoning::Then => entry.recorded_on(&self.days) <= self.day,
            Reckoning::Now => entry.done_on(&self.days) <= self.day,
        };
        match (&entry.change, self.by) {
            // Days were counted by some clocks from the beginning on.
            (Change::TeamFounded(team), _) => self.zone = team.time_zone.clone(),
            // What a thing is was so before somebody wrote it down.
            (Change::ItemAdded(item), Reckoning::Now) => self.keep(item.clone(), counts),
            (Change::ItemRevised(item), Reckoning::Now) => self.correct(item, counts),
            _ if counts => self.follow(entry),
            _ => (),
        }
    }
}

impl Item {
    /// Takes over what the thing is: what was always so, whenever it was written down.
    fn is_one_like(&mut self, other: &Self) {
        self.model = other.model;
        self.serial.clone_from(&other.serial);
        self.lot.clone_from(&other.lot);
        self.made = other.made;
        self.bought_on = other.bought_on;
        self.first_used_on = other.first_used_on;
        self.attributes.clone_from(&other.attributes);
        if let (Some(own), Some(other)) = (&mut self.cut_from, &other.cut_from) {
            own.serial.clone_from(&other.serial);
        }
    }

    /// Takes over how it is kept: what holds from the day on which it was written down.
    fn is_kept_like(&mut self, other: &Self) {
        self.revision += 1;
        self.mark.clone_from(&other.mark);
        self.store = other.store;
        self.markings_readable = other.markings_readable;
        self.arduous.clone_from(&other.arduous);
        self.note.clone_from(&other.note);
        if other.look_asked.is_none() {
            self.look_asked = None;
        }
        if other.last_passed_on.is_none() {
            // It turned out to be of another kind of gear than it was examined as.
            self.as_never_passed();
        }
    }
}
