//! Examinations.

use std::collections::HashSet;

use time::Date;
use uuid::Uuid;

use super::{
    Recorded, StoreError, Tx, WriteTx,
    line::push_line_of,
    model::MOST_AT_ONCE,
    record,
    record::RecordRow,
    statement::{Statement, find_by},
    tx::{find, find_all},
};
use crate::domain::{Examination, ExaminationId, ExaminationKind, Item, ItemId, Verdict};

impl Tx {
    /// The examination of this id.
    pub async fn examination(
        &mut self,
        id: ExaminationId,
    ) -> Result<Option<Examination>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM examination
             WHERE team_id = $1
               AND id = $2";
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, id.0)?;
        record::one("examination", row)
    }

    /// The `limit` last examinations of an item done up to `until`, the last done first.
    pub async fn examinations(
        &mut self,
        item: ItemId,
        until: Date,
        limit: u32,
    ) -> Result<Vec<Examination>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM examination
             WHERE team_id = $1
               AND item_id = $2
               AND examined_on <= $3
             ORDER BY examined_on DESC, seq DESC
             LIMIT $4";
        let limit = i64::from(limit);
        let rows: Vec<RecordRow> = find_all!(self.conn, SQL, self.team.0, item.0, until, limit)?;
        record::all("examination", &rows)
    }

    /// The newest thorough examination of an item and of the ropes that it was part of, by its day and then by the order of
    /// the record.
    pub async fn newest_thorough(
        &mut self,
        item: &Item,
    ) -> Result<Option<Examination>, StoreError> {
        let thorough = ExaminationKind::ALL.into_iter();
        let thorough = thorough.filter(|kind| kind.is_thorough());
        let mut statement = Statement::new("SELECT record FROM examination WHERE team_id = ");
        statement.bind(self.team.0).sql(" AND ");
        push_line_of(&mut statement, item);
        statement.sql(" AND kind IN ");
        statement.list(thorough.map(ExaminationKind::key));
        statement.sql(" ORDER BY examined_on DESC, seq DESC LIMIT ");
        statement.bind(1u32);
        let rows: Vec<RecordRow> = find_by!(self.conn, statement)?;
        let mut found = record::all("examination", &rows)?;
        Ok(found.pop())
    }

    /// The last examination of an item, of whatever kind and verdict.
    pub async fn last_examination(
        &mut self,
        item: ItemId,
    ) -> Result<Option<Examination>, StoreError> {
        let mut last = self.examinations(item, Date::MAX, 1).await?;
        Ok(last.pop())
    }

    /// Which of the items have ever passed an intake examination.
    pub async fn intake_passed(&mut self, ids: &[ItemId]) -> Result<HashSet<ItemId>, StoreError> {
        let mut passed = HashSet::new();
        for some in ids.chunks(MOST_AT_ONCE) {
            let mut statement =
                Statement::new("SELECT DISTINCT item_id FROM examination WHERE team_id = ");
            statement.bind(self.team.0).sql(" AND item_id IN ");
            statement.list(some.iter().map(|id| id.0));
            statement
                .sql(" AND kind = ")
                .bind(ExaminationKind::Intake.key());
            statement.sql(" AND verdict = ").bind(Verdict::Fit.key());
            let rows: Vec<(Uuid,)> = find_by!(self.conn, statement)?;
            passed.extend(rows.into_iter().map(|(id,)| ItemId(id)));
        }
        Ok(passed)
    }
}

impl WriteTx {
    pub(super) async fn add_examinations(
        &mut self,
        examinations: &[(&Examination, Recorded)],
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO examination
                   (team_id, id, item_id, examined_on, seq, kind, verdict, record)
            VALUES ";
        let team = self.team.0;
        let mut rows = Vec::new();
        for (examination, recorded) in examinations {
            rows.push(vec![
                team.into(),
                examination.id.0.into(),
                examination.item.0.into(),
                examination.on.into(),
                recorded.seq_column().into(),
                examination.kind.key().into(),
                examination.verdict.key().into(),
                record::write("examination", *examination)?.into(),
            ]);
        }
        self.insert(SQL, rows, "").await
    }
}
