//! Answers to posts that carried an Idempotency-Key, kept in the transaction that did the work.

use time::OffsetDateTime;

use super::{
    StoreError, Tx, WriteTx,
    tx::{change_any, find},
};
use crate::domain::Hash;

/// The answer that was given to a post.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Posted {
    /// The hash of what was asked, so that the same key with another wish is told apart.
    pub request_hash: Hash,
    /// The status.
    pub status: u16,
    /// The body.
    pub body: String,
    /// When it was given.
    pub posted_at: OffsetDateTime,
}

#[derive(sqlx::FromRow)]
struct PostedRow {
    request_hash: Vec<u8>,
    status: i64,
    body: String,
    posted_at: OffsetDateTime,
}

impl Tx {
    /// The answer that was given under this key.
    pub async fn posted(&mut self, key: &str) -> Result<Option<Posted>, StoreError> {
        const SQL: &str = "
            SELECT request_hash, status, body, posted_at
              FROM posted
             WHERE team_id = $1
               AND key = $2";
        let row: Option<PostedRow> = find!(self.conn, SQL, self.team.0, key)?;
        row.map(|row| {
            Ok(Posted {
                request_hash: Hash::try_from(row.request_hash.as_slice())
                    .map_err(|e| StoreError::corrupt("posted", "request_hash")(e.into()))?,
                status: u16::try_from(row.status)
                    .map_err(|e| StoreError::corrupt("posted", "status")(e.into()))?,
                body: row.body,
                posted_at: row.posted_at,
            })
        })
        .transpose()
    }
}

impl WriteTx {
    /// Keeps the answer to a post, in the transaction that did what was asked.
    ///
    /// # Errors
    /// [`StoreError::Taken`] if one is kept under this key.
    pub async fn keep_posted(&mut self, key: &str, posted: &Posted) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO posted (team_id, key, request_hash, status, body, posted_at)
            VALUES ($1, $2, $3, $4, $5, $6)";
        let team = self.team;
        change_any!(
            self.conn,
            SQL,
            team.0,
            key,
            posted.request_hash.as_slice(),
            i64::from(posted.status),
            posted.body.as_str(),
            posted.posted_at,
        )
        .map(drop)
    }
}
