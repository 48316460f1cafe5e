//! The log of use.

use super::{
    Recorded, StoreError, Tx, WriteTx,
    line::push_line_of,
    record,
    record::RecordRow,
    statement::{Statement, find_by},
    tx::find,
};
use crate::domain::{Item, Usage, UsageId};

impl Tx {
    /// The entry of this id.
    pub async fn usage(&mut self, id: UsageId) -> Result<Option<Usage>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM usage_entry
             WHERE team_id = $1
               AND id = $2";
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, id.0)?;
        record::one("usage_entry", row)
    }

    /// The `limit` last entries of an item and of the ropes that it was part of, the last used first.
    pub async fn usage_in_line(
        &mut self,
        item: &Item,
        limit: u32,
    ) -> Result<Vec<Usage>, StoreError> {
        let mut statement = Statement::new("SELECT record FROM usage_entry WHERE team_id = ");
        statement.bind(self.team.0).sql(" AND ");
        push_line_of(&mut statement, item);
        statement.sql(" ORDER BY used_on DESC, seq DESC LIMIT ");
        statement.bind(limit);
        let rows: Vec<RecordRow> = find_by!(self.conn, statement)?;
        record::all("usage_entry", &rows)
    }
}

impl WriteTx {
    pub(super) async fn add_usages(
        &mut self,
        usages: &[(&Usage, Recorded)],
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO usage_entry (team_id, id, item_id, used_on, seq, record)
            VALUES ";
        let team = self.team.0;
        let mut rows = Vec::new();
        for (usage, recorded) in usages {
            rows.push(vec![
                team.into(),
                usage.id.0.into(),
                usage.item.0.into(),
                usage.on.into(),
                recorded.seq_column().into(),
                record::write("usage_entry", *usage)?.into(),
            ]);
        }
        self.insert(SQL, rows, "").await
    }
}
