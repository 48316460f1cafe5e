//! The only SQL. Each statement is written once and runs on SQLite and on PostgreSQL.
//!
//! A unit of work is a value: [`Tx`] reads, [`WriteTx`] also writes, and dropping one undoes it. Both belong to
//! one team, so a record of another team cannot be reached. [`WriteTx`] holds the lock of its team's ledger from
//! the moment it begins: whatever it reads stays true until it commits.
//!
//! The bytes of photos and documents are no affair of a database: [`Files`] keeps them, under their hashes.
//!
//! What is asked before a team is known (sign-in, session, token) goes through [`Door`] and [`WriteDoor`].

pub mod address;
mod apply;
mod attachment;
mod bag;
mod batch;
mod board;
mod booking;
mod calendar;
mod checklist;
mod checkpoint;
mod compare;
mod count;
mod crew_plan;
mod database;
mod difference;
mod digest;
mod door;
mod due;
mod errand;
mod error;
mod event;
mod examination;
mod files;
mod function_check;
mod guest;
mod guest_read;
mod hook;
mod house;
mod import_answer;
mod import_draft;
mod insert;
mod issue;
mod item;
mod item_group;
mod item_list;
mod item_search;
mod item_word;
mod job;
mod kit_line;
mod kit_return;
mod ledger;
mod ledger_about;
mod ledger_list;
mod ledger_name;
mod line;
mod model;
mod name_removal;
mod notice;
mod of_job;
mod page;
mod person;
mod pin;
mod place;
mod posted;
mod preference;
mod proof;
mod qualification;
mod rebuild;
mod record;
mod rig;
mod round;
mod rulebook;
mod session;
mod statement;
mod table;
mod table_rows;
mod tag;
mod team;
mod token;
mod tree_proof;
mod trend;
mod tx;
mod usage;
mod visit;
mod whole;

pub use booking::Booking;
pub use calendar::CalendarAddress;
pub use checkpoint::KeptCheckpoint;
pub use count::Counts;
pub use database::Database;
pub use difference::{Difference, MOST_DIFFERENCES};
pub use digest::WantedDigest;
pub use door::{Door, WriteDoor};
pub use errand::ErrandFilter;
pub use error::StoreError;
pub use files::{Files, FilesError};
pub use guest::GuestAtDoor;
pub use import_answer::ImportAnswer;
pub use import_draft::ImportDraft;
pub use item_list::{ItemFilter, ItemSort};
pub use job::JobFilter;
pub use ledger::{Head, Recorded};
pub use ledger_list::{Beside, EntryFilter, Kept, Span};
pub use model::ModelFilter;
pub use page::{BadCursor, Cursor, Direction, Page};
pub use posted::{Posted, Stage, sent_under};
pub use rebuild::{Rebuilt, rebuild};
pub use rig::{KeptRig, RigVersion};
pub use rulebook::KeptRulebook;
pub use session::Signed;
pub use token::Token;
pub use tree_proof::{Consistency, Inclusion};
pub use trend::{Days, OfLot, RetiredFilter};
pub use tx::{Tx, WriteTx};
pub use visit::{SessionOf, Visit};
pub use whole::{Torn, Whole};

/// Runs one text on whichever database the transaction speaks to.
macro_rules! on_db {
    ($conn:expr, |$c:ident| $body:expr) => {{
        let conn: &mut $crate::store::tx::Conn = $conn;
        let done = match &mut conn.link {
            $crate::store::tx::Link::Sqlite(tx) => {
                let $c = &mut **tx;
                $body
            }
            $crate::store::tx::Link::Postgres(tx) => {
                let $c = &mut **tx;
                $body
            }
        };
        conn.failed |= done.is_err();
        done
    }};
}
pub(crate) use on_db;
