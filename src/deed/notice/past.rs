//! What notices were about before a record was corrected, and what they are open for still.

use std::collections::{BTreeSet, HashMap};

use uuid::Uuid;

use super::with_closings;
use crate::{
    domain::{
        Change, Item, ItemId, ItemState, Model, ModelId, Notice, NoticePast, Version, fold,
        then::{MODEL_KINDS, NOTICE_KINDS},
    },
    store::{Direction, ItemFilter, ItemSort, StoreError, Tx},
};

/// The kinds of changes that say which model, lot, serial and date made an item has.
const RECORDED: &[&str] = &["item-added", "item-revised", "rope-cut"];

/// A notice as it was recorded each time, the first one first.
pub(in crate::deed) async fn versions(
    tx: &mut Tx,
    notice: &Notice,
) -> Result<Vec<Version<Notice>>, StoreError> {
    let kept = tx.entries_about(&[notice.id.0], NOTICE_KINDS).await?;
    let all = kept.iter().filter_map(|kept| {
        let notice = kept.entry.change.notice()?;
        Some((kept.entry.seq, notice.clone()))
    });
    Ok(all.collect())
}

/// What was on record of these models, each time from an entry on.
pub(in crate::deed) async fn models_then(
    tx: &mut Tx,
    models: BTreeSet<Uuid>,
) -> Result<HashMap<ModelId, Vec<Version<Model>>>, StoreError> {
    let ids: Vec<Uuid> = models.into_iter().collect();
    let mut versions: HashMap<ModelId, Vec<Version<Model>>> = HashMap::new();
    for kept in tx.entries_about(&ids, MODEL_KINDS).await? {
        if let Some(model) = kept.entry.change.model() {
            let versions = versions.entry(model.id).or_default();
            versions.push((kept.entry.seq, model.clone()));
        }
    }
    Ok(versions)
}

/// These items and their models as they were on record each time.
pub(in crate::deed) async fn of_items(
    tx: &mut Tx,
    items: &[&Item],
) -> Result<NoticePast, StoreError> {
    let ropes = items.iter().flat_map(|item| item.whole_ropes());
    let ids = items.iter().map(|item| item.id.0);
    let ids: BTreeSet<Uuid> = ids.chain(ropes.map(|rope| rope.item.0)).collect();
    let ids: Vec<Uuid> = ids.into_iter().collect();
    let mut then: HashMap<ItemId, Vec<Version<Item>>> = HashMap::new();
    for kept in tx.entries_about(&ids, RECORDED).await? {
        let seq = kept.entry.seq;
        match kept.entry.change {
            Change::ItemAdded(item) | Change::ItemRevised(item) => {
                then.entry(item.id).or_default().push((seq, item));
            }
            Change::RopeCut(cut) => {
                let rope = then.get(&cut.rope).cloned().unwrap_or_default();
                let pieces = cut.pieces.iter();
                then.extend(pieces.map(|piece| (piece.id, rope.clone())));
            }
            _ => {}
        }
    }
    let of_models = then.values().flatten();
    let of_models = of_models.map(|(_, item)| item.model.0).collect();
    Ok(NoticePast {
        models: models_then(tx, of_models).await?,
        items: then,
    })
}

/// The notices in force that were about an item until what is on record of it or its model was corrected, and that are not
/// closed for it: what was put aside by a notice is not let go by a name.
pub(in crate::deed) async fn slipped(tx: &mut Tx, item: &Item) -> Result<Vec<Notice>, StoreError> {
    let found = slipped_among(tx, &[item]).await?.into_iter();
    Ok(found.map(|(_, notice)| notice).collect())
}

/// The same for several items, each with the notice.
pub(super) async fn slipped_among(
    tx: &mut Tx,
    items: &[&Item],
) -> Result<Vec<(ItemId, Notice)>, StoreError> {
    let past = of_items(tx, items).await?;
    let makers = past.models.values().flatten();
    let makers: BTreeSet<String> = makers.map(|(_, model)| fold(&model.maker)).collect();
    let mut notices = Vec::new();
    for maker in makers {
        notices.extend(tx.notices_about(&maker).await?);
    }
    notices.retain(|notice| notice.withdrawn.is_none());
    if notices.is_empty() {
        return Ok(Vec::new());
    }
    let ids: Vec<ItemId> = items.iter().map(|item| item.id).collect();
    let closings = tx.closings_of(&ids).await?;
    let mut open = Vec::new();
    for notice in notices {
        let stood = versions(tx, &notice).await?;
        for item in &ids {
            let mut closed = closings.iter();
            let is_closed = closed.any(|one| (one.notice, one.item) == (notice.id, *item));
            if !is_closed && past.slipped(*item, &stood) {
                open.push((*item, notice.clone()));
            }
        }
    }
    Ok(open)
}

/// What is put aside and was covered by a notice in force until its record was corrected.
pub(in crate::deed) async fn slipped_from(
    tx: &mut Tx,
    notice: &Notice,
) -> Result<Vec<Item>, StoreError> {
    if notice.withdrawn.is_some() {
        return Ok(Vec::new());
    }
    let stood = versions(tx, notice).await?;
    let mut found = Vec::new();
    for state in [ItemState::Quarantined, ItemState::Missing] {
        let filter = ItemFilter {
            state: Some(state),
            ..ItemFilter::default()
        };
        let mut after = None;
        loop {
            let by_mark = (ItemSort::Mark, Direction::Up);
            let page = tx.items(&filter, by_mark, after.as_ref(), 500).await?;
            let closings = with_closings(tx, notice.id, page.rows).await?.into_iter();
            let open = closings.filter(|(_, closing)| closing.is_none());
            let open: Vec<Item> = open.map(|(item, _)| item).collect();
            let past = of_items(tx, &open.iter().collect::<Vec<_>>()).await?;
            let open = open.into_iter();
            found.extend(open.filter(|item| past.slipped(item.id, &stood)));
            after = page.next;
            if after.is_none() {
                break;
            }
        }
    }
    Ok(found)
}
