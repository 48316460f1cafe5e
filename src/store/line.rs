//! The line of a piece of a rope: what happened to the whole rope until it was cut happened to the piece too.

use uuid::Uuid;

use super::{
    StoreError, Tx,
    ledger::signed,
    record,
    record::RecordRow,
    statement::{Statement, find_by},
};
use crate::domain::{Event, Examination, Item, WholeRope};

/// Leaves in the rows of one thing, and those of the ropes that it was part of from before their cuts.
pub(super) fn push_line(
    statement: &mut Statement,
    (of, seq): (&'static str, &'static str),
    id: Uuid,
    whole_ropes: &[WholeRope],
) {
    if whole_ropes.is_empty() {
        statement.sql(of).sql(" = ").bind(id);
        return;
    }
    statement.sql("(").sql(of).sql(" = ").bind(id);
    for rope in whole_ropes {
        statement.sql(" OR (").sql(of).sql(" = ").bind(rope.item.0);
        statement.sql(" AND ").sql(seq).sql(" < ");
        statement.bind(signed(rope.seq)).sql(")");
    }
    statement.sql(")");
}

/// Leaves in the rows of a table about one item, and those about the ropes that it was part of.
pub(super) fn push_line_of(statement: &mut Statement, item: &Item) {
    push_line(statement, ("item_id", "seq"), item.id.0, item.whole_ropes());
}

impl Tx {
    /// The `limit` last events of an item and of the ropes that it was part of, the last that happened first.
    pub async fn events_in_line(
        &mut self,
        item: &Item,
        limit: u32,
    ) -> Result<Vec<Event>, StoreError> {
        let mut statement = Statement::new("SELECT record FROM event WHERE team_id = ");
        statement.bind(self.team.0).sql(" AND ");
        push_line_of(&mut statement, item);
        statement.sql(" ORDER BY happened_on DESC, seq DESC LIMIT ");
        statement.bind(limit);
        let rows: Vec<RecordRow> = find_by!(self.conn, statement)?;
        record::all("event", &rows)
    }

    /// The `limit` last examinations of an item and of the ropes that it was part of, the last done first.
    pub async fn examinations_in_line(
        &mut self,
        item: &Item,
        limit: u32,
    ) -> Result<Vec<Examination>, StoreError> {
        let mut statement = Statement::new("SELECT record FROM examination WHERE team_id = ");
        statement.bind(self.team.0).sql(" AND ");
        push_line_of(&mut statement, item);
        statement.sql(" ORDER BY examined_on DESC, seq DESC LIMIT ");
        statement.bind(limit);
        let rows: Vec<RecordRow> = find_by!(self.conn, statement)?;
        record::all("examination", &rows)
    }
}
