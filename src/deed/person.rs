//! The people of a team: who they are, what they may, their passwords.

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use super::{DeedError, Desk, password, permit, session};
use crate::{
    domain::{
        Actor, Change, Deed, FieldErrors, Hash, NotAllowed, Person, PersonDraft, PersonId,
        Preference, Role, Team, TeamId, check_password, fold,
    },
    store::{StoreError, WriteTx},
};

/// A change of a person as typed in.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct PersonRevision {
    /// The name.
    pub name: String,
    /// The role's key.
    pub role: String,
    /// `yes` if the person may sign in.
    pub active: String,
    /// The [`mark`] of the person as it was shown; empty if the newest is meant, whatever it is.
    pub seen: String,
}

/// A new password as typed in.
#[derive(Clone, Default, Deserialize)]
#[serde(default)]
pub struct NewPassword {
    /// The password that holds so far.
    pub current: String,
    /// The new one.
    pub password: String,
}

/// Everyone of the team, by name.
pub async fn list(desk: &Desk, actor: &Actor) -> Result<Vec<Person>, DeedError> {
    permit(actor, Deed::KeepPeople)?;
    Ok(desk.database.read(actor.team).await?.people().await?)
}

/// One person of the team.
pub async fn show(desk: &Desk, actor: &Actor, id: PersonId) -> Result<Person, DeedError> {
    permit(actor, Deed::KeepPeople)?;
    let mut tx = desk.database.read(actor.team).await?;
    tx.person(id).await?.ok_or(DeedError::NotFound("person"))
}

/// Adds a person with a first password.
///
/// # Errors
/// Every field that does not hold; a sign-in name that is taken on this server, by whatever team.
pub async fn add(desk: &Desk, actor: &Actor, draft: &PersonDraft) -> Result<PersonId, DeedError> {
    permit(actor, Deed::KeepPeople)?;
    let person = draft.check()?;
    let hash = password::hashed(&draft.password).await?;
    let (id, now) = (person.id, desk.clock.now());
    let mut tx = desk.database.write(actor.team).await?;
    tx.record(actor, now, Change::PersonAdded(person))
        .await
        .map_err(sign_in_taken)?;
    tx.set_password_hash(id, &hash, now).await?;
    tx.commit().await?;
    Ok(id)
}

/// Changes a person's name, role or access. Whoever may no longer sign in is signed out everywhere.
///
/// # Errors
/// Every field that does not hold; [`NotAllowed::LastAdministrator`]; [`DeedError::Stale`].
pub async fn revise(
    desk: &Desk,
    actor: &Actor,
    id: PersonId,
    draft: &PersonRevision,
) -> Result<(), DeedError> {
    permit(actor, Deed::KeepPeople)?;
    let mut wrong = FieldErrors::default();
    let name = wrong.line("name", &draft.name);
    let role = Role::from_key(draft.role.trim());
    if role.is_none() {
        wrong.add(
            "role",
            "choice",
            format!(
                "Choose officer, crew, auditor or admin, not \"{}\".",
                draft.role
            ),
        );
    }
    let Some(role) = role.filter(|_| wrong.is_empty()) else {
        return Err(wrong.into());
    };
    let mut tx = desk.database.write(actor.team).await?;
    let was = tx.person(id).await?.ok_or(DeedError::NotFound("person"))?;
    if !draft.seen.is_empty() && draft.seen != mark(&was) {
        return Err(DeedError::Stale(FieldErrors::default()));
    }
    let person = Person {
        name,
        role,
        active: draft.active == "yes",
        ..was.clone()
    };
    if person == was {
        return Ok(());
    }
    keep_an_administrator(&mut tx, &person).await?;
    let active = person.active;
    tx.record(actor, desk.clock.now(), Change::PersonRevised(person))
        .await?;
    tx.commit().await?;
    if !active {
        end_sessions(desk, actor, id).await?;
    }
    Ok(())
}

/// Refuses a change after which nobody could let people in. The transaction holds the team's lock, so
/// two who step down at once cannot both get through.
async fn keep_an_administrator(tx: &mut WriteTx, changed: &Person) -> Result<(), DeedError> {
    let is_one = |person: &Person| person.active && person.role == Role::Admin;
    let others = tx.people().await?;
    let others = others.iter().filter(|person| person.id != changed.id);
    if is_one(changed) || others.into_iter().any(is_one) {
        Ok(())
    } else {
        Err(NotAllowed::LastAdministrator.into())
    }
}

/// Sets another person's password and signs them out everywhere.
pub async fn reset_password(
    desk: &Desk,
    actor: &Actor,
    id: PersonId,
    draft: &NewPassword,
) -> Result<(), DeedError> {
    permit(actor, Deed::KeepPeople)?;
    show(desk, actor, id).await?;
    let mut wrong = FieldErrors::default();
    check_password(&mut wrong, "password", &draft.password);
    if !wrong.is_empty() {
        return Err(wrong.into());
    }
    let hash = password::hashed(&draft.password).await?;
    let who = (actor.team, id);
    let mut door = desk.database.write_door().await?;
    door.set_password_hash(who, &hash, desk.clock.now()).await?;
    door.end_sessions_of(actor.team, id).await?;
    Ok(door.commit().await?)
}

