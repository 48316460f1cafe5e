//! Sessions, of which only the hash is kept, and failed attempts to sign in.

use time::OffsetDateTime;
use uuid::Uuid;

use super::{
    Door, StoreError, WriteDoor,
    person::{PersonRow, actor},
    team::zone,
    tx::{ask, change_any},
};
use crate::domain::{Actor, Hash, Person, PersonId, TeamId, Zone};

/// Someone who is signed in, by a session or a token.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Signed {
    /// As whom they act: the team, the person, the role.
    pub actor: Actor,
    /// The person.
    pub person: Person,
    /// The team's name.
    pub team: String,
    /// The team's time zone.
    pub zone: Zone,
}

/// A person with what is asked of the team at once: `team_name`, `time_zone`.
#[derive(sqlx::FromRow)]
pub(super) struct SignedRow {
    team_name: String,
    time_zone: String,
    #[sqlx(flatten)]
    person: PersonRow,
}

impl SignedRow {
    pub(super) fn signed(self) -> Result<Signed, StoreError> {
        let (team, person) = self.person.person()?;
        Ok(Signed {
            actor: actor(team, &person),
            person,
            team: self.team_name,
            zone: zone(&self.time_zone)?,
        })
    }
}

impl Door {
    /// How many attempts have failed since `since`, for this sign-in name and from this address.
    pub async fn failed_sign_ins(
        &mut self,
        sign_in: &str,
        address: &str,
        since: OffsetDateTime,
    ) -> Result<(u64, u64), StoreError> {
        const BY_NAME: &str = "
            SELECT COUNT(*)
              FROM sign_in_attempt
             WHERE sign_in = $1
               AND attempted_at > $2";
        const BY_ADDRESS: &str = "
            SELECT COUNT(*)
              FROM sign_in_attempt
             WHERE address = $1
               AND attempted_at > $2";
        let name: i64 = ask!(self.conn, BY_NAME, without_nul(sign_in), since)?;
        let address: i64 = ask!(self.conn, BY_ADDRESS, without_nul(address), since)?;
        Ok((name.unsigned_abs(), address.unsigned_abs()))
    }
}

impl WriteDoor {
    /// Opens a session that was asked for with a certain browser, in plain words.
    ///
    /// # Errors
    /// [`StoreError::Unlinked`] if there is no such person.
    pub async fn add_session(
        &mut self,
        hash: &Hash,
        (team, person): (TeamId, PersonId),
        (created_at, expires_at): (OffsetDateTime, OffsetDateTime),
        browser: &str,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO session
                   (hash, team_id, person_id, created_at, expires_at, browser, seen_at)
            VALUES ($1, $2, $3, $4, $5, $6, $4)";
        change_any!(
            self.conn,
            SQL,
            hash.as_slice(),
            team.0,
            person.0,
            created_at,
            expires_at,
            without_nul(browser),
        )
        .map(drop)
    }

    /// Ends a session; one that has ended already is left so.
    pub async fn end_session(&mut self, hash: &Hash) -> Result<(), StoreError> {
        const SQL: &str = "
            DELETE FROM session
             WHERE hash = $1";
        change_any!(self.conn, SQL, hash.as_slice()).map(drop)
    }

    /// Ends every session of a person, on each machine: after a new password, or when the person leaves.
    pub async fn end_sessions_of(
        &mut self,
        team: TeamId,
        person: PersonId,
    ) -> Result<u64, StoreError> {
        const SQL: &str = "
            DELETE FROM session
             WHERE team_id = $1
               AND person_id = $2";
        change_any!(self.conn, SQL, team.0, person.0)
    }

    /// Notes a failed attempt to sign in.
    pub async fn note_failed_sign_in(
        &mut self,
        sign_in: &str,
        address: &str,
        at: OffsetDateTime,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO sign_in_attempt (id, sign_in, address, attempted_at)
            VALUES ($1, $2, $3, $4)";
        change_any!(
            self.conn,
            SQL,
            Uuid::now_v7(),
            without_nul(sign_in),
            without_nul(address),
            at
        )
        .map(drop)
    }

    /// Forgets the failed attempts under a sign-in name, after one that did not fail.
    pub async fn forget_failed_sign_ins(&mut self, sign_in: &str) -> Result<(), StoreError> {
        const SQL: &str = "
            DELETE FROM sign_in_attempt
             WHERE sign_in = $1";
        change_any!(self.conn, SQL, without_nul(sign_in)).map(drop)
    }

    /// Sweeps out what has ended: sessions that ended before `now`, and attempts, kept answers and import drafts
    /// that are older than `old`. Gives how many rows went.
    pub async fn sweep(
        &mut self,
        now: OffsetDateTime,
        old: OffsetDateTime,
    ) -> Result<u64, StoreError> {
        const SESSIONS: &str = "
            DELETE FROM session
             WHERE expires_at <= $1";
        const ATTEMPTS: &str = "
            DELETE FROM sign_in_attempt
             WHERE attempted_at < $1";
        const POSTED: &str = "
            DELETE FROM posted
             WHERE posted_at < $1";
        const DRAFTS: &str = "
            DELETE FROM import_draft
             WHERE created_at < $1";
        const ERRANDS: &str = "
            DELETE FROM errand
             WHERE ended_at < $1";
        const SITTINGS: &str = "
            DELETE FROM guest_sitting
             WHERE expires_at < $1";
        // What went out can be looked up for a while; its key keeps a letter from going out again for longer than any
        // period lasts.
        let long_ago = now - time::Duration::days(90);
        // A sitting that is over is told so for as long.
        Ok(change_any!(self.conn, SESSIONS, now)?
            + change_any!(self.conn, SITTINGS, long_ago)?
            + change_any!(self.conn, ERRANDS, long_ago)?
            + change_any!(self.conn, ATTEMPTS, old)?
            + change_any!(self.conn, POSTED, old)?
            + change_any!(self.conn, DRAFTS, old)?)
    }
}

/// PostgreSQL takes no text with a NUL in it; SQLite does. Nobody is called so.
fn without_nul(text: &str) -> String {
    text.replace('\0', "")
}
