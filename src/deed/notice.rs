//! Safety notices: opening one holds everything it covers; it is closed item by item.

use super::{DeedError, Desk, item::hold, permit};
use crate::{
    domain::{
        Actor, Change, Deed, FieldErrors, Item, ItemId, ItemState, ModelId, NotAllowed, Notice,
        NoticeClosing, NoticeDraft, NoticeId,
    },
    store::{Direction, ItemFilter, ItemSort, Tx},
};

/// Opens a notice. Every item in service that it covers goes to quarantine in the same transaction.
///
/// # Errors
/// [`DeedError::Invalid`] with every field that does not hold.
pub async fn open(
    desk: &Desk,
    actor: &Actor,
    id: NoticeId,
    draft: &NoticeDraft,
) -> Result<Notice, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    let today = tx.day(now).await?;
    let notice = draft.check(id, today)?;
    if let Some(there) = tx.notice(id).await? {
        return Ok(there);
    }
    tx.record(actor, now, Change::NoticeOpened(notice.clone()))
        .await?;
    for model in tx.models_of_maker(&notice.maker).await? {
        for item in items_of_model(&mut tx, model.id).await? {
            if item.state == ItemState::InService && notice.covers(&item, &model) {
                let stepped = hold(&notice, item.id, today);
                tx.record(actor, now, Change::ItemStepped(stepped)).await?;
            }
        }
    }
    tx.commit().await?;
    Ok(notice)
}

/// Closes a notice for one item. The item stays in quarantine until somebody returns it.
///
/// # Errors
/// [`DeedError::NotAllowed`] where the notice does not cover the item or is closed for it.
pub async fn close(
    desk: &Desk,
    actor: &Actor,
    notice: NoticeId,
    item: ItemId,
    result: &str,
) -> Result<NoticeClosing, DeedError> {
    permit(actor, Deed::Examine)?;
    let mut wrong = FieldErrors::default();
    let result = wrong.reason("result", result);
    let closing = wrong.or(|| NoticeClosing {
        notice,
        item,
        result,
    })?;
    let mut tx = desk.database.write(actor.team).await?;
    let held = tx.item(item).await?.ok_or(DeedError::NotFound("item"))?;
    let open = tx
        .notice(notice)
        .await?
        .ok_or(DeedError::NotFound("notice"))?;
    let model = tx
        .model(held.model)
        .await?
        .ok_or(DeedError::NotFound("model"))?;
    if !open.covers(&held, &model) {
        return Err(NotAllowed::NoticeDoesNotCover.into());
    }
    if tx
        .closings_of(&[item])
        .await?
        .iter()
        .any(|closed| closed.notice == notice)
    {
        return Err(NotAllowed::NoticeClosed.into());
    }
    tx.record(
        actor,
        desk.clock.now(),
        Change::NoticeClosed(closing.clone()),
    )
    .await?;
    tx.commit().await?;
    Ok(closing)
}

/// The items that a notice covers, each with its closing if it is closed.
///
/// # Errors
/// [`DeedError::NotFound`] if there is no such notice.
pub async fn covered(
    desk: &Desk,
    actor: &Actor,
    id: NoticeId,
) -> Result<(Notice, Vec<(Item, Option<NoticeClosing>)>), DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let notice = tx.notice(id).await?.ok_or(DeedError::NotFound("notice"))?;
    let mut items = Vec::new();
    for model in tx.models_of_maker(&notice.maker).await? {
        let of_model = items_of_model(&mut tx, model.id).await?;
        items.extend(
            of_model
                .into_iter()
                .filter(|item| notice.covers(item, &model)),
        );
    }
    let ids: Vec<ItemId> = items.iter().map(|item| item.id).collect();
    let closings = tx.closings_of(&ids).await?;
    let closing_of = |item: &Item| {
        closings
            .iter()
            .find(|closing| closing.item == item.id && closing.notice == id)
            .cloned()
    };
    let mut covered: Vec<_> = items
        .into_iter()
        .map(|item| (closing_of(&item), item))
        .map(|(closing, item)| (item, closing))
        .collect();
    covered.sort_by(|(a, _), (b, _)| a.mark.cmp(&b.mark));
    Ok((notice, covered))
}

/// Every item of a model, in whatever state.
async fn items_of_model(tx: &mut Tx, model: ModelId) -> Result<Vec<Item>, DeedError> {
    let filter = ItemFilter {
        model: Some(model),
        ..ItemFilter::default()
    };
    let (mut items, mut after) = (Vec::new(), None);
    loop {
        let page = tx
            .items(
                &filter,
                (ItemSort::Mark, Direction::Up),
                after.as_ref(),
                500,
            )
            .await?;
        items.extend(page.rows);
        after = page.next;
        if after.is_none() {
            return Ok(items);
        }
    }
}
