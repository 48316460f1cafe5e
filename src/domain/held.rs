//! A checkpoint that somebody kept, held against the ledger as it is.

use super::{Hash, checkpoint::Checkpoint};

/// What came of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Held {
    /// The ledger begins with the very one of the checkpoint.
    GoesOn {
        /// How many entries that had.
        size: u64,
        /// Which keys of the ledger signed it, by their numbers.
        signed: Vec<u32>,
        /// Behind which entry, and up to which one, the hashes were worked out from the entries' bytes. Of the others
        /// those that are kept were taken.
        read: (u64, u64),
    },
    /// The kept root is that of the checkpoint, but an entry is not what was hashed.
    Changed {
        /// How many entries the checkpoint is of.
        size: u64,
        /// The first such entry, and what does not agree.
        what: String,
    },
    /// The first entries are others.
    Differs {
        /// How many the checkpoint is of.
        size: u64,
    },
    /// There are fewer entries than the checkpoint says.
    Shorter {
        /// How many the checkpoint is of.
        size: u64,
    },
    /// It is of another ledger.
    OtherRecord {
        /// Which one it names.
        origin: String,
    },
}

impl Held {
    /// Holds a checkpoint against a ledger: its name, and the kept root of as many entries, if it has so many. Nothing is
    /// read of the entries' bytes yet.
    pub fn against(kept: &Checkpoint, origin: &str, root: Option<Hash>, signed: Vec<u32>) -> Self {
        let size = kept.size;
        match root {
            _ if kept.origin != origin => Self::OtherRecord {
                origin: kept.origin.clone(),
            },
            None => Self::Shorter { size },
            Some(root) if root != kept.root => Self::Differs { size },
            Some(_) => Self::GoesOn {
                size,
                signed,
                read: (0, 0),
            },
        }
    }
}
