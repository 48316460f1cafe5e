//! Stores, the places, in the store.

use ropeloft::{
    domain::{Change, Store},
    store::StoreError,
};

use crate::{stock, world::START};

on_both_databases! {
    async fn a_store_comes_back_as_it_went_in_and_is_found_by_its_name(world) {
        let van = stock::store("Red  Van");
        world.record(Change::StoreAdded(van.clone())).await;
        world.record(Change::StoreAdded(stock::store("Attic"))).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.store(van.id).await.unwrap(), Some(van.clone()));
        assert_eq!(tx.store_named(" RED van\0").await.unwrap(), Some(van.clone()));
        assert_eq!(tx.store_named("blue van").await.unwrap(), None);
        let names: Vec<String> = tx.stores().await.unwrap().into_iter().map(|s| s.name).collect();
        assert_eq!(names, ["Attic", "Red  Van"]);
        drop(tx);
        let mut tx = world.database.read(world.other_team).await.unwrap();
        assert_eq!(tx.store(van.id).await.unwrap(), None);
        assert_eq!(tx.store_named("red van").await.unwrap(), None);
        assert_eq!(tx.stores().await.unwrap(), []);
    }

    async fn a_name_is_taken_once_in_a_team(world) {
        world.record(Change::StoreAdded(stock::store("Van"))).await;
        let again = Change::StoreAdded(stock::store(" VAN "));
        let refused = world.record_as(&world.officer, again.clone()).await.unwrap_err();
        assert!(matches!(refused, StoreError::Taken), "{refused:?}");
        world.record_as(&world.outsider, again).await.unwrap();
    }

    async fn an_older_edit_is_refused(world) {
        let van = stock::store("Van");
        world.record(Change::StoreAdded(van.clone())).await;
        let edit = |name: &str, revision| Change::StoreRevised(Store { name: name.into(), revision, ..van.clone() });
        world.record(edit("Truck", 2)).await;
        let refused = world.record_as(&world.officer, edit("Lorry", 2)).await.unwrap_err();
        assert!(matches!(refused, StoreError::Stale { table: "store" }), "{refused:?}");
        let mut tx = world.database.write(world.team).await.unwrap();
        assert_eq!(tx.store_named("van").await.unwrap(), None);
        assert_eq!(tx.store(van.id).await.unwrap().unwrap().name, "Truck");
        tx.record(&world.officer, START, edit("Lorry", 3)).await.unwrap();
        assert_eq!(tx.store_named("lorry").await.unwrap().unwrap().revision, 3);
    }
}
