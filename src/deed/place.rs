//! Places where items live.

use super::{DeedError, Desk, Seen, permit, same_revision};
use crate::domain::{Actor, Change, Deed, FieldErrors, Store, StoreDraft, StoreId};

/// Adds a store.
///
/// # Errors
/// [`DeedError::Invalid`] with every field that does not hold, `name` among them if it is taken.
pub async fn add(
    desk: &Desk,
    actor: &Actor,
    id: StoreId,
    draft: &StoreDraft,
) -> Result<Store, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let store = draft.check(id, 1)?;
    let mut tx = desk.database.write(actor.team).await?;
    if let Some(there) = tx.store(id).await? {
        return Ok(there);
    }
    if tx.store_named(&store.name).await?.is_some() {
        return Err(taken(&store).into());
    }
    tx.record(actor, desk.clock.now(), Change::StoreAdded(store.clone()))
        .await?;
    tx.commit().await?;
    Ok(store)
}

/// Renames a store.
///
/// # Errors
/// [`DeedError::Stale`] if it was changed since it was seen; [`DeedError::Invalid`] as for adding.
pub async fn revise(
    desk: &Desk,
    actor: &Actor,
    id: StoreId,
    seen: Seen,
    draft: &StoreDraft,
) -> Result<Store, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let mut tx = desk.database.write(actor.team).await?;
    let before = tx.store(id).await?.ok_or(DeedError::NotFound("store"))?;
    let store = same_revision(before.revision, seen, draft.check(id, before.revision + 1))?;
    if tx
        .store_named(&store.name)
        .await?
        .is_some_and(|other| other.id != id)
    {
        return Err(taken(&store).into());
    }
    tx.record(actor, desk.clock.now(), Change::StoreRevised(store.clone()))
        .await?;
    tx.commit().await?;
    Ok(store)
}

fn taken(store: &Store) -> FieldErrors {
    FieldErrors::one(
        "name",
        "taken",
        format!("There is a store called \"{}\" already.", store.name),
    )
}
