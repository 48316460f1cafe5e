//! The one door for writes, and the histories behind it.

use futures::TryStreamExt;
use ropeloft::{
    domain::{Change, Entry, Frontier, ImportTaken, Item, Sealed, VerdictKept, ledger::leaf_hash},
    store::StoreError,
};

use crate::{stock, world::START};

fn seqs(entries: &[Sealed]) -> Vec<u64> {
    entries.iter().map(|entry| entry.seq).collect()
}

on_both_databases! {
    async fn a_change_is_recorded_with_its_leaf_and_root(world) {
        let van = stock::store("Van \u{e9}");
        let recorded = world.record(Change::StoreAdded(van.clone())).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        let sealed = tx.entries_after(recorded.seq - 1, 10).await.unwrap().pop().unwrap();
        assert_eq!((sealed.seq, sealed.root), (recorded.seq, recorded.root));
        assert_eq!((sealed.actor, sealed.recorded_at), (world.admin.person, START));
        assert_eq!((sealed.kind.as_str(), sealed.leaf), ("store-added", leaf_hash(sealed.payload.as_bytes())));
        let entry: Entry<Change> = sealed.entry().unwrap();
        assert_eq!(entry.change, Change::StoreAdded(van));
        assert_eq!((entry.seq, entry.team), (recorded.seq, world.team));
        assert_eq!(entry.canonical().unwrap(), sealed.payload);
        let head = tx.head().await.unwrap().unwrap();
        assert_eq!((head.size, head.root), (recorded.seq, recorded.root));
    }

    async fn many_changes_of_one_transaction_are_one_tree(world) {
        let mut tx = world.database.write(world.team).await.unwrap();
        let mut last = None;
        for number in 0..20 {
            let change = Change::StoreAdded(stock::store(&format!("Bay {number}")));
            last = Some(tx.record(&world.officer, START, change).await.unwrap());
        }
        tx.commit().await.unwrap();
        let tx = world.database.read(world.team).await.unwrap();
        let entries: Vec<Sealed> = tx.into_entries().try_collect().await.unwrap();
        let mut frontier = Frontier::default();
        for entry in &entries {
            frontier.append(leaf_hash(entry.payload.as_bytes()));
            assert_eq!(frontier.root(), entry.root);
        }
        assert_eq!(seqs(&entries), (1..=frontier.size()).collect::<Vec<_>>());
        assert_eq!(Some(frontier.root()), last.map(|recorded| recorded.root));
    }

    async fn moments_never_go_back_though_a_clock_does(world) {
        let at = async |days: i64| {
            let mut tx = world.database.write(world.team).await.unwrap();
            for number in 0..2 {
                let change = Change::StoreAdded(stock::store(&format!("Bay {days} {number}")));
                tx.record(&world.officer, START + time::Duration::days(days), change).await.unwrap();
            }
            tx.commit().await.unwrap();
            let mut tx = world.database.read(world.team).await.unwrap();
            let last = tx.history(None, 2).await.unwrap();
            assert_eq!(last[0].recorded_at, last[1].recorded_at);
            assert_eq!(last[0].entry::<Change>().unwrap().recorded_at, last[0].recorded_at);
            last[0].recorded_at
        };
        assert_eq!(at(2).await, START + time::Duration::days(2));
        assert_eq!(at(-1).await, START + time::Duration::days(2));
        assert_eq!(at(3).await, START + time::Duration::days(3));
    }

    async fn what_was_not_committed_leaves_nothing(world) {
        let before = world.entries().await;
        let van = stock::store("Van");
        let mut tx = world.database.write(world.team).await.unwrap();
        tx.record(&world.officer, START, Change::StoreAdded(van.clone())).await.unwrap();
        assert!(tx.store(van.id).await.unwrap().is_some());
        drop(tx);
        assert_eq!(world.entries().await, before);
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.store(van.id).await.unwrap(), None);
        assert!(tx.history_of(van.id.0, None, 9).await.unwrap().is_empty());
        assert_eq!(tx.entries_after(before, 9).await.unwrap(), []);
    }

    async fn a_change_that_does_not_go_leaves_nothing_and_takes_the_rest_with_it(world) {
        let stock = world.stock().await;
        let before = world.entries().await;
        let van = stock::store("Truck");
        let stale = Item { revision: 9, ..stock.first.clone() };
        let mut tx = world.database.write(world.team).await.unwrap();
        tx.record(&world.officer, START, Change::StoreAdded(van.clone())).await.unwrap();
        let refused = tx.record(&world.officer, START, Change::ItemRevised(stale)).await.unwrap_err();
        assert!(matches!(refused, StoreError::Stale { .. }), "{refused:?}");
        let given_up = tx.commit().await.unwrap_err();
        assert!(matches!(given_up, StoreError::GivenUp), "{given_up:?}");
        assert_eq!(world.entries().await, before);
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.store(van.id).await.unwrap(), None);
    }

    async fn a_transaction_in_which_the_database_refused_something_cannot_be_kept(world) {
        world.record(Change::StoreAdded(stock::store("Van"))).await;
        let before = world.entries().await;
        let mut tx = world.database.write(world.team).await.unwrap();
        let taken = tx.record(&world.officer, START, Change::StoreAdded(stock::store("van"))).await.unwrap_err();
        assert!(matches!(taken, StoreError::Taken), "{taken:?}");
        assert!(matches!(tx.commit().await, Err(StoreError::GivenUp)));
        assert_eq!(world.entries().await, before);
    }

    async fn nobody_records_for_another_team(world) {
        let mut tx = world.database.write(world.team).await.unwrap();
        let refused = tx.record(&world.outsider, START, Change::StoreAdded(stock::store("Van"))).await.unwrap_err();
        assert!(matches!(refused, StoreError::NoTeam), "{refused:?}");
        assert!(matches!(tx.commit().await, Err(StoreError::GivenUp)));
    }

    async fn the_history_of_a_thing_is_its_own_the_newest_first(world) {
        let stock = world.stock().await;
        let job = stock::job("Shaft 3", 4);
        let planned = world.record(Change::JobPlanned(job.clone())).await.seq;
        let put = world.record(Change::KitLineAdded(stock::line(&job, &stock.first, None))).await.seq;
        let mut tx = world.database.read(world.team).await.unwrap();
        let of_job = tx.history_of(job.id.0, None, 9).await.unwrap();
        assert_eq!(seqs(&of_job), [put, planned]);
        let of_item = tx.history_of(stock.first.id.0, None, 1).await.unwrap();
        assert_eq!(seqs(&of_item), [put]);
        let before = tx.history_of(stock.first.id.0, Some(put), 9).await.unwrap();
        assert_eq!(before.iter().map(|e| e.kind.as_str()).collect::<Vec<_>>(), ["item-added"]);
        drop(tx);
        let mut tx = world.database.read(world.other_team).await.unwrap();
        assert!(tx.history_of(job.id.0, None, 9).await.unwrap().is_empty());
    }

    async fn the_history_of_a_team_is_read_page_by_page_either_way(world) {
        world.stock().await;
        let last = world.entries().await;
        let mut tx = world.database.read(world.team).await.unwrap();
        let newest = tx.history(None, 3).await.unwrap();
        assert_eq!(seqs(&newest), [last, last - 1, last - 2]);
        let older = tx.history(Some(last - 2), 100).await.unwrap();
        assert_eq!(seqs(&older), (1..last - 2).rev().collect::<Vec<_>>());
        assert_eq!(seqs(&tx.entries_after(2, 2).await.unwrap()), [3, 4]);
        assert_eq!(tx.entries_after(u64::MAX, 2).await.unwrap(), []);
        drop(tx);
        let mut tx = world.database.read(world.other_team).await.unwrap();
        assert_eq!(seqs(&tx.history(None, 9).await.unwrap()), [2, 1]);
    }

    async fn every_entry_comes_through_the_stream_in_order(world) {
        let mut tx = world.database.write(world.team).await.unwrap();
        for number in 0..1203 {
            let taken = ImportTaken { file_name: format!("{number}.csv"), sha256: String::new(), items: 0 };
            tx.record(&world.officer, START, Change::ImportTaken(taken)).await.unwrap();
        }
        tx.commit().await.unwrap();
        let last = world.entries().await;
        let tx = world.database.read(world.team).await.unwrap();
        let entries: Vec<Sealed> = tx.into_entries().try_collect().await.unwrap();
        assert_eq!(seqs(&entries), (1..=last).collect::<Vec<_>>());
    }

    async fn the_verdict_kept_last_is_found_again(world) {
        let job = stock::job("Shaft 3", 4);
        world.record(Change::JobPlanned(job.clone())).await;
        let verdict = |sentence: &str| Change::VerdictKept(VerdictKept {
            job: job.id,
            version: "1".into(),
            passes: true,
            sentence: sentence.into(),
            answer: serde_json::json!({"factor": 11.2, "none": null}),
        });
        let mut tx = world.database.write(world.team).await.unwrap();
        assert_eq!(tx.last_of_kind(job.id.0, "verdict-kept").await.unwrap(), None);
        tx.record(&world.crew, START, verdict("first")).await.unwrap();
        tx.record(&world.crew, START, verdict("second")).await.unwrap();
        tx.commit().await.unwrap();
        world.record(Change::JobRevised(ropeloft::domain::Job { revision: 2, ..job.clone() })).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        let last = tx.last_of_kind(job.id.0, "verdict-kept").await.unwrap().unwrap();
        let entry: Entry<Change> = last.entry().unwrap();
        assert_eq!(entry.change, verdict("second"));
        drop(tx);
        let mut tx = world.database.read(world.other_team).await.unwrap();
        assert_eq!(tx.last_of_kind(job.id.0, "verdict-kept").await.unwrap(), None);
    }

    async fn a_revised_team_has_its_new_name(world) {
        let mut tx = world.database.read(world.team).await.unwrap();
        let (mut team, founded) = tx.this_team().await.unwrap().unwrap();
        drop(tx);
        team.name = "Deep shaft team".into();
        world.record(Change::TeamRevised(team.clone())).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.this_team().await.unwrap(), Some((team.clone(), founded)));
        drop(tx);
        let refused = world.record_as(&world.outsider, Change::TeamRevised(team)).await.unwrap_err();
        assert!(matches!(refused, StoreError::NoTeam), "{refused:?}");
    }
}
