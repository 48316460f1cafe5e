//! Whether a database is whole, worked out from what is in it alone; and a copy of one in a file, while others write.

use std::path::Path;

use super::{Database, StoreError, Tx, ledger::PAGE};
use crate::domain::{Frontier, Hash, ledger::leaf_hash};

/// What was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Whole {
    /// How many entries the ledger has.
    pub entries: u64,
    /// The root of the tree over their bytes.
    pub root: Hash,
}

/// What was not as it was written.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Torn {
    /// An entry is missing, was changed, or its root is another.
    #[error("entry {0} is not as it was recorded")]
    Entry(u64),
    /// The head does not stand at the last entry.
    #[error("the head of the ledger does not stand at its last entry")]
    Head,
    /// The database's own check says so.
    #[error("the file is damaged: {0}")]
    File(String),
}

impl Database {
    /// Writes everything, as it stands at one moment, into a new SQLite file. Others may read and write meanwhile.
    ///
    /// # Errors
    /// What the database says: the file is there already, the disk is full.
    pub async fn copy_into(&self, file: &Path) -> Result<(), StoreError> {
        let Some(writer) = self.sqlite_writer() else {
            return Err(StoreError::NotInAFile);
        };
        let file = file.display().to_string();
        sqlx::query("VACUUM INTO $1")
            .bind(file)
            .execute(writer)
            .await?;
        Ok(())
    }

    /// What SQLite's own check finds wrong in the file.
    ///
    /// # Errors
    /// What the database says.
    pub async fn damage(&self) -> Result<Option<Torn>, StoreError> {
        let Some(writer) = self.sqlite_writer() else {
            return Err(StoreError::NotInAFile);
        };
        let said: Vec<(String,)> = sqlx::query_as("PRAGMA integrity_check(10)")
            .fetch_all(writer)
            .await?;
        let wrong = said.into_iter().map(|(line,)| line);
        let wrong: Vec<String> = wrong.filter(|line| line != "ok").collect();
        Ok((!wrong.is_empty()).then(|| Torn::File(wrong.join("; "))))
    }
}

impl Tx {
    /// Works the tree out again from the bytes of every entry, and holds each leaf and root against it.
    pub async fn whole(&mut self) -> Result<Result<Whole, Torn>, StoreError> {
        let head = self.head().await?.ok_or(StoreError::NoTeam)?;
        let mut tree = Frontier::default();
        loop {
            let page = self.entries_after(tree.size(), PAGE).await?;
            if page.is_empty() {
                break;
            }
            for entry in page {
                let seq = tree.size() + 1;
                let leaf = leaf_hash(entry.payload.as_bytes());
                tree.append(leaf);
                if entry.seq != seq || entry.leaf != leaf || entry.root != tree.root() {
                    return Ok(Err(Torn::Entry(seq)));
                }
            }
        }
        let found = Whole {
            entries: tree.size(),
            root: tree.root(),
        };
        let agrees = (head.size, head.root) == (found.entries, found.root);
        Ok(agrees.then_some(found).ok_or(Torn::Head))
    }
}
