//! Teams: the frame of every other record.

use time::{Date, OffsetDateTime};
use uuid::Uuid;

use super::{
    Database, StoreError, Tx, WriteTx,
    person::actor,
    tx::{change_any, change_one, find},
};
use crate::domain::{Change, Frontier, Person, Team, TeamId, Zone};

#[derive(sqlx::FromRow)]
pub(super) struct TeamRow {
    id: Uuid,
    name: String,
    rulebook: String,
    time_zone: String,
    return_by_two: bool,
    employer: String,
    premises: String,
    created_at: OffsetDateTime,
}

impl TeamRow {
    /// The team, and when it was founded.
    pub(super) fn team(self) -> Result<(Team, OffsetDateTime), StoreError> {
        let team = Team {
            id: TeamId(self.id),
            name: self.name,
            rulebook: self.rulebook,
            time_zone: zone(&self.time_zone)?,
            return_by_two: self.return_by_two,
            employer: self.employer,
            premises: self.premises,
        };
        Ok((team, self.created_at))
    }
}

/// Reads a time zone from `team.time_zone`.
pub(super) fn zone(name: &str) -> Result<Zone, StoreError> {
    Zone::read(name).map_err(|e| StoreError::corrupt("team", "time_zone")(e.into()))
}

impl Database {
    /// Founds a team with its first person, who is the first to stand in its ledger, and goes on writing it.
    ///
    /// # Errors
    /// [`StoreError::Taken`] if there is a team of this id, or someone with this sign-in name.
    pub async fn found_team(
        &self,
        team: &Team,
        founder: &Person,
        at: OffsetDateTime,
    ) -> Result<WriteTx, StoreError> {
        let mut tx = self.frame_team(team, at).await?;
        let who = actor(team.id, founder);
        tx.record(&who, at, Change::TeamFounded(team.clone()))
            .await?;
        tx.record(&who, at, Change::PersonAdded(founder.clone()))
            .await?;
        Ok(tx)
    }

    /// Makes room for a team and its empty ledger, and begins to write it.
    pub(super) async fn frame_team(
        &self,
        team: &Team,
        at: OffsetDateTime,
    ) -> Result<WriteTx, StoreError> {
        const TEAM: &str = "
            INSERT INTO team (id, name, rulebook, time_zone, created_at, return_by_two, employer, premises)
            VALUES ($1, $2, $3, $4, $5, $6, $7, $8)";
        const HEAD: &str = "
            INSERT INTO ledger_head (team_id, size, root, frontier)
            VALUES ($1, $2, $3, $4)";
        let empty = Frontier::default();
        let (name, rulebook) = (team.name.as_str(), team.rulebook.as_str());
        let zone = team.time_zone.name();
        let mut conn = self.begin_write().await?;
        let two = team.return_by_two;
        let (employer, premises) = (team.employer.as_str(), team.premises.as_str());
        change_any!(
            conn, TEAM, team.id.0, name, rulebook, zone, at, two, employer, premises
        )?;
        let (root, peaks) = (empty.root(), empty.bytes());
        change_any!(conn, HEAD, team.id.0, 0_i64, root.as_slice(), peaks)?;
        WriteTx::begin(conn, team.id).await
    }
}

impl Tx {
    /// The team itself, and when it was founded.
    pub async fn this_team(&mut self) -> Result<Option<(Team, OffsetDateTime)>, StoreError> {
        const SQL: &str = "
            SELECT id, name, rulebook, time_zone, return_by_two, employer, premises, created_at
              FROM team
             WHERE id = $1";
        let row: Option<TeamRow> = find!(self.conn, SQL, self.team.0)?;
        row.map(TeamRow::team).transpose()
    }

    /// The time zone in which the team counts its days.
    ///
    /// # Errors
    /// [`StoreError::NoTeam`] if it is not there.
    pub async fn zone(&mut self) -> Result<Zone, StoreError> {
        const SQL: &str = "
            SELECT time_zone
              FROM team
             WHERE id = $1";
        let row: Option<(String,)> = find!(self.conn, SQL, self.team.0)?;
        let (name,) = row.ok_or(StoreError::NoTeam)?;
        zone(&name)
    }

    /// The day that it is for the team at a moment.
    ///
    /// # Errors
    /// [`StoreError::NoTeam`] if it is not there.
    pub async fn day(&mut self, at: OffsetDateTime) -> Result<Date, StoreError> {
        Ok(self.zone().await?.day(at))
    }
}

impl WriteTx {
    pub(super) async fn save_team(&mut self, saved: &Team) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE team
               SET name = $2, rulebook = $3, time_zone = $4, return_by_two = $5, employer = $6, premises = $7
             WHERE id = $1";
        let team = self.team;
        if saved.id != team {
            return Err(StoreError::NoTeam);
        }
        let (name, rulebook) = (saved.name.as_str(), saved.rulebook.as_str());
        let zone = saved.time_zone.name();
        let two = saved.return_by_two;
        let (employer, premises) = (saved.employer.as_str(), saved.premises.as_str());
        change_one!(
            self.conn, "team", SQL, team.0, name, rulebook, zone, two, employer, premises
        )
    }
}
