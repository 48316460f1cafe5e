//! Webhooks. No records of gear, so they stand beside the ledger; how far each has been told of it is kept here.

use time::OffsetDateTime;
use uuid::Uuid;

use super::{
    Door, StoreError, Tx, WriteDoor, WriteTx,
    ledger::{signed, unsigned},
    tx::{change_any, change_one, find, find_all},
};
use crate::domain::{Hook, HookId, PersonId, TeamId};

#[derive(sqlx::FromRow)]
struct HookRow {
    id: Uuid,
    person_id: Uuid,
    address: String,
    topics: String,
    added_at: OffsetDateTime,
    seq: i64,
    failing_at: Option<OffsetDateTime>,
    off_at: Option<OffsetDateTime>,
}

impl TryFrom<HookRow> for Hook {
    type Error = StoreError;

    fn try_from(row: HookRow) -> Result<Self, StoreError> {
        let topics = row.topics.split(',').filter(|topic| !topic.is_empty());
        Ok(Self {
            id: HookId(row.id),
            address: row.address,
            topics: topics.map(str::to_owned).collect(),
            person: PersonId(row.person_id),
            added_at: row.added_at,
            seq: unsigned("hook", "seq", row.seq)?,
            failing_at: row.failing_at,
            off_at: row.off_at,
        })
    }
}

impl Door {
    /// The teams with a webhook that has not been told of all of their ledger.
    pub async fn teams_with_news(&mut self) -> Result<Vec<TeamId>, StoreError> {
        const SQL: &str = "
            SELECT DISTINCT h.team_id
              FROM hook h
              JOIN ledger_head l
                ON l.team_id = h.team_id
             WHERE h.seq < l.size
               AND h.off_at IS NULL
               AND h.removed_at IS NULL";
        let rows: Vec<(Uuid,)> = find_all!(self.conn, SQL)?;
        Ok(rows.into_iter().map(|(team,)| TeamId(team)).collect())
    }
}

impl Tx {
    /// The team's webhooks, the newest first; those that were removed are left out.
    pub async fn hooks(&mut self) -> Result<Vec<Hook>, StoreError> {
        const SQL: &str = "
            SELECT id, person_id, address, topics, added_at, seq, failing_at, off_at
              FROM hook
             WHERE team_id = $1
               AND removed_at IS NULL
             ORDER BY added_at DESC, id DESC";
        let rows: Vec<HookRow> = find_all!(self.conn, SQL, self.team.0)?;
        rows.into_iter().map(Hook::try_from).collect()
    }

    /// The key that messages to a webhook are signed with.
    pub async fn hook_key(&mut self, id: HookId) -> Result<Option<Vec<u8>>, StoreError> {
        const SQL: &str = "
            SELECT sign_key
              FROM hook
             WHERE team_id = $1
               AND id = $2
               AND removed_at IS NULL";
        let row: Option<(Vec<u8>,)> = find!(self.conn, SQL, self.team.0, id.0)?;
        Ok(row.map(|(key,)| key))
    }
}

impl WriteTx {
    /// Adds a webhook with its key; it is told of what comes after the ledger's last entry.
    ///
    /// # Errors
    /// [`StoreError::Unlinked`] if the team has no such person.
    pub async fn add_hook(&mut self, hook: &Hook, key: &[u8]) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO hook (team_id, id, person_id, address, topics, sign_key, added_at, seq)
            VALUES ($1, $2, $3, $4, $5, $6, $7, $8)";
        let team = self.team;
        let (id, person) = (hook.id.0, hook.person.0);
        let (address, topics) = (hook.address.as_str(), hook.topics.join(","));
        let (at, seq) = (hook.added_at, signed(hook.seq));
        change_any!(
            self.conn, SQL, team.0, id, person, address, topics, key, at, seq
        )
        .map(drop)
    }

    /// Removes a webhook for good; what waits for it is not sent.
    ///
    /// # Errors
    /// [`StoreError::Stale`] if the team has no such webhook.
    pub async fn remove_hook(&mut self, id: HookId, at: OffsetDateTime) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE hook
               SET removed_at = $3
             WHERE team_id = $1
               AND id = $2
               AND removed_at IS NULL";
        let team = self.team;
        change_one!(self.conn, "hook", SQL, team.0, id.0, at)
    }

    /// Switches a webhook on again; it is told of all that came meanwhile.
    ///
    /// # Errors
    /// [`StoreError::Stale`] if the team has none of this id that is switched off.
    pub async fn switch_hook_on(&mut self, id: HookId) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE hook
               SET off_at = NULL, failing_at = NULL
             WHERE team_id = $1
               AND id = $2
               AND off_at IS NOT NULL
               AND removed_at IS NULL";
        let team = self.team;
        change_one!(self.conn, "hook", SQL, team.0, id.0)
    }
}

impl WriteDoor {
    /// Notes how far a webhook has been told of the ledger; false if another server has told it meanwhile.
    pub async fn move_hook(
        &mut self,
        team: TeamId,
        id: HookId,
        (from, to): (u64, u64),
    ) -> Result<bool, StoreError> {
        const SQL: &str = "
            UPDATE hook
               SET seq = $4
             WHERE team_id = $1
               AND id = $2
               AND seq = $3
               AND off_at IS NULL
               AND removed_at IS NULL";
        let moved = change_any!(self.conn, SQL, team.0, id.0, signed(from), signed(to))?;
        Ok(moved == 1)
    }

    /// Notes that a message reached a webhook: it does not fail any more.
    pub async fn hook_reached(&mut self, team: TeamId, id: HookId) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE hook
               SET failing_at = NULL
             WHERE team_id = $1
               AND id = $2
               AND failing_at IS NOT NULL";
        change_any!(self.conn, SQL, team.0, id.0).map(drop)
    }

    /// Notes that a message did not reach a webhook: the first time since when it fails; and where it has failed since
    /// `long_ago` or longer, that it is off now. True if it was switched off by this.
    pub async fn hook_missed(
        &mut self,
        team: TeamId,
        id: HookId,
        now: OffsetDateTime,
        long_ago: OffsetDateTime,
    ) -> Result<bool, StoreError> {
        const SINCE: &str = "
            UPDATE hook
               SET failing_at = $3
             WHERE team_id = $1
               AND id = $2
               AND failing_at IS NULL";
        const OFF: &str = "
            UPDATE hook
               SET off_at = $3
             WHERE team_id = $1
               AND id = $2
               AND off_at IS NULL
               AND failing_at <= $4";
        change_any!(self.conn, SINCE, team.0, id.0, now)?;
        let off = change_any!(self.conn, OFF, team.0, id.0, now, long_ago)?;
        Ok(off == 1)
    }
}
