//! Private addresses of calendars, of which only the hash is kept.

use time::OffsetDateTime;
use uuid::Uuid;

use super::{
    Door, StoreError, Tx, WriteTx,
    tx::{change_any, change_one, find, find_all},
};
use crate::domain::{CalendarId, Hash, PersonId, TeamId};

/// A calendar's address, without the secret.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CalendarAddress {
    /// Its id.
    pub id: CalendarId,
    /// Whose it is.
    pub person: PersonId,
    /// When it was made.
    pub created_at: OffsetDateTime,
    /// When it was revoked, if it was.
    pub revoked_at: Option<OffsetDateTime>,
}

#[derive(sqlx::FromRow)]
struct CalendarRow {
    id: Uuid,
    person_id: Uuid,
    created_at: OffsetDateTime,
    revoked_at: Option<OffsetDateTime>,
}

impl From<CalendarRow> for CalendarAddress {
    fn from(row: CalendarRow) -> Self {
        Self {
            id: CalendarId(row.id),
            person: PersonId(row.person_id),
            created_at: row.created_at,
            revoked_at: row.revoked_at,
        }
    }
}

impl Door {
    /// The team whose calendar has the address of this hash: none if it was revoked, or its owner may no longer sign in.
    pub async fn calendar_team(&mut self, hash: &Hash) -> Result<Option<TeamId>, StoreError> {
        const SQL: &str = "
            SELECT c.team_id
              FROM calendar c
              JOIN person p
                ON p.team_id = c.team_id
               AND p.id = c.person_id
             WHERE c.hash = $1
               AND c.revoked_at IS NULL
               AND p.active = $2";
        let row: Option<(Uuid,)> = find!(self.conn, SQL, hash.as_slice(), true)?;
        Ok(row.map(|(team,)| TeamId(team)))
    }
}

impl Tx {
    /// The calendars of a person, the newest first.
    pub async fn calendars_of(
        &mut self,
        person: PersonId,
    ) -> Result<Vec<CalendarAddress>, StoreError> {
        const SQL: &str = "
            SELECT id, person_id, created_at, revoked_at
              FROM calendar
             WHERE team_id = $1
               AND person_id = $2
             ORDER BY created_at DESC, id DESC";
        let rows: Vec<CalendarRow> = find_all!(self.conn, SQL, self.team.0, person.0)?;
        Ok(rows.into_iter().map(CalendarAddress::from).collect())
    }
}

impl WriteTx {
    /// Keeps a new calendar under the hash of its secret.
    ///
    /// # Errors
    /// [`StoreError::Unlinked`] if the team has no such person.
    pub async fn add_calendar(
        &mut self,
        calendar: &CalendarAddress,
        hash: &Hash,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO calendar (team_id, id, person_id, hash, created_at, revoked_at)
            VALUES ($1, $2, $3, $4, $5, $6)";
        let team = self.team;
        let (id, person) = (calendar.id.0, calendar.person.0);
        let (made, revoked) = (calendar.created_at, calendar.revoked_at);
        change_any!(
            self.conn,
            SQL,
            team.0,
            id,
            person,
            hash.as_slice(),
            made,
            revoked
        )
        .map(drop)
    }

    /// Revokes a calendar of a person for good.
    ///
    /// # Errors
    /// [`StoreError::Stale`] if the person has no such calendar or it was revoked before.
    pub async fn revoke_calendar(
        &mut self,
        person: PersonId,
        id: CalendarId,
        at: OffsetDateTime,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE calendar
               SET revoked_at = $4
             WHERE team_id = $1
               AND id = $2
               AND person_id = $3
               AND revoked_at IS NULL";
        let team = self.team;
        change_one!(self.conn, "calendar", SQL, team.0, id.0, person.0, at)
    }
}
