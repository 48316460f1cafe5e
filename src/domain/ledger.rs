//! The append-only record: what an entry is, how its bytes are written, and the Merkle tree over them.
//!
//! An entry's bytes are its canonical JSON (RFC 8785). Its leaf hash and the tree's roots are those of RFC 6962,
//! section 2.1, with SHA-256, so that a stranger can check them with a tool of his own. The entry with the
//! sequence number `n` is leaf `n - 1`; its root is that of the tree of the first `n` entries.

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use time::OffsetDateTime;

use super::{PersonId, SealedName, TeamId};

/// A SHA-256 hash.
pub type Hash = [u8; 32];

/// One entry of a team's ledger.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Entry<C> {
    /// The sequence number, from 1.
    pub seq: u64,
    /// The team.
    pub team: TeamId,
    /// When it was recorded; when it was done stands in the change.
    #[serde(with = "time::serde::rfc3339")]
    pub recorded_at: OffsetDateTime,
    /// Who recorded it.
    pub actor: PersonId,
    /// What changed.
    pub change: C,
}

impl<C: Serialize> Entry<C> {
    /// The entry's canonical JSON: what is hashed, kept and exported.
    ///
    /// # Errors
    /// If the change holds what JSON cannot say: a number that is not finite, a key that is no text.
    pub fn canonical(&self) -> Result<String, serde_json::Error> {
        serde_json_canonicalizer::to_string(self)
    }
}

/// An entry as it is kept: its bytes, its leaf hash, and the root of the tree that ends with it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sealed {
    /// The sequence number, from 1.
    pub seq: u64,
    /// When it was recorded.
    pub recorded_at: OffsetDateTime,
    /// Who recorded it.
    pub actor: PersonId,
    /// The kind of the change.
    pub kind: String,
    /// The entry's canonical JSON.
    pub payload: String,
    /// The leaf hash of `payload`.
    pub leaf: Hash,
    /// The root of the tree of the first `seq` entries.
    pub root: Hash,
    /// The names behind the seals in `payload`, those that were not removed.
    pub names: Vec<SealedName>,
}

/// The hash of a leaf: SHA-256 of a zero byte and the bytes.
pub fn leaf_hash(bytes: &[u8]) -> Hash {
    Sha256::new()
        .chain_update([0])
        .chain_update(bytes)
        .finalize()
        .into()
}

/// The hash of a node: SHA-256 of a one byte and the hashes of its two halves.
pub fn node_hash(left: &Hash, right: &Hash) -> Hash {
    Sha256::new()
        .chain_update([1])
        .chain_update(left)
        .chain_update(right)
        .finalize()
        .into()
}

/// A full subtree: 2^`level` leaves, of which the first is leaf `index` × 2^`level`. Of level 0 it is a leaf.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Subtree {
    /// How often two halves were joined.
    pub level: u32,
    /// Its place among those of its level, from 0.
    pub index: u64,
}

impl Subtree {
    /// Its first leaf, from 0.
    pub fn from(self) -> u64 {
        self.index << self.level
    }

    /// The leaf behind its last one.
    pub fn to(self) -> u64 {
        (self.index + 1) << self.level
    }

    /// The full subtrees of which the leaves `from..to` are folded, the largest first; `from` is where such a tree may
    /// begin: a multiple of the greatest power of two that is not above `to - from`.
    pub fn covering(from: u64, to: u64) -> Vec<Self> {
        let mut next = from;
        let mut subtrees = Vec::new();
        while next < to {
            let level = (to - next).ilog2();
            subtrees.push(Self {
                level,
                index: next >> level,
            });
            next += 1 << level;
        }
        subtrees
    }
}

/// The root of a tree by the hashes of its full subtrees, the largest first; that of the empty tree is the hash of
/// nothing.
pub fn fold(subtrees: &[Hash]) -> Hash {
    subtrees
        .iter()
        .rev()
        .copied()
        .reduce(|right, left| node_hash(&left, &right))
        .unwrap_or_else(|| Sha256::digest([]).into())
}

/// The right edge of a growing tree: one hash for each full subtree, the largest first. Enough to append
/// a leaf and to give the root, in memory that grows with the logarithm of the size.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Frontier {
    size: u64,
    peaks: Vec<Hash>,
}

/// The bytes of a frontier do not belong to a tree of the size that was given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("a tree of {size} leaves has {expected} bytes of frontier, not {given}")]
pub struct FrontierError {
    size: u64,
    expected: usize,
    given: usize,
}

impl Frontier {
    /// Reads the frontier of a tree of `size` leaves from [`Frontier::bytes`].
    ///
    /// # Errors
    /// If there are not as many hashes as a tree of that size has full subtrees.
    pub fn from_bytes(size: u64, bytes: &[u8]) -> Result<Self, FrontierError> {
        let (hashes, rest) = bytes.as_chunks::<32>();
        if !rest.is_empty() || hashes.len() != size.count_ones() as usize {
            return Err(FrontierError {
                size,
                expected: size.count_ones() as usize * 32,
                given: bytes.len(),
            });
        }
        Ok(Self {
            size,
            peaks: hashes.to_vec(),
        })
    }

    /// The hashes one after another, the largest subtree first.
    pub fn bytes(&self) -> Vec<u8> {
        self.peaks.concat()
    }

    /// How many leaves the tree has.
    pub fn size(&self) -> u64 {
        self.size
    }

    /// Appends a leaf by its hash, and gives the subtrees that are full with it, the smallest first; a leaf of its own
    /// is none of them.
    pub fn append(&mut self, leaf: Hash) -> Vec<(Subtree, Hash)> {
        // Each trailing one bit of the size is a full subtree that the new leaf completes to a larger one.
        let complete = self.peaks.len() - self.size.trailing_ones() as usize;
        let mut joined = leaf;
        let mut full = Vec::new();
        for (level, left) in (1..).zip(self.peaks.drain(complete..).rev()) {
            joined = node_hash(&left, &joined);
            let index = self.size >> level;
            full.push((Subtree { level, index }, joined));
        }
        self.peaks.push(joined);
        self.size += 1;
        full
    }

    /// The root of the tree; that of the empty tree is the hash of nothing.
    pub fn root(&self) -> Hash {
        fold(&self.peaks)
    }
}
