//! Pinned plans: what complete sets are counted for without a job.

use super::{Chosen, DeedError, Desk, permit};
use crate::domain::{
    Actor, Change, Deed, FieldErrors, MOST_PINS, Pin, PinId, PinRemoved, ready::ReadinessDraft,
};

/// Every plan that is pinned, the first one pinned first.
///
/// # Errors
/// The store's.
pub async fn list(desk: &Desk, actor: &Actor) -> Result<Vec<Pin>, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    Ok(tx.pins().await?)
}

/// Pins a plan. Sent twice under one id it is pinned once.
///
/// # Errors
/// [`DeedError::Invalid`] with every field of the plan that does not hold; under `rig` if the same plan is pinned
/// already, or as many are as may be.
pub async fn pin(
    desk: &Desk,
    actor: &Actor,
    id: PinId,
    draft: &ReadinessDraft,
) -> Result<Pin, DeedError> {
    permit(actor, Deed::PlanJob)?;
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    let there = tx.pins().await?;
    if let Some(pin) = there.iter().find(|pin| pin.id == id) {
        return Ok(pin.clone());
    }
    let zone = tx.zone().await?;
    let mut plan = draft.check(zone.day(now), &zone)?;
    Chosen::settle(&mut tx, &mut plan, None).await?;
    let pin = Pin::of(id, &plan);
    if there.iter().any(|other| other.is_same_plan(&pin)) {
        let sentence = "This plan is pinned already.";
        return Err(FieldErrors::one("rig", "taken", sentence).into());
    }
    if there.len() >= MOST_PINS {
        let sentence = format!(
            "At most {MOST_PINS} plans are pinned at once, and {} are: take one down first.",
            there.len()
        );
        return Err(FieldErrors::one("rig", "range", sentence).into());
    }
    tx.record(actor, now, Change::PlanPinned(pin.clone()))
        .await?;
    tx.commit().await?;
    Ok(pin)
}

/// Pins a plan no longer.
///
/// # Errors
/// [`DeedError::NotFound`] if no plan of this id is pinned.
pub async fn unpin(desk: &Desk, actor: &Actor, id: PinId) -> Result<(), DeedError> {
    permit(actor, Deed::PlanJob)?;
    let mut tx = desk.database.write(actor.team).await?;
    let pin = tx
        .pin(id)
        .await?
        .ok_or(DeedError::NotFound("pinned plan"))?;
    let removed = Change::PlanUnpinned(PinRemoved { pin });
    tx.record(actor, desk.clock.now(), removed).await?;
    Ok(tx.commit().await?)
}
