//! Units of work of one team.

use std::ops::{Deref, DerefMut};

use sqlx::{Postgres, Sqlite, Transaction};

use super::{StoreError, ledger::Growth};
use crate::domain::TeamId;

/// A transaction on one of the two databases.
pub(super) struct Conn {
    pub(super) link: Link,
    /// Whether a statement has failed. `PostgreSQL` then does nothing more and undoes a commit without a word, `SQLite`
    /// goes on: so that both do the same, [`Conn::commit`] refuses.
    pub(super) failed: bool,
}

pub(super) enum Link {
    Sqlite(Transaction<'static, Sqlite>),
    Postgres(Transaction<'static, Postgres>),
}

impl Conn {
    pub(super) fn new(link: Link) -> Self {
        Self {
            link,
            failed: false,
        }
    }

    pub(super) async fn commit(self) -> Result<(), StoreError> {
        if self.failed {
            return Err(StoreError::GivenUp);
        }
        match self.link {
            Link::Sqlite(tx) => tx.commit().await?,
            Link::Postgres(tx) => tx.commit().await?,
        }
        Ok(())
    }
}

/// Reads one team's records, all as they stood at one moment.
pub struct Tx {
    pub(super) conn: Conn,
    pub(super) team: TeamId,
}

impl Tx {
    pub(super) fn new(conn: Conn, team: TeamId) -> Self {
        Self { conn, team }
    }

    /// The team whose records are read.
    pub fn team(&self) -> TeamId {
        self.team
    }
}

/// Reads and writes one team's records; holds the lock of the team's ledger. Undone when dropped.
pub struct WriteTx {
    tx: Tx,
    pub(super) growth: Growth,
}

impl WriteTx {
    pub(super) async fn begin(mut conn: Conn, team: TeamId) -> Result<Self, StoreError> {
        let growth = Growth::lock(&mut conn, team).await?;
        Ok(Self {
            tx: Tx::new(conn, team),
            growth,
        })
    }

    /// Keeps everything that was written.
    ///
    /// # Errors
    /// [`StoreError::GivenUp`] if something in it has failed; then nothing is kept.
    pub async fn commit(mut self) -> Result<(), StoreError> {
        if self.tx.conn.failed {
            return Err(StoreError::GivenUp);
        }
        self.save_growth().await?;
        self.say_done().await?;
        self.tx.conn.commit().await
    }
}

impl Deref for WriteTx {
    type Target = Tx;
    fn deref(&self) -> &Tx {
        &self.tx
    }
}

impl DerefMut for WriteTx {
    fn deref_mut(&mut self) -> &mut Tx {
        &mut self.tx
    }
}

/// Fails unless exactly one row was changed: an update that touches no row is a lost update, not a success.
pub(super) fn one_row(table: &'static str, rows: u64) -> Result<(), StoreError> {
    if rows == 1 {
        Ok(())
    } else {
        Err(StoreError::Stale { table })
    }
}

/// Runs a statement that must change exactly one row of `table`.
macro_rules! change_one {
    ($conn:expr, $table:literal, $sql:expr $(, $value:expr)* $(,)?) => {{
        let rows = $crate::store::on_db!(&mut $conn, |c| sqlx::query($sql)
            $(.bind($value))*
            .execute(c)
            .await
            .map(|done| done.rows_affected()))?;
        $crate::store::tx::one_row($table, rows)
    }};
}
pub(super) use change_one;

/// Runs a statement and gives the number of rows it changed.
macro_rules! change_any {
    ($conn:expr, $sql:expr $(, $value:expr)* $(,)?) => {
        $crate::store::on_db!(&mut $conn, |c| sqlx::query($sql)
            $(.bind($value))*
            .execute(c)
            .await
            .map(|done| done.rows_affected()))
            .map_err($crate::store::StoreError::from)
    };
}
pub(super) use change_any;

/// The row that the statement finds, if there is one.
macro_rules! find {
    ($conn:expr, $sql:expr $(, $value:expr)* $(,)?) => {
        $crate::store::on_db!(&mut $conn, |c| sqlx::query_as($sql)
            $(.bind($value))*
            .fetch_optional(c)
            .await)
            .map_err($crate::store::StoreError::from)
    };
}
pub(super) use find;

/// Every row that the statement finds.
macro_rules! find_all {
    ($conn:expr, $sql:expr $(, $value:expr)* $(,)?) => {
        $crate::store::on_db!(&mut $conn, |c| sqlx::query_as($sql)
            $(.bind($value))*
            .fetch_all(c)
            .await)
            .map_err($crate::store::StoreError::from)
    };
}
pub(super) use find_all;

/// One value: a count, a sum, whether something is there.
macro_rules! ask {
    ($conn:expr, $sql:expr $(, $value:expr)* $(,)?) => {
        $crate::store::on_db!(&mut $conn, |c| sqlx::query_scalar($sql)
            $(.bind($value))*
            .fetch_one(c)
            .await)
            .map_err($crate::store::StoreError::from)
    };
}
pub(super) use ask;
