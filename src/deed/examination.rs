//! Recording what a look at an item found, and what happened to it.

use time::OffsetDateTime;

use super::{DeedError, Desk, checklist, item::waits, permit, qualification, rulebook};
use crate::{
    domain::{
        Actor, Change, Deed, Event, EventDraft, EventId, Examination, ExaminationBasis,
        ExaminationDraft, ExaminationId, FieldErrors, Item, ItemId, LONGEST_NOTE, date::write_day,
        fitness::interval_of,
    },
    store::WriteTx,
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
    let rulebook = rulebook::home(&mut tx).await?;
    let (interval_months, _) = interval_of(&held, &model, &rulebook);
    let list = checklist::newest(&mut tx, model.kind).await?;
    let (competence, (_, recorder)) = qualification::with_recorder(&mut tx, actor).await?;
    let basis = ExaminationBasis {
        item,
        recorded_by: actor.person,
        recorder,
        today: tx.day(now).await?,
        interval_months,
        list: Some(&list),
        limits: &model.limits,
        gear: model.kind,
        competence: &competence,
        return_waits: waits(&mut tx, &held, actor).await?,
    };
    let examination = draft.check(id, &basis)?;
    held.examined(&examination, now, &tx.zone().await?)?;
    tx.record(actor, now, Change::ExaminationRecorded(examination.clone()))
        .await?;
    tx.commit().await?;
    Ok(examination)
}

/// Reports what happened to an item, and does with it what the rules for events say: it is held or retired.
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
    let held = tx.item(item).await?.ok_or(DeedError::NotFound("item"))?;
    if let Some(there) = tx.event(id).await? {
        return if there.item == item {
            Ok(there)
        } else {
            Err(DeedError::NotFound("event"))
        };
    }
    let today = tx.day(now).await?;
    let model = tx.model(held.model).await?;
    let model = model.ok_or(DeedError::NotFound("model"))?;
    let event = draft
        .check(id, item, actor.person, today)?
        .following(&model);
    if let Some(into) = held.cut_into.as_ref().filter(|into| into.on < event.on) {
        let sentence = format!(
            "{} was cut on {}: report what happened later for the piece to which it happened.",
            held.mark,
            write_day(into.on)
        );
        return Err(FieldErrors::one("on", "range", sentence).into());
    }
    tx.record(actor, now, Change::EventReported(event.clone()))
        .await?;
    report_for_pieces(&mut tx, (actor, now), &held, &event).await?;
    tx.commit().await?;
    Ok(event)
}

/// What happened to a rope before it was cut, and is known only now, happened to each of its pieces.
async fn report_for_pieces(
    tx: &mut WriteTx,
    (actor, now): (&Actor, OffsetDateTime),
    rope: &Item,
    event: &Event,
) -> Result<(), DeedError> {
    let mut cut = vec![rope.clone()];
    while let Some(rope) = cut.pop() {
        let pieces = rope.cut_into.iter().flat_map(|into| into.pieces.clone());
        let pieces: Vec<ItemId> = pieces.collect();
        for piece in tx.items_of(&pieces).await?.into_values() {
            let note = format!("When it was part of {}: {}", rope.mark, event.note);
            let event = Event {
                id: EventId::new(),
                item: piece.id,
                note: note.chars().take(LONGEST_NOTE).collect(),
                ..event.clone()
            };
            tx.record(actor, now, Change::EventReported(event)).await?;
            cut.push(piece);
        }
    }
    Ok(())
}
