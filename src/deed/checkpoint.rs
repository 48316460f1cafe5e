//! Checkpoints: how far the ledger had grown, signed, so that whoever kept one can prove later that nothing before it
//! was changed.

mod hold;
mod key;
mod witness;

use time::Duration;

pub use hold::{READ_AT_ONCE, hold};
pub(super) use hold::{check_goes_on, unlike};
pub use key::{begin, take_key};
pub(super) use witness::witness_keys;
pub use witness::{end_witness, name_witness, witnessed};

use super::{DeedError, Desk, permit};
use crate::{
    domain::{
        Actor, Deed, LedgerKey, NotAllowed, Sealed, SigningSecret, TeamId, Witness,
        checkpoint::{Checkpoint, origin},
        ledger::leaf_hash,
        signed_note::{Note, NoteError, Verifier},
    },
    store::{Consistency, Inclusion, KeptCheckpoint, StoreError, Tx, WriteTx},
};

/// How long a ledger that grows goes without a checkpoint.
pub const AT_LEAST_EVERY: Duration = Duration::DAY;
/// How many checkpoints stand on a page.
pub const PAGE: u32 = 50;

/// Who signs checkpoints.
#[derive(Clone, Debug)]
pub struct Signers {
    /// The keys, the newest first, each with its entry's sequence number.
    pub keys: Vec<(u64, LedgerKey)>,
    /// Everybody who was asked to sign them too.
    pub witnesses: Vec<Witness>,
}

impl Signers {
    async fn of(tx: &mut Tx) -> Result<Self, StoreError> {
        Ok(Self {
            keys: tx.ledger_keys().await?,
            witnesses: tx.witnesses().await?,
        })
    }
}

/// What the page of checkpoints shows.
#[derive(Clone, Debug)]
pub struct Seals {
    /// How many entries the ledger has now.
    pub entries: u64,
    /// Who signs.
    pub signers: Signers,
    /// Whether this server can sign with the newest key, or could with a first one.
    pub can_sign: bool,
    /// Checkpoints, the newest first.
    pub checkpoints: Vec<KeptCheckpoint>,
    /// Whether there are older ones.
    pub more: bool,
    /// The numbers of the keys that the one before them did not sign for.
    pub alone: Vec<u32>,
    /// How many entries the last checkpoint is of, where the record does not go on from it.
    pub unlike: Option<u64>,
}

/// Checkpoints of fewer than `before` entries, or the newest; with who signs, and whether they hold together.
pub async fn list(
    desk: &Desk,
    actor: &Actor,
    secret: Option<&SigningSecret>,
    before: Option<u64>,
) -> Result<Seals, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let signers = Signers::of(&mut tx).await?;
    let mut checkpoints = tx.checkpoints(before, PAGE + 1).await?;
    let more = checkpoints.len() > PAGE as usize;
    checkpoints.truncate(PAGE as usize);
    let newest = signers.keys.first().map(|(_, key)| key);
    let head = tx.head().await?.ok_or(StoreError::NoTeam)?;
    Ok(Seals {
        unlike: unlike(&mut tx, &head).await?,
        alone: alone(&mut tx, &signers.keys).await?,
        entries: head.size,
        can_sign: newest.map_or(secret.is_some(), |key| {
            signer(secret, actor.team, key).is_some()
        }),
        signers,
        checkpoints,
        more,
    })
}

/// Checkpoints of fewer than `before` entries, or the newest, as many as stand on a page.
pub async fn page(
    desk: &Desk,
    actor: &Actor,
    before: Option<u64>,
) -> Result<Vec<KeptCheckpoint>, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    Ok(tx.checkpoints(before, PAGE).await?)
}

/// Who signs checkpoints, and who did.
pub async fn signers(desk: &Desk, actor: &Actor) -> Result<Signers, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    Ok(Signers::of(&mut tx).await?)
}

