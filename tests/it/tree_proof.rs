//! Proofs over the ledger's tree, against an independent implementation, the examples of RFC 6962, and slips.

use ct_merkle::mem_backed_tree::MemoryBackedTree;
use ropeloft::domain::{
    Frontier, Hash, Subtree,
    ledger::{fold, leaf_hash},
    tree_proof::{
        BeyondTree, Path, ProofError, check_consistency, check_inclusion, consistency_path,
        inclusion_path,
    },
};
use sha2::Sha256;

/// A tree that keeps everything: its leaves and its full subtrees.
struct Whole {
    leaves: Vec<Hash>,
    full: std::collections::HashMap<Subtree, Hash>,
    roots: Vec<Hash>,
    other: MemoryBackedTree<Sha256, Vec<u8>>,
}

impl Whole {
    fn of(size: u64) -> Self {
        let mut frontier = Frontier::default();
        let mut whole = Self {
            leaves: Vec::new(),
            full: std::collections::HashMap::new(),
            roots: vec![frontier.root()],
            other: MemoryBackedTree::new(),
        };
        for number in 0..size {
            let bytes = number.to_string().into_bytes();
            whole.leaves.push(leaf_hash(&bytes));
            whole.full.extend(frontier.append(leaf_hash(&bytes)));
            whole.roots.push(frontier.root());
            whole.other.push(bytes);
        }
        whole
    }

    fn subtree(&self, subtree: Subtree) -> Hash {
        match subtree.level {
            0 => self.leaves[usize::try_from(subtree.index).unwrap()],
            _ => self.full[&subtree],
        }
    }

    fn proof(&self, path: &Path) -> Vec<Hash> {
        let step = |step: &Vec<Subtree>| {
            fold(
                &step
                    .iter()
                    .map(|&one| self.subtree(one))
                    .collect::<Vec<_>>(),
            )
        };
        path.iter().map(step).collect()
    }

    fn root(&self, size: u64) -> &Hash {
        &self.roots[usize::try_from(size).unwrap()]
    }
}

/// Each leaf of each tree of up to 70 leaves: the proof is that of an independent implementation, it holds, and it
/// holds for no other leaf, place, size or root.
#[test]
fn a_leaf_is_proved_where_it_stands_and_nowhere_else() {
    for size in 1..=70 {
        let whole = Whole::of(size);
        for leaf in 0..size {
            let proof = whole.proof(&inclusion_path(leaf, size).unwrap());
            let at = usize::try_from(leaf).unwrap();
            let other = whole.other.prove_inclusion(at);
            assert_eq!(proof.concat(), other.as_bytes(), "leaf {leaf} of {size}");
            let hash = whole.leaves[at];
            let root = whole.root(size);
            assert_eq!(check_inclusion(leaf, size, hash, &proof, root), Ok(()));
            let forged = leaf_hash(b"forged");
            assert_eq!(
                check_inclusion(leaf, size, forged, &proof, root),
                Err(ProofError::Root)
            );
            let next = (leaf + 1) % size;
            assert!(size == 1 || check_inclusion(next, size, hash, &proof, root).is_err());
            let older = whole.root(size - 1);
            assert_eq!(
                check_inclusion(leaf, size, hash, &proof, older),
                Err(ProofError::Root)
            );
            let longer = [proof.clone(), vec![forged]].concat();
            let length = ProofError::Length {
                given: longer.len(),
            };
            assert_eq!(
                check_inclusion(leaf, size, hash, &longer, root),
                Err(length)
            );
            for step in 0..proof.len() {
                let mut broken = proof.clone();
                broken[step][7] ^= 1;
                assert_eq!(
                    check_inclusion(leaf, size, hash, &broken, root),
                    Err(ProofError::Root)
                );
            }
        }
    }
}

