//! Teams: the frame of every other record.

use time::OffsetDateTime;

use super::{Database, StoreError, Tx, WriteTx, tx::change_any, tx::find};
use crate::domain::{Frontier, Team, TeamId};

impl Database {
    /// Founds a team with an empty ledger and begins to write it; the caller records its first person and commits.
    ///
    /// # Errors
    /// [`StoreError::Taken`] if there is a team of this id.
    pub async fn found_team(&self, team: &Team, at: OffsetDateTime) -> Result<WriteTx, StoreError> {
        const TEAM: &str = "
            INSERT INTO team (id, name, rulebook, created_at)
            VALUES ($1, $2, $3, $4)";
        const HEAD: &str = "
            INSERT INTO ledger_head (team_id, size, root, frontier)
            VALUES ($1, $2, $3, $4)";
        let empty = Frontier::default();
        let mut conn = self.begin_write().await?;
        change_any!(
            conn,
            TEAM,
            team.id.0,
            team.name.as_str(),
            team.rulebook.as_str(),
            at
        )?;
        change_any!(
            conn,
            HEAD,
            team.id.0,
            0_i64,
            empty.root().as_slice(),
            empty.bytes().as_slice()
        )?;
        WriteTx::begin(conn, team.id).await
    }
}

impl Tx {
    /// The team itself, and when it was founded.
    pub async fn this_team(&mut self) -> Result<Option<(Team, OffsetDateTime)>, StoreError> {
        const SQL: &str = "
            SELECT id, name, rulebook, created_at
              FROM team
             WHERE id = $1";
        let row: Option<(uuid::Uuid, String, String, OffsetDateTime)> =
            find!(self.conn, SQL, self.team.0)?;
        Ok(row.map(|(id, name, rulebook, at)| {
            let team = Team {
                id: TeamId(id),
                name,
                rulebook,
            };
            (team, at)
        }))
    }
}
