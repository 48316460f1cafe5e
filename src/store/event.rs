//! Events: what happened to items.

use super::{
    Recorded, StoreError, Tx, WriteTx, record,
    record::RecordRow,
    tx::{change_any, find, find_all},
};
use crate::domain::{Event, EventId, ItemId};

impl Tx {
    /// The event of this id.
    pub async fn event(&mut self, id: EventId) -> Result<Option<Event>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM event
             WHERE team_id = $1
               AND id = $2";
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, id.0)?;
        record::one("event", row)
    }

    /// The `limit` last events of an item, the last that happened first.
    pub async fn events(&mut self, item: ItemId, limit: u32) -> Result<Vec<Event>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM event
             WHERE team_id = $1
               AND item_id = $2
             ORDER BY happened_on DESC, seq DESC
             LIMIT $3";
        let rows: Vec<RecordRow> =
            find_all!(self.conn, SQL, self.team.0, item.0, i64::from(limit))?;
        record::all("event", &rows)
    }
}

impl WriteTx {
    pub(super) async fn add_event(
        &mut self,
        event: &Event,
        recorded: Recorded,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO event (team_id, id, item_id, happened_on, seq, record)
            VALUES ($1, $2, $3, $4, $5, $6)";
        let team = self.team;
        change_any!(
            self.conn,
            SQL,
            team.0,
            event.id.0,
            event.item.0,
            event.on,
            recorded.seq_column(),
            record::write("event", event)?,
        )
        .map(drop)
    }
}
