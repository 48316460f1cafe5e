//! The rulebooks of a team's own, every version of each.

use super::{
    StoreError, Tx, WriteTx, record,
    record::RecordRow,
    tx::{change_any, find, find_all},
};
use crate::domain::{Edition, RulebookId, rulebook::TeamRulebook};

impl Tx {
    /// The newest version of each, by key.
    pub async fn rulebooks(&mut self) -> Result<Vec<TeamRulebook>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM rulebook own
             WHERE team_id = $1
               AND revision = (
                   SELECT MAX(revision)
                     FROM rulebook
                    WHERE team_id = own.team_id
                      AND id = own.id)
             ORDER BY rulebook_key";
        let rows: Vec<RecordRow> = find_all!(self.conn, SQL, self.team.0)?;
        record::all("rulebook", &rows)
    }

    /// The newest version of the one with this id.
    pub async fn rulebook(&mut self, id: RulebookId) -> Result<Option<TeamRulebook>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM rulebook
             WHERE team_id = $1
               AND id = $2
             ORDER BY revision DESC
             LIMIT 1";
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, id.0)?;
        record::one("rulebook", row)
    }

    /// The one that is named: `valley@2` is its version 2, `valley` the newest.
    pub async fn rulebook_named(
        &mut self,
        named: &Edition<'_>,
    ) -> Result<Option<TeamRulebook>, StoreError> {
        const NEWEST: &str = "
            SELECT record
              FROM rulebook
             WHERE team_id = $1
               AND rulebook_key = $2
             ORDER BY revision DESC
             LIMIT 1";
        const VERSION: &str = "
            SELECT record
              FROM rulebook
             WHERE team_id = $1
               AND rulebook_key = $2
               AND revision = $3";
        let key = named.key.replace('\0', "");
        let row: Option<RecordRow> = match named.version {
            None => find!(self.conn, NEWEST, self.team.0, key)?,
            Some(version) => find!(self.conn, VERSION, self.team.0, key, i64::from(version))?,
        };
        record::one("rulebook", row)
    }
}

impl WriteTx {
    /// Keeps a version beside those before it.
    ///
    /// # Errors
    /// [`StoreError::Stale`] unless it is one more than the newest; [`StoreError::Taken`] if another one
    /// has the key.
    pub(super) async fn keep_rulebook(&mut self, own: &TeamRulebook) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO rulebook (team_id, id, revision, rulebook_key, record)
            VALUES ($1, $2, $3, $4, $5)";
        let before = self.rulebook(own.id).await?;
        if before.map_or(0, |before| before.revision) + 1 != own.revision {
            return Err(StoreError::Stale { table: "rulebook" });
        }
        let team = self.team;
        let text = record::write("rulebook", own)?;
        let (revision, key) = (i64::from(own.revision), own.book.key());
        change_any!(self.conn, SQL, team.0, own.id.0, revision, key, text).map(drop)
    }
}
