//! Proving that an address is one's own: a letter asks, its code comes back.

use time::OffsetDateTime;

use super::{
    DeedError, Desk,
    errand::Failed,
    session::{hash_of, new_secret},
};
use crate::{
    domain::{
        Actor, AddressProof, CODE_HOLDS, Errand, ErrandId, ErrandKind, FieldErrors, NewErrand,
        PersonId,
    },
    export::proof::ProofLetter,
    outgoing::mail::{Letter, Mailer},
};

/// What an errand brings that is a letter of this kind.
pub(super) const PAYLOAD: &str = "proof";

/// What came of asking.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Asked {
    /// The address is proved already, or there is none.
    No,
    /// A letter goes there.
    Yes,
    /// No letter goes out before then.
    NotBefore(OffsetDateTime),
}

/// How far one's own address is proved.
pub async fn proof(desk: &Desk, actor: &Actor) -> Result<Option<AddressProof>, DeedError> {
    let mut tx = desk.database.read(actor.team).await?;
    Ok(tx.address_proof(actor.person).await?)
}

/// Has a letter ask at an address that is not proved. `again` where it asks there already: else it is left at that.
pub(super) async fn ask(
    desk: &Desk,
    actor: &Actor,
    address: &str,
    again: bool,
) -> Result<Asked, DeedError> {
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    let before = tx.address_proof(actor.person).await?;
    let same = before.as_ref().filter(|one| one.address == address);
    let proved = same.is_some_and(|one| one.covers(address));
    if address.is_empty() || proved || (same.is_some() && !again) {
        return Ok(Asked::No);
    }
    let proof = match AddressProof::asking(before.as_ref(), (actor.person, address), now) {
        Ok(proof) => proof,
        Err(next) => return Ok(Asked::NotBefore(next)),
    };
    tx.ask_for_proof(&proof).await?;
    tx.commit().await?;
    let errand = NewErrand {
        id: ErrandId::new(),
        team: actor.team,
        kind: ErrandKind::Mail,
        about: actor.person.0,
        once: proof.once(),
        payload: PAYLOAD.to_owned(),
        due_at: now,
    };
    let mut door = desk.database.write_door().await?;
    door.add_errand(&errand, now).await?;
    door.commit().await?;
    Ok(Asked::Yes)
}

/// Has the letter sent again to the address that one has chosen.
pub async fn ask_again(desk: &Desk, actor: &Actor) -> Result<Asked, DeedError> {
    let mut tx = desk.database.read(actor.team).await?;
    let choice = tx.digest_of(actor.person).await?;
    drop(tx);
    let address = choice.map(|one| one.address).unwrap_or_default();
    ask(desk, actor, &address, true).await
}

/// Takes the code of a letter.
///
/// # Errors
/// [`DeedError::Invalid`] under `code` if it is not that of the last letter to this person, was used, or has ended.
pub async fn confirm(desk: &Desk, actor: &Actor, code: &str) -> Result<(), DeedError> {
    let code = code.trim();
    let mut tx = desk.database.write(actor.team).await?;
    let now = desk.clock.now();
    if tx.take_proof(actor.person, &hash_of(code), now).await? {
        return Ok(tx.commit().await?);
    }
    let sentence = if code.is_empty() {
        "Write the code that stands in the letter."
    } else {
        "This code does not hold: it was used, has ended, was replaced by a later letter, or was sent to somebody else. \
         Have the letter sent again."
    };
    Err(FieldErrors::one("code", "code", sentence).into())
}

/// Writes the letter and sends it. Each attempt takes a new code with it, so that none is kept but as a hash.
pub(super) async fn send(
    desk: &Desk,
    errand: &Errand,
    mailer: &Mailer,
    house: Option<&str>,
) -> Result<String, Failed> {
    let written = write(desk, errand, house).await.map_err(|error| {
        tracing::warn!(error = %error, "A letter that asks for an address could not be written");
        Failed::now("The letter could not be written; the log of the server says why.")
    })?;
    let Some(letter) = written else {
        return Ok("This address is not asked about any more.".to_owned());
    };
    match mailer.send(&letter).await {
        Ok(()) => Ok("Sent.".to_owned()),
        Err(unsent) if unsent.for_good => Err(Failed::for_good(unsent.why)),
        Err(unsent) => Err(Failed::now(unsent.why)),
    }
}

async fn write(
    desk: &Desk,
    errand: &Errand,
    house: Option<&str>,
) -> Result<Option<Letter>, DeedError> {
    let now = desk.clock.now();
    let mut tx = desk.database.read(errand.team).await?;
    let id = PersonId(errand.about);
    let proof = tx.address_proof(id).await?;
    let proof = proof.filter(|proof| proof.once() == errand.once);
    let person = tx.person(id).await?.filter(|person| person.active);
    let (Some(proof), Some(person)) = (proof, person) else {
        return Ok(None);
    };
    let (team, _) = tx.this_team().await?.ok_or(DeedError::NotFound("team"))?;
    drop(tx);
    let (code, ends_at) = (new_secret(), now + CODE_HOLDS);
    let mut door = desk.database.write_door().await?;
    let hash = hash_of(&code);
    let of = (errand.team, id);
    if !door
        .set_proof_code(of, &proof.address, (&hash, ends_at))
        .await?
    {
        return Ok(None);
    }
    door.commit().await?;
    let written = ProofLetter {
        team: team.name,
        name: person.name.clone(),
        code,
        until: team.time_zone.words(ends_at),
        house: house.map(str::to_owned),
    };
    Ok(Some(Letter {
        id: errand.id.to_string(),
        to: proof.address,
        name: person.name,
        subject: written.subject(),
        plain: written.plain(),
        html: written.html(),
        end_at: None,
    }))
}
