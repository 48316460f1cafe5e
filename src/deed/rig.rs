//! The team's own rigs: adding one, writing its next version, withdrawing it and taking it up again.

use super::{DeedError, Desk, Seen, permit, same_revision};
use crate::{
    domain::{
        Actor, Change, Deed, FieldErrors, NotAllowed, OfferDraft, OwnRig, OwnRigDraft, RigId,
        RigOffer,
    },
    store::WriteTx,
};

/// The most rigs of a team's own, withdrawn ones counted.
pub const MOST_RIGS: usize = 200;

/// Adds a rig under an id that the form was given when it was opened, so that a form sent twice adds it once.
///
/// # Errors
/// [`DeedError::Invalid`] with every fault of the sheet, and where its key is taken.
pub async fn add(
    desk: &Desk,
    actor: &Actor,
    id: RigId,
    draft: &OwnRigDraft,
) -> Result<OwnRig, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let rig = draft.check(id, 1)?;
    let mut tx = desk.database.write(actor.team).await?;
    if let Some(there) = tx.rig(id).await? {
        return Ok(there.rig);
    }
    if let Some(other) = tx.rig_of_key(&rig.key).await? {
        let sentence = format!(
            "The key \"{}\" is that of your rig \"{}\": write another, or change that one.",
            rig.key, other.rig.title
        );
        return Err(FieldErrors::one("key", "taken", sentence).into());
    }
    if tx.rigs().await?.len() >= MOST_RIGS {
        let sentence = format!("A team keeps {MOST_RIGS} rigs at most: change one that is there.");
        return Err(FieldErrors::one("key", "long", sentence).into());
    }
    tx.record(actor, desk.clock.now(), Change::RigAdded(rig.clone()))
        .await?;
    tx.commit().await?;
    Ok(rig)
}

/// Writes the next version of a rig. Jobs that were planned with an older one keep that.
///
/// # Errors
/// [`DeedError::Stale`] if it was changed since it was seen; [`DeedError::NotAllowed`] once it is withdrawn;
/// [`DeedError::Invalid`] as for adding, and where the key is another.
pub async fn revise(
    desk: &Desk,
    actor: &Actor,
    id: RigId,
    seen: Seen,
    draft: &OwnRigDraft,
) -> Result<OwnRig, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let mut tx = desk.database.write(actor.team).await?;
    let before = kept(&mut tx, id, false).await?;
    let typed = draft.check(id, before.revision + 1);
    let rig = same_revision(before.revision, seen, typed)?;
    if rig.key != before.key {
        let sentence = format!(
            "A rig keeps its key, \"{}\": jobs name it. Add another rig for another key.",
            before.key
        );
        return Err(FieldErrors::one("key", "choice", sentence).into());
    }
    tx.record(actor, desk.clock.now(), Change::RigRevised(rig.clone()))
        .await?;
    tx.commit().await?;
    Ok(rig)
}

/// Takes a rig out of what is offered. Jobs that were planned with it keep it.
///
/// # Errors
/// [`DeedError::Invalid`] without a reason; [`DeedError::NotAllowed`] if it is withdrawn already.
pub async fn withdraw(
    desk: &Desk,
    actor: &Actor,
    id: RigId,
    draft: &OfferDraft,
) -> Result<OwnRig, DeedError> {
    set_withdrawn(desk, actor, (id, true), draft).await
}

/// Offers a rig again that was withdrawn.
///
/// # Errors
/// [`DeedError::Invalid`] without a reason; [`DeedError::NotAllowed`] if it is not withdrawn.
pub async fn take_up(
    desk: &Desk,
    actor: &Actor,
    id: RigId,
    draft: &OfferDraft,
) -> Result<OwnRig, DeedError> {
    set_withdrawn(desk, actor, (id, false), draft).await
}

/// Withdraws a rig that is offered, or offers one that is withdrawn.
async fn set_withdrawn(
    desk: &Desk,
    actor: &Actor,
    (id, withdrawn): (RigId, bool),
    draft: &OfferDraft,
) -> Result<OwnRig, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let reason = draft.check()?;
    let mut tx = desk.database.write(actor.team).await?;
    let rig = kept(&mut tx, id, !withdrawn).await?;
    let offer = RigOffer {
        rig: rig.id,
        title: rig.title.clone(),
        reason,
    };
    let change = if withdrawn {
        Change::RigWithdrawn(offer)
    } else {
        Change::RigTakenUp(offer)
    };
    tx.record(actor, desk.clock.now(), change).await?;
    tx.commit().await?;
    Ok(rig)
}

/// The newest version of a rig that is there, and is withdrawn or not, as it is to be.
async fn kept(tx: &mut WriteTx, id: RigId, withdrawn: bool) -> Result<OwnRig, DeedError> {
    let kept = tx.rig(id).await?.ok_or(DeedError::NotFound("rig"))?;
    NotAllowed::unless(kept.withdrawn, withdrawn)?;
    Ok(kept.rig)
}
