//! A checkpoint that somebody kept, held against the ledger as it is.

use super::{Hash, checkpoint::Checkpoint};

/// What came of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Held {
    /// The ledger begins with the very one of the checkpoint.
    GoesOn {
        /// How many entries that had.
        size: u64,
        /// Whether a key of the ledger signed it.
        signed: bool,
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
    /// Holds a checkpoint against a ledger: its name, and the root of as many entries, if it has so many.
    pub fn against(kept: &Checkpoint, origin: &str, root: Option<Hash>, signed: bool) -> Self {
        let size = kept.size;
        match root {
            _ if kept.origin != origin => Self::OtherRecord {
                origin: kept.origin.clone(),
            },
            None => Self::Shorter { size },
            Some(root) if root != kept.root => Self::Differs { size },
            Some(_) => Self::GoesOn { size, signed },
        }
    }
}
