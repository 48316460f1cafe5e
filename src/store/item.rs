//! Items: one physical thing each.

use std::collections::{BTreeSet, HashMap};

use super::{
    StoreError, Tx, WriteTx,
    due::NO_DAY,
    item_group::Groups,
    model::{MOST_AT_ONCE, OfModel},
    place::searchable,
    record,
    record::RecordRow,
    statement::{Statement, Value, find_by},
    tx::{change_one, find},
};
use crate::domain::{Item, ItemId, ModelId, ReturnAsked, fold};

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

impl WriteTx {
    pub(super) async fn add_items(&mut self, items: &[Item]) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO item
                   (team_id, id, revision, model_id, store_id, kind, mark_folded, state, due_order,
                    life_order, made_order, lot, lot_folded, retired_for, retired_order, look_asked, markings,
                    use_shown, record)
            VALUES ";
        let team = self.team.0;
        let mut models: HashMap<ModelId, OfModel> = HashMap::new();
        let mut rows = Vec::new();
        for item in items {
            let model = match models.get(&item.model) {
                Some(model) => model.clone(),
                None => self.of_model(item.model).await?,
            };
            models.insert(item.model, model.clone());
            let groups = Groups::of(item);
            rows.push(vec![
                team.into(),
                item.id.0.into(),
                item.revision.into(),
                item.model.0.into(),
                item.store.0.into(),
                model.kind.into(),
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
        self.insert(SQL, rows, "").await?;
        self.add_words(items).await
    }

    /// Writes an item that is one revision newer than the one that is there.
    pub(super) async fn save_item(&mut self, item: &Item) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE item
               SET revision = $3, model_id = $4, store_id = $5, kind = $6, mark_folded = $7, state = $8,
                   due_order = $9, life_order = $10, made_order = $11, lot = $12, lot_folded = $13,
                   retired_for = $14, retired_order = $15, look_asked = $16, markings = $17,
                   use_shown = $18, record = $19
             WHERE team_id = $1
               AND id = $2
               AND revision = $3 - 1";
        let team = self.team;
        let model = self.of_model(item.model).await?;
        let groups = Groups::of(item);
        change_one!(
            self.conn,
            "item",
            SQL,
            team.0,
            item.id.0,
            i64::from(item.revision),
            item.model.0,
            item.store.0,
            model.kind,
            fold(&item.mark),
            item.state.key(),
            model.terms.due_order(item),
            model.terms.life_order(item),
            made_order(item),
            groups.lot,
            groups.lot_folded,
            groups.retired_for,
            groups.retired_order,
            item.look_asked.is_some(),
            groups.markings,
            groups.use_shown,
            record::write("item", item)?,
        )
    }

    /// Writes an item whose details have changed, and the words by which it is found.
    ///
    /// An entry that was written before use was kept with the item says nothing of it.
    pub(super) async fn revise_item(&mut self, item: &Item) -> Result<(), StoreError> {
        let shown = self.item_there(item.id).await?.use_shown;
        let item = &item.clone().with_use_shown(shown);
        self.save_item(item).await?;
        self.drop_words(item.id).await?;
        self.add_words(std::slice::from_ref(item)).await
    }

    /// Keeps that an item's return from quarantine was asked for.
    pub(super) async fn ask_back(&mut self, asked: &ReturnAsked) -> Result<(), StoreError> {
        let item = self.item_there(asked.item).await?;
        self.save_item(&item.asked_back(asked)?).await
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
