//! Signing in and out.

use sha2::{Digest, Sha256};
use time::{Duration, OffsetDateTime};

use super::{DeedError, Desk, password};
use crate::{
    domain::{
        Actor, Deed, FieldErrors, Hash, LONGEST_LINE, LONGEST_PASSWORD, Person, PersonId, TeamId,
    },
    store::{Door, SessionOf},
};

/// How long failed attempts are remembered.
const WINDOW: Duration = Duration::minutes(15);
/// How many attempts may fail in that time under one sign-in name.
const TRIES_BY_NAME: u64 = 10;
/// How many may fail in that time from one address, behind which a whole station may sit.
const TRIES_BY_ADDRESS: u64 = 50;

/// A new secret of 256 bits, in hexadecimal.
pub fn new_secret() -> String {
    hex::encode(rand::random::<[u8; 32]>())
}

/// What is kept of a secret. It is random and long, so a plain hash cannot be turned back.
pub fn hash_of(secret: &str) -> Hash {
    Sha256::digest(secret).into()
}

/// Opens a session for somebody with this browser, in plain words, and gives its secret. An attempt is counted before the password is looked at, so
/// that many at once are counted too, and forgotten if it was right.
///
/// # Errors
/// [`DeedError::Invalid`] if the name or the password is wrong, without saying which;
/// [`DeedError::TooMany`] after too many attempts.
pub async fn sign_in(
    desk: &Desk,
    sign_in: &str,
    typed: &str,
    (address, browser): (&str, &str),
    lasts: Duration,
) -> Result<String, DeedError> {
    let given = Given {
        sign_in,
        password: typed,
        address,
    };
    let (team, person) = known(desk, given).await?;
    open(desk, sign_in, (team, person.id), (browser, lasts)).await
}

/// What somebody gives to be known: their sign-in name, their password, and from where.
#[derive(Clone, Copy)]
pub struct Given<'a> {
    /// The sign-in name.
    pub sign_in: &'a str,
    /// The password.
    pub password: &'a str,
    /// The address of the device.
    pub address: &'a str,
}

/// Somebody else of the team who signs on the device of `actor`: known by their sign-in name and password, within the
/// same limits as for a sign-in. No session is opened.
///
/// # Errors
/// [`DeedError::Invalid`] if the name or the password is wrong, after too many attempts, and for somebody of another team
/// or of a role that signs nothing.
pub(super) async fn beside(
    desk: &Desk,
    actor: &Actor,
    given: Given<'_>,
) -> Result<Actor, DeedError> {
    let (team, person) = match known(desk, given).await {
        // What else was typed stays on the form.
        Err(DeedError::TooMany { words, .. }) => {
            return Err(FieldErrors::one("password", "too-many", words).into());
        }
        known => known?,
    };
    let mut door = desk.database.write_door().await?;
    door.forget_failed_sign_ins(&folded(given.sign_in)).await?;
    door.commit().await?;
    let refused =
        |code: &str, sentence: String| Err(FieldErrors::one("sign_in", code, sentence).into());
    if team != actor.team {
        let sentence = "This person is of another team. Only somebody of this team signs here.";
        return refused("team", sentence.to_owned());
    }
    if !person.role.may(Deed::ReportEvent) {
        let sentence = format!(
            "The role of {} is {}, which signs nothing. Somebody of the crew signs here.",
            person.name,
            person.role.word()
        );
        return refused("role", sentence);
    }
    Ok(Actor {
        team,
        person: person.id,
        role: person.role,
    })
}

fn folded(sign_in: &str) -> String {
    sign_in.trim().to_lowercase()
}

