//! Stores: places where items live.

use super::{
    StoreError, Tx, WriteTx, record,
    record::RecordRow,
    tx::{change_any, change_one, find, find_all},
};
use crate::domain::{Store, StoreId, fold};

impl Tx {
    /// The store of this id.
    pub async fn store(&mut self, id: StoreId) -> Result<Option<Store>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM store
             WHERE team_id = $1
               AND id = $2";
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, id.0)?;
        record::one("store", row)
    }

    /// The store of this name, however it is spelt in case and blanks.
    pub async fn store_named(&mut self, name: &str) -> Result<Option<Store>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM store
             WHERE team_id = $1
               AND name_folded = $2";
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, searchable(name))?;
        record::one("store", row)
    }

    /// Every store of the team, by name.
    pub async fn stores(&mut self) -> Result<Vec<Store>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM store
             WHERE team_id = $1
             ORDER BY name_folded, id";
        let rows: Vec<RecordRow> = find_all!(self.conn, SQL, self.team.0)?;
        record::all("store", &rows)
    }
}

impl WriteTx {
    pub(super) async fn add_store(&mut self, store: &Store) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO store (team_id, id, revision, name_folded, record)
            VALUES ($1, $2, $3, $4, $5)";
        let team = self.team;
        let text = record::write("store", store)?;
        let name = fold(&store.name);
        let revision = i64::from(store.revision);
        change_any!(self.conn, SQL, team.0, store.id.0, revision, name, text).map(drop)
    }

    pub(super) async fn revise_store(&mut self, store: &Store) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE store
               SET revision = $3, name_folded = $4, record = $5
             WHERE team_id = $1
               AND id = $2
               AND revision = $3 - 1";
        let team = self.team;
        let text = record::write("store", store)?;
        let name = fold(&store.name);
        let revision = i64::from(store.revision);
        change_one!(
            self.conn, "store", SQL, team.0, store.id.0, revision, name, text
        )
    }
}

/// What a person typed, as folded columns hold it; without what `PostgreSQL` cannot take and no record has.
pub(super) fn searchable(text: &str) -> String {
    fold(&text.replace('\0', ""))
}
