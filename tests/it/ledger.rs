//! The tree over the ledger, against published values and an independent implementation.

use ct_merkle::mem_backed_tree::MemoryBackedTree;
use proptest::prelude::*;
use ropeloft::domain::{
    Entry, Frontier, PersonId, TeamId,
    ledger::{leaf_hash, node_hash},
};
use sha2::Sha256;
use time::macros::datetime;
use uuid::Uuid;

/// The eight leaves of the public test set for RFC 6962 trees.
const LEAVES: [&str; 8] = [
    "",
    "00",
    "10",
    "2021",
    "3031",
    "40414243",
    "5051525354555657",
    "606162636465666768696a6b6c6d6e6f",
];

/// Source: RFC 6962, section 2.1, computed with another implementation of SHA-256 in another language; the last
/// also stands in the public test set.
const ROOTS: [&str; 9] = [
    "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
    "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
    "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
    "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
    "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
    "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
    "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
];

#[test]
fn the_roots_are_those_of_rfc_6962() {
    let mut frontier = Frontier::default();
    assert_eq!(hex::encode(frontier.root()), ROOTS[0]);
    for (leaf, root) in LEAVES.iter().zip(&ROOTS[1..]) {
        frontier.append(leaf_hash(&hex::decode(leaf).unwrap()));
        assert_eq!(hex::encode(frontier.root()), *root);
    }
    assert_eq!(frontier.size(), 8);
}

#[test]
fn a_leaf_and_a_node_of_the_same_bytes_differ() {
    let (left, right) = (leaf_hash(b"left"), leaf_hash(b"right"));
    assert_ne!(node_hash(&left, &right), leaf_hash(&[left, right].concat()));
}

#[test]
fn a_frontier_of_the_wrong_size_is_refused() {
    let mut frontier = Frontier::default();
    for leaf in 0..5 {
        frontier.append(leaf_hash(&[leaf]));
    }
    assert!(Frontier::from_bytes(6, &frontier.bytes()).is_ok());
    let refused = Frontier::from_bytes(7, &frontier.bytes()).unwrap_err();
    assert_eq!(
        refused.to_string(),
        "a tree of 7 leaves has 96 bytes of frontier, not 64"
    );
    assert!(Frontier::from_bytes(5, &frontier.bytes()[1..]).is_err());
}

#[test]
fn an_entry_is_written_in_canonical_json() {
    let entry = Entry {
        seq: 7,
        team: TeamId(Uuid::from_u128(1)),
        recorded_at: datetime!(2026-03-01 09:30 UTC),
        actor: PersonId(Uuid::from_u128(2)),
        change: serde_json::json!({"kind": "item-retired", "reason": "caf\u{e9} \u{1}", "a": 1.50}),
    };
    // Source: RFC 8785: keys by code unit, no blanks, shortest number, control characters escaped, the rest as is.
    assert_eq!(
        entry.canonical().unwrap(),
        "{\"actor\":\"00000000-0000-0000-0000-000000000002\",\"change\":{\"a\":1.5,\"kind\":\"item-retired\",\
         \"reason\":\"caf\u{e9} \\u0001\"},\"recorded_at\":\"2026-03-01T09:30:00Z\",\"seq\":7,\
         \"team\":\"00000000-0000-0000-0000-000000000001\"}"
    );
}

#[test]
fn an_entry_comes_back_from_its_canonical_json() {
    let entry = Entry {
        seq: 1,
        team: TeamId::new(),
        recorded_at: datetime!(2026-03-01 09:30 UTC),
        actor: PersonId::new(),
        change: "anything".to_owned(),
    };
    let text = entry.canonical().unwrap();
    assert_eq!(serde_json::from_str::<Entry<String>>(&text).unwrap(), entry);
}

proptest! {
    #[test]
    fn the_frontier_agrees_with_another_implementation(leaves in prop::collection::vec(prop::collection::vec(any::<u8>(), 0..40), 0..200)) {
        let mut tree = MemoryBackedTree::<Sha256, Vec<u8>>::new();
        let mut frontier = Frontier::default();
        for leaf in leaves {
            frontier.append(leaf_hash(&leaf));
            tree.push(leaf);
            let kept = Frontier::from_bytes(frontier.size(), &frontier.bytes()).unwrap();
            prop_assert_eq!(&kept, &frontier);
            prop_assert_eq!(hex::encode(frontier.root()), hex::encode(tree.root().as_bytes()));
        }
    }
}
