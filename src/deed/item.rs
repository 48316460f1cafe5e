//! Items: adding one, mending its record, taking it through its states.

mod pieces;
mod revise;
mod way_back;

use time::Date;

pub(super) use revise::as_recorded;
pub use revise::{Revised, revise};
pub use way_back::unanswered;
pub(super) use way_back::waits;
use way_back::{ask_back, must_be_found_fit, not_before};

use super::{
    DeedError, Desk, cut::must_be_one, examination::record_found, hold::hold_if_covered, notice,
    permit, qualification, serial::taken, tag,
};
use crate::{
    domain::{
        Actor, Change, Deed, FieldErrors, Item, ItemDetails, ItemDraft, ItemId, ItemStep,
        ItemStepped, RetiredFor,
        date::{read_day, write_day},
    },
    store::{Tx, WriteTx},
};

/// Adds an item. One that an open notice covers goes to quarantine with the same stroke.
///
/// # Errors
/// [`DeedError::Invalid`] with every field that does not hold: the mark taken, the serial taken
/// under the same model, a model or store that is not there.
pub async fn add(
    desk: &Desk,
    actor: &Actor,
    id: ItemId,
    draft: &ItemDraft,
) -> Result<Item, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let mut tx = desk.database.write(actor.team).await?;
    if let Some(there) = tx.item(id).await? {
        return Ok(there);
    }
    let item = add_in(&mut tx, desk, actor, (id, draft)).await?;
    tx.commit().await?;
    Ok(item)
}

/// The same inside a unit of work that does more.
pub(super) async fn add_in(
    tx: &mut WriteTx,
    desk: &Desk,
    actor: &Actor,
    (id, draft): (ItemId, &ItemDraft),
) -> Result<Item, DeedError> {
    let now = desk.clock.now();
    let today = tx.day(now).await?;
    let item = checked(tx, id, draft, today).await?.into_item(id, now);
    tx.record(actor, now, Change::ItemAdded(item.clone()))
        .await?;
    hold_if_covered(tx, actor, now, &item).await?;
    tx.item(id).await?.ok_or(DeedError::NotFound("item"))
}

/// A step between states, as typed in.
#[derive(
    Clone, Debug, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize, utoipa::ToSchema,
)]
#[serde(default, deny_unknown_fields)]
pub struct StepDraft {
    /// The step's key.
    pub step: String,
    /// Why.
    pub reason: String,
    /// The day it was done; empty is today.
    pub on: String,
    /// For what it is retired: `worn`, `damaged`, `end-of-life`, `event`, `recalled`, `lost` or `other`; empty where
    /// nobody says, and for every other step.
    pub retired_for: String,
}

/// Takes an item from one state to another.
///
/// # Errors
/// [`DeedError::NotAllowed`] where the step is not open in the item's state; [`DeedError::Invalid`]
/// without a reason; [`DeedError::Forbidden`] for a crew member who asks for more than quarantine or
/// a report that it is missing.
pub async fn step(
    desk: &Desk,
    actor: &Actor,
    id: ItemId,
    draft: &StepDraft,
) -> Result<Item, DeedError> {
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    let stepped = checked_step(id, draft, tx.day(now).await?)?;
    permit(actor, deed_of(stepped.step))?;
    let item = tx.item(id).await?.ok_or(DeedError::NotFound("item"))?;
    must_be_one(&mut tx, &item).await?;
    item.in_its_time("on", &draft.on, Ok(()))?;
    item.clone().stepped(&stepped, now)?;
    if stepped.step == ItemStep::ReturnToService {
        let model = tx.model(item.model).await?;
        let model = model.ok_or(DeedError::NotFound("model"))?;
        let of = (model.kind, stepped.on);
        qualification::must_decide(&mut tx, actor, of, ("reason", "returns it to service")).await?;
        notice::must_be_closed(&mut tx, (&item, &model), "reason").await?;
        must_be_found_fit(&mut tx, &item).await?;
        not_before(&item, stepped.on, tx.day(item.state_since).await?)?;
        if waits(&mut tx, &item, actor, "").await? {
            return ask_back(tx, actor, now, (item, stepped)).await;
        }
    }
    let found = (stepped.on, stepped.reason.clone());
    tx.record(actor, now, Change::ItemStepped(stepped)).await?;
    record_found(&mut tx, (actor, now), &item, (found.0, &found.1)).await?;
    let after = tx.item(id).await?.ok_or(DeedError::NotFound("item"))?;
    tx.commit().await?;
    Ok(after)
}

