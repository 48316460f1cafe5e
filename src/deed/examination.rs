//! Recording what a look at an item found, and what happened to it.

use super::{DeedError, Desk, permit, rulebook};
use crate::domain::{
    Actor, Change, Deed, Event, EventDraft, EventId, Examination, ExaminationBasis,
    ExaminationDraft, ExaminationId, ItemId, fitness::interval_months,
};

/// Records an examination; its verdict changes the item's state.
///
/// Anybody on the crew may record a pre-use or after-use look; the others need an officer.
///
/// # Errors
/// [`DeedError::Invalid`] with every field that does not hold; [`DeedError::NotAllowed`] for a
/// retired item.
pub async fn record(
    desk: &Desk,
    actor: &Actor,
    item: ItemId,
    id: ExaminationId,
    draft: &ExaminationDraft,
) -> Result<Examination, DeedError> {
    let kind = crate::domain::ExaminationKind::from_key(&draft.kind);
    permit(
        actor,
        if kind.is_some_and(|kind| !kind.is_thorough()) {
            Deed::ReportEvent
        } else {
            Deed::Examine
        },
    )?;
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    let held = tx.item(item).await?.ok_or(DeedError::NotFound("item"))?;
    if let Some(there) = tx.examination(id).await? {
        return if there.item == item {
            Ok(there)
        } else {
            Err(DeedError::NotFound("examination"))
        };
    }
    let model = tx
        .model(held.model)
        .await?
        .ok_or(DeedError::NotFound("model"))?;
    let recorder = tx
        .person(actor.person)
        .await?
        .ok_or(DeedError::NotFound("person"))?;
    let rulebook = rulebook::home(&mut tx).await?;
    let (interval_months, _) = interval_months(&model, &rulebook);
    let basis = ExaminationBasis {
        item,
        recorded_by: actor.person,
        recorder: recorder.name,
        today: tx.day(now).await?,
        interval_months,
    };
    let examination = draft.check(id, &basis)?;
    held.examined(&examination, now, &tx.zone().await?)?;
    tx.record(actor, now, Change::ExaminationRecorded(examination.clone()))
        .await?;
    tx.commit().await?;
    Ok(examination)
}

/// Reports what happened to an item; one in service goes to quarantine.
///
/// # Errors
/// [`DeedError::Invalid`] with every field that does not hold.
pub async fn report_event(
    desk: &Desk,
    actor: &Actor,
    item: ItemId,
    id: EventId,
    draft: &EventDraft,
) -> Result<Event, DeedError> {
    permit(actor, Deed::ReportEvent)?;
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    tx.item(item).await?.ok_or(DeedError::NotFound("item"))?;
    if let Some(there) = tx.event(id).await? {
        return if there.item == item {
            Ok(there)
        } else {
            Err(DeedError::NotFound("event"))
        };
    }
    let today = tx.day(now).await?;
    let event = draft.check(id, item, actor.person, today)?;
    tx.record(actor, now, Change::EventReported(event.clone()))
        .await?;
    tx.commit().await?;
    Ok(event)
}
