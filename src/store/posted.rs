//! Posts that carried an Idempotency-Key: the key is taken before the work, the work says in its own transaction that it is
//! done, and the answer is kept behind it.

use time::OffsetDateTime;

use super::{
    StoreError, Tx, WriteTx,
    tx::{change_any, change_one, find},
};
use crate::domain::{Hash, TeamId};

/// What is known of a post that was sent under a key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Posted {
    /// The hash of what was asked, so that the same key with another wish is told apart.
    pub request_hash: Hash,
    /// When the key was taken; of an answer when it was given.
    pub posted_at: OffsetDateTime,
    /// How far it is.
    pub stage: Stage,
}

/// How far a post is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Stage {
    /// Somebody is about it, and nothing of it is kept yet.
    Begun,
    /// It is done, and no answer is kept.
    Done,
    /// It is done and was answered so.
    Answered {
        /// The status.
        status: u16,
        /// The body.
        body: String,
    },
}

/// What stands in the place of a status, which is at least 100.
const BEGUN: i64 = 0;
const DONE: i64 = 1;

tokio::task_local! {
    /// The team and the keys of the post that is being answered.
    static SENT_UNDER: (TeamId, Vec<String>);
}

/// Answers a post that was sent under these keys: what of it commits first says in the same transaction that it is done.
pub async fn sent_under<F: Future>(team: TeamId, keys: Vec<String>, answer: F) -> F::Output {
    SENT_UNDER.scope((team, keys), answer).await
}

#[derive(sqlx::FromRow)]
struct PostedRow {
    request_hash: Vec<u8>,
    status: i64,
    body: String,
    posted_at: OffsetDateTime,
}

impl Tx {
    /// What is known of the post that was sent under this key.
    pub async fn posted(&mut self, key: &str) -> Result<Option<Posted>, StoreError> {
        const SQL: &str = "
            SELECT request_hash, status, body, posted_at
              FROM posted
             WHERE team_id = $1
               AND key = $2";
        let row: Option<PostedRow> = find!(self.conn, SQL, self.team.0, key)?;
        row.map(|row| {
            let stage = match row.status {
                BEGUN => Stage::Begun,
                DONE => Stage::Done,
                status => Stage::Answered {
                    status: u16::try_from(status)
                        .map_err(|e| StoreError::corrupt("posted", "status")(e.into()))?,
                    body: row.body,
                },
            };
            Ok(Posted {
                request_hash: Hash::try_from(row.request_hash.as_slice())
                    .map_err(|e| StoreError::corrupt("posted", "request_hash")(e.into()))?,
                posted_at: row.posted_at,
                stage,
            })
        })
        .transpose()
    }
}

impl WriteTx {
    /// Takes a key for a post, unless somebody has it; from somebody who took it before `given_up`, and has kept nothing
    /// since, it is taken over, whatever was asked then. Gives whether it was taken.
    pub async fn take_key_of_post(
        &mut self,
        key: &str,
        request_hash: &Hash,
        (at, given_up): (OffsetDateTime, OffsetDateTime),
    ) -> Result<bool, StoreError> {
        const SQL: &str = "
            INSERT INTO posted (team_id, key, request_hash, status, body, posted_at)
            VALUES ($1, $2, $3, 0, '', $4)
                ON CONFLICT (team_id, key) DO UPDATE
               SET posted_at = excluded.posted_at, request_hash = excluded.request_hash
             WHERE posted.status = 0
               AND posted.posted_at < $5";
        let (team, hash) = (self.team, request_hash.as_slice());
        let taken = change_any!(self.conn, SQL, team.0, key, hash, at, given_up)?;
        Ok(taken == 1)
    }

    /// Says that the post which is being answered is done, if one is.
    pub(super) async fn say_done(&mut self) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE posted
               SET status = 1
             WHERE team_id = $1
               AND key = $2
               AND status = 0";
        let team = self.team;
        let under = SENT_UNDER.try_with(|(of, keys)| (*of == team).then(|| keys.clone()));
        for key in under.ok().flatten().unwrap_or_default() {
            change_any!(self.conn, SQL, team.0, key.as_str())?;
        }
        Ok(())
    }

    /// Keeps the answer to a post whose key was taken.
    ///
    /// # Errors
    /// [`StoreError::Stale`] if the key is not taken, or was answered.
    pub async fn answer_post(
        &mut self,
        key: &str,
        (status, body): (u16, &str),
        at: OffsetDateTime,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE posted
               SET status = $3, body = $4, posted_at = $5
             WHERE team_id = $1
               AND key = $2
               AND status IN (0, 1)";
        let team = self.team;
        let status = i64::from(status);
        change_one!(self.conn, "posted", SQL, team.0, key, status, body, at)
    }

    /// Gives a key back under which nothing was done; with `and_done` also one under which something was kept, as where a
    /// refused attempt was.
    pub async fn give_key_back(&mut self, key: &str, and_done: bool) -> Result<(), StoreError> {
        const SQL: &str = "
            DELETE FROM posted
             WHERE team_id = $1
               AND key = $2
               AND status <= $3";
        let team = self.team;
        let most = if and_done { DONE } else { BEGUN };
        change_any!(self.conn, SQL, team.0, key, most).map(drop)
    }
}