/// The keys, the newest first, each with its entry's sequence number and whether the one before it signed for it; nobody
/// is before the first.
pub async fn keys(
    desk: &Desk,
    actor: &Actor,
) -> Result<Vec<(u64, LedgerKey, Option<bool>)>, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let keys = tx.ledger_keys().await?;
    let alone = alone(&mut tx, &keys).await?;
    let vouched = |key: &LedgerKey| (key.number > 1).then(|| !alone.contains(&key.number));
    let keys = keys.into_iter().map(|(since, key)| {
        let vouched = vouched(&key);
        (since, key, vouched)
    });
    Ok(keys.collect())
}

/// The numbers of the keys that the one before them did not sign for: it signed no checkpoint with the entry that took
/// them. Nobody is before the first.
async fn alone(tx: &mut Tx, keys: &[(u64, LedgerKey)]) -> Result<Vec<u32>, StoreError> {
    let mut alone = Vec::new();
    for pair in keys.windows(2) {
        let [(since, key), (_, before)] = pair else {
            continue;
        };
        let kept = tx.checkpoint(*since).await?;
        let note = kept.and_then(|kept| Note::read(&kept.note).ok());
        let before = Verifier::read(&before.verifier).ok();
        let signed = note.zip(before);
        if signed.is_none_or(|(note, before)| note.signed_by(&[before]).is_err()) {
            alone.push(key.number);
        }
    }
    Ok(alone)
}

/// The checkpoint of exactly `size` entries, or the newest.
///
/// # Errors
/// [`DeedError::NotFound`] if there is none.
pub async fn show(
    desk: &Desk,
    actor: &Actor,
    size: Option<u64>,
) -> Result<KeptCheckpoint, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let found = match size {
        Some(size) => tx.checkpoint(size).await?,
        None => tx.checkpoints(None, 1).await?.pop(),
    };
    found.ok_or(DeedError::NotFound("checkpoint"))
}

/// The secret, if the key is one that it makes.
pub(super) fn signer<'a>(
    secret: Option<&'a SigningSecret>,
    team: TeamId,
    key: &LedgerKey,
) -> Option<&'a SigningSecret> {
    let secret = secret?;
    let verifier = secret.verifier(team, key.number).ok()?;
    (verifier.text() == key.verifier).then_some(secret)
}

/// The checkpoint of the ledger as it stands, made now if there is none yet.
///
/// # Errors
/// [`NotAllowed::NoSigningSecret`] if this server cannot sign with the team's newest key.
pub async fn make(
    desk: &Desk,
    actor: &Actor,
    secret: Option<&SigningSecret>,
) -> Result<KeptCheckpoint, DeedError> {
    begin(desk, actor, secret).await?;
    let secret = secret.ok_or(NotAllowed::NoSigningSecret)?;
    let mut tx = desk.database.write(actor.team).await?;
    let made = seal(&mut tx, desk, secret).await?;
    tx.commit().await?;
    Ok(made)
}

/// Makes the checkpoints that are due, for every team whose newest key the secret makes: at least one a day while a
/// ledger grows. A team without a key gets its first. Of a team that cannot be signed for, its ledger is not locked.
pub async fn keep_making(desk: &Desk, secret: &SigningSecret) -> Result<(), DeedError> {
    key::begin_all(desk, secret).await?;
    let before = desk.clock.now() - AT_LEAST_EVERY;
    let teams = desk.database.door().await?.teams_to_seal(before).await?;
    for team in teams {
        let keys = desk.database.read(team).await?.ledger_keys().await?;
        let newest = keys.first().map(|(_, key)| key);
        if newest.is_none_or(|key| signer(Some(secret), team, key).is_none()) {
            continue;
        }
        let mut tx = desk.database.write(team).await?;
        match seal(&mut tx, desk, secret).await {
            Ok(_) => tx.commit().await?,
            // That a record is not the signed one was told already, and the next team is not to wait for it.
            Err(DeedError::NotAllowed(why)) => tracing::debug!(%why, "No checkpoint"),
            Err(error) => return Err(error),
        }
    }
    Ok(())
}

