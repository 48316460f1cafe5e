//! Putting an item aside: what a safety notice is open for, and what else is known against it.

use time::{Date, OffsetDateTime};

use super::{DeedError, notice};
use crate::{
    domain::{Actor, Change, Item, ItemId, ItemState, ItemStep, ItemStepped, Notice},
    store::{Tx, WriteTx},
};

/// Whether what decides if a notice covers an item is other than it was.
pub(super) fn told_otherwise(before: &Item, item: &Item) -> bool {
    before.model != item.model
        || before.lot != item.lot
        || before.maker_serial() != item.maker_serial()
        || before.made != item.made
}

/// Quarantines an item that an open notice covers, or covered until its record was corrected.
pub(super) async fn hold_if_covered(
    tx: &mut WriteTx,
    actor: &Actor,
    now: OffsetDateTime,
    item: &Item,
) -> Result<bool, DeedError> {
    let notice = holding(tx, item).await?;
    if let Some(notice) = &notice {
        let stepped = hold(notice, item.id, tx.day(now).await?);
        tx.record(actor, now, Change::ItemStepped(stepped)).await?;
    }
    Ok(notice.is_some())
}

/// The notice that holds an item in service, if one is open for it.
pub(super) async fn holding(tx: &mut Tx, item: &Item) -> Result<Option<Notice>, DeedError> {
    if item.state != ItemState::InService {
        return Ok(None);
    }
    let Some(model) = tx.model(item.model).await? else {
        return Ok(None);
    };
    let mut open = notice::open_for(tx, item, &model).await?;
    if open.is_empty() {
        open = notice::past::slipped(tx, item).await?;
    }
    Ok(open.into_iter().next())
}

/// The step that a notice asks for.
pub(super) fn hold(notice: &Notice, item: ItemId, on: Date) -> ItemStepped {
    put_aside(item, notice.hold_reason(), on)
}

/// The step into quarantine, with its reason.
pub(super) fn put_aside(item: ItemId, reason: String, on: Date) -> ItemStepped {
    ItemStepped {
        item,
        step: ItemStep::Quarantine,
        reason,
        on,
        retired_for: None,
    }
}
