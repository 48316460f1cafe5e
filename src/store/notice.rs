//! Safety notices, and the items they are closed for.

use time::Date;
use uuid::Uuid;

use super::{
    Cursor, Page, Recorded, StoreError, Tx, WriteTx,
    model::MOST_AT_ONCE,
    page,
    place::searchable,
    record,
    record::RecordRow,
    statement::{Statement, find_by},
    tx::{change_any, change_one, find, find_all},
};
use crate::domain::{
    ItemId, Job, Notice, NoticeClosing, NoticeEnd, NoticeId,
    date::{read_day, write_day},
    fold,
};

#[derive(sqlx::FromRow)]
struct NoticeRow {
    id: Uuid,
    issued_on: Date,
    record: String,
}

impl Tx {
    /// The notice of this id.
    pub async fn notice(&mut self, id: NoticeId) -> Result<Option<Notice>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM notice
             WHERE team_id = $1
               AND id = $2";
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, id.0)?;
        record::one("notice", row)
    }

    /// The notices of these ids; those that are not there are left out.
    pub async fn notices_of(&mut self, ids: &[NoticeId]) -> Result<Vec<Notice>, StoreError> {
        let mut found = Vec::new();
        for some in ids.chunks(MOST_AT_ONCE) {
            let mut statement = Statement::new("SELECT record FROM notice WHERE team_id = ");
            statement.bind(self.team.0).sql(" AND id IN ");
            statement.list(some.iter().map(|id| id.0));
            let rows: Vec<RecordRow> = find_by!(self.conn, statement)?;
            found.extend(record::all::<Notice>("notice", &rows)?);
        }
        Ok(found)
    }

    /// A page of notices after `after`, the last issued first.
    pub async fn notices(
        &mut self,
        after: Option<&Cursor>,
        limit: u32,
    ) -> Result<Page<Notice>, StoreError> {
        let mut statement =
            Statement::new("SELECT id, issued_on, record FROM notice WHERE team_id = ");
        statement.bind(self.team.0);
        if let Some(after) = after {
            let [day] = after.key().ok_or(StoreError::Cursor)?;
            let day = read_day(day).map_err(|_| StoreError::Cursor)?;
            statement.sql(" AND (issued_on, id) < (").bind(day);
            statement.sql(", ").bind(after.id()).sql(")");
        }
        statement.sql(" ORDER BY issued_on DESC, id DESC");
        page::limit(&mut statement, limit);
        let rows: Vec<NoticeRow> = find_by!(self.conn, statement)?;
        Page::cut(
            rows,
            limit,
            |row| Cursor::new([write_day(row.issued_on)], row.id),
            |row| record::read("notice", &row.record),
        )
    }

    /// Every notice about gear of this maker, the last issued first: those that may cover an item of its.
    pub async fn notices_about(&mut self, maker: &str) -> Result<Vec<Notice>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM notice
             WHERE team_id = $1
               AND maker_folded = $2
             ORDER BY issued_on DESC, id DESC";
        let rows: Vec<RecordRow> = find_all!(self.conn, SQL, self.team.0, searchable(maker))?;
        record::all("notice", &rows)
    }

    /// The planned jobs with something on them of a maker whom a notice is about, or that is aside, at most `limit`, the last to
    /// start first.
    pub async fn jobs_under_notice(&mut self, limit: u32) -> Result<Vec<Job>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM job
             WHERE team_id = $1
               AND state = 'planned'
               AND EXISTS (
                   SELECT 1
                     FROM kit_line l
                     JOIN item i ON i.team_id = l.team_id AND i.id = l.item_id
                     JOIN model m ON m.team_id = i.team_id AND m.id = i.model_id
                    WHERE l.team_id = job.team_id
                      AND l.job_id = job.id
                      AND (i.state IN ('quarantined', 'missing')
                           OR EXISTS (
                               SELECT 1
                                 FROM notice n
                                WHERE n.team_id = m.team_id
                                  AND n.maker_folded = m.maker_folded)))
             ORDER BY starts_at DESC, id DESC
             LIMIT $2";
        let rows: Vec<RecordRow> = find_all!(self.conn, SQL, self.team.0, i64::from(limit))?;
        record::all("job", &rows)
    }

    /// The closings of notices for these items.
    pub async fn closings_of(
        &mut self,
        items: &[ItemId],
    ) -> Result<Vec<NoticeClosing>, StoreError> {
        let mut found = Vec::new();
        for some in items.chunks(MOST_AT_ONCE) {
            let mut statement =
                Statement::new("SELECT record FROM notice_closing WHERE team_id = ");
            statement.bind(self.team.0).sql(" AND item_id IN ");
            statement.list(some.iter().map(|id| id.0));
            statement.sql(" ORDER BY seq");
            let rows: Vec<RecordRow> = find_by!(self.conn, statement)?;
            found.extend(record::all::<NoticeClosing>("notice_closing", &rows)?);
        }
        Ok(found)
    }

    /// At most `limit` closings of a notice for items after `after`, by the item's id.
    pub async fn closings_of_notice(
        &mut self,
        notice: NoticeId,
        after: Option<ItemId>,
        limit: u32,
    ) -> Result<Vec<NoticeClosing>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM notice_closing
             WHERE team_id = $1
               AND notice_id = $2
               AND item_id > $3
             ORDER BY item_id
             LIMIT $4";
        let after = after.map_or(Uuid::nil(), |id| id.0);
        let limit = i64::from(limit);
        let rows: Vec<RecordRow> = find_all!(self.conn, SQL, self.team.0, notice.0, after, limit)?;
        record::all("notice_closing", &rows)
    }
}