/// Signs how far the ledger has grown, in a transaction that may have grown it. The key that was taken last signs, and
/// in the first checkpoint that it signs the one before it too.
///
/// # Errors
/// [`NotAllowed::NotTheSignedRecord`] if it does not go on from the last checkpoint.
async fn seal(
    tx: &mut WriteTx,
    desk: &Desk,
    secret: &SigningSecret,
) -> Result<KeptCheckpoint, DeedError> {
    let team = tx.team();
    let head = tx.grown();
    check_goes_on(tx, &head).await?;
    if let Some(there) = tx.checkpoint(head.size).await? {
        return Ok(there);
    }
    let keys = tx.ledger_keys().await?;
    let (since, newest) = keys.first().ok_or(NotAllowed::NoSigningSecret)?;
    signer(Some(secret), team, newest).ok_or(NotAllowed::NoSigningSecret)?;
    let made_at = desk.clock.now();
    let checkpoint = Checkpoint {
        origin: origin(team),
        size: head.size,
        root: head.root,
        made_at: Some(made_at),
    };
    let mut note = Note::of(checkpoint.to_string()).map_err(broken)?;
    let sign = |note: &mut Note, key: &LedgerKey| {
        note.sign(&origin(team), &secret.key(team, key.number))
            .map_err(broken)
    };
    sign(&mut note, newest)?;
    let last = tx.checkpoints(None, 1).await?.pop();
    if let Some((_, before)) = keys.get(1)
        && last.is_none_or(|last| last.size < *since)
        && signer(Some(secret), team, before).is_some()
    {
        sign(&mut note, before)?;
    }
    let kept = KeptCheckpoint {
        size: head.size,
        made_at,
        note: note.whole(),
    };
    tx.keep_checkpoint(&kept).await?;
    Ok(kept)
}

pub(super) fn broken(error: NoteError) -> DeedError {
    DeedError::Internal(error.into())
}

/// Proves that an entry is in the ledger as it was with `size` entries, or as it is now.
///
/// # Errors
/// [`StoreError::Beyond`] if it has no such entry, or never had so many; [`NotAllowed::NotOfItsHashes`] if it was changed
/// behind them.
pub async fn inclusion(
    desk: &Desk,
    actor: &Actor,
    seq: u64,
    size: Option<u64>,
) -> Result<Inclusion, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let size = given(&mut tx, size).await?;
    let proof = proved(tx.prove_inclusion(seq, size).await)?;
    let entry = tx.entries_after(seq - 1, 1).await?.pop();
    let is_whole =
        |entry: &Sealed| entry.seq == seq && leaf_hash(entry.payload.as_bytes()) == entry.leaf;
    if !entry.as_ref().is_some_and(is_whole) {
        return Err(NotAllowed::NotOfItsHashes.into());
    }
    Ok(proof)
}

/// Proves that the ledger of `old` entries is the beginning of that of `new`, or of the one now.
///
/// # Errors
/// [`StoreError::Beyond`] if it never had so many, or the older one is the larger; [`NotAllowed::NotOfItsHashes`] if it was
/// changed behind them.
pub async fn consistency(
    desk: &Desk,
    actor: &Actor,
    old: u64,
    new: Option<u64>,
) -> Result<Consistency, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let new = given(&mut tx, new).await?;
    proved(tx.prove_consistency(old, new).await)
}

/// A proof that was held against the root that is kept, or that the record is not of its own hashes.
fn proved<T>(found: Result<T, StoreError>) -> Result<T, DeedError> {
    found.map_err(|error| match error {
        StoreError::Corrupt { .. } => {
            tracing::error!(
                error = &error as &dyn std::error::Error,
                "A ledger is not of its own hashes"
            );
            NotAllowed::NotOfItsHashes.into()
        }
        other => other.into(),
    })
}

async fn given(tx: &mut Tx, size: Option<u64>) -> Result<u64, StoreError> {
    match size {
        Some(size) => Ok(size),
        None => Ok(tx.head().await?.map_or(0, |head| head.size)),
    }
}
