//! An item on a day.

use super::{Look, Past, all, begin, day_asked};
use crate::{
    deed::{DeedError, Desk},
    domain::{
        Actor, Change, Entry, Item, ItemId, Model, ModelId, Names,
        then::{ITEM_KINDS, ItemsThen, Reckoning, item_facts, side_by_side},
    },
    store::{EntryFilter, Kept, StoreError, Tx},
};

/// An item as it is, and as it was on a day by both clocks.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has no such item, [`DeedError::Invalid`] for a day that is none, or is to come.
pub async fn item(
    desk: &Desk,
    actor: &Actor,
    id: ItemId,
    on: &str,
) -> Result<(Item, Result<Past, DeedError>), DeedError> {
    let Look {
        mut tx,
        zone,
        today,
    } = begin(desk, actor).await?;
    let item = tx.item(id).await?.ok_or(DeedError::NotFound("item"))?;
    let on = match day_asked(on, today) {
        Ok(on) => on,
        Err(wrong) => return Ok((item, Err(wrong.into()))),
    };
    let kept = entries_of(&mut tx, &item).await?;
    let entries: Vec<Entry<Change>> = kept.iter().map(|kept| kept.entry.clone()).collect();
    let fold = |by| ItemsThen::new(on, by, zone.clone());
    let mut models: Vec<ModelId> = entries.iter().filter_map(model_of).collect();
    models.sort_unstable();
    models.dedup();
    let models = tx.models_of(&models).await?;
    let rulebook = tx.home_rulebook().await?;
    let names = names_of(&mut tx, &kept, &item).await?;
    let mut pasts = (fold(Reckoning::Then), fold(Reckoning::Now));
    let sides = side_by_side(&mut pasts, &entries, (on, &zone), |past| {
        past.item(id).map_or_else(Vec::new, |item| {
            let model: Option<&Model> = models.get(&item.model);
            item_facts(item, (model, &rulebook), &names, (on, &zone))
        })
    });
    let state = |past: &ItemsThen| past.item(id).map(|item| item.state.word());
    let states = (state(&pasts.0), state(&pasts.1));
    let past = Past::of_facts(&mut tx, (&item.mark, on), states, (&sides, &kept)).await?;
    Ok((item, Ok(past)))
}

fn model_of(entry: &Entry<Change>) -> Option<ModelId> {
    match &entry.change {
        Change::ItemAdded(item) | Change::ItemRevised(item) => Some(item.model),
        _ => None,
    }
}

/// The entries of which the item is made: its own, those of the ropes that it was part of until it was cut off, and those
/// that say by which clocks the team counts its days.
async fn entries_of(tx: &mut Tx, item: &Item) -> Result<Vec<Kept>, StoreError> {
    let mut ids: Vec<uuid::Uuid> = item.whole_ropes().iter().map(|rope| rope.item.0).collect();
    ids.push(tx.team().0);
    let mut kept = tx.entries_about(&ids, ITEM_KINDS).await?;
    let own = EntryFilter {
        subject: Some(item.id.0),
        kinds: ITEM_KINDS,
        ..EntryFilter::default()
    };
    kept.extend(all(tx, &own).await?);
    kept.sort_by_key(|kept| kept.entry.seq);
    kept.dedup_by_key(|kept| kept.entry.seq);
    Ok(kept)
}

/// The names of what the item speaks of, then and now.
async fn names_of(tx: &mut Tx, kept: &[Kept], item: &Item) -> Result<Names, StoreError> {
    let mut names = super::names(tx, kept).await?;
    let ropes = item.whole_ropes().iter().map(|rope| rope.item);
    let pieces = item
        .cut_into
        .iter()
        .flat_map(|into| into.pieces.iter().copied());
    let beside: Vec<ItemId> = ropes.chain(pieces).collect();
    let beside = tx.items_of(&beside).await?.into_values();
    names.add(beside, |item| (item.id.0, item.mark));
    let jobs: Vec<_> = kept
        .iter()
        .filter_map(|kept| match &kept.entry.change {
            Change::KitReturned(count) => Some(count.job),
            _ => None,
        })
        .collect();
    let jobs = tx.jobs_of(&jobs).await?.into_values();
    names.add(jobs, |job| (job.id.0, job.title));
    Ok(names)
}