impl WriteTx {
    pub(super) async fn add_notice(&mut self, notice: &Notice) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO notice (team_id, id, issued_on, maker_folded, record)
            VALUES ($1, $2, $3, $4, $5)";
        let team = self.team;
        let text = record::write("notice", notice)?;
        let maker = fold(&notice.maker);
        change_any!(
            self.conn,
            SQL,
            team.0,
            notice.id.0,
            notice.issued_on,
            maker,
            text
        )
        .map(drop)
    }

    /// Keeps a notice as it was corrected. Where something else is to be done by it, it is open again for every item that it
    /// was closed for.
    pub(super) async fn correct_notice(&mut self, notice: &Notice) -> Result<(), StoreError> {
        const SQL: &str = "
            DELETE FROM notice_closing
             WHERE team_id = $1
               AND notice_id = $2";
        let before = self.notice(notice.id).await?;
        self.save_notice(notice).await?;
        if before.is_some_and(|before| before.asks_otherwise(notice)) {
            let team = self.team;
            change_any!(self.conn, SQL, team.0, notice.id.0)?;
        }
        Ok(())
    }

    async fn save_notice(&mut self, notice: &Notice) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE notice
               SET issued_on = $3, maker_folded = $4, record = $5
             WHERE team_id = $1
               AND id = $2";
        let team = self.team;
        let text = record::write("notice", notice)?;
        let (id, on, maker) = (notice.id.0, notice.issued_on, fold(&notice.maker));
        change_one!(self.conn, "notice", SQL, team.0, id, on, maker, text)
    }

    /// Notes that a notice covers nothing any more.
    pub(super) async fn withdraw_notice(&mut self, end: &NoticeEnd) -> Result<(), StoreError> {
        let notice = self.notice(end.notice).await?;
        let mut notice = notice.ok_or(StoreError::Stale { table: "notice" })?;
        notice.withdrawn = Some(end.reason.clone());
        self.save_notice(&notice).await
    }

    pub(super) async fn close_notice(
        &mut self,
        closing: &NoticeClosing,
        recorded: Recorded,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO notice_closing (team_id, item_id, notice_id, seq, record)
            VALUES ($1, $2, $3, $4, $5)";
        let team = self.team;
        let text = record::write("notice_closing", closing)?;
        let seq = recorded.seq_column();
        change_any!(
            self.conn,
            SQL,
            team.0,
            closing.item.0,
            closing.notice.0,
            seq,
            text
        )?;
        let item = self.item_there(closing.item).await?;
        if item.return_asked.is_some() {
            self.save_item(&item.notice_closed()).await?;
        }
        Ok(())
    }
}
