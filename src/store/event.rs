//! Events: what happened to items.

use super::{
    Recorded, StoreError, Tx, WriteTx, record,
    record::RecordRow,
    tx::{find, find_all},
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
    pub(super) async fn add_events(
        &mut self,
        events: &[(&Event, Recorded)],
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO event (team_id, id, item_id, happened_on, seq, record)
            VALUES ";
        let team = self.team.0;
        let mut rows = Vec::new();
        for (event, recorded) in events {
            rows.push(vec![
                team.into(),
                event.id.0.into(),
                event.item.0.into(),
                event.on.into(),
                recorded.seq_column().into(),
                record::write("event", *event)?.into(),
            ]);
        }
        self.insert(SQL, rows, "").await
    }
}
