//! A ledger is replayed and compared page by page; what comes out, and what is told, is as if one by one.

use std::slice::from_ref;

use ropeloft::{
    domain::{
        Change, Frontier, Item, ItemStep, ItemStepped, KitLineRemoved, TagId,
        ledger::leaf_hash,
        tag::{OwnCode, Tag, TagRemoved},
    },
    store::{Difference, MOST_DIFFERENCES, rebuild},
};
use sqlx::{Connection, SqliteConnection};
use time::macros::date;

use crate::{
    chance::Chance,
    stock,
    store_rebuild::{again, tamper},
    world::{START, World, on_sqlite},
};

/// More items than any page holds.
const MANY: usize = 1203;

/// Records many items, one transaction for all.
async fn many(world: &World) -> Vec<Item> {
    let stock = world.stock().await;
    let items = (0..MANY).map(|at| stock::item(&format!("M-{at}"), &stock.model, &stock.store));
    let items: Vec<Item> = items.collect();
    let changes = items.iter().cloned().map(Change::ItemAdded);
    let mut tx = world.database.write(world.team).await.unwrap();
    tx.record_all(&world.officer, START, changes).await.unwrap();
    tx.commit().await.unwrap();
    items
}

/// Writes an entry anew with another word in it, as if it had been recorded so: with every hash from there on.
async fn forge(world: &World, forged: u64, word: &str, other: &str) {
    const SQL: &str = "
        UPDATE ledger_entry
           SET payload = $3, leaf_hash = $4, root = $5
         WHERE team_id = $1
           AND seq = $2";
    let mut tx = world.database.read(world.team).await.unwrap();
    let entries = tx.entries_after(0, 500).await.unwrap();
    drop(tx);
    let mut conn = SqliteConnection::connect(&world.address).await.unwrap();
    let mut tree = Frontier::default();
    for entry in entries {
        let mut payload = entry.payload;
        if entry.seq == forged {
            assert!(payload.contains(word), "{payload}");
            payload = payload.replace(word, other);
        }
        let leaf = leaf_hash(payload.as_bytes());
        tree.append(leaf);
        sqlx::query(SQL)
            .bind(world.team.0)
            .bind(i64::try_from(entry.seq).unwrap())
            .bind(payload)
            .bind(leaf.as_slice())
            .bind(tree.root().as_slice())
            .execute(&mut conn)
            .await
            .unwrap();
    }
}

fn retired(item: &Item) -> Change {
    Change::ItemStepped(ItemStepped {
        item: item.id,
        step: ItemStep::Retire,
        reason: "worn".into(),
        on: START.date(),
        retired_for: None,
    })
}

on_both_databases! {
    async fn what_one_entry_adds_the_next_may_change_or_take_away(world) {
        let stock = world.stock().await;
        let fresh = stock::item("X-1", &stock.model, &stock.store);
        let called = Item { mark: "X-9".into(), revision: 4, ..fresh.clone() };
        // The mark is free again as soon as the first has another.
        let heir = stock::item("X-1", &stock.model, &stock.store);
        let tag = Tag::own(TagId::new(), fresh.id, OwnCode::from_random(77));
        let off = TagRemoved { tag: tag.id, item: fresh.id, text: tag.text.clone(), reason: "torn".into() };
        let job = stock::job("Well", 8);
        let line = stock::line(&job, &fresh, None);
        let removed = KitLineRemoved { line: line.id, job: job.id, item: fresh.id, reason: "wet".into() };
        let rope = stock::item("R-1", &stock.model, &stock.store);
        let piece = stock::item("R-1a", &stock.model, &stock.store);
        let changes = vec![
            Change::ItemAdded(fresh.clone()),
            Change::ExaminationRecorded(stock::examination(&world, &fresh, date!(2026 - 02 - 01))),
            Change::UsageLogged(stock::usage(&world, &fresh, date!(2026 - 02 - 02))),
            Change::ItemRevised(called),
            Change::ItemAdded(heir.clone()),
            Change::TagAdded(tag.clone()),
            Change::TagRemoved(off),
            Change::JobPlanned(job.clone()),
            Change::KitLineAdded(line),
            Change::KitLineRemoved(removed),
            Change::EventReported(stock::event(&world, &stock.first, date!(2026 - 02 - 02))),
            Change::EventReported(stock::event(&world, &heir, date!(2026 - 02 - 02))),
            Change::ItemAdded(rope.clone()),
            Change::RopeCut(stock::cut(&rope, from_ref(&piece))),
            retired(&piece),
        ];
        for change in changes {
            world.record(change).await;
        }
        assert_eq!(again(&world).await.differences, []);
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.item_marked("X-9").await.unwrap().map(|item| item.id), Some(fresh.id));
        assert_eq!(tx.item_marked("X-1").await.unwrap().map(|item| item.id), Some(heir.id));
        assert_eq!(tx.tag(tag.id).await.unwrap(), None);
        assert_eq!(tx.kit(job.id).await.unwrap(), []);
    }

    async fn a_row_that_differs_is_named_pages_behind_the_first(world) {
        let items = many(&world).await;
        tamper(&world, "UPDATE item SET state = 'missing' WHERE mark_folded = 'm-1100'").await;
        tamper(&world, "DELETE FROM item_word WHERE word = 'm1101'").await;
        let rebuilt = again(&world).await;
        let told: Vec<String> = rebuilt.differences.iter().map(Difference::to_string).collect();
        let (changed, bare) = (items[1100].id, items[1101].id);
        assert_eq!(told, [
            format!("item {changed}: state is not what the ledger gives"),
            format!("item_word {bare} m1101: the ledger gives it, the table lacks it"),
        ]);
        assert!(rebuilt.rows > 2 * MANY as u64, "{}", rebuilt.rows);
    }

    async fn no_more_differences_are_told_than_anybody_reads(world) {
        many(&world).await;
        tamper(&world, "UPDATE item SET state = 'missing'").await;
        assert_eq!(again(&world).await.differences.len(), MOST_DIFFERENCES);
    }
}

on_both_empty_databases! {
    async fn a_ledger_goes_into_either_database(world) {
        on_sqlite(async |source: World| {
            Chance::new(rand::random()).run(&source, &source.admin, 300).await;
            let rebuilt = rebuild(&source.database, source.team, &world.database).await.unwrap();
            assert_eq!(rebuilt.differences, []);
            assert!(rebuilt.entries >= 300, "{rebuilt:?}");
        })
        .await;
    }

    async fn an_entry_that_does_not_go_is_named_among_its_page(world) {
        on_sqlite(async |source: World| {
            let stock = source.stock().await;
            for mark in ["X-1", "X-2", "X-3"] {
                source.record(Change::ItemAdded(stock::item(mark, &stock.model, &stock.store))).await;
            }
            let last = again(&source).await.entries;
            forge(&source, last - 1, "X-2", "X-1").await;
            let rebuilt = rebuild(&source.database, source.team, &world.database).await.unwrap();
            let what = "it does not go on what is before it: the key is taken".to_owned();
            assert_eq!(rebuilt.differences, [Difference::Entry { seq: last - 1, what }]);
            assert_eq!((rebuilt.entries, rebuilt.rows), (last - 1, 0));
            let mut tx = world.database.read(source.team).await.unwrap();
            assert_eq!(tx.this_team().await.unwrap(), None);
        })
        .await;
    }
}
