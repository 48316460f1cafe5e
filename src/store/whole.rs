//! Whether a database is whole, worked out from what is in it alone; and a copy of one in a file, while others write.

use std::path::Path;

use super::{Database, StoreError, Tx, ledger::PAGE};
use crate::domain::{Change, Entry, Hash, Sealed, SealedName, TeamId, ledger::leaf_hash};

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
    #[error("entry {seq} is not as it was recorded: {what}")]
    Entry {
        /// Its sequence number.
        seq: u64,
        /// What does not agree.
        what: String,
    },
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
        Ok(self.worked_out(0, u64::MAX).await?.and_then(|found| {
            let agrees = (head.size, head.root) == (found.entries, found.root);
            agrees.then_some(found).ok_or(Torn::Head)
        }))
    }

    /// Works the tree over the first `to` entries (or over all, where there are fewer) out from their bytes, and holds
    /// what is kept of each against them: leaf, root, columns and the names behind its seals. Of the first `from` the
    /// kept hashes are taken instead.
    pub async fn worked_out(
        &mut self,
        from: u64,
        to: u64,
    ) -> Result<Result<Whole, Torn>, StoreError> {
        let mut tree = self.frontier_of(from).await?;
        while tree.size() < to {
            let page = self.entries_after(tree.size(), PAGE).await?;
            if page.is_empty() {
                break;
            }
            for sealed in page {
                if tree.size() == to {
                    break;
                }
                let seq = tree.size() + 1;
                let torn = |what| Ok(Err(Torn::Entry { seq, what }));
                if let Err(what) = read_entry(&sealed, seq, self.team) {
                    return torn(what);
                }
                if !sealed.names.iter().all(SealedName::holds) {
                    return torn("a name in it is not the one that was sealed".to_owned());
                }
                tree.append(sealed.leaf);
                if sealed.root != tree.root() {
                    return torn(OTHER_ROOT.to_owned());
                }
            }
        }
        Ok(Ok(Whole {
            entries: tree.size(),
            root: tree.root(),
        }))
    }
}

/// That what is kept as an entry's root is none.
pub(super) const OTHER_ROOT: &str = "its root is not that of the tree up to it";

/// The entry behind the bytes, if its hash and its columns agree with them.
pub(super) fn read_entry(sealed: &Sealed, seq: u64, team: TeamId) -> Result<Entry<Change>, String> {
    if sealed.seq != seq {
        return Err(format!("it is missing; the next is {}", sealed.seq));
    }
    if leaf_hash(sealed.payload.as_bytes()) != sealed.leaf {
        return Err("its bytes do not have its leaf hash".to_owned());
    }
    let entry: Entry<Change> = sealed
        .entry()
        .map_err(|error| format!("its bytes are no entry: {error}"))?;
    let columns = (sealed.seq, team, sealed.recorded_at, sealed.actor);
    if columns != (entry.seq, entry.team, entry.recorded_at, entry.actor)
        || sealed.kind != entry.change.kind()
    {
        return Err("its columns do not say what its bytes say".to_owned());
    }
    Ok(entry)
}
