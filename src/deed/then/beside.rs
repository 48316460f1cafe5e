//! The entries about what stands around items: their models, the notices, and the team's rulebooks.

use std::collections::BTreeSet;

use uuid::Uuid;

use super::all;
use crate::{
    domain::{
        Change, Model, ModelId, NoticeId, fold,
        then::{MODEL_KINDS, NOTICE_KINDS, RULEBOOK_KINDS},
    },
    store::{EntryFilter, Kept, StoreError, Tx},
};

/// Those that are about whatever item: which rulebook the team goes by, what its own ask, and every notice.
pub(super) async fn of_team(tx: &mut Tx) -> Result<Vec<Kept>, StoreError> {
    let mut kept = of_rulebooks(tx).await?;
    // Kind by kind: each has its place in an index, where a list of kinds walks the whole history.
    for kind in NOTICE_KINDS {
        let of_kind = EntryFilter {
            kind: Some(kind),
            ..EntryFilter::default()
        };
        kept.extend(all(tx, &of_kind).await?);
    }
    Ok(kept)
}

/// Those that say which rulebook the team goes by, and what its own ask.
pub(in crate::deed) async fn of_rulebooks(tx: &mut Tx) -> Result<Vec<Kept>, StoreError> {
    let own = tx.rulebooks().await?.into_iter();
    let mut about: Vec<Uuid> = own.map(|own| own.rulebook.id.0).collect();
    about.push(tx.team().0);
    tx.entries_about(&about, RULEBOOK_KINDS).await
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

/// Without the notices that were never about gear of a maker of the models among these entries.
pub(super) fn of_makers(mut kept: Vec<Kept>) -> Vec<Kept> {
    let makers: BTreeSet<String> = kept
        .iter()
        .filter_map(|kept| model_in(&kept.entry.change))
        .map(|model| fold(&model.maker))
        .collect();
    let told: BTreeSet<NoticeId> = kept
        .iter()
        .filter_map(|kept| kept.entry.change.notice())
        .filter(|notice| makers.contains(&fold(&notice.maker)))
        .map(|notice| notice.id)
        .collect();
    kept.retain(|kept| match &kept.entry.change {
        Change::NoticeOpened(notice) => told.contains(&notice.id),
        Change::NoticeCorrected(to) => told.contains(&to.notice.id),
        Change::NoticeWithdrawn(end) => told.contains(&end.notice),
        _ => true,
    });
    kept
}

/// The model that an entry makes or changes.
fn model_in(change: &Change) -> Option<&Model> {
    match change {
        Change::ModelAdded(model) | Change::ModelRevised(model) => Some(model),
        Change::ModelKindChanged(changed) => Some(&changed.model),
        _ => None,
    }
}
