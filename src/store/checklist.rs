//! The criteria that a team adds to the lists, every edition of each kind.

use super::{
    StoreError, Tx, WriteTx, record,
    record::RecordRow,
    tx::{change_any, find, find_all},
};
use crate::domain::{ChecklistId, Kind, TeamChecklist};

impl Tx {
    /// The newest edition of each kind that has one, by kind.
    pub async fn checklists(&mut self) -> Result<Vec<TeamChecklist>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM checklist own
             WHERE team_id = $1
               AND revision = (
                   SELECT MAX(revision)
                     FROM checklist
                    WHERE team_id = own.team_id
                      AND kind = own.kind)
             ORDER BY kind";
        let rows: Vec<RecordRow> = find_all!(self.conn, SQL, self.team.0)?;
        record::all("checklist", &rows)
    }

    /// The newest edition for a kind.
    pub async fn checklist(&mut self, kind: Kind) -> Result<Option<TeamChecklist>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM checklist
             WHERE team_id = $1
               AND kind = $2
             ORDER BY revision DESC
             LIMIT 1";
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, kind.key())?;
        record::one("checklist", row)
    }

    /// One edition for a kind.
    pub async fn checklist_edition(
        &mut self,
        kind: Kind,
        revision: u32,
    ) -> Result<Option<TeamChecklist>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM checklist
             WHERE team_id = $1
               AND kind = $2
               AND revision = $3";
        let revision = i64::from(revision);
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, kind.key(), revision)?;
        record::one("checklist", row)
    }

    /// The newest edition with this id.
    pub async fn checklist_of_id(
        &mut self,
        id: ChecklistId,
    ) -> Result<Option<TeamChecklist>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM checklist
             WHERE team_id = $1
               AND id = $2
             ORDER BY revision DESC
             LIMIT 1";
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, id.0)?;
        record::one("checklist", row)
    }
}

impl WriteTx {
    /// Keeps an edition beside those before it.
    ///
    /// # Errors
    /// [`StoreError::Stale`] unless it is one more than the newest of its kind.
    pub(super) async fn keep_checklist(&mut self, own: &TeamChecklist) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO checklist (team_id, kind, revision, id, record)
            VALUES ($1, $2, $3, $4, $5)";
        let before = self.checklist(own.kind).await?;
        if before.map_or(0, |before| before.revision) + 1 != own.revision {
            return Err(StoreError::Stale { table: "checklist" });
        }
        let team = self.team;
        let text = record::write("checklist", own)?;
        let (revision, kind) = (i64::from(own.revision), own.kind.key());
        change_any!(self.conn, SQL, team.0, kind, revision, own.id.0, text).map(drop)
    }
}
