//! The entries about what stands around items: their models, the notices, and the team's rulebooks.

use uuid::Uuid;

use super::all;
use crate::{
    domain::{
        Change, ModelId, fold,
        then::{MODEL_KINDS, RULEBOOK_KINDS},
    },
    store::{EntryFilter, Kept, StoreError, Tx},
};

/// Those that are about whatever item: which rulebook the team goes by, what its own ask, and every notice.
pub(super) async fn of_team(tx: &mut Tx) -> Result<Vec<Kept>, StoreError> {
    let own = tx.rulebooks().await?.into_iter();
    let mut about: Vec<Uuid> = own.map(|own| own.rulebook.id.0).collect();
    about.push(tx.team().0);
    let mut kept = tx.entries_about(&about, RULEBOOK_KINDS).await?;
    let notices = EntryFilter {
        kind: Some("notice-opened"),
        ..EntryFilter::default()
    };
    kept.extend(all(tx, &notices).await?);
    Ok(kept)
}

/// Those about the models that items had, as the entries `of_items` name them, and about the closing of notices for
/// these items.
pub(super) async fn of_items(
    tx: &mut Tx,
    items: &[Uuid],
    of_items: &[Kept],
) -> Result<Vec<Kept>, StoreError> {
    let models = of_items
        .iter()
        .filter_map(|kept| model_of(&kept.entry.change));
    let mut models: Vec<Uuid> = models.map(|model| model.0).collect();
    models.sort_unstable();
    models.dedup();
    let mut kept = tx.entries_about(&models, MODEL_KINDS).await?;
    kept.extend(tx.entries_about(items, &["notice-closed"]).await?);
    Ok(kept)
}

fn model_of(change: &Change) -> Option<ModelId> {
    match change {
        Change::ItemAdded(item) | Change::ItemRevised(item) => Some(item.model),
        _ => None,
    }
}

/// All of them in their order, each once.
pub(super) fn in_order(parts: impl IntoIterator<Item = Vec<Kept>>) -> Vec<Kept> {
    let mut kept: Vec<Kept> = parts.into_iter().flatten().collect();
    kept.sort_by_key(|kept| kept.entry.seq);
    kept.dedup_by_key(|kept| kept.entry.seq);
    kept
}

/// Without the notices about gear of other makers than those of the models among these entries.
pub(super) fn of_makers(mut kept: Vec<Kept>) -> Vec<Kept> {
    let makers = kept.iter().filter_map(|kept| match &kept.entry.change {
        Change::ModelAdded(model) | Change::ModelRevised(model) => Some(fold(&model.maker)),
        _ => None,
    });
    let makers: Vec<String> = makers.collect();
    kept.retain(|kept| match &kept.entry.change {
        Change::NoticeOpened(notice) => makers.contains(&fold(&notice.maker)),
        _ => true,
    });
    kept
}
