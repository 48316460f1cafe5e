//! Errands: what the server is to do by itself. No records of gear, so they stand beside the ledger.
//!
//! An errand is taken up by one server at a time: whoever takes it up holds it until its lease is over, and each taking
//! up is counted, so that what a server says that was too slow changes nothing any more. On `PostgreSQL` two servers
//! that reach for one row wait for each other, and the second finds the condition no longer met; on `SQLite` there is one
//! writer.

use time::{OffsetDateTime, format_description::well_known::Rfc3339};
use uuid::Uuid;

use super::{
    Cursor, Door, Page, StoreError, Tx, WriteDoor, page,
    statement::{Statement, find_by},
    tx::{ask, change_any, find, find_all},
};
use crate::domain::{Errand, ErrandId, ErrandKind, ErrandState, MOST_ATTEMPTS, NewErrand, TeamId};

#[derive(sqlx::FromRow)]
struct ErrandRow {
    team_id: Uuid,
    id: Uuid,
    kind: String,
    about_id: Uuid,
    once: String,
    payload: String,
    state: String,
    attempts: i64,
    due_at: OffsetDateTime,
    told: String,
    asked_at: OffsetDateTime,
    ended_at: Option<OffsetDateTime>,
}

impl TryFrom<ErrandRow> for Errand {
    type Error = StoreError;

    fn try_from(row: ErrandRow) -> Result<Self, StoreError> {
        let unknown = |column, key: &str| {
            StoreError::corrupt("errand", column)(format!("\"{key}\" is no choice").into())
        };
        Ok(Self {
            id: ErrandId(row.id),
            team: TeamId(row.team_id),
            kind: ErrandKind::from_key(&row.kind).ok_or_else(|| unknown("kind", &row.kind))?,
            about: row.about_id,
            once: row.once,
            payload: row.payload,
            state: ErrandState::from_key(&row.state).ok_or_else(|| unknown("state", &row.state))?,
            attempts: u32::try_from(row.attempts).unwrap_or(u32::MAX),
            due_at: row.due_at,
            told: row.told,
            asked_at: row.asked_at,
            ended_at: row.ended_at,
        })
    }
}

const COLUMNS: &str =
    "team_id, id, kind, about_id, once, payload, state, attempts, due_at, told, asked_at, ended_at";

/// What a team's errands are narrowed to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ErrandFilter {
    /// In this state alone.
    pub state: Option<ErrandState>,
    /// For this person or webhook alone.
    pub about: Option<Uuid>,
}

impl Tx {
    /// A page of the team's errands after `after`, those that were asked for last first.
    pub async fn errands(
        &mut self,
        filter: ErrandFilter,
        after: Option<&Cursor>,
        limit: u32,
    ) -> Result<Page<Errand>, StoreError> {
        let mut statement = Statement::new("SELECT ");
        statement.sql(COLUMNS).sql(" FROM errand WHERE team_id = ");
        statement.bind(self.team.0);
        if let Some(state) = filter.state {
            statement.sql(" AND state = ").bind(state.key());
        }
        if let Some(about) = filter.about {
            statement.sql(" AND about_id = ").bind(about);
        }
        if let Some(after) = after {
            let [at] = after.key().ok_or(StoreError::Cursor)?;
            let at = OffsetDateTime::parse(at, &Rfc3339).map_err(|_| StoreError::Cursor)?;
            statement.sql(" AND (asked_at, id) < (").bind(at);
            statement.sql(", ").bind(after.id()).sql(")");
        }
        statement.sql(" ORDER BY asked_at DESC, id DESC");
        page::limit(&mut statement, limit);
        let rows: Vec<ErrandRow> = find_by!(self.conn, statement)?;
        Page::cut(
            rows,
            limit,
            |row| {
                let at = row.asked_at.format(&Rfc3339).unwrap_or_default();
                Cursor::new([at], row.id)
            },
            Errand::try_from,
        )
    }

    /// How many of the team's errands were given up and not asked for again.
    pub async fn errands_given_up(&mut self) -> Result<u64, StoreError> {
        const SQL: &str = "
            SELECT COUNT(*)
              FROM errand
             WHERE team_id = $1
               AND state = $2";
        let state = ErrandState::GivenUp.key();
        let count: i64 = ask!(self.conn, SQL, self.team.0, state)?;
        Ok(count.unsigned_abs())
    }
}

impl Door {
    /// Whether there is an errand to be taken up. A server that looks every few seconds writes only where there is.
    pub async fn is_errand_due(&mut self, now: OffsetDateTime) -> Result<bool, StoreError> {
        const SQL: &str = "
            SELECT EXISTS (
                   SELECT 1
                     FROM errand
                    WHERE state = $2
                      AND due_at <= $1
                      AND (lease_ends_at IS NULL OR lease_ends_at <= $1))";
        ask!(self.conn, SQL, now, ErrandState::Waiting.key())
    }
}

impl WriteDoor {
    /// Asks for an errand; false if the team has one like it, waiting, done or given up.
    pub async fn add_errand(
        &mut self,
        errand: &NewErrand,
        now: OffsetDateTime,
    ) -> Result<bool, StoreError> {
        const SQL: &str = "
            INSERT INTO errand
                   (team_id, id, kind, about_id, once, payload, state, attempts, due_at, told, asked_at)
            VALUES ($1, $2, $3, $4, $5, $6, $7, 0, $8, '', $9)
                ON CONFLICT (team_id, kind, once) DO NOTHING";
        let added = change_any!(
            self.conn,
            SQL,
            errand.team.0,
            errand.id.0,
            errand.kind.key(),
            errand.about,
            errand.once.as_str(),
            errand.payload.as_str(),
            ErrandState::Waiting.key(),
            errand.due_at,
            now
        )?;
        Ok(added == 1)
    }

