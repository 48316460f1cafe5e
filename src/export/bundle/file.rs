//! Photos and documents: their bytes are not in a bundle, their hashes are.

use std::path::PathBuf;

use crate::domain::{Change, Entry, FileHash, sealed_name::open_names};

/// How an entry that names a file is known before it is read.
const KIND: &str = "\"file-attached\"";

/// A file that an entry names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NamedFile {
    /// The entry.
    pub seq: u64,
    /// The name of what was sent.
    pub name: String,
    /// The hash of its bytes.
    pub sha256: FileHash,
    /// Whether it is a photo made small, which is made by the program and may be left out.
    pub small: bool,
}

/// A file in a folder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FoundFile {
    /// Where it is.
    pub path: PathBuf,
    /// The hash of its bytes.
    pub sha256: FileHash,
}

/// The first file that is not as an entry says.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum FileFault {
    /// No file of these bytes is there.
    #[error("the file \"{name}\" of entry {seq} is missing: no file has the SHA-256 {sha256}")]
    Missing {
        /// The entry.
        seq: u64,
        /// The name of what was sent.
        name: String,
        /// The hash that it names.
        sha256: FileHash,
    },
    /// A file is called so and has other bytes.
    #[error(
        "the file \"{name}\" of entry {seq} was changed: {} does not have the SHA-256 {sha256}",
        path.display()
    )]
    Changed {
        /// The entry.
        seq: u64,
        /// The name of what was sent.
        name: String,
        /// The hash that it names.
        sha256: FileHash,
        /// What is called so.
        path: PathBuf,
    },
}

/// The files that an entry names.
pub(super) fn named(seq: u64, payload: &str) -> Vec<NamedFile> {
    if !payload.contains(KIND) {
        return Vec::new();
    }
    let read: Result<Entry<Change>, _> = serde_json::from_str(&open_names(payload, &[]));
    let Ok(Change::FileAttached(one)) = read.map(|entry| entry.change) else {
        return Vec::new();
    };
    let files = std::iter::once((one.file, false));
    let files = files.chain(one.thumbnail.map(|small| (small, true)));
    let named = files.map(|(file, small)| NamedFile {
        seq,
        name: one.name.clone(),
        sha256: file.sha256,
        small,
    });
    named.collect()
}

/// Holds what entries name against what was found, and says how many files are there. A file is known by its bytes, wherever
/// it lies and whatever it is called; one that is called by the hash, as a server calls it, and has other bytes was changed.
/// Small photos may be missing, but not be changed.
///
/// # Errors
/// The first, in the order of the entries, that is missing or was changed.
pub fn hold(named: &[NamedFile], found: &[FoundFile]) -> Result<usize, FileFault> {
    let mut whole = 0;
    for file in named {
        if found.iter().any(|there| there.sha256 == file.sha256) {
            whole += 1;
            continue;
        }
        let is_called = |there: &&FoundFile| {
            let called = there.path.file_name().and_then(|name| name.to_str());
            called == Some(file.sha256.as_str())
        };
        let NamedFile {
            seq, name, sha256, ..
        } = file.clone();
        match found.iter().find(is_called) {
            Some(there) => {
                return Err(FileFault::Changed {
                    seq,
                    name,
                    sha256,
                    path: there.path.clone(),
                });
            }
            None if file.small => {}
            None => return Err(FileFault::Missing { seq, name, sha256 }),
        }
    }
    Ok(whole)
}
