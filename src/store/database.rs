//! Opens a database, brings its schema up to date, and begins units of work.

use std::{fmt, path::Path, str::FromStr, time::Duration};

use sqlx::{
    Connection, PgPool, Postgres, SqlitePool, Transaction,
    migrate::Migrator,
    postgres::PgPoolOptions,
    sqlite::{SqliteConnectOptions, SqliteJournalMode, SqlitePoolOptions, SqliteSynchronous},
};

use super::{
    Door, StoreError, Tx, WriteDoor, WriteTx, address,
    tx::{Conn, Link},
};
use crate::domain::TeamId;

static SQLITE: Migrator = sqlx::migrate!("migrations/sqlite");
static POSTGRES: Migrator = sqlx::migrate!("migrations/postgres");

/// How long one waits for a lock or a connection before being told that the database is busy.
const PATIENCE: Duration = Duration::from_secs(20);
/// How many may read an SQLite database at once.
const READERS: u32 = 8;
/// How many connections one server holds to PostgreSQL.
const CONNECTIONS: u32 = 20;
/// How many rows SQLite may be ahead of who takes them: a whole page of those who read by pages, so that the two need not
/// wait for each other row by row.
const ROWS_AHEAD: usize = 500;
/// How much of a file that is filled in one go is in memory, in KiB and as SQLite takes it: with a minus sign.
const FILLING: &str = "-65536";

/// A database: SQLite in a file, or PostgreSQL.
#[derive(Clone)]
pub struct Database {
    engine: Engine,
}

#[derive(Clone)]
enum Engine {
    Sqlite {
        /// One connection: SQLite has one writer at a time, and a queue here is fairer than its busy loop.
        writer: SqlitePool,
        readers: SqlitePool,
    },
    Postgres(PgPool),
}

impl Database {
    /// Opens `address`: `postgres://…`, `sqlite:PATH`, or a plain path. An SQLite file is made if it is not there.
    ///
    /// # Errors
    /// [`StoreError::Address`] if it cannot be read, else what the database says.
    pub async fn open(address: &str) -> Result<Self, StoreError> {
        let engine = if address::is_server(address) {
            Engine::Postgres(open_postgres(address).await?)
        } else {
            open_sqlite(address).await?
        };
        Ok(Self { engine })
    }

    /// Makes an SQLite file that is filled in one go, before anybody else knows of it. Nothing is written twice or flushed
    /// against a crash: a file that was not filled to its end is worth nothing.
    ///
    /// # Errors
    /// As [`Database::open`].
    pub async fn make(file: &Path) -> Result<Self, StoreError> {
        let options = SqliteConnectOptions::new()
            .filename(file)
            .synchronous(SqliteSynchronous::Off)
            .pragma("cache_size", FILLING);
        let engine = connect_sqlite(options, SqliteJournalMode::Memory).await?;
        Ok(Self { engine })
    }

    /// Brings the schema up to date, and what follows from rules that this program brings; several servers may do
    /// so at once.
    pub async fn migrate(&self) -> Result<(), StoreError> {
        match &self.engine {
            Engine::Sqlite { writer, .. } => SQLITE.run(writer).await?,
            Engine::Postgres(pool) => POSTGRES.run(pool).await?,
        }
        self.keep_due_days().await?;
        self.keep_item_groups().await
    }

    /// Begins to read `team`'s records, all as they stood at one moment.
    pub async fn read(&self, team: TeamId) -> Result<Tx, StoreError> {
        Ok(Tx::new(self.begin_read().await?, team))
    }

    /// Begins to write `team`'s records. One writer a team at a time: a second waits here, and then reads what
    /// the first has left.
    ///
    /// # Errors
    /// [`StoreError::NoTeam`], or [`StoreError::Busy`] if the wait was too long.
    pub async fn write(&self, team: TeamId) -> Result<WriteTx, StoreError> {
        WriteTx::begin(self.begin_write().await?, team).await
    }

    /// Begins to read what is asked before a team is known.
    pub async fn door(&self) -> Result<Door, StoreError> {
        Ok(Door::new(self.begin_read().await?))
    }

    /// Begins to write what is asked before a team is known.
    pub async fn write_door(&self) -> Result<WriteDoor, StoreError> {
        Ok(WriteDoor::new(self.begin_write().await?))
    }

