//! Items in the store: as they went in, their mark, their states, their edits.

use ropeloft::{
    domain::{
        Change, ExaminationKind, Item, ItemId, ItemState, ItemStep, ItemStepped, ModelId,
        NotAllowed, StoreId, Verdict,
    },
    store::StoreError,
};
use time::macros::date;

use crate::{
    stock,
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

async fn now(world: &World, id: ItemId) -> Item {
    let mut tx = world.database.read(world.team).await.unwrap();
    tx.item(id).await.unwrap().unwrap()
}

on_both_databases! {
    async fn an_item_comes_back_as_it_went_in(world) {
        let stock = world.stock().await;
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.item(stock.first.id).await.unwrap().as_ref(), Some(&stock.first));
        assert_eq!(tx.item_marked(" p-1\0").await.unwrap().as_ref(), Some(&stock.first));
        assert_eq!(tx.item_marked("P").await.unwrap(), None);
        let both = tx.items_of(&[stock.second.id, ItemId::new(), stock.first.id]).await.unwrap();
        assert_eq!(both.len(), 2);
        assert_eq!(both[&stock.second.id], stock.second);
        let marked = tx.items_marked(&["P-1".into(), "X".into(), " p-2".into()]).await.unwrap();
        assert_eq!(marked.len(), 2);
        assert!(marked.contains(&stock.first) && marked.contains(&stock.second));
        drop(tx);
        let mut tx = world.database.read(world.other_team).await.unwrap();
        assert_eq!(tx.item(stock.first.id).await.unwrap(), None);
        assert_eq!(tx.item_marked("P-1").await.unwrap(), None);
        assert!(tx.items_of(&[stock.first.id]).await.unwrap().is_empty());
        assert!(tx.items_marked(&["P-1".into()]).await.unwrap().is_empty());
    }

    async fn a_mark_is_taken_once_in_a_team(world) {
        let stock = world.stock().await;
        let twin = stock::item("p-1 ", &stock.model, &stock.store);
        let refused = world.record_as(&world.officer, Change::ItemAdded(twin)).await.unwrap_err();
        assert!(matches!(refused, StoreError::Taken), "{refused:?}");
    }

    async fn the_same_id_is_not_added_twice(world) {
        let stock = world.stock().await;
        let again = Item { mark: "P-9".into(), ..stock.first.clone() };
        let refused = world.record_as(&world.officer, Change::ItemAdded(again)).await.unwrap_err();
        assert!(matches!(refused, StoreError::Taken), "{refused:?}");
        assert_eq!(now(&world, stock.first.id).await, stock.first);
    }

    async fn an_item_needs_a_model_and_a_store_of_its_team(world) {
        let stock = world.stock().await;
        let mut lost = stock::item("P-3", &stock.model, &stock.store);
        lost.model = ModelId::new();
        let refused = world.record_as(&world.officer, Change::ItemAdded(lost.clone())).await.unwrap_err();
        assert!(matches!(refused, StoreError::Unlinked), "{refused:?}");
        lost.model = stock.model.id;
        lost.store = StoreId::new();
        let refused = world.record_as(&world.officer, Change::ItemAdded(lost)).await.unwrap_err();
        assert!(matches!(refused, StoreError::Unlinked), "{refused:?}");
        let foreign = stock::item("P-4", &stock.model, &stock.store);
        let refused = world.record_as(&world.outsider, Change::ItemAdded(foreign)).await.unwrap_err();
        assert!(matches!(refused, StoreError::Unlinked), "{refused:?}");
    }

    async fn an_older_edit_is_refused_and_a_new_mark_is_found(world) {
        let stock = world.stock().await;
        let edit = Item { revision: 2, mark: "P-100".into(), ..stock.first.clone() };
        world.record(Change::ItemRevised(edit.clone())).await;
        let refused = world.record_as(&world.officer, Change::ItemRevised(edit.clone())).await.unwrap_err();
        assert!(matches!(refused, StoreError::Stale { table: "item" }), "{refused:?}");
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.item_marked("P-1").await.unwrap(), None);
        assert_eq!(tx.item_marked("p-100").await.unwrap(), Some(edit));
    }

    async fn a_step_changes_the_state_and_one_that_is_not_open_changes_nothing(world) {
        let stock = world.stock().await;
        world.record(step(&stock.first, ItemStep::Quarantine)).await;
        let held = now(&world, stock.first.id).await;
        assert_eq!((held.state, held.revision), (ItemState::Quarantined, 2));
        world.record(step(&stock.first, ItemStep::Retire)).await;
        let refused = world.record_as(&world.officer, step(&stock.first, ItemStep::ReturnToService)).await.unwrap_err();
        assert!(matches!(refused, StoreError::Refused(NotAllowed::Retired)), "{refused:?}");
        assert_eq!(now(&world, stock.first.id).await.state, ItemState::Retired);
        let foreign = world.record_as(&world.outsider, step(&stock.second, ItemStep::Retire)).await.unwrap_err();
        assert!(matches!(foreign, StoreError::Unlinked), "{foreign:?}");
    }

    async fn an_examination_sets_the_due_day_and_its_verdict_the_state(world) {
        let stock = world.stock().await;
        let fit = stock::examination(&world, &stock.first, date!(2026 - 02 - 01));
        world.record(Change::ExaminationRecorded(fit.clone())).await;
        let item = now(&world, stock.first.id).await;
        assert_eq!((item.next_due_on, item.last_passed_on), (fit.next_due_on, Some(fit.on)));
        let mut bad = stock::examination(&world, &stock.first, date!(2026 - 02 - 20));
        bad.kind = ExaminationKind::PreUse;
        bad.verdict = Verdict::Quarantine;
        bad.next_due_on = None;
        world.record(Change::ExaminationRecorded(bad)).await;
        let item = now(&world, stock.first.id).await;
        assert_eq!((item.state, item.next_due_on), (ItemState::Quarantined, fit.next_due_on));
    }

    async fn an_event_takes_the_item_out_of_service(world) {
        let stock = world.stock().await;
        world.record(Change::EventReported(stock::event(&world, &stock.first, date!(2026 - 02 - 01)))).await;
        assert_eq!(now(&world, stock.first.id).await.state, ItemState::Quarantined);
        world.record(Change::EventReported(stock::event(&world, &stock.first, date!(2026 - 02 - 02)))).await;
        assert_eq!(now(&world, stock.first.id).await.revision, 2);
    }
}