/// What a step asks of a role: anybody on the crew may take a thing out of use.
pub fn deed_of(step: ItemStep) -> Deed {
    match step {
        ItemStep::Quarantine | ItemStep::ReportMissing => Deed::ReportEvent,
        ItemStep::ReturnToService => Deed::Examine,
        ItemStep::Retire => Deed::KeepRegister,
    }
}

fn checked_step(item: ItemId, draft: &StepDraft, today: Date) -> Result<ItemStepped, DeedError> {
    let mut wrong = FieldErrors::default();
    let step = ItemStep::from_key(draft.step.trim());
    if step.is_none() {
        let keys: Vec<_> = ItemStep::ALL.iter().map(|step| step.key()).collect();
        wrong.add(
            "step",
            "choice",
            format!("Choose {}, not \"{}\".", keys.join(", "), draft.step.trim()),
        );
    }
    let reason = wrong.reason("reason", &draft.reason);
    let on = if draft.on.trim().is_empty() {
        Some(today)
    } else {
        wrong.keep("on", "date", read_day(&draft.on))
    };
    if on.is_some_and(|on| on > today) {
        wrong.add(
            "on",
            "range",
            format!("This must not be after today, {}.", write_day(today)),
        );
    }
    let retired_for = retired_for(step, &draft.retired_for, &mut wrong);
    match (step, on) {
        (Some(step), Some(on)) if wrong.is_empty() => Ok(ItemStepped {
            item,
            step,
            reason,
            on,
            retired_for,
        }),
        _ => Err(wrong.into()),
    }
}

/// For what an item is retired, if somebody chose it.
fn retired_for(step: Option<ItemStep>, typed: &str, wrong: &mut FieldErrors) -> Option<RetiredFor> {
    let typed = typed.trim();
    if typed.is_empty() {
        return None;
    }
    let chosen = RetiredFor::CHOSEN.into_iter();
    let found = chosen.clone().find(|one| one.key() == typed);
    let given: String = typed.chars().take(60).collect();
    if step.is_some_and(|step| step != ItemStep::Retire) {
        let sentence = format!(
            "Only what is retired is retired for something: leave this empty, not \"{given}\"."
        );
        wrong.add("retired_for", "choice", sentence);
    } else if found.is_none() {
        let keys: Vec<_> = chosen.map(RetiredFor::key).collect();
        let sentence = format!("Choose {}, not \"{given}\".", keys.join(", "));
        wrong.add("retired_for", "choice", sentence);
    }
    found
}

/// The details that were typed, once model and store are there and mark and serial are free.
async fn checked(
    tx: &mut WriteTx,
    id: ItemId,
    draft: &ItemDraft,
    today: Date,
) -> Result<ItemDetails, DeedError> {
    let model = match draft.model.trim().parse() {
        Ok(model) => tx.model(model).await?,
        Err(_) => None,
    };
    let store = match draft.store.trim().parse() {
        Ok(store) => tx.store(store).await?.map(|store| store.id),
        Err(_) => None,
    };
    let mut wrong = FieldErrors::default();
    if let Some(sentence) = marked_otherwise(tx, draft.mark.trim(), id).await? {
        wrong.add("mark", "taken", sentence);
    }
    if let Some(sentence) = taken(tx, model.as_ref(), draft.serial.trim(), id).await? {
        wrong.add("serial", "taken", sentence);
    }
    match draft.check(model.as_ref(), store, today) {
        Ok(details) if wrong.is_empty() => Ok(details),
        Ok(_) => Err(wrong.into()),
        Err(mut fields) => {
            fields.0.extend(wrong.0);
            Err(fields.into())
        }
    }
}

/// Why a mark cannot be had: it is on another item, or stands in a code on one.
pub(super) async fn marked_otherwise(
    tx: &mut Tx,
    mark: &str,
    id: ItemId,
) -> Result<Option<String>, DeedError> {
    if let Some(other) = tx.item_marked(mark).await?.filter(|other| other.id != id) {
        let (mark, state) = (&other.mark, other.state.word());
        return Ok(Some(format!(
            "The mark {mark} is on another item ({state})."
        )));
    }
    let tagged = tag::item_tagged(tx, mark).await?;
    Ok(tagged.filter(|other| other.id != id).map(|other| {
        format!(
            "The code on a tag of {} reads {mark}: whoever scans or types it would find that one. Choose another mark.",
            other.mark
        )
    }))
}
