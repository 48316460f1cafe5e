//! Rounds of examinations.

use std::collections::HashMap;

use time::Date;
use uuid::Uuid;

use super::{
    Cursor, Page, StoreError, Tx, WriteTx,
    model::MOST_AT_ONCE,
    page, record,
    record::RecordRow,
    statement::{Statement, find_by},
    tx::{change_any, change_one, find},
};
use crate::domain::{
    Change, Examination, ExaminationId, ItemId, LookedAt, Round, RoundClosing, RoundId,
    date::{read_day, write_day},
};

#[derive(sqlx::FromRow)]
struct RoundRow {
    id: Uuid,
    from_on: Date,
    record: String,
}

impl Tx {
    /// The round of this id.
    pub async fn round(&mut self, id: RoundId) -> Result<Option<Round>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM examination_round
             WHERE team_id = $1
               AND id = $2";
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, id.0)?;
        record::one("round", row)
    }

    /// A page of rounds after `after`, the last to begin first.
    pub async fn rounds(
        &mut self,
        after: Option<&Cursor>,
        limit: u32,
    ) -> Result<Page<Round>, StoreError> {
        let mut statement =
            Statement::new("SELECT id, from_on, record FROM examination_round WHERE team_id = ");
        statement.bind(self.team.0);
        if let Some(after) = after {
            let [day] = after.key().ok_or(StoreError::Cursor)?;
            let day = read_day(day).map_err(|_| StoreError::Cursor)?;
            statement.sql(" AND (from_on, id) < (").bind(day);
            statement.sql(", ").bind(after.id()).sql(")");
        }
        statement.sql(" ORDER BY from_on DESC, id DESC");
        page::limit(&mut statement, limit);
        let rows: Vec<RoundRow> = find_by!(self.conn, statement)?;
        Page::cut(
            rows,
            limit,
            |row| Cursor::new([write_day(row.from_on)], row.id),
            |row| record::read("round", &row.record),
        )
    }

    /// The last thorough examination of each of the items from one day to another; what had none is left out.
    pub async fn looked_at(
        &mut self,
        items: &[ItemId],
        (from, to): (Date, Date),
    ) -> Result<HashMap<ItemId, LookedAt>, StoreError> {
        let mut found: HashMap<ItemId, LookedAt> = HashMap::new();
        for some in items.chunks(MOST_AT_ONCE) {
            let mut statement = Statement::new("SELECT record FROM examination WHERE team_id = ");
            statement.bind(self.team.0).sql(" AND item_id IN ");
            statement.list(some.iter().map(|id| id.0));
            statement.sql(" AND examined_on >= ").bind(from);
            statement.sql(" AND examined_on <= ").bind(to);
            statement.sql(" ORDER BY item_id, examined_on, seq");
            let rows: Vec<RecordRow> = find_by!(self.conn, statement)?;
            found.extend(thorough(&rows)?);
        }
        Ok(found)
    }

    /// These examinations, by the items that they are of.
    pub async fn looked_in(
        &mut self,
        ids: &[ExaminationId],
    ) -> Result<HashMap<ItemId, LookedAt>, StoreError> {
        let mut found = HashMap::new();
        for some in ids.chunks(MOST_AT_ONCE) {
            let mut statement = Statement::new("SELECT record FROM examination WHERE team_id = ");
            statement.bind(self.team.0).sql(" AND id IN ");
            statement.list(some.iter().map(|id| id.0));
            let rows: Vec<RecordRow> = find_by!(self.conn, statement)?;
            found.extend(thorough(&rows)?);
        }
        Ok(found)
    }
}

/// The thorough ones among examinations, by their items; of one item the last of them counts.
fn thorough(rows: &[RecordRow]) -> Result<Vec<(ItemId, LookedAt)>, StoreError> {
    let all: Vec<Examination> = record::all("examination", rows)?;
    let thorough = all.into_iter().filter(|one| one.kind.is_thorough());
    let looked = thorough.map(|one| {
        let looked = LookedAt {
            id: one.id,
            examiner: one.examiner,
            on: one.on,
            verdict: one.verdict,
        };
        (one.item, looked)
    });
    Ok(looked.collect())
}

impl WriteTx {
    /// Applies what is done with a round.
    pub(super) async fn apply_round(&mut self, change: &Change) -> Result<(), StoreError> {
        match change {
            Change::RoundPlanned(round) => self.add_round(round).await,
            Change::RoundClosed(closing) => self.close_round(closing).await,
            // The rest is applied by its caller.
            _ => Ok(()),
        }
    }

    async fn add_round(&mut self, round: &Round) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO examination_round (team_id, id, from_on, closed, record)
            VALUES ($1, $2, $3, $4, $5)";
        let team = self.team;
        let text = record::write("round", round)?;
        let closed = round.closed.is_some();
        change_any!(self.conn, SQL, team.0, round.id.0, round.from, closed, text).map(drop)
    }

    /// Closes a round.
    ///
    /// # Errors
    /// [`StoreError::Stale`] if there is none that is open.
    async fn close_round(&mut self, closing: &RoundClosing) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE examination_round
               SET closed = $3, record = $4
             WHERE team_id = $1
               AND id = $2
               AND closed <> $3";
        let round = self.round(closing.round).await?;
        let mut round = round.ok_or(StoreError::Stale { table: "round" })?;
        round.closed = Some(closing.clone());
        let team = self.team;
        let text = record::write("round", &round)?;
        change_one!(self.conn, "round", SQL, team.0, round.id.0, true, text)
    }
}
