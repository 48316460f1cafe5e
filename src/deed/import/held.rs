//! Which items that are there already come under an open safety notice by what a list says of them.

use time::Date;

use crate::{
    deed::{DeedError, hold::holding},
    import::{ByNotice, PlannedUpdate, Rehearsal},
    store::Tx,
};

/// Tells them with those that come in.
pub(super) async fn find(
    tx: &mut Tx,
    rehearsal: &mut Rehearsal,
    today: Date,
) -> Result<(), DeedError> {
    for update in rehearsal.plan.iter().flat_map(|plan| &plan.updates) {
        let held = by_notice(tx, update, today).await?;
        rehearsal.held_there.extend(held);
    }
    Ok(())
}

async fn by_notice(
    tx: &mut Tx,
    update: &PlannedUpdate,
    today: Date,
) -> Result<Option<ByNotice>, DeedError> {
    let there = &update.item;
    let (was, draft) = (there.draft(), &update.draft);
    let is_same = (&was.lot, &was.serial, &was.made) == (&draft.lot, &draft.serial, &draft.made);
    if update.step.is_some() || is_same {
        return Ok(None);
    }
    let Some(model) = tx.model(there.model).await? else {
        return Ok(None);
    };
    // Whether its store is new does not matter to a notice.
    let details = draft.check(Some(&model), Some(there.store), today);
    let Ok(details) = details else {
        return Ok(None);
    };
    let notice = holding(tx, &details.revise(there)).await?;
    Ok(notice.map(|notice| ByNotice {
        mark: there.mark.clone(),
        notice: notice.title,
    }))
}
