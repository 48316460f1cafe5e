//! The only SQL. Each statement is written once and runs on SQLite and on PostgreSQL.
//!
//! A unit of work is a value: [`Tx`] reads, [`WriteTx`] also writes, and dropping one undoes it. Both belong to
//! one team, so a record of another team cannot be reached. [`WriteTx`] holds the lock of its team's ledger from
//! the moment it begins: whatever it reads stays true until it commits.
//!
//! What is asked before a team is known (sign-in, session, token) goes through [`Door`] and [`WriteDoor`].

mod database;
mod door;
mod error;
mod import_draft;
mod ledger;
mod person;
mod posted;
mod preference;
mod session;
mod team;
mod token;
mod tx;
mod visit;

pub use database::Database;
pub use door::{Door, WriteDoor};
pub use error::StoreError;
pub use import_draft::ImportDraft;
pub use ledger::{Head, Recorded};
pub use posted::Posted;
pub use session::Signed;
pub use token::Token;
pub use tx::{Tx, WriteTx};
pub use visit::{SessionOf, Visit};

/// Runs one text on whichever database the transaction speaks to.
macro_rules! on_db {
    ($conn:expr, |$c:ident| $body:expr) => {
        match $conn {
            $crate::store::tx::Conn::Sqlite(tx) => {
                let $c = &mut **tx;
                $body
            }
            $crate::store::tx::Conn::Postgres(tx) => {
                let $c = &mut **tx;
                $body
            }
        }
    };
}
pub(crate) use on_db;