/// Changes one's own password and ends every other session of one's own. Wrong guesses count as
/// attempts to sign in.
pub async fn change_password(
    desk: &Desk,
    actor: &Actor,
    here: &Hash,
    address: &str,
    draft: &NewPassword,
) -> Result<(), DeedError> {
    let mut wrong = FieldErrors::default();
    check_password(&mut wrong, "password", &draft.password);
    if draft.current.is_empty() {
        wrong.add(
            "current",
            "required",
            "Write the password that you use now.",
        );
    }
    if !wrong.is_empty() {
        return Err(wrong.into());
    }
    let who = (actor.team, actor.person);
    let mut tx = desk.database.read(actor.team).await?;
    let person = tx.person(actor.person).await?;
    let person = person.ok_or(DeedError::NotFound("person"))?;
    drop(tx);
    session::note_attempt(desk, &person.sign_in, address).await?;
    let kept = desk
        .database
        .door()
        .await?
        .password_hash(who.0, who.1)
        .await?;
    if !password::fits(&draft.current, kept).await? {
        wrong.add(
            "current",
            "wrong",
            "This is not the password that you use now.",
        );
        return Err(wrong.into());
    }
    let hash = password::hashed(&draft.password).await?;
    let mut door = desk.database.write_door().await?;
    door.forget_failed_sign_ins(&person.sign_in).await?;
    door.set_password_hash(who, &hash, desk.clock.now()).await?;
    door.end_other_sessions(who, here).await?;
    Ok(door.commit().await?)
}

/// Keeps how one likes to see things.
pub async fn prefer(desk: &Desk, actor: &Actor, choice: Preference) -> Result<(), DeedError> {
    let mut door = desk.database.write_door().await?;
    door.set_preference((actor.team, actor.person), choice)
        .await?;
    Ok(door.commit().await?)
}

async fn end_sessions(desk: &Desk, actor: &Actor, id: PersonId) -> Result<(), DeedError> {
    let mut door = desk.database.write_door().await?;
    door.end_sessions_of(actor.team, id).await?;
    Ok(door.commit().await?)
}

/// Founds a team with its first person, from the server's console: the first one of the server, or one more.
///
/// # Errors
/// Every field of the person that does not hold, and the team's name where another team has it: commands call teams by
/// their names.
pub async fn found_from_console(
    desk: &Desk,
    team: &Team,
    draft: &PersonDraft,
) -> Result<(), DeedError> {
    let person = draft.check()?;
    let mut there = desk.database.door().await?.teams().await?.into_iter();
    if let Some(there) = there.find(|there| fold(&there.name) == fold(&team.name)) {
        let message = format!(
            "There is a team \"{}\" on this server already; give this one another name.",
            there.name
        );
        return Err(FieldErrors::one("team", "taken", message).into());
    }
    let hash = password::hashed(&draft.password).await?;
    let now = desk.clock.now();
    let founded = desk.database.found_team(team, &person, now).await;
    let mut tx = founded.map_err(sign_in_taken)?;
    tx.set_password_hash(person.id, &hash, now).await?;
    Ok(tx.commit().await?)
}

/// Adds a person from the server's console. Whoever can reach it needs no right; the entry stands
/// under the new person's own name.
pub async fn add_from_console(
    desk: &Desk,
    team: TeamId,
    draft: &PersonDraft,
) -> Result<(), DeedError> {
    let person = draft.check()?;
    let hash = password::hashed(&draft.password).await?;
    let actor = Actor {
        team,
        person: person.id,
        role: person.role,
    };
    let now = desk.clock.now();
    let mut tx = desk.database.write(team).await?;
    tx.record(&actor, now, Change::PersonAdded(person))
        .await
        .map_err(sign_in_taken)?;
    tx.set_password_hash(actor.person, &hash, now).await?;
    Ok(tx.commit().await?)
}

/// Sets a person's password from the server's console and signs them out everywhere.
pub async fn reset_from_console(desk: &Desk, sign_in: &str, typed: &str) -> Result<(), DeedError> {
    let mut wrong = FieldErrors::default();
    check_password(&mut wrong, "password", typed);
    if !wrong.is_empty() {
        return Err(wrong.into());
    }
    let sign_in = sign_in.trim().to_lowercase();
    let found = desk
        .database
        .door()
        .await?
        .person_by_sign_in(&sign_in)
        .await?;
    let (team, person) = found.ok_or(DeedError::NotFound("person"))?;
    let hash = password::hashed(typed).await?;
    let mut door = desk.database.write_door().await?;
    door.set_password_hash((team, person.id), &hash, desk.clock.now())
        .await?;
    door.end_sessions_of(team, person.id).await?;
    door.forget_failed_sign_ins(&sign_in).await?;
    Ok(door.commit().await?)
}

/// A short mark of a record as it stands, to find out whether somebody else saved meanwhile.
pub fn mark(person: &Person) -> String {
    let text = format!(
        "{}\u{0}{}\u{0}{}",
        person.name,
        person.role.key(),
        person.active
    );
    hex::encode(&Sha256::digest(text)[..8])
}

/// The field that a taken key belongs to: a person has one unique key.
pub(super) fn sign_in_taken(error: StoreError) -> DeedError {
    match error {
        StoreError::Taken => FieldErrors::one(
            "sign_in",
            "taken",
            "Somebody on this server signs in under this name already. Choose another.",
        )
        .into(),
        other => other.into(),
    }
}
