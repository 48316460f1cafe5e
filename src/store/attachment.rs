//! Photos and documents on records. Their bytes are none of the database's affair: see [`Files`](super::Files).

use uuid::Uuid;

use super::{
    Recorded, StoreError, Tx, WriteTx,
    line::push_line_of,
    record,
    record::RecordRow,
    statement::{Statement, find_by},
    tx::{change_any, change_one, find, find_all},
};
use crate::domain::{AttachedTo, Attachment, AttachmentId, AttachmentWithdrawal, Item};

impl Tx {
    /// The photo or document of this id, withdrawn or not.
    pub async fn attachment(&mut self, id: AttachmentId) -> Result<Option<Attachment>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM attachment
             WHERE team_id = $1
               AND id = $2";
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, id.0)?;
        record::one("attachment", row)
    }

    /// What is on a record, in the order in which it was put there; what was withdrawn is among it.
    pub async fn attachments(&mut self, to: AttachedTo) -> Result<Vec<Attachment>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM attachment
             WHERE team_id = $1
               AND bearer_id = $2
             ORDER BY seq";
        let rows: Vec<RecordRow> = find_all!(self.conn, SQL, self.team.0, to.id())?;
        record::all("attachment", &rows)
    }

    /// The `limit` last that are on an item, its examinations and its events, and on those of the ropes that it was part
    /// of, the last first; what was withdrawn is left out.
    pub async fn attachments_in_line(
        &mut self,
        item: &Item,
        limit: u32,
    ) -> Result<Vec<Attachment>, StoreError> {
        let mut statement = Statement::new("SELECT record FROM attachment WHERE team_id = ");
        statement.bind(self.team.0).sql(" AND withdrawn = ");
        statement.bind(false).sql(" AND ");
        push_line_of(&mut statement, item);
        statement.sql(" ORDER BY seq DESC LIMIT ").bind(limit);
        let rows: Vec<RecordRow> = find_by!(self.conn, statement)?;
        record::all("attachment", &rows)
    }
}

impl Tx {
    /// At most `limit` of all photos and documents of the team behind one of them, by id; what was withdrawn is among
    /// them.
    pub async fn attachments_after(
        &mut self,
        after: Option<AttachmentId>,
        limit: u32,
    ) -> Result<Vec<Attachment>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM attachment
             WHERE team_id = $1
               AND id > $2
             ORDER BY id
             LIMIT $3";
        let after = after.map_or(Uuid::nil(), |id| id.0);
        let rows: Vec<RecordRow> = find_all!(self.conn, SQL, self.team.0, after, i64::from(limit))?;
        record::all("attachment", &rows)
    }
}

impl WriteTx {
    pub(super) async fn add_attachment(
        &mut self,
        attachment: &Attachment,
        recorded: Recorded,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO attachment (team_id, id, item_id, model_id, bearer_id, seq, withdrawn, record)
            VALUES ($1, $2, $3, $4, $5, $6, $7, $8)";
        let team = self.team;
        let to = attachment.to;
        change_any!(
            self.conn,
            SQL,
            team.0,
            attachment.id.0,
            to.item().map(|item| item.0),
            to.model().map(|model| model.0),
            to.id(),
            recorded.seq_column(),
            attachment.withdrawn.is_some(),
            record::write("attachment", attachment)?,
        )
        .map(drop)
    }

    /// Withdraws a photo or a document.
    ///
    /// # Errors
    /// [`StoreError::Stale`] if there is none of this id, or it was withdrawn already.
    pub(super) async fn withdraw_attachment(
        &mut self,
        withdrawal: &AttachmentWithdrawal,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE attachment
               SET withdrawn = $3, record = $4
             WHERE team_id = $1
               AND id = $2";
        let there = self.attachment(withdrawal.attachment).await?;
        let there = there.filter(|one| one.withdrawn.is_none());
        let there = there.ok_or(StoreError::Stale {
            table: "attachment",
        })?;
        let team = self.team;
        let text = record::write("attachment", &there.ended(withdrawal.end.clone()))?;
        let id = withdrawal.attachment.0;
        change_one!(self.conn, "attachment", SQL, team.0, id, true, text)
    }
}
