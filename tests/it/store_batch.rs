//! Many changes at once leave what they leave one by one.

use std::slice::from_ref;

use ropeloft::{
    domain::{Change, Item, ItemId, ItemState, ItemStep, ItemStepped},
    store::StoreError,
};
use time::macros::date;

use crate::{
    stock,
    store_rebuild::again,
    world::{START, World},
};

fn step(item: &Item, step: ItemStep) -> Change {
    Change::ItemStepped(ItemStepped {
        item: item.id,
        step,
        reason: "a reason".into(),
        on: START.date(),
        retired_for: None,
    })
}

/// Records changes at once, and gives why they do not go.
async fn refused(world: &World, changes: Vec<Change>) -> StoreError {
    let mut tx = world.database.write(world.team).await.unwrap();
    let refused = tx
        .record_all(&world.officer, START, changes)
        .await
        .unwrap_err();
    assert!(matches!(tx.commit().await, Err(StoreError::GivenUp)));
    refused
}

on_both_databases! {
    async fn changes_at_once_leave_what_they_leave_one_by_one(world) {
        let stock = world.stock().await;
        let before = world.entries().await;
        let fresh = stock::item("X-1", &stock.model, &stock.store);
        let more = stock::item("X-2", &stock.model, &stock.store);
        let changes = vec![
            Change::ItemAdded(fresh.clone()),
            Change::ExaminationRecorded(stock::examination(&world, &fresh, date!(2026 - 02 - 01))),
            step(&fresh, ItemStep::Quarantine),
            // This one is there already, and what follows touches both.
            step(&stock.first, ItemStep::Quarantine),
            Change::ItemAdded(more.clone()),
            step(&fresh, ItemStep::ReturnToService),
            Change::EventReported(stock::event(&world, &more, date!(2026 - 02 - 02))),
        ];
        let mut tx = world.database.write(world.team).await.unwrap();
        tx.record_all(&world.officer, START, changes).await.unwrap();
        tx.commit().await.unwrap();
        assert_eq!(world.entries().await, before + 7);
        let rebuilt = again(&world).await;
        assert_eq!(rebuilt.differences, []);
        let mut tx = world.database.read(world.team).await.unwrap();
        let found = tx.item(fresh.id).await.unwrap().unwrap();
        assert_eq!((found.state, found.revision), (ItemState::InService, fresh.revision + 3));
        assert_eq!(tx.history_of(fresh.id.0, None, 10).await.unwrap().len(), 4);
        assert_eq!(tx.serials_of(from_ref(&stock.model.id)).await.unwrap().len(), 4);
        assert!(tx.serials_of(&[]).await.unwrap().is_empty());
    }

    async fn more_than_one_statement_takes_goes_in_whole(world) {
        let stock = world.stock().await;
        let items = (0..1203).map(|at| stock::item(&format!("M-{at}"), &stock.model, &stock.store));
        let mut tx = world.database.write(world.team).await.unwrap();
        tx.record_all(&world.officer, START, items.map(Change::ItemAdded)).await.unwrap();
        tx.record_all(&world.officer, START, []).await.unwrap();
        tx.commit().await.unwrap();
        assert_eq!(again(&world).await.differences, []);
    }

    async fn changes_at_once_that_do_not_go_leave_nothing(world) {
        let stock = world.stock().await;
        let before = world.entries().await;
        let fresh = stock::item("X-1", &stock.model, &stock.store);
        let twin = Item { id: ItemId::new(), ..fresh.clone() };
        let added = || Change::ItemAdded(fresh.clone());
        let twice = refused(&world, vec![added(), Change::ItemAdded(twin)]).await;
        assert!(matches!(twice, StoreError::Taken), "{twice:?}");
        let early = refused(&world, vec![step(&fresh, ItemStep::Quarantine), added()]).await;
        assert!(matches!(early, StoreError::Unlinked), "{early:?}");
        let late = refused(&world, vec![added(), step(&fresh, ItemStep::Retire), step(&fresh, ItemStep::ReturnToService)]).await;
        assert!(matches!(late, StoreError::Refused(_)), "{late:?}");
        let mut tx = world.database.write(world.team).await.unwrap();
        let other = tx.record_all(&world.outsider, START, vec![added()]).await.unwrap_err();
        assert!(matches!(other, StoreError::NoTeam), "{other:?}");
        drop(tx);
        assert_eq!(world.entries().await, before);
    }
}