#[test]
fn an_older_tree_is_proved_to_be_the_beginning_and_no_other_is() {
    let whole = Whole::of(70);
    for new in 0..=70 {
        for old in 0..=new {
            let (old_root, new_root) = (whole.root(old), whole.root(new));
            let proof = whole.proof(&consistency_path(old, new).unwrap());
            let check = |old_root: &Hash, new_root: &Hash, proof: &[Hash]| {
                check_consistency((old, old_root), (new, new_root), proof)
            };
            assert_eq!(check(old_root, new_root, &proof), Ok(()), "{old} in {new}");
            let forged = leaf_hash(b"forged");
            assert!(check(&forged, new_root, &proof).is_err(), "{old} in {new}");
            // From an empty tree everything goes on: there the newer root is not held against anything.
            assert!(
                old == 0 || check(old_root, &forged, &proof).is_err(),
                "{old} in {new}"
            );
            for step in 0..proof.len() {
                let mut broken = proof.clone();
                broken[step][7] ^= 1;
                assert!(
                    check(old_root, new_root, &broken).is_err(),
                    "{old} in {new}"
                );
            }
        }
    }
}

#[test]
fn a_consistency_proof_is_that_of_an_independent_implementation() {
    let whole = Whole::of(70);
    for old in 1..70 {
        let proof = whole.proof(&consistency_path(old, 70).unwrap());
        let additions = usize::try_from(70 - old).unwrap();
        let other = whole.other.prove_consistency(additions);
        assert_eq!(proof.concat(), other.as_bytes(), "{old} in 70");
    }
}

/// Source: RFC 6962, section 2.1.3, the tree of seven leaves d0 to d6: `ragged` is what the RFC calls l: the
/// full subtree of d4 and d5, and d6.
#[test]
fn the_examples_of_rfc_6962_hold() {
    let at = |level, index| vec![Subtree { level, index }];
    let leaf = |index| at(0, index);
    let ragged = [at(1, 2), leaf(6)].concat();
    assert_eq!(
        inclusion_path(0, 7),
        Ok(vec![leaf(1), at(1, 1), ragged.clone()])
    );
    assert_eq!(
        inclusion_path(3, 7),
        Ok(vec![leaf(2), at(1, 0), ragged.clone()])
    );
    assert_eq!(inclusion_path(4, 7), Ok(vec![leaf(5), leaf(6), at(2, 0)]));
    assert_eq!(inclusion_path(6, 7), Ok(vec![at(1, 2), at(2, 0)]));
    let three = vec![leaf(2), leaf(3), at(1, 0), ragged.clone()];
    assert_eq!(consistency_path(3, 7), Ok(three));
    assert_eq!(consistency_path(4, 7), Ok(vec![ragged]));
    assert_eq!(
        consistency_path(6, 7),
        Ok(vec![at(1, 2), leaf(6), at(2, 0)])
    );
}

#[test]
fn what_lies_beyond_the_tree_is_refused() {
    assert_eq!(
        inclusion_path(7, 7),
        Err(BeyondTree::Entry { asked: 8, size: 7 })
    );
    assert_eq!(
        inclusion_path(0, 0),
        Err(BeyondTree::Entry { asked: 1, size: 0 })
    );
    let refused = inclusion_path(4, 4).unwrap_err().to_string();
    assert!(
        refused.starts_with("there is no entry 5 in a ledger of 4 entries"),
        "{refused}"
    );
    let refused = consistency_path(9, 8).unwrap_err();
    assert_eq!(
        refused.to_string(),
        "a ledger of 8 entries has no beginning of 9"
    );
}

/// What a proof takes grows with the logarithm: of ten million leaves it is some dozen hashes.
#[test]
fn a_proof_stays_short() {
    let size = 10_000_000;
    for leaf in [0, 1, size / 3, size - 1] {
        let path = inclusion_path(leaf, size).unwrap();
        assert!(
            path.concat().len() <= 2 * 24,
            "leaf {leaf}: {}",
            path.concat().len()
        );
        let path = consistency_path(leaf + 1, size).unwrap();
        assert!(
            path.concat().len() <= 2 * 24,
            "{leaf}: {}",
            path.concat().len()
        );
    }
}
