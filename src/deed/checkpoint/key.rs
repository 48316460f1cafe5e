//! The keys that sign how far a team's ledger has grown.

use super::{broken, seal};
use crate::{
    deed::{DeedError, Desk, permit},
    domain::{Actor, Change, Deed, FieldErrors, LedgerKey, NotAllowed, Role, SigningSecret},
    store::WriteTx,
};

/// Takes a key that signs from here on: the first, or the next one after it.
///
/// # Errors
/// [`NotAllowed::NoSigningSecret`] if the server has no secret; [`DeedError::Invalid`] without a reason.
pub async fn take_key(
    desk: &Desk,
    actor: &Actor,
    secret: Option<&SigningSecret>,
    reason: &str,
) -> Result<LedgerKey, DeedError> {
    permit(actor, Deed::KeepPeople)?;
    let mut wrong = FieldErrors::default();
    let reason = wrong.reason("reason", reason);
    wrong.or(|| ())?;
    let secret = secret.ok_or(NotAllowed::NoSigningSecret)?;
    let mut tx = desk.database.write(actor.team).await?;
    let key = take(&mut tx, (desk, actor), secret, reason).await?;
    tx.commit().await?;
    Ok(key)
}

/// Takes the key after the last one, and has it sign.
async fn take(
    tx: &mut WriteTx,
    (desk, actor): (&Desk, &Actor),
    secret: &SigningSecret,
    reason: String,
) -> Result<LedgerKey, DeedError> {
    let last = tx.ledger_keys().await?.into_iter().next();
    let number = last.map_or(1, |(_, key)| key.number + 1);
    let key = LedgerKey {
        number,
        verifier: secret.verifier(actor.team, number).map_err(broken)?.text(),
        reason,
    };
    let now = desk.clock.now();
    tx.record(actor, now, Change::LedgerKeyTaken(key.clone()))
        .await?;
    seal(tx, desk, secret).await?;
    Ok(key)
}

/// Takes the first key of a team that has none, where the server has a secret: what founds a team does, the server for
/// teams that were made without it, and the first checkpoint that somebody asks for.
pub async fn begin(
    desk: &Desk,
    actor: &Actor,
    secret: Option<&SigningSecret>,
) -> Result<(), DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let Some(secret) = secret else { return Ok(()) };
    let has_key = !desk
        .database
        .read(actor.team)
        .await?
        .ledger_keys()
        .await?
        .is_empty();
    if has_key {
        return Ok(());
    }
    let mut tx = desk.database.write(actor.team).await?;
    // Another server may have been first.
    if tx.ledger_keys().await?.is_empty() {
        let reason =
            "The first key of this record: the server took it by itself, nobody asked for it.";
        take(&mut tx, (desk, actor), secret, reason.to_owned()).await?;
        tx.commit().await?;
    }
    Ok(())
}

/// Takes the first key of every team that has none, in the name of its first administrator.
pub(super) async fn begin_all(desk: &Desk, secret: &SigningSecret) -> Result<(), DeedError> {
    let teams = desk.database.door().await?.teams_without_key().await?;
    for team in teams {
        let people = desk.database.read(team).await?.people().await?;
        let mut people = people.into_iter();
        let admin = people.find(|person| person.active && person.role == Role::Admin);
        let Some(admin) = admin else { continue };
        let actor = Actor {
            team,
            person: admin.id,
            role: admin.role,
        };
        begin(desk, &actor, Some(secret)).await?;
    }
    Ok(())
}
