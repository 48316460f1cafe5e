//! Tags: codes on items.

use super::{
    StoreError, Tx, WriteTx,
    model::MOST_AT_ONCE,
    record,
    record::RecordRow,
    statement::{Statement, find_by},
    tx::{change_any, change_one, find, find_all},
};
use crate::domain::{
    ItemId, TagId,
    tag::{Tag, TagRemoved, product_key},
};

impl Tx {
    /// The tag of this id.
    pub async fn tag(&mut self, id: TagId) -> Result<Option<Tag>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM tag
             WHERE team_id = $1
               AND id = $2";
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, id.0)?;
        record::one("tag", row)
    }

    /// The tag with this key.
    pub async fn tag_of_key(&mut self, key: &str) -> Result<Option<Tag>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM tag
             WHERE team_id = $1
               AND tag_key = $2";
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, key.replace('\0', ""))?;
        record::one("tag", row)
    }

    /// A tag that names a piece of this product, if there is any.
    pub async fn tag_of_product(&mut self, product: &str) -> Result<Option<Tag>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM tag
             WHERE team_id = $1
               AND tag_key >= $2
               AND tag_key < $3
             ORDER BY tag_key DESC
             LIMIT 1";
        let first = product_key(product);
        // Behind every key that begins so: no value of GS1 holds a character beyond these.
        let last = format!("{first}\u{7f}");
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, first, last)?;
        record::one("tag", row)
    }

    /// The tags of an item, in the order in which they were put on.
    pub async fn tags(&mut self, item: ItemId) -> Result<Vec<Tag>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM tag
             WHERE team_id = $1
               AND item_id = $2
             ORDER BY id";
        let rows: Vec<RecordRow> = find_all!(self.conn, SQL, self.team.0, item.0)?;
        record::all("tag", &rows)
    }

    /// The tags of these items, in the order in which they were put on.
    pub async fn tags_of(&mut self, items: &[ItemId]) -> Result<Vec<Tag>, StoreError> {
        let mut found = Vec::new();
        for some in items.chunks(MOST_AT_ONCE) {
            let mut statement = Statement::new("SELECT record FROM tag WHERE team_id = ");
            statement.bind(self.team.0).sql(" AND item_id IN ");
            statement.list(some.iter().map(|id| id.0));
            statement.sql(" ORDER BY id");
            let rows: Vec<RecordRow> = find_by!(self.conn, statement)?;
            found.extend(record::all::<Tag>("tag", &rows)?);
        }
        Ok(found)
    }
}

impl WriteTx {
    pub(super) async fn add_tag(&mut self, tag: &Tag) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO tag (team_id, id, item_id, tag_key, record)
            VALUES ($1, $2, $3, $4, $5)";
        let team = self.team;
        let text = record::write("tag", tag)?;
        let (id, item) = (tag.id.0, tag.item.0);
        change_any!(self.conn, SQL, team.0, id, item, tag.key.as_str(), text).map(drop)
    }

    /// Takes a tag off; that it was there stands in the ledger.
    pub(super) async fn remove_tag(&mut self, removed: &TagRemoved) -> Result<(), StoreError> {
        const SQL: &str = "
            DELETE FROM tag
             WHERE team_id = $1
               AND id = $2
               AND item_id = $3";
        let team = self.team;
        let (id, item) = (removed.tag.0, removed.item.0);
        change_one!(self.conn, "tag", SQL, team.0, id, item)
    }
}