    /// Takes up at most so many errands that are due and that nobody holds, and holds them until `until`. They are reached
    /// for one by one and in one order by every server: two that lock rows in orders of their own may wait for each other
    /// for ever.
    pub async fn take_up_errands(
        &mut self,
        now: OffsetDateTime,
        until: OffsetDateTime,
        limit: u32,
    ) -> Result<Vec<Errand>, StoreError> {
        const DUE: &str = "
            SELECT team_id, id
              FROM errand
             WHERE state = $2
               AND due_at <= $1
               AND (lease_ends_at IS NULL OR lease_ends_at <= $1)
             ORDER BY due_at, id
             LIMIT $3";
        const TAKE_UP: &str = "
            UPDATE errand
               SET lease_ends_at = $2, attempts = attempts + 1
             WHERE team_id = $4
               AND id = $5
               AND state = $3
               AND due_at <= $1
               AND (lease_ends_at IS NULL OR lease_ends_at <= $1)
         RETURNING team_id, id, kind, about_id, once, payload, state, attempts, due_at, told, asked_at, ended_at";
        self.give_up_broken(now).await?;
        let waiting = ErrandState::Waiting.key();
        let limit = i64::from(limit);
        let due: Vec<(Uuid, Uuid)> = find_all!(self.conn, DUE, now, waiting, limit)?;
        let mut taken = Vec::new();
        for (team, id) in due {
            let row: Option<ErrandRow> = find!(self.conn, TAKE_UP, now, until, waiting, team, id)?;
            taken.extend(row.map(Errand::try_from).transpose()?);
        }
        Ok(taken)
    }

    /// Gives up what broke off its server's work at the last attempt, over and over; one by one, as they are taken up.
    async fn give_up_broken(&mut self, now: OffsetDateTime) -> Result<(), StoreError> {
        const BROKEN: &str = "
            SELECT team_id, id
              FROM errand
             WHERE state = $2
               AND attempts >= $3
               AND lease_ends_at <= $1
             ORDER BY due_at, id";
        const GIVE_UP: &str = "
            UPDATE errand
               SET state = $2, ended_at = $1, lease_ends_at = NULL,
                   told = 'The server stopped in the middle of it.'
             WHERE team_id = $5
               AND id = $6
               AND state = $3
               AND attempts >= $4
               AND lease_ends_at <= $1";
        let (up, waiting) = (ErrandState::GivenUp.key(), ErrandState::Waiting.key());
        let most = i64::from(MOST_ATTEMPTS);
        let broken: Vec<(Uuid, Uuid)> = find_all!(self.conn, BROKEN, now, waiting, most)?;
        for (team, id) in broken {
            change_any!(self.conn, GIVE_UP, now, up, waiting, most, team, id)?;
        }
        Ok(())
    }

    /// Ends an errand that this server holds, done or given up; false if it took too long and another has it now.
    pub async fn end_errand(
        &mut self,
        errand: &Errand,
        state: ErrandState,
        told: &str,
        now: OffsetDateTime,
    ) -> Result<bool, StoreError> {
        const SQL: &str = "
            UPDATE errand
               SET state = $4, told = $5, ended_at = $6, lease_ends_at = NULL
             WHERE team_id = $1
               AND id = $2
               AND attempts = $3
               AND state = $7";
        let (team, id) = (errand.team.0, errand.id.0);
        let (attempts, waiting) = (i64::from(errand.attempts), ErrandState::Waiting.key());
        let told = told.replace('\0', "");
        let ended = change_any!(
            self.conn,
            SQL,
            team,
            id,
            attempts,
            state.key(),
            told,
            now,
            waiting
        )?;
        Ok(ended == 1)
    }

    /// Puts an errand that this server holds back until `due`; false if another has it now.
    pub async fn put_errand_off(
        &mut self,
        errand: &Errand,
        told: &str,
        due: OffsetDateTime,
    ) -> Result<bool, StoreError> {
        const SQL: &str = "
            UPDATE errand
               SET due_at = $4, told = $5, lease_ends_at = NULL
             WHERE team_id = $1
               AND id = $2
               AND attempts = $3
               AND state = $6";
        let (team, id) = (errand.team.0, errand.id.0);
        let (attempts, waiting) = (i64::from(errand.attempts), ErrandState::Waiting.key());
        let told = told.replace('\0', "");
        let off = change_any!(self.conn, SQL, team, id, attempts, due, told, waiting)?;
        Ok(off == 1)
    }

    /// Asks again for an errand of a team that has ended; false if there is none.
    pub async fn ask_errand_again(
        &mut self,
        team: TeamId,
        id: ErrandId,
        now: OffsetDateTime,
    ) -> Result<bool, StoreError> {
        const SQL: &str = "
            UPDATE errand
               SET state = $3, attempts = 0, due_at = $4, ended_at = NULL, lease_ends_at = NULL
             WHERE team_id = $1
               AND id = $2
               AND state <> $3";
        let waiting = ErrandState::Waiting.key();
        let asked = change_any!(self.conn, SQL, team.0, id.0, waiting, now)?;
        Ok(asked == 1)
    }
}
