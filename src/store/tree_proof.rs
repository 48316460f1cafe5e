//! Proofs over a team's ledger, from the hashes that are kept of its tree.

use super::{
    StoreError, Tx,
    ledger::{hash, signed},
    tx::find_all,
};
use crate::domain::{
    Frontier, Hash, Subtree,
    ledger::fold,
    tree_proof::{
        BeyondTree, Path, check_consistency, check_inclusion, consistency_path, inclusion_path,
    },
};

/// An entry's place in a tree, proved.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Inclusion {
    /// The entry's sequence number.
    pub seq: u64,
    /// The hash of its bytes.
    pub leaf: Hash,
    /// How many entries the tree has.
    pub size: u64,
    /// Its root.
    pub root: Hash,
    /// From the leaf to the root.
    pub proof: Vec<Hash>,
}

/// That an older tree is the beginning of a newer one, proved.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Consistency {
    /// The size and the root of the older one.
    pub old: (u64, Hash),
    /// The size and the root of the newer one.
    pub new: (u64, Hash),
    /// What leads to both.
    pub proof: Vec<Hash>,
}

impl Tx {
    /// The root of the tree of the first `size` entries; none if there are not so many.
    pub async fn root_of(&mut self, size: u64) -> Result<Option<Hash>, StoreError> {
        const SQL: &str = "
            SELECT root
              FROM ledger_entry
             WHERE team_id = $1
               AND seq = $2";
        if size == 0 {
            return Ok(self.head().await?.map(|_| fold(&[])));
        }
        let rows: Vec<(Vec<u8>,)> = find_all!(self.conn, SQL, self.team.0, signed(size))?;
        let root = rows.first();
        root.map(|(root,)| hash("ledger_entry", "root", root))
            .transpose()
    }

    /// Proves that the entry `seq` is in the tree of the first `size`. What is proved was held against the root that is
    /// kept: a tree that was tampered with gives none.
    ///
    /// # Errors
    /// [`StoreError::Beyond`] if the tree has no such entry or the ledger no such tree.
    pub async fn prove_inclusion(&mut self, seq: u64, size: u64) -> Result<Inclusion, StoreError> {
        let root = self.known_root(size).await?;
        let place = seq
            .checked_sub(1)
            .ok_or(BeyondTree::Entry { asked: seq, size })?;
        let path = inclusion_path(place, size)?;
        let proof = self.hashes(&path).await?;
        let leaf = self
            .subtree(Subtree {
                level: 0,
                index: place,
            })
            .await?;
        check_inclusion(place, size, leaf, &proof, &root)
            .map_err(|e| StoreError::corrupt("ledger_subtree", "hash")(e.into()))?;
        Ok(Inclusion {
            seq,
            leaf,
            size,
            root,
            proof,
        })
    }

    /// Proves that the tree of the first `old` entries is the beginning of that of the first `new`.
    ///
    /// # Errors
    /// [`StoreError::Beyond`] if the ledger has no such trees, or the older one is the larger.
    pub async fn prove_consistency(
        &mut self,
        old: u64,
        new: u64,
    ) -> Result<Consistency, StoreError> {
        let new = (new, self.known_root(new).await?);
        let path = consistency_path(old, new.0)?;
        let old = (old, self.known_root(old).await?);
        let proof = self.hashes(&path).await?;
        check_consistency((old.0, &old.1), (new.0, &new.1), &proof)
            .map_err(|e| StoreError::corrupt("ledger_subtree", "hash")(e.into()))?;
        Ok(Consistency { old, new, proof })
    }

    async fn known_root(&mut self, size: u64) -> Result<Hash, StoreError> {
        if let Some(root) = self.root_of(size).await? {
            return Ok(root);
        }
        let head = self.head().await?.ok_or(StoreError::NoTeam)?;
        let (asked, size) = (size, head.size);
        let beyond = BeyondTree::Beginning { asked, size };
        if asked <= size {
            return Err(StoreError::corrupt("ledger_entry", "root")(beyond.into()));
        }
        Err(beyond.into())
    }

    /// The hash of the part of the tree over the leaves `from..to`, from 0, where such a part may begin; see
    /// [`Subtree::covering`].
    pub async fn part_hash(&mut self, from: u64, to: u64) -> Result<Hash, StoreError> {
        let path = vec![Subtree::covering(from, to)];
        let hashes = self.hashes(&path).await?;
        Ok(hashes.first().copied().unwrap_or_default())
    }

    /// The hashes of a path, each folded of its subtrees.
    async fn hashes(&mut self, path: &Path) -> Result<Vec<Hash>, StoreError> {
        let mut hashes = Vec::with_capacity(path.len());
        for step in path {
            let mut parts = Vec::with_capacity(step.len());
            for &subtree in step {
                parts.push(self.subtree(subtree).await?);
            }
            hashes.push(fold(&parts));
        }
        Ok(hashes)
    }

    /// The hash of a full subtree: as it is kept, or folded of its leaves where nobody kept it.
    async fn subtree(&mut self, subtree: Subtree) -> Result<Hash, StoreError> {
        const SQL: &str = "
            SELECT hash
              FROM ledger_subtree
             WHERE team_id = $1
               AND level = $2
               AND place = $3";
        let place = signed(subtree.index);
        let level = i64::from(subtree.level);
        let rows: Vec<(Vec<u8>,)> = find_all!(self.conn, SQL, self.team.0, level, place)?;
        match rows.first() {
            Some((kept,)) => hash("ledger_subtree", "hash", kept),
            None => self.folded(subtree).await,
        }
    }

    /// The right edge of the tree of the first `size` entries, of the hashes that are kept.
    pub(super) async fn frontier_of(&mut self, size: u64) -> Result<Frontier, StoreError> {
        let mut peaks = Vec::new();
        for subtree in Subtree::covering(0, size) {
            peaks.extend(self.subtree(subtree).await?);
        }
        Frontier::from_bytes(size, &peaks)
            .map_err(|e| StoreError::corrupt("ledger_subtree", "hash")(e.into()))
    }

    async fn folded(&mut self, subtree: Subtree) -> Result<Hash, StoreError> {
        let mut next = subtree.from();
        let mut frontier = Frontier::default();
        while next < subtree.to() {
            let leaves = self.leaf_hashes(next, subtree.to()).await?;
            let missing = BeyondTree::Beginning {
                asked: subtree.to(),
                size: next,
            };
            if leaves.is_empty() {
                return Err(StoreError::corrupt("ledger_entry", "leaf_hash")(
                    missing.into(),
                ));
            }
            next += leaves.len() as u64;
            for leaf in leaves {
                frontier.append(leaf);
            }
        }
        Ok(frontier.root())
    }

    /// The hashes of at most a thousand leaves `from..to`, from 0.
    pub async fn leaf_hashes(&mut self, from: u64, to: u64) -> Result<Vec<Hash>, StoreError> {
        const SQL: &str = "
            SELECT leaf_hash
              FROM ledger_entry
             WHERE team_id = $1
               AND seq > $2
               AND seq <= $3
             ORDER BY seq
             LIMIT 1000";
        let rows: Vec<(Vec<u8>,)> =
            find_all!(self.conn, SQL, self.team.0, signed(from), signed(to))?;
        rows.iter()
            .map(|(leaf,)| hash("ledger_entry", "leaf_hash", leaf))
            .collect()
    }
}
