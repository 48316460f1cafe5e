//! Proofs over the ledger's tree: that an entry is in it, and that an older tree is the beginning of a newer one.
//!
//! RFC 6962, sections 2.1.1 and 2.1.2, says what a proof holds; RFC 9162, sections 2.1.3.2 and 2.1.4.2, how it is
//! checked. Both take the hashes of a few full subtrees: what is asked of the store grows with the logarithm of the
//! ledger.

use super::{
    Hash,
    ledger::{Subtree, fold, node_hash},
};

/// The hashes of a proof, each as the full subtrees that it is folded of, the largest first. All but one of them are
/// a single full subtree; that one is the ragged right edge of the tree.
pub type Path = Vec<Vec<Subtree>>;

/// What was given does not lie in the tree.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum BeyondTree {
    /// There were never so many entries.
    #[error("a ledger of {size} entries has no beginning of {asked}")]
    Beginning {
        /// How many were asked for.
        asked: u64,
        /// How many entries there are.
        size: u64,
    },
    /// There is no such entry.
    #[error("there is no entry {asked} in a ledger of {size} entries: they are numbered from 1 on")]
    Entry {
        /// Which one was asked for.
        asked: u64,
        /// How many entries there are.
        size: u64,
    },
}

/// A proof does not lead to the root that it was held against.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ProofError {
    /// It has too many or too few hashes for where it stands.
    #[error("the proof has {given} hashes, which does not fit its place in the tree")]
    Length {
        /// How many it has.
        given: usize,
    },
    /// It leads to another root than that of the older tree.
    #[error("the proof does not lead to the root of the older tree")]
    OldRoot,
    /// It leads to another root.
    #[error("the proof does not lead to the root of the tree")]
    Root,
    /// What it is about does not lie in the tree.
    #[error(transparent)]
    Beyond(#[from] BeyondTree),
}

/// Which hashes prove that leaf `leaf` (from 0) is in the tree of the first `size`, from the leaf to the root.
///
/// # Errors
/// If the tree has no such leaf.
pub fn inclusion_path(leaf: u64, size: u64) -> Result<Path, BeyondTree> {
    if leaf >= size {
        let asked = leaf.saturating_add(1);
        return Err(BeyondTree::Entry { asked, size });
    }
    let (mut from, mut to) = (0, size);
    let mut path = Path::new();
    while to - from > 1 {
        let middle = from + split(to - from);
        if leaf < middle {
            path.push(Subtree::covering(middle, to));
            to = middle;
        } else {
            path.push(Subtree::covering(from, middle));
            from = middle;
        }
    }
    path.reverse();
    Ok(path)
}

/// Which hashes prove that the tree of the first `old` leaves is the beginning of that of the first `new`. From an
/// empty tree, and from a tree to itself, nothing has to be shown.
///
/// # Errors
/// If the older tree is the larger one.
pub fn consistency_path(old: u64, new: u64) -> Result<Path, BeyondTree> {
    if old > new {
        return Err(BeyondTree::Beginning {
            asked: old,
            size: new,
        });
    }
    let mut path = Path::new();
    if old == 0 || old == new {
        return Ok(path);
    }
    let (mut from, mut to) = (0, new);
    while to != old {
        let middle = from + split(to - from);
        if old <= middle {
            path.push(Subtree::covering(middle, to));
            to = middle;
        } else {
            path.push(Subtree::covering(from, middle));
            from = middle;
        }
    }
    // Where the older tree is itself a full subtree on the left edge, whoever checks has its root already.
    if from > 0 {
        path.push(Subtree::covering(from, to));
    }
    path.reverse();
    Ok(path)
}

/// The largest power of two that is smaller than `size`, which is at least 2.
pub fn split(size: u64) -> u64 {
    1 << (size - 1).ilog2()
}

/// The root to which a proof leads from the hash of leaf `leaf` in a tree of `size` leaves. RFC 9162, section 2.1.3.2.
///
/// # Errors
/// If the leaf does not lie in the tree, or the proof is not as long as it has to be there.
pub fn root_by_inclusion(
    leaf: u64,
    size: u64,
    leaf_hash: Hash,
    proof: &[Hash],
) -> Result<Hash, ProofError> {
    let path = inclusion_path(leaf, size)?;
    let given = proof.len();
    if path.len() != given {
        return Err(ProofError::Length { given });
    }
    Ok(proof
        .iter()
        .zip(&path)
        .fold(leaf_hash, |so_far, (hash, step)| {
            // What stands in the path lies wholly before or wholly behind the leaf.
            let before = step.first().is_some_and(|subtree| subtree.to() <= leaf);
            if before {
                node_hash(hash, &so_far)
            } else {
                node_hash(&so_far, hash)
            }
        }))
}

/// Holds a proof that an entry is in a tree against the root of that tree.
///
/// # Errors
/// If it does not lead there.
pub fn check_inclusion(
    leaf: u64,
    size: u64,
    leaf_hash: Hash,
    proof: &[Hash],
    root: &Hash,
) -> Result<(), ProofError> {
    match root_by_inclusion(leaf, size, leaf_hash, proof)? {
        led if led == *root => Ok(()),
        _ => Err(ProofError::Root),
    }
}

/// Holds a proof that an older tree is the beginning of a newer one against the roots of both. RFC 9162, section
/// 2.1.4.2.
///
/// # Errors
/// If it does not lead to both.
pub fn check_consistency(
    (old, old_root): (u64, &Hash),
    (new, new_root): (u64, &Hash),
    proof: &[Hash],
) -> Result<(), ProofError> {
    let path = consistency_path(old, new)?;
    let given = proof.len();
    if path.len() != given {
        return Err(ProofError::Length { given });
    }
    if old == 0 {
        let empty = fold(&[]);
        return if *old_root == empty {
            Ok(())
        } else {
            Err(ProofError::OldRoot)
        };
    }
    // The first hash is the end of the older tree; where that is a full subtree, it is its root.
    let whole = path.is_empty() || path[0][0].from() >= old;
    let (first, rest, steps) = if whole {
        (*old_root, proof, &path[..])
    } else {
        (proof[0], &proof[1..], &path[1..])
    };
    let (mut older, mut newer) = (first, first);
    for (hash, step) in rest.iter().zip(steps) {
        if step[0].from() < old {
            older = node_hash(hash, &older);
            newer = node_hash(hash, &newer);
        } else {
            newer = node_hash(&newer, hash);
        }
    }
    match (older == *old_root, newer == *new_root) {
        (false, _) => Err(ProofError::OldRoot),
        (_, false) => Err(ProofError::Root),
        _ => Ok(()),
    }
}
