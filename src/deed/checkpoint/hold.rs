//! Checkpoints held against the record as it is: one that somebody kept, and the last that is kept here.

use crate::{
    deed::{DeedError, Desk, permit},
    domain::{
        Actor, Deed, FieldErrors, Held, LedgerKey, NotAllowed, TeamId,
        checkpoint::{Checkpoint, origin},
        own_checkpoint,
        signed_note::{Note, NoteError, Verifier},
    },
    store::{Head, KeptCheckpoint, StoreError, Tx},
};

/// Of how many entries the bytes are read at once where somebody asks.
pub const READ_AT_ONCE: u64 = 100_000;

/// Holds a checkpoint that somebody kept against the ledger as it is, and says how many entries that has. The hashes of at
/// most [`READ_AT_ONCE`] entries behind the first `from` are worked out from their bytes.
///
/// # Errors
/// [`DeedError::Invalid`] if what was given is none, or a signature of a known key does not hold.
pub async fn hold(
    desk: &Desk,
    actor: &Actor,
    note: &str,
    from: u64,
) -> Result<(Held, u64), DeedError> {
    permit(actor, Deed::Read)?;
    let wrong = |sentence: String| FieldErrors::one("note", "checkpoint", sentence);
    let note = note.replace("\r\n", "\n");
    let note = format!("{}\n", note.trim());
    let read = Note::read(&note).map_err(|error| wrong(format!("{error}.")))?;
    let kept = Checkpoint::read(read.text()).map_err(|error| wrong(format!("{error}.")))?;
    let mut tx = desk.database.read(actor.team).await?;
    let keys = tx.ledger_keys().await?;
    let signed = signed_by(&read, &keys).map_err(|error| wrong(format!("{error}.")))?;
    let root = tx.root_of(kept.size).await?;
    let head = tx.head().await?.map_or(0, |head| head.size);
    let mut held = Held::against(&kept, &origin(actor.team), root, signed);
    if let Held::GoesOn { size, read, .. } = &mut held {
        let from = from.min(*size);
        let to = size.saturating_sub(from).min(READ_AT_ONCE) + from;
        match worked_out(&mut tx, &kept, (from, to)).await? {
            Ok(()) => *read = (from, to),
            Err(what) => held = Held::Changed { size: *size, what },
        }
    }
    Ok((held, head))
}

/// Which of the team's keys signed a note, by their numbers, the first first.
///
/// # Errors
/// [`NoteError::Forged`] if one of them is named and its signature does not hold.
fn signed_by(note: &Note, keys: &[(u64, LedgerKey)]) -> Result<Vec<u32>, NoteError> {
    let mut signed = Vec::new();
    for (_, key) in keys.iter().rev() {
        let verifier = Verifier::read(&key.verifier)?;
        match note.signed_by(&[verifier]) {
            Ok(_) => signed.push(key.number),
            Err(NoteError::Unsigned) => {}
            Err(error) => return Err(error),
        }
    }
    Ok(signed)
}

/// Works the hashes of a part of the entries out from their bytes, and holds what comes out against a checkpoint.
async fn worked_out(
    tx: &mut Tx,
    kept: &Checkpoint,
    (from, to): (u64, u64),
) -> Result<Result<(), String>, StoreError> {
    let found = match tx.worked_out(from, to).await? {
        Ok(found) if found.entries < to => {
            let seq = found.entries + 1;
            return Ok(Err(format!("entry {seq} is missing, and all behind it")));
        }
        Ok(found) => found,
        Err(torn) => return Ok(Err(torn.to_string())),
    };
    let part = Head {
        size: found.entries,
        root: found.root,
    };
    let whole = Head {
        size: kept.size,
        root: kept.root,
    };
    let is_part = is_beginning(tx, &part, &whole).await?;
    let not_part = "the hashes that are kept of the tree do not lead to its root".to_owned();
    Ok(is_part.then_some(()).ok_or(not_part))
}

/// Whether one tree is the beginning of another, both of the ledger that is kept.
async fn is_beginning(tx: &mut Tx, old: &Head, new: &Head) -> Result<bool, StoreError> {
    if old.size > new.size {
        return Ok(false);
    }
    match tx.prove_consistency(old.size, new.size).await {
        Ok(proved) => Ok(proved.old.1 == old.root && proved.new.1 == new.root),
        Err(StoreError::Corrupt { .. } | StoreError::Beyond(_)) => Ok(false),
        Err(error) => Err(error),
    }
}

/// How many entries the last checkpoint that is kept is of, where the ledger does not go on from it.
pub(in crate::deed) async fn unlike(tx: &mut Tx, head: &Head) -> Result<Option<u64>, StoreError> {
    let Some(last) = tx.checkpoints(None, 1).await?.pop() else {
        return Ok(None);
    };
    let keys = tx.ledger_keys().await?;
    let signed = as_signed(tx.team(), &last, &keys);
    let goes_on = match &signed {
        Some(signed) => is_beginning(tx, signed, head).await?,
        None => false,
    };
    Ok((!goes_on).then_some(last.size))
}

/// What a kept checkpoint says, if it is one of this ledger and signed.
fn as_signed(team: TeamId, kept: &KeptCheckpoint, keys: &[(u64, LedgerKey)]) -> Option<Head> {
    let said = own_checkpoint((team, kept.size), &kept.note, keys).ok()?;
    Some(Head {
        size: said.size,
        root: said.root,
    })
}

/// Refuses to sign a ledger that does not go on from its last checkpoint.
///
/// # Errors
/// [`NotAllowed::NotTheSignedRecord`], which is also written into the log.
pub(in crate::deed) async fn check_goes_on(tx: &mut Tx, head: &Head) -> Result<(), DeedError> {
    let Some(size) = unlike(tx, head).await? else {
        return Ok(());
    };
    tracing::error!(
        team = %tx.team(),
        checkpoint = size,
        "A record is not the one of its own last checkpoint. Nothing is signed; ropeloft rebuild names what does not agree"
    );
    Err(NotAllowed::NotTheSignedRecord { size }.into())
}
