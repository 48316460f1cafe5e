//! Signing for a team outside of its kept checkpoints: what is taken away is signed too.

use super::{
    DeedError, Desk,
    checkpoint::{broken, check_goes_on, signer, witness_keys},
};
use crate::{
    domain::{
        NotAllowed, SigningSecret, TeamId,
        checkpoint::{Checkpoint, origin},
        signed_note::{Note, NoteError, Verifier},
    },
    export::bundle::Handover,
    store::{Direction, EntryFilter, Span, StoreError, Tx},
};

/// Signs for a team with the key that was taken last.
pub(super) struct Signer {
    team: TeamId,
    secret: SigningSecret,
    number: u32,
}

impl Signer {
    /// Adds the team's signature.
    ///
    /// # Errors
    /// None that could come up: the name of a ledger is one of a key.
    pub(super) fn sign(&self, note: &mut Note) -> Result<(), NoteError> {
        let key = self.secret.key(self.team, self.number);
        note.sign(&origin(self.team), &key)
    }
}

/// The signed checkpoint of the ledger as it stands: the one that was made, or one that nobody keeps.
///
/// # Errors
/// [`NotAllowed::NoSigningSecret`] if this server cannot sign with the team's newest key; [`NotAllowed::NoKeyYet`] if there
/// is none; [`NotAllowed::NotTheSignedRecord`] if the ledger does not go on from its last checkpoint.
pub(super) async fn of_now(
    tx: &mut Tx,
    desk: &Desk,
    secret: Option<&SigningSecret>,
) -> Result<(Signer, Note), DeedError> {
    let team = tx.team();
    let head = tx.head().await?.ok_or(StoreError::NoTeam)?;
    let newest = tx.ledger_keys().await?.into_iter().next();
    let (_, newest) = newest.ok_or(match secret {
        Some(_) => NotAllowed::NoKeyYet,
        None => NotAllowed::NoSigningSecret,
    })?;
    let secret = signer(secret, team, &newest).ok_or(NotAllowed::NoSigningSecret)?;
    let signer = Signer {
        team,
        secret: secret.clone(),
        number: newest.number,
    };
    check_goes_on(tx, &head).await?;
    let kept = tx.checkpoint(head.size).await?;
    if let Some(kept) = kept {
        let note = Note::read(&kept.note).map_err(broken)?;
        return Ok((signer, note));
    }
    let checkpoint = Checkpoint {
        origin: origin(team),
        size: head.size,
        root: head.root,
        made_at: Some(desk.clock.now()),
    };
    let mut note = Note::of(checkpoint.to_string()).map_err(broken)?;
    signer.sign(&mut note).map_err(broken)?;
    Ok((signer, note))
}

/// The team's keys, the newest first, and those of the witnesses who are asked.
pub(super) async fn all_keys(tx: &mut Tx) -> Result<Vec<String>, StoreError> {
    let own = tx.ledger_keys().await?.into_iter();
    let own = own.map(|(_, key)| key.verifier);
    let witnesses = witness_keys(tx).await?;
    let witnesses = witnesses.iter().map(Verifier::text);
    Ok(own.chain(witnesses).collect())
}

/// How each key after the first was taken, the oldest first, in a record of `size` entries.
pub(super) async fn handovers(tx: &mut Tx, size: u64) -> Result<Vec<Handover>, StoreError> {
    let mut handovers = Vec::new();
    let keys = tx.ledger_keys().await?;
    for &(seq, _) in keys.iter().rev().skip(1) {
        let span = Span {
            first: seq,
            last: seq,
        };
        let all = EntryFilter::default();
        let entry = tx.sealed_entries(&all, span, Direction::Up, 1).await?.pop();
        let (Some(kept), Some(entry)) = (tx.checkpoint(seq).await?, entry) else {
            continue;
        };
        let inclusion = tx.prove_inclusion(seq, seq).await?;
        let consistency = tx.prove_consistency(seq, size).await?;
        handovers.push(Handover {
            checkpoint: kept.note,
            entry: entry.payload,
            inclusion: inclusion.proof.iter().map(hex::encode).collect(),
            consistency: consistency.proof.iter().map(hex::encode).collect(),
        });
    }
    Ok(handovers)
}
