//! Models in the store.

use ropeloft::{
    domain::{Change, Kind, Model, ModelId},
    store::{ItemFilter, ItemSort, ModelFilter, StoreError},
};

use crate::{stock, world::World};

async fn shelf(world: &World) -> Vec<Model> {
    let models = vec![
        stock::model(Kind::Rope, "Fjordwerk", "Line 11"),
        stock::model(Kind::Pulley, "Fjordwerk", "Twin 60"),
        stock::model(Kind::Pulley, "Anvil & Hook", "100% Single_"),
        stock::model(Kind::Connector, "anvil & hook", "Oval"),
    ];
    for model in &models {
        world.record(Change::ModelAdded(model.clone())).await;
    }
    models
}

async fn titles(world: &World, filter: ModelFilter) -> Vec<String> {
    let mut tx = world.database.read(world.team).await.unwrap();
    let page = tx.models(&filter, None, 50).await.unwrap();
    page.rows.iter().map(Model::title).collect()
}

fn search(text: &str) -> ModelFilter {
    ModelFilter {
        search: text.into(),
        kind: None,
    }
}

on_both_databases! {
    async fn a_model_comes_back_as_it_went_in(world) {
        let models = shelf(&world).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.model(models[0].id).await.unwrap().as_ref(), Some(&models[0]));
        let found = tx.model_named("FJORDWERK", " twin  60").await.unwrap();
        assert_eq!(found.as_ref(), Some(&models[1]));
        assert_eq!(tx.model_named("Fjordwerk", "Twin 6").await.unwrap(), None);
        let of_maker = tx.models_of_maker("ANVIL & HOOK").await.unwrap();
        assert_eq!(of_maker.len(), 2);
        let some = tx.models_of(&[models[0].id, ModelId::new(), models[3].id]).await.unwrap();
        assert_eq!(some.len(), 2);
        assert_eq!(some[&models[3].id], models[3]);
        assert!(tx.models_of(&[]).await.unwrap().is_empty());
        drop(tx);
        let mut tx = world.database.read(world.other_team).await.unwrap();
        assert_eq!(tx.model(models[0].id).await.unwrap(), None);
        assert_eq!(tx.model_named("Fjordwerk", "Twin 60").await.unwrap(), None);
        assert!(tx.models_of_maker("Fjordwerk").await.unwrap().is_empty());
        assert!(tx.models_of(&[models[0].id]).await.unwrap().is_empty());
        assert!(tx.models(&ModelFilter::default(), None, 9).await.unwrap().rows.is_empty());
    }

    async fn models_are_listed_by_title_page_by_page(world) {
        shelf(&world).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        let (mut seen, mut after) = (Vec::new(), None);
        loop {
            let page = tx.models(&ModelFilter::default(), after.as_ref(), 1).await.unwrap();
            seen.extend(page.rows.iter().map(Model::title));
            let Some(next) = page.next else { break };
            after = Some(next.to_string().parse().unwrap());
        }
        assert_eq!(seen, ["Anvil & Hook 100% Single_", "anvil & hook Oval", "Fjordwerk Line 11", "Fjordwerk Twin 60"]);
    }

    async fn models_are_found_by_words_and_kind(world) {
        shelf(&world).await;
        assert_eq!(titles(&world, search("60 fjord")).await, ["Fjordwerk Twin 60"]);
        assert_eq!(titles(&world, search("pulley")).await, ["Anvil & Hook 100% Single_", "Fjordwerk Twin 60"]);
        let rope = ModelFilter { search: "fjord".into(), kind: Some(Kind::Rope) };
        assert_eq!(titles(&world, rope).await, ["Fjordwerk Line 11"]);
    }

    async fn signs_of_patterns_are_only_signs(world) {
        shelf(&world).await;
        assert_eq!(titles(&world, search("100%")).await, ["Anvil & Hook 100% Single_"]);
        assert_eq!(titles(&world, search("_")).await, ["Anvil & Hook 100% Single_"]);
        assert_eq!(titles(&world, search("\\")).await, Vec::<String>::new());
        assert_eq!(titles(&world, search("'; DROP TABLE model; --")).await, Vec::<String>::new());
        assert_eq!(titles(&world, search("fj\0ord")).await.len(), 2);
    }

    async fn an_older_edit_is_refused(world) {
        let models = shelf(&world).await;
        let edit = Model { revision: 2, name: "Line 12".into(), ..models[0].clone() };
        world.record(Change::ModelRevised(edit.clone())).await;
        let refused = world.record_as(&world.officer, Change::ModelRevised(edit.clone())).await.unwrap_err();
        assert!(matches!(refused, StoreError::Stale { table: "model" }), "{refused:?}");
        assert_eq!(titles(&world, search("line")).await, ["Fjordwerk Line 12"]);
        let foreign = Model { revision: 3, ..edit };
        let refused = world.record_as(&world.outsider, Change::ModelRevised(foreign)).await.unwrap_err();
        assert!(matches!(refused, StoreError::Stale { .. }), "{refused:?}");
    }

    async fn items_follow_their_model_to_another_kind(world) {
        let stock = world.stock().await;
        let edit = Model { revision: 2, kind: Kind::Swivel, ..stock.model.clone() };
        world.record(Change::ModelRevised(edit)).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        let filter = ItemFilter { kind: Some(Kind::Swivel), ..ItemFilter::default() };
        let page = tx.items(&filter, (ItemSort::Mark, ropeloft::store::Direction::Up), None, 9).await.unwrap();
        assert_eq!(page.rows.len(), 2);
    }
}
