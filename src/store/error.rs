//! Why the store did not do what it was asked.

use sqlx::error::ErrorKind;

use crate::domain::{JobId, NotAllowed, tree_proof::BeyondTree};

/// What can go wrong in the store. It carries no text for people: the edge has that.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// A unique key is taken.
    #[error("the key is taken")]
    Taken,
    /// Someone else saved first.
    #[error("a row of {table} is newer than the one that was read")]
    Stale {
        /// The table.
        table: &'static str,
    },
    /// A record names another that its team does not have.
    #[error("the record names one that is not there")]
    Unlinked,
    /// There is no such team.
    #[error("there is no such team")]
    NoTeam,
    /// The step is not open in the state that the record is in.
    #[error(transparent)]
    Refused(#[from] NotAllowed),
    /// Another job holds the item at that time.
    #[error("another job holds the item")]
    Booked {
        /// The other job.
        by: JobId,
    },
    /// The cursor belongs to another list or another sort.
    #[error("the cursor is none of this list")]
    Cursor,
    /// The ledger has not grown so far.
    #[error(transparent)]
    Beyond(#[from] BeyondTree),
    /// Something in the transaction failed, so nothing of it was kept.
    #[error("the transaction had failed and was given up")]
    GivenUp,
    /// A row no longer fits its type.
    #[error("{table}.{column} holds what cannot be read")]
    Corrupt {
        /// The table.
        table: &'static str,
        /// The column.
        column: &'static str,
        /// What was the matter.
        source: Box<dyn std::error::Error + Send + Sync>,
    },
    /// Every connection is in use, or the lock was not to be had in time.
    #[error("the database is busy")]
    Busy(#[source] sqlx::Error),
    /// The database does not answer, or the connection to it broke: whether what was sent last is kept, is not known.
    #[error("the database does not answer")]
    Away(#[source] sqlx::Error),
    /// The disk of the database takes nothing more.
    #[error("the disk of the database takes nothing more")]
    Full(#[source] sqlx::Error),
    /// The database is on a server, and what was asked goes with a file alone.
    #[error("the database is on a server, not in a file")]
    NotInAFile,
    /// The address of the database cannot be read.
    #[error("the database must be written as sqlite:PATH, PATH or postgres://USER@HOST/NAME: {0}")]
    Address(#[source] sqlx::Error),
    /// The schema could not be brought up to date.
    #[error("the database could not be brought up to date")]
    Migrate(#[from] sqlx::migrate::MigrateError),
    /// Anything else that the database says.
    #[error("the database failed")]
    Database(#[source] sqlx::Error),
}

impl StoreError {
    /// A row of `table` whose `column` cannot be read.
    pub(super) fn corrupt(
        table: &'static str,
        column: &'static str,
    ) -> impl FnOnce(Box<dyn std::error::Error + Send + Sync>) -> Self {
        move |source| Self::Corrupt {
            table,
            column,
            source,
        }
    }
}

impl From<sqlx::Error> for StoreError {
    fn from(error: sqlx::Error) -> Self {
        if matches!(error, sqlx::Error::PoolTimedOut) {
            return Self::Busy(error);
        }
        let Some(database) = error.as_database_error() else {
            return match error {
                // Where something else answers in its place, or half an answer comes, it is away too.
                sqlx::Error::Io(_)
                | sqlx::Error::Tls(_)
                | sqlx::Error::Protocol(_)
                | sqlx::Error::PoolClosed => Self::Away(error),
                other => Self::Database(other),
            };
        };
        let code = database.code().unwrap_or_default();
        match database.kind() {
            ErrorKind::UniqueViolation => Self::Taken,
            ErrorKind::ForeignKeyViolation => Self::Unlinked,
            _ if is_busy(&code) => Self::Busy(error),
            _ if is_full(&code) => Self::Full(error),
            _ if is_away(&code) => Self::Away(error),
            _ => Self::Database(error),
        }
    }
}

/// Whether the code says that a lock was not to be had: `SQLITE_BUSY` and its kinds, and PostgreSQL's
/// `serialization_failure`, `deadlock_detected`, `lock_not_available`, `too_many_connections`.
fn is_busy(code: &str) -> bool {
    matches!(
        code,
        "5" | "261" | "517" | "773" | "40001" | "40P01" | "55P03" | "53300"
    )
}

/// Whether the code says that nothing more can be written: `SQLITE_FULL`, `SQLITE_IOERR_WRITE` (which SQLite says of a file
/// that may not grow), `SQLITE_IOERR_FSYNC`, `SQLITE_IOERR_SHMSIZE`, and PostgreSQL's `disk_full`.
fn is_full(code: &str) -> bool {
    matches!(code, "13" | "778" | "1034" | "4874" | "53100")
}

/// Whether the code says that PostgreSQL is going, gone or not there yet: class 08 (connection), `admin_shutdown`,
/// `crash_shutdown`, `cannot_connect_now`.
fn is_away(code: &str) -> bool {
    matches!(code, "57P01" | "57P02" | "57P03") || (code.len() == 5 && code.starts_with("08"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_means_one_thing() {
        for code in [
            "5", "13", "261", "517", "773", "778", "1034", "4874", "08006", "40001", "40P01",
            "53100", "53300", "55P03", "57P01", "57P03",
        ] {
            let means = [is_busy(code), is_full(code), is_away(code)];
            assert_eq!(means.iter().filter(|said| **said).count(), 1, "{code}");
        }
        // SQLITE_ERROR, SQLITE_CORRUPT, SQLITE_IOERR_READ, a syntax error, a wrong password.
        for code in ["", "1", "11", "266", "42601", "28P01"] {
            assert!(!is_busy(code) && !is_full(code) && !is_away(code), "{code}");
        }
    }

    #[test]
    fn a_connection_that_broke_is_a_database_that_is_away() {
        let broken = || std::io::Error::from(std::io::ErrorKind::ConnectionReset);
        let away = StoreError::from(sqlx::Error::Io(broken()));
        assert!(matches!(away, StoreError::Away(_)), "{away:?}");
        let other = StoreError::from(sqlx::Error::RowNotFound);
        assert!(matches!(other, StoreError::Database(_)), "{other:?}");
    }
}
