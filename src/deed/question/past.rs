//! What items were on a day, as it is known now.

use std::collections::HashMap;

use time::Date;
use uuid::Uuid;

use super::walk::Today;
use crate::{
    domain::{
        Item, ItemId, ModelId,
        then::{Fold, ITEM_KINDS, ItemsThen, MODEL_KINDS, ModelVersions, Reckoning},
    },
    store::{StoreError, Tx},
};

/// How many items are read with their entries at once.
const SOME: usize = 50;

/// These items as they were on a day; those that were not the team's yet are left out.
pub(super) async fn items_on(
    tx: &mut Tx,
    today: &Today,
    on: Date,
    items: &[Item],
) -> Result<HashMap<ItemId, Item>, StoreError> {
    let (same, other): (Vec<&Item>, Vec<&Item>) =
        items.iter().partition(|item| is_as_it_was(item, today, on));
    let mut past: HashMap<ItemId, Item> = same
        .into_iter()
        .map(|item| (item.id, item.clone()))
        .collect();
    for some in other.chunks(SOME) {
        let ropes = some.iter().flat_map(|item| item.whole_ropes());
        let ropes = ropes.map(|rope| rope.item.0);
        let ids = some.iter().map(|item| item.id.0).chain(ropes);
        // With what says by which clocks the team counted its days.
        let subjects: Vec<Uuid> = ids.chain([tx.team().0]).collect();
        let mut then = ItemsThen::new(on, Reckoning::Now, today.zone.clone());
        for kept in tx.entries_about(&subjects, ITEM_KINDS).await? {
            then.apply(&kept.entry);
        }
        let found = some.iter().filter_map(|item| then.item(item.id));
        past.extend(found.map(|item| (item.id, item.clone())));
    }
    Ok(past)
}

/// These models as they were recorded, each time with the day; of several on one day the last one.
pub(super) async fn versions_of(
    tx: &mut Tx,
    today: &Today,
    models: &[ModelId],
) -> Result<HashMap<ModelId, ModelVersions>, StoreError> {
    let ids: Vec<Uuid> = models.iter().map(|model| model.0).collect();
    let mut found: HashMap<ModelId, ModelVersions> = HashMap::new();
    for kept in tx.entries_about(&ids, MODEL_KINDS).await? {
        let Some(model) = kept.entry.change.model() else {
            continue;
        };
        let from = kept.entry.recorded_on(&today.zone);
        let versions = found.entry(model.id).or_default();
        versions.retain(|(earlier, _)| *earlier < from);
        versions.push((from, model.clone()));
    }
    Ok(found)
}

/// Whether an item was in the state and had passed the examinations that it has today: all of that was recorded by then,
/// and so was done by then.
fn is_as_it_was(item: &Item, today: &Today, on: Date) -> bool {
    let was_cut = item.whole_ropes().first();
    today.zone.day(item.state_since) <= on
        && item.last_passed_on.is_none_or(|last| last <= on)
        && was_cut.is_none_or(|rope| rope.on <= on)
}
