//! What stands on the record of an item before it is looked at.

use super::{DeedError, checklist, notice};
use crate::{
    domain::{Examination, Item, Model, SinceLook},
    store::Tx,
};

/// How many of an item's last events are looked at.
const MOST: u32 = 200;

/// What stands on the record of an item, whose examinations are `past`, the last done first.
pub async fn of(
    tx: &mut Tx,
    (item, model): (&Item, &Model),
    past: &[Examination],
) -> Result<SinceLook, DeedError> {
    let events = tx.events_in_line(item, MOST).await?;
    let notices = notice::open_for(tx, item, model).await?;
    Ok(SinceLook::new(events, past, item.event_hold, notices))
}

/// The same, with its last examinations read for it.
pub(super) async fn of_item(
    tx: &mut Tx,
    item: &Item,
    model: &Model,
) -> Result<SinceLook, DeedError> {
    let past = tx
        .examinations_in_line(item, checklist::LOOKED_BACK)
        .await?;
    of(tx, (item, model), &past).await
}
