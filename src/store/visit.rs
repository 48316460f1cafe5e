//! What each visit asks of a session, in one statement, and the sessions that a person has open.

use time::OffsetDateTime;

use super::{
    Door, Signed, StoreError, WriteDoor,
    preference::choice,
    session::SignedRow,
    tx::{change_any, find, find_all},
};
use crate::domain::{Hash, PersonId, Preference, TeamId};

/// Somebody who comes with a session.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Visit {
    /// Who it is.
    pub signed: Signed,
    /// How this person likes to see things.
    pub preference: Preference,
    /// When the session ends.
    pub expires_at: OffsetDateTime,
    /// When a visit was last noted.
    pub seen_at: Option<OffsetDateTime>,
}

/// One open session of a person.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SessionOf {
    /// Its hash.
    pub hash: Hash,
    /// When it was opened.
    pub created_at: OffsetDateTime,
    /// When it ends if nobody comes with it.
    pub expires_at: OffsetDateTime,
    /// The browser it was opened with, in plain words; empty if that was not noted.
    pub browser: String,
    /// When a visit was last noted.
    pub seen_at: Option<OffsetDateTime>,
}

#[derive(sqlx::FromRow)]
struct SessionRow {
    hash: Vec<u8>,
    created_at: OffsetDateTime,
    expires_at: OffsetDateTime,
    browser: String,
    seen_at: Option<OffsetDateTime>,
}

impl TryFrom<SessionRow> for SessionOf {
    type Error = StoreError;
    fn try_from(row: SessionRow) -> Result<Self, StoreError> {
        let hash = row.hash.try_into();
        Ok(Self {
            hash: hash.map_err(|_| {
                StoreError::corrupt("session", "hash")("it is not 32 bytes long".into())
            })?,
            created_at: row.created_at,
            expires_at: row.expires_at,
            browser: row.browser,
            seen_at: row.seen_at,
        })
    }
}

#[derive(sqlx::FromRow)]
struct VisitRow {
    units: Option<String>,
    theme: Option<String>,
    expires_at: OffsetDateTime,
    seen_at: Option<OffsetDateTime>,
    #[sqlx(flatten)]
    signed: SignedRow,
}

impl Door {
    /// Who comes with the session of this hash, and what every page of theirs needs: none if it ended
    /// before `now` or the person may no longer sign in.
    pub async fn visit(
        &mut self,
        hash: &Hash,
        now: OffsetDateTime,
    ) -> Result<Option<Visit>, StoreError> {
        const SQL: &str = "
            SELECT p.team_id, p.id, p.name, p.sign_in, p.role, p.active,
                   t.name AS team_name, t.time_zone, f.units, f.theme, s.expires_at,
                   s.seen_at
              FROM session s
              JOIN person p
                ON p.team_id = s.team_id
               AND p.id = s.person_id
              JOIN team t
                ON t.id = s.team_id
              LEFT JOIN preference f
                ON f.team_id = s.team_id
               AND f.person_id = s.person_id
             WHERE s.hash = $1
               AND s.expires_at > $2
               AND p.active = $3";
        let row: Option<VisitRow> = find!(self.conn, SQL, hash.as_slice(), now, true)?;
        let Some(row) = row else { return Ok(None) };
        let preference = match (row.units, row.theme) {
            (Some(units), Some(theme)) => choice(&units, &theme)?,
            _ => Preference::default(),
        };
        Ok(Some(Visit {
            signed: row.signed.signed()?,
            preference,
            expires_at: row.expires_at,
            seen_at: row.seen_at,
        }))
    }

    /// The sessions that a person has open at `now`, the newest first.
    pub async fn sessions_of(
        &mut self,
        team: TeamId,
        person: PersonId,
        now: OffsetDateTime,
    ) -> Result<Vec<SessionOf>, StoreError> {
        const SQL: &str = "
            SELECT hash, created_at, expires_at, browser, seen_at
              FROM session
             WHERE team_id = $1
               AND person_id = $2
               AND expires_at > $3
             ORDER BY created_at DESC, hash";
        let rows: Vec<SessionRow> = find_all!(self.conn, SQL, team.0, person.0, now)?;
        rows.into_iter().map(SessionOf::try_from).collect()
    }
}

impl WriteDoor {
    /// Notes that somebody came with a session, which now lasts until `expires_at`; one that has ended meanwhile is
    /// left so.
    pub async fn note_visit(
        &mut self,
        hash: &Hash,
        seen_at: OffsetDateTime,
        expires_at: OffsetDateTime,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE session
               SET seen_at = $2, expires_at = $3
             WHERE hash = $1";
        change_any!(self.conn, SQL, hash.as_slice(), seen_at, expires_at).map(drop)
    }

    /// Ends one session of a person; gives whether there was one.
    pub async fn end_session_of(
        &mut self,
        (team, person): (TeamId, PersonId),
        hash: &Hash,
    ) -> Result<bool, StoreError> {
        const SQL: &str = "
            DELETE FROM session
             WHERE team_id = $1
               AND person_id = $2
               AND hash = $3";
        let ended = change_any!(self.conn, SQL, team.0, person.0, hash.as_slice())?;
        Ok(ended == 1)
    }

    /// Ends every session of a person but this one.
    pub async fn end_other_sessions(
        &mut self,
        (team, person): (TeamId, PersonId),
        kept: &Hash,
    ) -> Result<u64, StoreError> {
        const SQL: &str = "
            DELETE FROM session
             WHERE team_id = $1
               AND person_id = $2
               AND hash <> $3";
        change_any!(self.conn, SQL, team.0, person.0, kept.as_slice())
    }
}