/// Who it is by name and password.
async fn known(desk: &Desk, given: Given<'_>) -> Result<(TeamId, Person), DeedError> {
    let Given {
        password: typed,
        address,
        ..
    } = given;
    let sign_in = folded(given.sign_in);
    let mut wrong = FieldErrors::default();
    if sign_in.is_empty() {
        wrong.add("sign_in", "required", "Write your sign-in name.");
    }
    if typed.is_empty() {
        wrong.add("password", "required", "Write your password.");
    }
    if !wrong.is_empty() {
        return Err(wrong.into());
    }
    if sign_in.chars().count() > LONGEST_LINE || typed.chars().count() > LONGEST_PASSWORD {
        return Err(not_known());
    }
    note_attempt(desk, &sign_in, address).await?;
    let (person, kept) = look_up(desk, &sign_in).await?.unzip();
    if !password::fits(typed, kept.flatten()).await? {
        return Err(not_known());
    }
    person.ok_or_else(not_known)
}

/// The sessions that one has open, the newest first.
pub async fn mine(desk: &Desk, actor: &Actor) -> Result<Vec<SessionOf>, DeedError> {
    let mut door = desk.database.door().await?;
    let now = desk.clock.now();
    Ok(door.sessions_of(actor.team, actor.person, now).await?)
}

/// Ends one of one's own sessions.
pub async fn end_one(desk: &Desk, actor: &Actor, session: &Hash) -> Result<(), DeedError> {
    let mut door = desk.database.write_door().await?;
    if !door
        .end_session_of((actor.team, actor.person), session)
        .await?
    {
        return Err(DeedError::NotFound("session"));
    }
    Ok(door.commit().await?)
}

/// Ends every session of one's own but this one; gives how many.
pub async fn end_others(desk: &Desk, actor: &Actor, here: &Hash) -> Result<u64, DeedError> {
    let mut door = desk.database.write_door().await?;
    let ended = door
        .end_other_sessions((actor.team, actor.person), here)
        .await?;
    door.commit().await?;
    Ok(ended)
}

/// Ends a session.
pub async fn sign_out(desk: &Desk, session: &Hash) -> Result<(), DeedError> {
    let mut door = desk.database.write_door().await?;
    door.end_session(session).await?;
    Ok(door.commit().await?)
}

fn not_known() -> DeedError {
    FieldErrors::one(
        "password",
        "wrong",
        "The sign-in name or the password is not right. Check both and try again.",
    )
    .into()
}

/// Refuses who has failed too often, under this name or from this address.
pub(super) async fn hold_off(
    door: &mut Door,
    sign_in: &str,
    address: &str,
    now: OffsetDateTime,
) -> Result<(), DeedError> {
    let (by_name, by_address) = door.failed_sign_ins(sign_in, address, now - WINDOW).await?;
    if by_name >= TRIES_BY_NAME || by_address >= TRIES_BY_ADDRESS {
        return Err(DeedError::TooMany {
            retry_after: WINDOW.unsigned_abs(),
            words: format!(
                "Too many attempts to get in have failed. Wait {} minutes, then try again.",
                WINDOW.whole_minutes()
            ),
        });
    }
    Ok(())
}

pub(super) async fn note_attempt(
    desk: &Desk,
    sign_in: &str,
    address: &str,
) -> Result<(), DeedError> {
    let now = desk.clock.now();
    let mut door = desk.database.write_door().await?;
    hold_off(&mut door, sign_in, address, now).await?;
    door.note_failed_sign_in(sign_in, address, now).await?;
    Ok(door.commit().await?)
}

type Who = (TeamId, PersonId);
type Found = ((TeamId, Person), Option<String>);

async fn look_up(desk: &Desk, sign_in: &str) -> Result<Option<Found>, DeedError> {
    let mut door = desk.database.door().await?;
    let Some((team, person)) = door.person_by_sign_in(sign_in).await? else {
        return Ok(None);
    };
    if !person.active {
        return Ok(None);
    }
    let kept = door.password_hash(team, person.id).await?;
    Ok(Some(((team, person), kept)))
}

async fn open(
    desk: &Desk,
    sign_in: &str,
    who: Who,
    (browser, lasts): (&str, Duration),
) -> Result<String, DeedError> {
    let secret = new_secret();
    let now = desk.clock.now();
    let mut door = desk.database.write_door().await?;
    door.forget_failed_sign_ins(&folded(sign_in)).await?;
    door.add_session(&hash_of(&secret), who, (now, now + lasts), browser)
        .await?;
    door.commit().await?;
    Ok(secret)
}
