//! Logging use: hours, uses, falls and loads of an item.

use time::OffsetDateTime;

use super::{DeedError, Desk, cut, examination::record_event, permit};
use crate::{
    domain::{
        Actor, Change, Deed, Event, EventId, EventKind, FieldErrors, Item, ItemId, Job, JobId,
        LONGEST_NOTE, PersonId, Usage, UsageDraft, UsageId,
    },
    store::{Tx, WriteTx},
};

/// Logs use of an item. A fall is an event too, and does with the item what the rules for events say.
///
/// # Errors
/// [`DeedError::Invalid`] with every field that does not hold, a person or a job that is not there among them.
pub async fn log(
    desk: &Desk,
    actor: &Actor,
    item: ItemId,
    id: UsageId,
    draft: &UsageDraft,
) -> Result<Usage, DeedError> {
    permit(actor, Deed::ReportEvent)?;
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    let held = tx.item(item).await?.ok_or(DeedError::NotFound("item"))?;
    if let Some(there) = tx.usage(id).await? {
        return if there.item == item {
            Ok(there)
        } else {
            Err(DeedError::NotFound("entry of the log of use"))
        };
    }
    let model = tx.model(held.model).await?;
    let model = model.ok_or(DeedError::NotFound("model"))?;
    let mut wrong = FieldErrors::default();
    let by = person(&mut tx, actor, &draft.by, &mut wrong).await?;
    let job = job(&mut tx, &draft.job, &mut wrong).await?;
    let typed = draft.check(id, item, (by, job.as_ref()), tx.day(now).await?);
    let typed = held.in_its_time("on", &draft.on, typed);
    let typed = held.in_its_time("since", &draft.since, typed);
    let mut usage = whole(typed, wrong)?;
    super::examination::must_be_whole(&held, usage.on)?;
    let event = (usage.amount.falls > 0).then(|| fall(actor, &usage).following(&model));
    usage.event = event.as_ref().map(|event| event.id);
    record_use(&mut tx, (actor, now), &held, &usage).await?;
    if let Some(event) = event {
        record_event(&mut tx, (actor, now), &held, &event).await?;
    }
    tx.commit().await?;
    Ok(usage)
}

/// Logs the same use of every item on a job, and gives how many they are. Falls are logged item by item.
///
/// # Errors
/// [`DeedError::Invalid`] with every field that does not hold, and where nothing is on the job.
pub async fn log_of_job(
    desk: &Desk,
    actor: &Actor,
    job: JobId,
    id: UsageId,
    draft: &UsageDraft,
) -> Result<usize, DeedError> {
    permit(actor, Deed::ReportEvent)?;
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    let planned = tx.job(job).await?.ok_or(DeedError::NotFound("job"))?;
    let kit = tx.kit(job).await?;
    if tx.usage(id).await?.is_some() {
        return Ok(kit.len());
    }
    let mut wrong = FieldErrors::default();
    let by = person(&mut tx, actor, &draft.by, &mut wrong).await?;
    if !draft.falls.trim().is_empty() {
        let words = "A fall is not logged for a whole kit: report it on the item that held it.";
        wrong.add("falls", "choice", words);
    }
    let Some(first) = kit.first() else {
        let words = "Nothing is on this job, so there is no use to log.";
        return Err(FieldErrors::one("hours", "required", words).into());
    };
    let today = tx.day(now).await?;
    let usage = whole(
        draft.check(id, first.item, (by, Some(&planned)), today),
        wrong,
    )?;
    for (at, line) in kit.iter().enumerate() {
        let item = tx
            .item(line.item)
            .await?
            .ok_or(DeedError::NotFound("item"))?;
        item.in_its_time("on", &draft.on, Ok(()))?;
        item.in_its_time("since", &draft.since, Ok(()))?;
        // The first has the form's own id: a form that is sent twice is found by it.
        let id = if at == 0 { id } else { UsageId::new() };
        let usage = Usage {
            id,
            item: item.id,
            ..usage.clone()
        };
        record_use(&mut tx, (actor, now), &item, &usage).await?;
    }
    tx.commit().await?;
    Ok(kit.len())
}

/// What was typed, if nothing else is wrong; else all that is.
pub(super) fn whole<T>(
    typed: Result<T, FieldErrors>,
    wrong: FieldErrors,
) -> Result<T, FieldErrors> {
    match typed {
        Ok(typed) => wrong.or(|| typed),
        Err(mut fields) => {
            fields.0.extend(wrong.0);
            Err(fields)
        }
    }
}

/// Records use. Use of a rope before it was cut, told only now, is use of each piece.
pub(super) async fn record_use(
    tx: &mut WriteTx,
    (actor, now): (&Actor, OffsetDateTime),
    item: &Item,
    usage: &Usage,
) -> Result<(), DeedError> {
    tx.record(actor, now, Change::UsageLogged(usage.clone()))
        .await?;
    for (piece, mark) in cut::all_pieces(tx, item).await? {
        let usage = Usage {
            id: UsageId::new(),
            item: piece.id,
            note: cut::as_part_of(&mark, &usage.note),
            ..usage.clone()
        };
        tx.record(actor, now, Change::UsageLogged(usage)).await?;
    }
    Ok(())
}

/// The event that a fall in the log is.
fn fall(actor: &Actor, usage: &Usage) -> Event {
    let note = match usage.note.as_str() {
        "" => format!("From the log of use: {}", usage.amount.words()),
        note => format!("From the log of use: {}. {note}", usage.amount.words()),
    };
    Event {
        id: EventId::new(),
        item: usage.item,
        kind: EventKind::FallHeld,
        on: usage.on,
        reported_by: actor.person,
        note: note.chars().take(LONGEST_NOTE).collect(),
        follows: None,
    }
}

async fn person(
    tx: &mut Tx,
    actor: &Actor,
    typed: &str,
    wrong: &mut FieldErrors,
) -> Result<PersonId, DeedError> {
    if typed.trim().is_empty() {
        return Ok(actor.person);
    }
    let found = match typed.trim().parse::<PersonId>() {
        Ok(id) => tx.person(id).await?,
        Err(_) => None,
    };
    if found.is_none() {
        wrong.add("by", "choice", "Choose a person from the list.");
    }
    Ok(found.map_or(actor.person, |person| person.id))
}

async fn job(tx: &mut Tx, typed: &str, wrong: &mut FieldErrors) -> Result<Option<Job>, DeedError> {
    if typed.trim().is_empty() {
        return Ok(None);
    }
    let found = match typed.trim().parse::<JobId>() {
        Ok(id) => tx.job(id).await?,
        Err(_) => None,
    };
    if found.is_none() {
        wrong.add("job", "choice", "Choose a job from the list, or none.");
    }
    Ok(found)
}
