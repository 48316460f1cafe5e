//! Witnesses: who is asked to sign checkpoints too, and what they signed.

use time::{Duration, OffsetDateTime};

use super::broken;
use crate::{
    deed::{DeedError, Desk, permit},
    domain::{
        Actor, Change, Deed, FieldErrors, Witness, WitnessDraft, WitnessEnd, WitnessId, Zone,
        signed_note::{Note, NoteError, Signed, Verifier},
    },
    store::{StoreError, Tx},
};

/// By how much a witness's clock may differ from the server's.
pub const TOLERANCE: Duration = Duration::minutes(5);

/// Asks somebody outside to sign checkpoints too. Sent twice, it is done once.
///
/// # Errors
/// [`DeedError::Invalid`] with every field that does not hold.
pub async fn name_witness(
    desk: &Desk,
    actor: &Actor,
    id: WitnessId,
    draft: &WitnessDraft,
) -> Result<Witness, DeedError> {
    permit(actor, Deed::KeepPeople)?;
    let witness = draft.check(id)?;
    let mut tx = desk.database.write(actor.team).await?;
    let there = tx.witnesses().await?;
    if let Some(there) = there.iter().find(|one| one.id == id) {
        return Ok(there.clone());
    }
    let named = there.iter().filter(|one| one.ended.is_none());
    if named.clone().any(|one| one.verifier == witness.verifier) {
        let sentence = "This key is there already.";
        return Err(FieldErrors::one("verifier", "taken", sentence).into());
    }
    let now = desk.clock.now();
    tx.record(actor, now, Change::WitnessNamed(witness.clone()))
        .await?;
    tx.commit().await?;
    Ok(witness)
}

/// Asks a witness no longer. What they signed stays.
///
/// # Errors
/// [`DeedError::NotFound`] if nobody of this id is asked; [`DeedError::Invalid`] without a reason.
pub async fn end_witness(
    desk: &Desk,
    actor: &Actor,
    id: WitnessId,
    reason: &str,
) -> Result<(), DeedError> {
    permit(actor, Deed::KeepPeople)?;
    let mut wrong = FieldErrors::default();
    let reason = wrong.reason("reason", reason);
    wrong.or(|| ())?;
    let mut tx = desk.database.write(actor.team).await?;
    let mut there = tx.witnesses().await?.into_iter();
    let there = there.find(|one| one.id == id && one.ended.is_none());
    let there = there.ok_or(DeedError::NotFound("witness"))?;
    let end = WitnessEnd {
        witness: id,
        name: there.who,
        reason,
    };
    tx.record(actor, desk.clock.now(), Change::WitnessEnded(end))
        .await?;
    Ok(tx.commit().await?)
}

/// Takes over what witnesses signed under a checkpoint: the whole note, as it was given out and came back.
///
/// # Errors
/// [`DeedError::NotFound`] if there is no checkpoint of `size` entries; [`DeedError::Invalid`] if the note is another
/// text, no witness who is asked signed it, or one did before it was made or at a moment that is still to come.
pub async fn witnessed(
    desk: &Desk,
    actor: &Actor,
    size: u64,
    note: &str,
) -> Result<Vec<Signed>, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let wrong = |error: NoteError| FieldErrors::one("note", "signature", format!("{error}."));
    let given = Note::read(note).map_err(wrong)?;
    let mut tx = desk.database.write(actor.team).await?;
    let there = tx.checkpoint(size).await?;
    let mut kept = there.ok_or(DeedError::NotFound("checkpoint"))?;
    let mut ours = Note::read(&kept.note).map_err(broken)?;
    let keys = witness_keys(&mut tx).await?;
    let there = ours.signed_by(&keys).unwrap_or_default();
    let new = given.signed_by(&keys).map_err(wrong)?.into_iter();
    let times = (kept.made_at, desk.clock.now());
    for one in new.filter(|one| !there.contains(one)) {
        in_time(&one, times)?;
    }
    let signed = ours.take(&given, &keys).map_err(wrong)?;
    kept.note = ours.whole();
    tx.keep_checkpoint(&kept).await?;
    tx.commit().await?;
    Ok(signed)
}

/// Refuses a signature of a moment at which nobody can have seen the checkpoint, of which it is said when it was made and
/// what time it is.
fn in_time(one: &Signed, (made, now): (OffsetDateTime, OffsetDateTime)) -> Result<(), FieldErrors> {
    let at = one.moment();
    let seen = made - TOLERANCE..=now + TOLERANCE;
    if at.is_some_and(|at| seen.contains(&at)) {
        return Ok(());
    }
    let words = |at| Zone::UTC.words(at);
    let sentence = format!(
        "{} says that it signed on {}. It can only have seen this checkpoint between {}, when it was made, and now, {}; \
         clocks may differ by {} minutes. Have its clock looked at and the checkpoint signed again.",
        one.name,
        at.map_or_else(|| "no day that there is".to_owned(), words),
        words(made),
        words(now),
        TOLERANCE.whole_minutes()
    );
    Err(FieldErrors::one("note", "moment", sentence))
}

pub(in crate::deed) async fn witness_keys(tx: &mut Tx) -> Result<Vec<Verifier>, StoreError> {
    let asked = tx.witnesses().await?.into_iter();
    let asked = asked.filter(|one| one.ended.is_none());
    Ok(asked.filter_map(|one| one.key()).collect())
}
