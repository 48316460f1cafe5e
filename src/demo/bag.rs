//! Bags: what belongs in each, what was put into it, and how it was looked through.

use serde::Deserialize;
use time::{Duration, OffsetDateTime};

use super::DemoError;
use super::agenda::Task;
use super::day::moment;
use super::play::Play;
use crate::domain::{
    Bag, BagCheck, BagCheckId, BagDraft, BagPart, Belonging, Change, Contents, ItemId, ItemMoved,
    Kind, Packed, StoreDraft, StoreId,
};

/// A bag.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct BagLine {
    /// Days before the day of the demo on which its list is written.
    ago: u16,
    /// The key of the store that it is; a new one where there is none.
    key: String,
    name: String,
    /// The key of the store that it lies in.
    within: String,
    /// What belongs in it, as it is typed in: kinds and marks.
    list: String,
    /// The marks of what is put into it.
    put: Vec<String>,
    /// The marks of what was not found when it was looked through.
    not_found: Vec<String>,
    note: String,
}

/// Notes when each is packed.
pub(super) fn plan(play: &mut Play<'_>) {
    for (at, line) in play.sheets.own.bag.iter().enumerate() {
        let day = play.today - Duration::days(line.ago.into());
        play.agenda.add(moment(day, 18, 0), Task::PackBag(at));
    }
}

impl Play<'_> {
    /// A bag gets its list, its gear, and a look through it.
    pub(super) fn pack_bag(&mut self, at: OffsetDateTime, bag: usize) -> Result<(), DemoError> {
        let line = &self.sheets.own.bag[bag];
        let store = self.store_of(at, line)?;
        let mut parts = Vec::new();
        let draft = BagDraft {
            list: line.list.clone(),
            ..BagDraft::default()
        };
        let lines = draft.lines();
        for one in lines.map_err(|wrong| DemoError::at(&line.name, wrong))? {
            let what = match Kind::from_word(&one.words) {
                Some(kind) => Belonging::Kind(kind),
                None => Belonging::Item(self.item(&one.words)?.0.id),
            };
            let count = one.count;
            parts.push(BagPart { what, count });
        }
        let list = Bag {
            store,
            revision: 1,
            within: self.stores.get(&line.within).copied(),
            parts: parts.clone(),
        };
        self.record(at, "officer", Change::BagListed(list))?;
        let mut packed = Vec::new();
        for mark in &line.put {
            let (item, model) = self.item(mark)?;
            packed.push(Packed {
                item: item.id,
                model: model.id,
                kind: model.kind,
            });
            let (moved, from) = (item.clone().moved(store), item.store);
            let to = store;
            let item = moved.id;
            self.replace(moved);
            self.record(
                at,
                "officer",
                Change::ItemMoved(ItemMoved { item, from, to }),
            )?;
        }
        self.look_through(at, (store, &parts), line, &packed)
    }

    fn look_through(
        &mut self,
        at: OffsetDateTime,
        (store, parts): (StoreId, &[BagPart]),
        line: &BagLine,
        packed: &[Packed],
    ) -> Result<(), DemoError> {
        let mut missing: Vec<ItemId> = Vec::new();
        for mark in &line.not_found {
            missing.push(self.item(mark)?.0.id);
        }
        let seen = packed.iter().copied();
        let seen: Vec<Packed> = seen.filter(|one| !missing.contains(&one.item)).collect();
        let lacking = Contents::of(parts, &seen).lacking(parts);
        let at = at + Duration::minutes(20);
        let check = BagCheck {
            id: BagCheckId(self.stamp.next(at)),
            store,
            name: line.name.clone(),
            on: at.date(),
            present: seen.iter().map(|one| one.item).collect(),
            missing,
            others: Vec::new(),
            lacking: u32::try_from(lacking).ok(),
            note: line.note.clone(),
        };
        self.record(at, "crew", Change::BagChecked(check))
    }

    fn store_of(&mut self, at: OffsetDateTime, line: &BagLine) -> Result<StoreId, DemoError> {
        if let Some(store) = self.stores.get(&line.key) {
            return Ok(*store);
        }
        let draft = StoreDraft {
            name: line.name.clone(),
            ..StoreDraft::default()
        };
        let store = draft
            .check(StoreId(self.stamp.next(at)), 1)
            .map_err(|wrong| DemoError::at(&line.name, wrong))?;
        let id = store.id;
        self.stores.insert(line.key.clone(), id);
        self.record(at, "officer", Change::StoreAdded(store))?;
        Ok(id)
    }
}
