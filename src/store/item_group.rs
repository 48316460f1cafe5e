//! What items are counted by beside kind, model and state: their lot, their retirement, what is noted of their markings,
//! the first use that the record shows.
//!
//! It stands in columns, so that the databases count and no record is read. Items that were there before the columns
//! are taken up by the next start.

use super::{
    Database, Direction, EntryFilter, StoreError, Tx, WriteTx, record,
    record::RecordRow,
    tx::{ask, change_one, find_all},
};
use crate::domain::{
    Change, FirstRecorded, Issue, Item, ItemId, ItemState, Retirement, UseShown, Zone,
    date::write_day, fold,
};

/// How many items are taken up at once.
const PAGE: i64 = 500;
/// How many entries about an item are read at once.
const ENTRIES: u32 = 1000;

/// The columns of an item.
pub(super) struct Groups {
    pub(super) lot: String,
    pub(super) lot_folded: String,
    pub(super) retired_for: &'static str,
    pub(super) retired_order: String,
    pub(super) markings: &'static str,
    pub(super) use_shown: String,
}

/// What stands in the column where nobody noted whether an item's markings can be read.
pub(super) const MARKINGS_UNKNOWN: &str = "unknown";

impl Groups {
    pub(super) fn of(item: &Item) -> Self {
        let lot = item.lot.clone().unwrap_or_default();
        let retired = item.retired.as_ref();
        Self {
            lot_folded: fold(&lot),
            lot,
            retired_for: retired.map_or("", |retired| retired.because.key()),
            retired_order: retired
                .map(|retired| write_day(retired.on))
                .unwrap_or_default(),
            markings: match item.markings_readable {
                None => MARKINGS_UNKNOWN,
                Some(true) => "yes",
                Some(false) => "no",
            },
            use_shown: item
                .use_shown
                .map(|shown| write_day(shown.on))
                .unwrap_or_default(),
        }
    }
}

impl Database {
    /// Takes up the items that were there before what they are counted by.
    pub(super) async fn keep_item_groups(&self) -> Result<(), StoreError> {
        for team in self.door().await?.teams().await? {
            while self.read(team.id).await?.has_ungrouped().await? {
                let mut tx = self.write(team.id).await?;
                tx.keep_item_groups().await?;
                tx.commit().await?;
            }
        }
        Ok(())
    }
}

impl Tx {
    async fn has_ungrouped(&mut self) -> Result<bool, StoreError> {
        const SQL: &str = "
            SELECT EXISTS(SELECT 1
                            FROM item
                           WHERE team_id = $1
                             AND markings = '?')
                OR EXISTS(SELECT 1
                            FROM item
                           WHERE team_id = $1
                             AND retired_for = '?')
                OR EXISTS(SELECT 1
                            FROM item
                           WHERE team_id = $1
                             AND use_shown = '?')";
        ask!(self.conn, SQL, self.team.0)
    }

    /// How the ledger says that an item was retired.
    async fn retirement_in_ledger(&mut self, id: ItemId) -> Result<Option<Retirement>, StoreError> {
        let mut found = None;
        self.read_entries(id, |change| {
            found = found.or_else(|| Retirement::by(change, id));
        })
        .await?;
        Ok(found)
    }

    /// The earliest use that the ledger shows of an item and of the ropes that it was part of.
    async fn use_in_ledger(&mut self, item: &Item) -> Result<Option<UseShown>, StoreError> {
        let mut shown = None;
        for id in of_item(item) {
            self.read_entries(id, |change| {
                shown = UseShown::earlier(shown, UseShown::by(change, id));
            })
            .await?;
        }
        Ok(shown)
    }

    /// The earliest that the record says of an item, and of the ropes that it was part of, on the clocks of `zone`.
    pub async fn first_recorded_of(
        &mut self,
        item: &Item,
        zone: &Zone,
    ) -> Result<Option<FirstRecorded>, StoreError> {
        let mut first = None;
        for id in of_item(item) {
            self.read_entries(id, |change| {
                first = FirstRecorded::earlier(first.take(), FirstRecorded::by(change, zone));
            })
            .await?;
        }
        Ok(first)
    }

    /// When an item was last in somebody's hands, as its record says; of the pieces that it was cut into that tells nothing.
    pub async fn last_in_hands(
        &mut self,
        item: ItemId,
        zone: &Zone,
    ) -> Result<Option<FirstRecorded>, StoreError> {
        let mut last: Option<FirstRecorded> = None;
        self.read_entries(item, |change| {
            let found = FirstRecorded::in_hands(change, zone);
            let later = |found: &FirstRecorded| last.is_none_or(|last| found.on > last.on);
            last = found.filter(later).or(last);
        })
        .await?;
        Ok(last)
    }

    /// Gives every change about an item to `read`, the oldest first.
    async fn read_entries(
        &mut self,
        id: ItemId,
        mut read: impl FnMut(&Change),
    ) -> Result<(), StoreError> {
        let filter = EntryFilter {
            subject: Some(id.0),
            ..EntryFilter::default()
        };
        let mut span = self.entry_span(&filter).await?;
        loop {
            let kept = self.entries(&filter, span, Direction::Up, ENTRIES).await?;
            for kept in &kept {
                read(&kept.entry.change);
            }
            let Some(last) = kept.last() else {
                return Ok(());
            };
            span = span.beyond(last.entry.seq, Direction::Up);
        }
    }
}

/// An item, and the ropes that it was part of.
fn of_item(item: &Item) -> Vec<ItemId> {
    let ropes = item.whole_ropes().iter().map(|rope| rope.item);
    std::iter::once(item.id).chain(ropes).collect()
}

impl WriteTx {
    /// Keeps the use that an issue shows of its items, where none before it was shown. It is no change of their records.
    pub(super) async fn show_use(&mut self, issued: &Issue) -> Result<(), StoreError> {
        let ids: Vec<ItemId> = issued.lines.iter().map(|line| line.item).collect();
        for (id, item) in self.items_of(&ids).await? {
            let before = item.use_shown;
            let item = item.with_use_shown(UseShown::of_issue(issued, id));
            if item.use_shown != before {
                self.set_groups(&item).await?;
            }
        }
        Ok(())
    }

    /// Takes up a page of items.
    async fn keep_item_groups(&mut self) -> Result<(), StoreError> {
        const SQL: &str = "
            SELECT record
              FROM item
             WHERE team_id = $1
               AND (markings = '?' OR retired_for = '?' OR use_shown = '?')
             LIMIT $2";
        let team = self.team.0;
        let rows: Vec<RecordRow> = find_all!(self.conn, SQL, team, PAGE)?;
        for mut item in record::all::<Item>("item", &rows)? {
            if item.state == ItemState::Retired && item.retired.is_none() {
                item.retired = self.retirement_in_ledger(item.id).await?;
            }
            let shown = self.use_in_ledger(&item).await?;
            self.set_groups(&item.with_use_shown(shown)).await?;
        }
        Ok(())
    }

    async fn set_groups(&mut self, item: &Item) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE item
               SET lot = $3, lot_folded = $4, retired_for = $5, retired_order = $6, markings = $7, use_shown = $8,
                   life_order = $9, record = $10
             WHERE team_id = $1
               AND id = $2";
        let team = self.team.0;
        let groups = Groups::of(item);
        let model = self.of_model(item.model).await?;
        change_one!(
            self.conn,
            "item",
            SQL,
            team,
            item.id.0,
            groups.lot,
            groups.lot_folded,
            groups.retired_for,
            groups.retired_order,
            groups.markings,
            groups.use_shown,
            model.terms.life_order(item),
            record::write("item", item)?,
        )
    }
}
