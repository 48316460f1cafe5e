//! Where a ledger and the tables that are made from it do not agree.

use std::fmt;

/// The most differences that are told.
pub const MOST_DIFFERENCES: usize = 100;

/// Where ledger and tables do not agree.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Difference {
    /// An entry is not what its hashes or its columns say.
    Entry {
        /// Its sequence number.
        seq: u64,
        /// What does not agree.
        what: String,
    },
    /// The ledger's head does not stand at its last entry.
    Head,
    /// A checkpoint that was kept is not one of this ledger.
    Checkpoint {
        /// How many entries it is of.
        size: u64,
        /// What does not agree.
        what: String,
    },
    /// A name is not the one that was sealed.
    Name {
        /// The seal, in hexadecimal.
        seal: String,
    },
    /// The ledger gives a row that the table lacks.
    Missing {
        /// The table.
        table: &'static str,
        /// The row's key.
        key: String,
    },
    /// The table holds a row that the ledger does not give.
    Extra {
        /// The table.
        table: &'static str,
        /// The row's key.
        key: String,
    },
    /// A column does not hold what the ledger gives.
    Differs {
        /// The table.
        table: &'static str,
        /// The row's key.
        key: String,
        /// The column.
        column: &'static str,
    },
}

impl fmt::Display for Difference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Entry { seq, what } => write!(f, "entry {seq}: {what}"),
            Self::Head => f.write_str("the head of the ledger does not stand at its last entry"),
            Self::Checkpoint { size, what } => {
                write!(f, "the checkpoint of {size} entries: {what}")
            }
            Self::Name { seal } => write!(
                f,
                "the name behind the seal {seal} is not the one that was sealed"
            ),
            Self::Missing { table, key } => {
                write!(f, "{table} {key}: the ledger gives it, the table lacks it")
            }
            Self::Extra { table, key } => {
                write!(
                    f,
                    "{table} {key}: the table holds it, the ledger does not give it"
                )
            }
            Self::Differs { table, key, column } => {
                write!(f, "{table} {key}: {column} is not what the ledger gives")
            }
        }
    }
}
