//! Proofs that the store gives of a team's ledger.

use ropeloft::{
    domain::{
        Change, Hash,
        ledger::leaf_hash,
        tree_proof::{BeyondTree, check_consistency, check_inclusion},
    },
    store::StoreError,
};
use sqlx::Connection;

use crate::{
    stock,
    world::{START, World},
};

/// Stores added, some one by one, some together.
async fn grown(world: &World) -> Vec<(Hash, Hash)> {
    for number in 0..7 {
        world
            .record(Change::StoreAdded(stock::store(&format!("Shelf {number}"))))
            .await;
    }
    let mut tx = world.database.write(world.team).await.unwrap();
    for number in 0..30 {
        let change = Change::StoreAdded(stock::store(&format!("Bay {number}")));
        tx.record(&world.officer, START, change).await.unwrap();
    }
    tx.commit().await.unwrap();
    let mut tx = world.database.read(world.team).await.unwrap();
    let entries = tx.entries_after(0, 1000).await.unwrap();
    entries
        .iter()
        .map(|entry| (leaf_hash(entry.payload.as_bytes()), entry.root))
        .collect()
}

/// Forgets the subtrees that are kept, as in a ledger that an older program wrote; or spoils them.
async fn tamper(world: &World, sql: &'static str) {
    if world.address.starts_with("postgres") {
        let mut conn = sqlx::PgConnection::connect(&world.address).await.unwrap();
        sqlx::query(sql).execute(&mut conn).await.unwrap();
    } else {
        let address = if world.address.starts_with("sqlite:") {
            world.address.clone()
        } else {
            format!("sqlite:{}", world.address)
        };
        let mut conn = sqlx::SqliteConnection::connect(&address).await.unwrap();
        sqlx::query(sql).execute(&mut conn).await.unwrap();
    }
}

async fn prove_all(world: &World, entries: &[(Hash, Hash)]) {
    let mut tx = world.database.read(world.team).await.unwrap();
    let whole = entries.len() as u64;
    for (seq, (leaf, root)) in (1..).zip(entries) {
        let one = tx.prove_inclusion(seq, whole).await.unwrap();
        assert_eq!((one.leaf, one.root), (*leaf, entries.last().unwrap().1));
        check_inclusion(seq - 1, whole, *leaf, &one.proof, &one.root).unwrap();
        let grown = tx.prove_consistency(seq, whole).await.unwrap();
        assert_eq!(grown.old, (seq, *root));
        check_consistency((seq, root), (whole, &one.root), &grown.proof).unwrap();
        // In a smaller tree too.
        let at_once = tx.prove_inclusion(seq, seq).await.unwrap();
        check_inclusion(seq - 1, seq, *leaf, &at_once.proof, root).unwrap();
    }
}

on_both_databases! {
    async fn every_entry_and_every_older_tree_is_proved(world) {
        let entries = grown(&world).await;
        prove_all(&world, &entries).await;
        tamper(&world, "DELETE FROM ledger_subtree WHERE level < 3").await;
        prove_all(&world, &entries).await;
        tamper(&world, "DELETE FROM ledger_subtree").await;
        prove_all(&world, &entries).await;
        // What is appended from now on is kept again.
        world.record(Change::StoreAdded(stock::store("Last"))).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        let whole = entries.len() as u64 + 1;
        let one = tx.prove_consistency(3, whole).await.unwrap();
        check_consistency((3, &entries[2].1), (whole, &one.new.1), &one.proof).unwrap();
    }

    async fn a_tree_that_was_tampered_with_gives_no_proof(world) {
        let entries = grown(&world).await;
        tamper(&world, "UPDATE ledger_subtree SET hash = (SELECT leaf_hash FROM ledger_entry WHERE seq = 3) WHERE level = 2").await;
        let mut tx = world.database.read(world.team).await.unwrap();
        let refused = tx.prove_inclusion(9, entries.len() as u64).await.unwrap_err();
        assert!(matches!(refused, StoreError::Corrupt { table: "ledger_subtree", .. }), "{refused:?}");
    }

    async fn what_the_ledger_does_not_have_is_refused(world) {
        let whole = grown(&world).await.len() as u64;
        let mut tx = world.database.read(world.team).await.unwrap();
        let beyond = |error: StoreError| match error {
            StoreError::Beyond(BeyondTree::Beginning { asked, size } | BeyondTree::Entry { asked, size }) => (asked, size),
            other => panic!("{other:?}"),
        };
        assert_eq!(beyond(tx.prove_inclusion(1, whole + 1).await.unwrap_err()), (whole + 1, whole));
        assert_eq!(beyond(tx.prove_inclusion(whole + 1, whole).await.unwrap_err()), (whole + 1, whole));
        assert_eq!(beyond(tx.prove_inclusion(0, whole).await.unwrap_err()), (0, whole));
        assert_eq!(beyond(tx.prove_inclusion(u64::MAX, whole).await.unwrap_err()), (u64::MAX, whole));
        assert_eq!(beyond(tx.prove_consistency(9, 8).await.unwrap_err()), (9, 8));
        assert_eq!(tx.prove_consistency(0, 0).await.unwrap().proof, Vec::<Hash>::new());
        assert_eq!(tx.root_of(u64::MAX).await.unwrap(), None);
    }
}