    /// The name of the engine, for the log and the page that tells how the server stands.
    pub fn engine(&self) -> &'static str {
        match self.engine {
            Engine::Sqlite { .. } => "SQLite",
            Engine::Postgres(_) => "PostgreSQL",
        }
    }

    /// Writes SQLite's file anew and folds its write-ahead log into it, so that what was removed is in neither. Freed bytes
    /// are overwritten (`secure_delete`), but pages that were put in order before may hold copies of what stood in them. It
    /// takes as long as the file is large, and others wait meanwhile with what they write. A server of PostgreSQL cleans up
    /// by itself.
    pub async fn write_anew(&self) -> Result<(), StoreError> {
        if let Some(writer) = self.sqlite_writer() {
            for order in ["VACUUM", "PRAGMA wal_checkpoint(TRUNCATE)"] {
                sqlx::query(order).execute(writer).await?;
            }
        }
        Ok(())
    }

    /// Ends every connection; on SQLite the write-ahead log is folded into the file.
    pub async fn close(&self) {
        match &self.engine {
            Engine::Sqlite { writer, readers } => {
                readers.close().await;
                writer.close().await;
            }
            Engine::Postgres(pool) => pool.close().await,
        }
    }

    /// The one connection that writes to an SQLite file.
    pub(super) fn sqlite_writer(&self) -> Option<&SqlitePool> {
        match &self.engine {
            Engine::Sqlite { writer, .. } => Some(writer),
            Engine::Postgres(_) => None,
        }
    }

    async fn begin_read(&self) -> Result<Conn, StoreError> {
        Ok(Conn::new(match &self.engine {
            Engine::Sqlite { readers, .. } => Link::Sqlite(readers.begin().await?),
            Engine::Postgres(pool) => Link::Postgres(
                begin_on(pool, "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY").await?,
            ),
        }))
    }

    /// On SQLite the lock is taken here; on PostgreSQL by the first row that is locked, which is why the
    /// isolation is read committed: what follows the lock must see what the holder before us has left.
    pub(super) async fn begin_write(&self) -> Result<Conn, StoreError> {
        Ok(Conn::new(match &self.engine {
            Engine::Sqlite { writer, .. } => {
                Link::Sqlite(writer.begin_with("BEGIN IMMEDIATE").await?)
            }
            Engine::Postgres(pool) => Link::Postgres(
                begin_on(pool, "BEGIN ISOLATION LEVEL READ COMMITTED READ WRITE").await?,
            ),
        }))
    }
}

async fn open_postgres(address: &str) -> Result<PgPool, StoreError> {
    let options = sqlx::postgres::PgConnectOptions::from_str(address)
        .map_err(StoreError::Address)?
        .options([("lock_timeout", format!("{}ms", PATIENCE.as_millis()))])
        .application_name("ropeloft");
    Ok(PgPoolOptions::new()
        .max_connections(CONNECTIONS)
        .acquire_timeout(PATIENCE)
        .connect_with(options)
        .await?)
}

/// Begins a transaction. Where none of few connections could be had, the server does not answer: that it is busy is said
/// where all of them are taken.
async fn begin_on(
    pool: &PgPool,
    order: &'static str,
) -> Result<Transaction<'static, Postgres>, StoreError> {
    pool.begin_with(order).await.map_err(|error| match error {
        sqlx::Error::PoolTimedOut if pool.size() < CONNECTIONS => StoreError::Away(error),
        other => other.into(),
    })
}

async fn open_sqlite(address: &str) -> Result<Engine, StoreError> {
    let options = match address.strip_prefix("sqlite:") {
        Some(_) => SqliteConnectOptions::from_str(address).map_err(StoreError::Address)?,
        None => SqliteConnectOptions::new().filename(address),
    };
    // What is removed is overwritten.
    let options = options
        .synchronous(SqliteSynchronous::Full)
        .pragma("secure_delete", "on");
    connect_sqlite(options, SqliteJournalMode::Wal).await
}

async fn connect_sqlite(
    options: SqliteConnectOptions,
    journal: SqliteJournalMode,
) -> Result<Engine, StoreError> {
    let options = options
        .busy_timeout(PATIENCE)
        .foreign_keys(true)
        .row_buffer_size(ROWS_AHEAD);
    let writer = pool()
        .max_connections(1)
        .idle_timeout(None)
        .max_lifetime(None)
        .acquire_timeout(PATIENCE)
        .connect_with(
            options
                .clone()
                .create_if_missing(true)
                .journal_mode(journal),
        )
        .await?;
    let readers = pool()
        .max_connections(READERS)
        .acquire_timeout(PATIENCE)
        .connect_lazy_with(options.pragma("query_only", "on"));
    Ok(Engine::Sqlite { writer, readers })
}

/// A pool that gives no connection out that is within a transaction. Where a disk takes nothing more, SQLite undoes a
/// transaction by itself; the driver, which cannot end it a second time, would take the connection to be within it for ever,
/// and nothing could be written until the server is started anew. Such a connection is closed, and another one opened.
fn pool() -> SqlitePoolOptions {
    SqlitePoolOptions::new()
        .before_acquire(|conn, _| Box::pin(async move { Ok(!conn.is_in_transaction()) }))
}

impl fmt::Debug for Database {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // The address is left out: it may hold a password.
        f.debug_tuple("Database").field(&self.engine()).finish()
    }
}
