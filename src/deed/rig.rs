//! The team's own rigs: adding one, writing its next version, withdrawing it.

use super::{DeedError, Desk, permit, same_revision};
use crate::{
    domain::{
        Actor, Change, Deed, FieldErrors, NotAllowed, OwnRig, OwnRigDraft, RigId, RigWithdrawal,
        RigWithdrawn,
    },
    store::{KeptRig, WriteTx},
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
/// [`DeedError::Stale`] if it was changed since `revision`; [`DeedError::NotAllowed`] once it is withdrawn;
/// [`DeedError::Invalid`] as for adding, and where the key is another.
pub async fn revise(
    desk: &Desk,
    actor: &Actor,
    id: RigId,
    revision: u32,
    draft: &OwnRigDraft,
) -> Result<OwnRig, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let typed = draft.check(id, revision.saturating_add(1));
    let mut tx = desk.database.write(actor.team).await?;
    let before = offered(&mut tx, id).await?.rig;
    let rig = same_revision(before.revision, revision, typed)?;
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
    draft: &RigWithdrawal,
) -> Result<OwnRig, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let mut wrong = FieldErrors::default();
    let reason = wrong.reason("reason", &draft.reason);
    wrong.or(|| ())?;
    let mut tx = desk.database.write(actor.team).await?;
    let rig = offered(&mut tx, id).await?.rig;
    let withdrawn = RigWithdrawn {
        rig: id,
        title: rig.title.clone(),
        reason,
    };
    tx.record(actor, desk.clock.now(), Change::RigWithdrawn(withdrawn))
        .await?;
    tx.commit().await?;
    Ok(rig)
}

/// A rig that is there and was not withdrawn.
async fn offered(tx: &mut WriteTx, id: RigId) -> Result<KeptRig, DeedError> {
    let kept = tx.rig(id).await?.ok_or(DeedError::NotFound("rig"))?;
    if kept.withdrawn {
        return Err(NotAllowed::RigWithdrawn.into());
    }
    Ok(kept)
}
