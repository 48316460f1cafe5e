//! The rulebooks of a team's own, every version of each.

use super::{
    StoreError, Tx, WriteTx, record,
    record::KeptRow,
    tx::{change_any, find, find_all},
};
use crate::domain::{Edition, RulebookId, rulebook::TeamRulebook};

/// A version of a rulebook of the team's own, and whether the rulebook is offered.
#[derive(Clone, Debug, PartialEq)]
pub struct KeptRulebook {
    /// The version.
    pub rulebook: TeamRulebook,
    /// Whether the rulebook was withdrawn.
    pub withdrawn: bool,
}

impl KeptRulebook {
    fn read(row: &KeptRow) -> Result<Self, StoreError> {
        Ok(Self {
            rulebook: record::read("rulebook", &row.record)?,
            withdrawn: row.withdrawn,
        })
    }
}

impl Tx {
    /// The newest version of each, by key.
    pub async fn rulebooks(&mut self) -> Result<Vec<KeptRulebook>, StoreError> {
        const SQL: &str = "
            SELECT withdrawn, record
              FROM rulebook own
             WHERE team_id = $1
               AND revision = (
                   SELECT MAX(revision)
                     FROM rulebook
                    WHERE team_id = own.team_id
                      AND id = own.id)
             ORDER BY rulebook_key";
        let rows: Vec<KeptRow> = find_all!(self.conn, SQL, self.team.0)?;
        rows.iter().map(KeptRulebook::read).collect()
    }

    /// The newest version of the one with this id.
    pub async fn rulebook(&mut self, id: RulebookId) -> Result<Option<KeptRulebook>, StoreError> {
        const SQL: &str = "
            SELECT withdrawn, record
              FROM rulebook
             WHERE team_id = $1
               AND id = $2
             ORDER BY revision DESC
             LIMIT 1";
        let row: Option<KeptRow> = find!(self.conn, SQL, self.team.0, id.0)?;
        row.as_ref().map(KeptRulebook::read).transpose()
    }

    /// The one that is named: `valley@2` is its version 2, `valley` the newest.
    pub async fn rulebook_named(
        &mut self,
        named: &Edition<'_>,
    ) -> Result<Option<KeptRulebook>, StoreError> {
        const NEWEST: &str = "
            SELECT withdrawn, record
              FROM rulebook
             WHERE team_id = $1
               AND rulebook_key = $2
             ORDER BY revision DESC
             LIMIT 1";
        const VERSION: &str = "
            SELECT withdrawn, record
              FROM rulebook
             WHERE team_id = $1
               AND rulebook_key = $2
               AND revision = $3";
        let key = named.key.replace('\0', "");
        let row: Option<KeptRow> = match named.version {
            None => find!(self.conn, NEWEST, self.team.0, key)?,
            Some(version) => find!(self.conn, VERSION, self.team.0, key, i64::from(version))?,
        };
        row.as_ref().map(KeptRulebook::read).transpose()
    }
}

impl WriteTx {
    /// Keeps a version beside those before it.
    ///
    /// # Errors
    /// [`StoreError::Stale`] unless it is one more than the newest of one that is offered;
    /// [`StoreError::Taken`] if another one has the key.
    pub(super) async fn keep_rulebook(&mut self, own: &TeamRulebook) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO rulebook (team_id, id, revision, rulebook_key, withdrawn, record)
            VALUES ($1, $2, $3, $4, $5, $6)";
        let before = self.rulebook(own.id).await?;
        let withdrawn = before.as_ref().is_some_and(|before| before.withdrawn);
        if withdrawn || before.map_or(0, |before| before.rulebook.revision) + 1 != own.revision {
            return Err(StoreError::Stale { table: "rulebook" });
        }
        let team = self.team;
        let text = record::write("rulebook", own)?;
        let (revision, key) = (i64::from(own.revision), own.book.key());
        change_any!(self.conn, SQL, team.0, own.id.0, revision, key, false, text).map(drop)
    }

    /// Takes a rulebook out of what is offered, or offers it again. Its versions stay for the jobs that name them.
    pub(super) async fn set_rulebook_withdrawn(
        &mut self,
        rulebook: RulebookId,
        withdrawn: bool,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE rulebook
               SET withdrawn = $3
             WHERE team_id = $1
               AND id = $2
               AND withdrawn <> $3";
        let team = self.team;
        match change_any!(self.conn, SQL, team.0, rulebook.0, withdrawn)? {
            0 => Err(StoreError::Stale { table: "rulebook" }),
            _ => Ok(()),
        }
    }
}
