//! Items: one physical thing each.

use std::{
    collections::{BTreeSet, HashMap, hash_map::Entry},
    slice::from_ref,
};

use super::{
    StoreError, Tx, WriteTx,
    due::NO_DAY,
    item_group::Groups,
    model::{MOST_AT_ONCE, OfModel},
    place::searchable,
    record,
    record::RecordRow,
    statement::{Statement, Value, find_by},
    tx::find,
};
use crate::domain::{Item, ItemId, ModelId, fold};

impl Tx {
    /// The item of this id.
    pub async fn item(&mut self, id: ItemId) -> Result<Option<Item>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM item
             WHERE team_id = $1
               AND id = $2";
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, id.0)?;
        record::one("item", row)
    }

    /// The item with this mark, however it is spelt in case and blanks.
    pub async fn item_marked(&mut self, mark: &str) -> Result<Option<Item>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM item
             WHERE team_id = $1
               AND mark_folded = $2";
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, searchable(mark))?;
        record::one("item", row)
    }

    /// The items of these ids; those that are not there are left out.
    pub async fn items_of(&mut self, ids: &[ItemId]) -> Result<HashMap<ItemId, Item>, StoreError> {
        let mut found = HashMap::new();
        for some in ids.chunks(MOST_AT_ONCE) {
            let mut statement = Statement::new("SELECT record FROM item WHERE team_id = ");
            statement.bind(self.team.0).sql(" AND id IN ");
            statement.list(some.iter().map(|id| id.0));
            let rows: Vec<RecordRow> = find_by!(self.conn, statement)?;
            let items: Vec<Item> = record::all("item", &rows)?;
            found.extend(items.into_iter().map(|item| (item.id, item)));
        }
        Ok(found)
    }

    /// The items with these marks, however they are spelt in case and blanks; for an import, which asks for all of its
    /// rows at once.
    pub async fn items_marked(&mut self, marks: &[String]) -> Result<Vec<Item>, StoreError> {
        let mut found = Vec::new();
        for some in marks.chunks(MOST_AT_ONCE) {
            let mut statement = Statement::new("SELECT record FROM item WHERE team_id = ");
            statement.bind(self.team.0).sql(" AND mark_folded IN ");
            statement.list(some.iter().map(|mark| searchable(mark)));
            let rows: Vec<RecordRow> = find_by!(self.conn, statement)?;
            found.extend(record::all::<Item>("item", &rows)?);
        }
        Ok(found)
    }

    /// The serials of all items of these models, as they are folded; for an import, as above.
    pub async fn serials_of(
        &mut self,
        models: &[ModelId],
    ) -> Result<BTreeSet<(ModelId, String)>, StoreError> {
        let mut taken = BTreeSet::new();
        for some in models.chunks(MOST_AT_ONCE) {
            let mut statement = Statement::new("SELECT record FROM item WHERE team_id = ");
            statement.bind(self.team.0).sql(" AND model_id IN ");
            statement.list(some.iter().map(|id| id.0));
            let rows: Vec<RecordRow> = find_by!(self.conn, statement)?;
            let items: Vec<Item> = record::all("item", &rows)?;
            let serials = items.into_iter().filter_map(|item| {
                let serial = fold(item.serial.as_ref()?);
                Some((item.model, serial))
            });
            taken.extend(serials);
        }
        Ok(taken)
    }
}

const INSERT: &str = "
    INSERT INTO item
           (team_id, id, revision, model_id, store_id, kind, mark_folded, state, due_order,
            life_order, made_order, lot, lot_folded, retired_for, retired_order, look_asked, markings,
            use_shown, record)
    VALUES ";

impl WriteTx {
    pub(super) async fn add_items(&mut self, items: &[Item]) -> Result<(), StoreError> {
        let rows = self.item_rows(items).await?;
        self.insert(INSERT, rows, "").await?;
        self.add_words(items).await
    }

    /// Writes items that are newer than those that are there, which were read in this transaction; the words by which
    /// they are found stay.
    pub(super) async fn save_items(&mut self, items: &[Item]) -> Result<(), StoreError> {
        const REVISE: &str = "
            ON CONFLICT (team_id, id) DO UPDATE
               SET revision = excluded.revision, model_id = excluded.model_id, store_id = excluded.store_id,
                   kind = excluded.kind, mark_folded = excluded.mark_folded, state = excluded.state,
                   due_order = excluded.due_order, life_order = excluded.life_order,
                   made_order = excluded.made_order, lot = excluded.lot, lot_folded = excluded.lot_folded,
                   retired_for = excluded.retired_for, retired_order = excluded.retired_order,
                   look_asked = excluded.look_asked, markings = excluded.markings,
                   use_shown = excluded.use_shown, record = excluded.record";
        let rows = self.item_rows(items).await?;
        self.insert(INSERT, rows, REVISE).await
    }

    async fn item_rows(&mut self, items: &[Item]) -> Result<Vec<Vec<Value>>, StoreError> {
        let team = self.team.0;
        let mut models: HashMap<ModelId, OfModel> = HashMap::new();
        let mut rows = Vec::new();
        for item in items {
            let model = match models.entry(item.model) {
                Entry::Occupied(read) => read.into_mut(),
                Entry::Vacant(new) => new.insert(self.of_model(item.model).await?),
            };
            let groups = Groups::of(item);
            rows.push(vec![
                team.into(),
                item.id.0.into(),
                item.revision.into(),
                item.model.0.into(),
                item.store.0.into(),
                model.kind.as_str().into(),
                fold(&item.mark).into(),
                item.state.key().into(),
                model.terms.due_order(item).into(),
                model.terms.life_order(item).into(),
                made_order(item).into(),
                groups.lot.into(),
                groups.lot_folded.into(),
                groups.retired_for.into(),
                groups.retired_order.into(),
                Value::Flag(item.look_asked.is_some()),
                groups.markings.into(),
                groups.use_shown.into(),
                record::write("item", item)?.into(),
            ]);
        }
        Ok(rows)
    }

    pub(super) async fn save_item(&mut self, item: &Item) -> Result<(), StoreError> {
        self.save_items(from_ref(item)).await
    }

    /// Writes an item whose details have changed, and the words by which it is found.
    ///
    /// An entry that was written before use was kept with the item says nothing of it.
    ///
    /// # Errors
    /// [`StoreError::Stale`] if it is not one revision newer than the one that is there.
    pub(super) async fn revise_item(&mut self, item: &Item) -> Result<(), StoreError> {
        let there = self.item_there(item.id).await?;
        if item.revision != there.revision + 1 {
            return Err(StoreError::Stale { table: "item" });
        }
        let item = item.clone().with_use_shown(there.use_shown);
        self.save_item(&item).await?;
        self.drop_words(item.id).await?;
        self.add_words(from_ref(&item)).await
    }

    /// The item that a change is about.
    pub(super) async fn item_there(&mut self, id: ItemId) -> Result<Item, StoreError> {
        self.item(id).await?.ok_or(StoreError::Unlinked)
    }
}

/// When it was made, as exactly as known: a year stands before its months, and a month before its days.
fn made_order(item: &Item) -> String {
    item.made
        .map_or_else(|| NO_DAY.to_owned(), |made| made.to_string())
}
