//! The tables made again from the ledger are the tables that are there; where they are not, it is told.

use ropeloft::{
    domain::TeamId,
    store::{Database, Difference, Rebuilt, StoreError, rebuild},
};
use sqlx::{AssertSqlSafe, Connection};

use crate::{chance::Chance, world::World};

/// The team's tables made again in a fresh SQLite file.
pub async fn again(world: &World) -> Rebuilt {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("again.db");
    let into = Database::open(file.to_str().unwrap()).await.unwrap();
    into.migrate().await.unwrap();
    let rebuilt = rebuild(&world.database, world.team, &into).await.unwrap();
    into.close().await;
    rebuilt
}

/// Does to the database what no one should: writes to it past the one door.
pub async fn tamper(world: &World, sql: &'static str) {
    if world.address.starts_with("postgres") {
        let mut conn = sqlx::PgConnection::connect(&world.address).await.unwrap();
        sqlx::query(AssertSqlSafe(sql))
            .execute(&mut conn)
            .await
            .unwrap();
    } else {
        let mut conn = sqlx::SqliteConnection::connect(&world.address)
            .await
            .unwrap();
        sqlx::query(AssertSqlSafe(sql))
            .execute(&mut conn)
            .await
            .unwrap();
    }
}

/// What is told of the tables that are not those of the ledger.
pub async fn told(world: &World) -> Vec<String> {
    let rebuilt = again(world).await;
    rebuilt
        .differences
        .iter()
        .map(Difference::to_string)
        .collect()
}

