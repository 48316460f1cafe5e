//! Mending the record of an item, and what follows from it.

use super::{checked, pieces::to_pieces};
use crate::{
    deed::{
        DeedError, Desk, Seen,
        hold::{hold_if_covered, told_otherwise},
        model_limit::hold_if_beyond,
        permit, same_revision,
    },
    domain::{Actor, Change, Deed, FieldErrors, Item, ItemDraft, ItemId},
    store::Tx,
};

/// An item whose record was changed.
#[derive(Clone, Debug)]
pub struct Revised {
    /// The item as it is now.
    pub item: Item,
    /// What else came of it, and what did not, a sentence each.
    pub told: Vec<String>,
}

/// Replaces an item's details. State and dates of examination stay, unless it turns out to be of another kind of gear: what
/// it passed as something else does not count then. Of a rope that was cut, what its pieces inherited is corrected with it.
///
/// # Errors
/// [`DeedError::Stale`] if it was changed since it was seen; [`DeedError::Invalid`] as for adding.
pub async fn revise(
    desk: &Desk,
    actor: &Actor,
    id: ItemId,
    seen: Seen,
    draft: &ItemDraft,
) -> Result<Revised, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let mut tx = desk.database.write(actor.team).await?;
    let before = tx.item(id).await?.ok_or(DeedError::NotFound("item"))?;
    let now = desk.clock.now();
    let today = tx.day(now).await?;
    let typed = match checked(&mut tx, id, draft, today).await {
        Ok(details) => Ok(details),
        Err(DeedError::Invalid(wrong)) => Err(wrong),
        Err(other) => return Err(other),
    };
    let typed = as_recorded(&mut tx, &before, draft, typed).await?;
    let mut item = same_revision(before.revision, seen, typed)?.revise(&before);
    let mut told = Vec::new();
    told.extend(as_its_kind(&mut tx, &before, &mut item).await?);
    tx.record(actor, now, Change::ItemRevised(item.clone()))
        .await?;
    if told_otherwise(&before, &item) {
        hold_if_covered(&mut tx, actor, now, &item).await?;
    }
    if before.model != item.model {
        let item = tx.item(id).await?.ok_or(DeedError::NotFound("item"))?;
        told.extend(hold_if_beyond(&mut tx, (actor, now), &item).await?);
    }
    told.extend(to_pieces(&mut tx, (actor, now), (&before, &item)).await?);
    let item = tx.item(id).await?.ok_or(DeedError::NotFound("item"))?;
    tx.commit().await?;
    Ok(Revised { item, told })
}

/// What was typed, unless the record of the item speaks against the date made or the first use that it is given anew.
pub(in crate::deed) async fn as_recorded<T>(
    tx: &mut Tx,
    before: &Item,
    draft: &ItemDraft,
    typed: Result<T, FieldErrors>,
) -> Result<Result<T, FieldErrors>, DeedError> {
    let first = if before.made_anew(draft).is_some() {
        let zone = tx.zone().await?;
        tx.first_recorded_of(before, &zone).await?
    } else {
        None
    };
    let against = before.told_against(draft, first.as_ref());
    if against.is_empty() {
        return Ok(typed);
    }
    let mut wrong = typed.err().unwrap_or_default();
    wrong.0.extend(against.0);
    Ok(Err(wrong))
}

/// Takes from an item what it passed by the list of another kind of gear, and says so.
pub(super) async fn as_its_kind(
    tx: &mut Tx,
    before: &Item,
    item: &mut Item,
) -> Result<Option<String>, DeedError> {
    if before.model == item.model || item.last_passed_on.is_none() {
        return Ok(None);
    }
    let models = tx.models_of(&[before.model, item.model]).await?;
    let kind = |item: &Item| models.get(&item.model).map(|model| model.kind);
    let (Some(was), Some(is)) = (kind(before), kind(item)) else {
        return Ok(None);
    };
    if was == is {
        return Ok(None);
    }
    item.as_never_passed();
    Ok(Some(format!(
        "{} is {} now, and was on record as {}: what it passed was asked by another list and does not count any more. \
         Examine it as what it is; until then no job takes it.",
        item.mark,
        is.one(),
        was.one()
    )))
}