on_both_databases! {
    async fn a_thousand_random_changes_come_out_the_same(world) {
        let seed = rand::random();
        let mut chance = Chance::new(seed);
        let refused = chance.run(&world, &world.admin, 1000).await;
        assert!(refused > 20, "changes that do not go are among them: {refused}");
        let rebuilt = again(&world).await;
        assert_eq!(rebuilt.differences, []);
        let mut tx = world.database.read(world.team).await.unwrap();
        let head = tx.head().await.unwrap().unwrap();
        assert_eq!((rebuilt.entries, rebuilt.root), (head.size, head.root));
        assert!(head.size >= 1000 && rebuilt.rows > 500, "{rebuilt:?}");
    }

    async fn a_team_can_be_made_again_in_the_other_database_and_back(world) {
        Chance::new(7).run(&world, &world.admin, 100).await;
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("again.db");
        let into = Database::open(file.to_str().unwrap()).await.unwrap();
        into.migrate().await.unwrap();
        rebuild(&world.database, world.team, &into).await.unwrap();
        let twice = folder.path().join("twice.db");
        let back = Database::open(twice.to_str().unwrap()).await.unwrap();
        back.migrate().await.unwrap();
        let rebuilt = rebuild(&into, world.team, &back).await.unwrap();
        assert_eq!(rebuilt.differences, []);
        let there = rebuild(&world.database, world.team, &into).await.unwrap_err();
        assert!(matches!(there, StoreError::Taken), "{there:?}");
        let nowhere = rebuild(&world.database, TeamId::new(), &into).await.unwrap_err();
        assert!(matches!(nowhere, StoreError::NoTeam), "{nowhere:?}");
    }

    async fn a_row_that_was_changed_added_or_taken_is_told(world) {
        let stock = world.stock().await;
        tamper(&world, "UPDATE item SET state = 'retired' WHERE mark_folded = 'p-1'").await;
        let id = stock.first.id;
        assert_eq!(told(&world).await, [format!("item {id}: state is not what the ledger gives")]);
        tamper(&world, "UPDATE item SET state = 'in-service'").await;
        tamper(&world, "DELETE FROM item_word WHERE word = 'p1'").await;
        assert_eq!(told(&world).await, [format!("item_word {id} p1: the ledger gives it, the table lacks it")]);
        tamper(&world, "INSERT INTO item_word (team_id, item_id, word) SELECT team_id, id, 'p1' FROM item").await;
        let second = stock.second.id;
        assert_eq!(told(&world).await, [format!("item_word {second} p1: the table holds it, the ledger does not give it")]);
    }

    async fn an_entry_that_was_taken_out_of_a_history_is_told(world) {
        let stock = world.stock().await;
        let item = stock.first.id;
        let mut tx = world.database.read(world.team).await.unwrap();
        let seq = tx.last_of_kind(item.0, "item-added").await.unwrap().unwrap().seq;
        drop(tx);
        tamper(&world, "DELETE FROM ledger_subject WHERE seq IN (SELECT seq FROM ledger_entry WHERE kind = 'item-added' AND payload LIKE '%P-1%')").await;
        assert_eq!(told(&world).await, [format!("ledger_subject {item} {seq}: the ledger gives it, the table lacks it")]);
    }

    async fn a_record_that_was_changed_is_told(world) {
        let stock = world.stock().await;
        tamper(&world, "UPDATE item SET record = REPLACE(record, 'S/P-1', 'S/P-7')").await;
        let id = stock.first.id;
        assert_eq!(told(&world).await, [format!("item {id}: record is not what the ledger gives")]);
    }

    async fn a_record_written_with_blanks_says_the_same(world) {
        world.stock().await;
        tamper(&world, "UPDATE item SET record = REPLACE(record, ',', ' , ')").await;
        assert_eq!(again(&world).await.differences, []);
    }

    async fn an_entry_that_was_changed_is_told(world) {
        world.stock().await;
        tamper(&world, "UPDATE ledger_entry SET payload = REPLACE(payload, 'P-1', 'P-7')").await;
        let told = told(&world).await;
        assert_eq!(told.len(), 1);
        assert!(told[0].ends_with("its bytes do not have its leaf hash"), "{told:?}");
    }

    async fn an_entry_whose_columns_were_changed_is_told(world) {
        world.stock().await;
        tamper(&world, "UPDATE ledger_entry SET kind = 'item-revised' WHERE kind = 'item-added'").await;
        let told = told(&world).await;
        assert!(told[0].ends_with("its columns do not say what its bytes say"), "{told:?}");
    }

    async fn a_root_that_was_changed_is_told(world) {
        world.stock().await;
        tamper(&world, "UPDATE ledger_entry SET root = leaf_hash WHERE seq = 4").await;
        assert_eq!(told(&world).await, ["entry 4: its root is not that of the tree up to it"]);
    }

    async fn an_entry_that_was_taken_out_is_told(world) {
        world.stock().await;
        tamper(&world, "DELETE FROM ledger_subject").await;
        tamper(&world, "DELETE FROM ledger_entry WHERE seq = 4").await;
        assert_eq!(told(&world).await, ["entry 4: it is missing; the next is 5"]);
    }

    async fn a_ledger_that_was_cut_short_is_told(world) {
        world.stock().await;
        let last = again(&world).await.entries;
        assert_eq!(last, 9);
        tamper(&world, "DELETE FROM ledger_subject").await;
        tamper(&world, "DELETE FROM ledger_entry WHERE seq = 9").await;
        let told = told(&world).await;
        assert!(told.contains(&"the head of the ledger does not stand at its last entry".to_owned()), "{told:?}");
    }

    async fn a_record_that_cannot_be_read_is_corrupt_not_absent(world) {
        let stock = world.stock().await;
        tamper(&world, "UPDATE item SET record = '{}'").await;
        tamper(&world, "UPDATE person SET role = 'king' WHERE role = 'crew'").await;
        let mut tx = world.database.read(world.team).await.unwrap();
        let item = tx.item(stock.first.id).await.unwrap_err();
        assert!(matches!(item, StoreError::Corrupt { table: "item", column: "record", .. }), "{item:?}");
        let person = tx.person(world.crew.person).await.unwrap_err();
        assert!(matches!(person, StoreError::Corrupt { table: "person", column: "role", .. }), "{person:?}");
    }
}
