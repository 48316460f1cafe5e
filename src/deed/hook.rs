//! Webhooks: added by an administrator, told of what changes, switched off where they fail too long.
//!
//! The ledger itself says what is to be told: each webhook knows how far it has been told of it. So no change is lost
//! that was kept, and none is told that was not.

use std::collections::HashMap;

use time::{Duration, OffsetDateTime};

use super::{DeedError, Desk, errand::Failed, permit};
use crate::{
    domain::{
        Actor, Deed, Errand, ErrandId, ErrandKind, FieldErrors, Hook, HookDraft, HookId,
        HookMessage, HookReach, NewErrand, NotAllowed, TeamId,
    },
    outgoing::{self, Target, signature},
    store::{Direction, EntryFilter, Kept, Span, StoreError},
};

/// How many webhooks a team may have.
const MOST: usize = 10;
/// How many entries of the ledger are looked at at once.
const PAGE: u32 = 200;
/// After how long without one message that arrives a webhook is switched off.
const LONG: Duration = Duration::days(3);

/// The team's webhooks, the newest first.
///
/// # Errors
/// [`DeedError::Forbidden`] to all but administrators.
pub async fn list(desk: &Desk, actor: &Actor) -> Result<Vec<Hook>, DeedError> {
    permit(actor, Deed::KeepPeople)?;
    let mut tx = desk.database.read(actor.team).await?;
    Ok(tx.hooks().await?)
}

/// Adds a webhook and gives it with its key as it is shown, this once. The key stays in the database as it is: whatever signs
/// has to have it.
///
/// # Errors
/// [`DeedError::Invalid`] with every field that does not hold.
pub async fn add(
    desk: &Desk,
    actor: &Actor,
    draft: &HookDraft,
    reach: HookReach,
) -> Result<(Hook, String), DeedError> {
    permit(actor, Deed::KeepPeople)?;
    let (address, topics) = draft.check()?;
    if let Err(sentence) = Target::read(&address, reach) {
        return Err(FieldErrors::one("address", "range", sentence).into());
    }
    let mut tx = desk.database.write(actor.team).await?;
    let there = tx.hooks().await?.len();
    if there >= MOST {
        let message =
            format!("The team has {there} webhooks. Remove one first; {MOST} are the most.");
        return Err(FieldErrors::one("address", "range", message).into());
    }
    let hook = Hook {
        id: HookId::new(),
        address,
        topics,
        person: actor.person,
        added_at: desk.clock.now(),
        seq: tx.head().await?.map_or(0, |head| head.size),
        failing_at: None,
        off_at: None,
    };
    let key: [u8; signature::KEY_BYTES] = rand::random();
    tx.add_hook(&hook, &key).await?;
    tx.commit().await?;
    Ok((hook, signature::written_key(&key)))
}

/// Removes a webhook for good.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has none of this id.
pub async fn remove(desk: &Desk, actor: &Actor, id: HookId) -> Result<(), DeedError> {
    permit(actor, Deed::KeepPeople)?;
    let mut tx = desk.database.write(actor.team).await?;
    let removed = tx.remove_hook(id, desk.clock.now()).await;
    removed.map_err(no_such)?;
    Ok(tx.commit().await?)
}

/// Switches a webhook on again.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has none of this id that is off.
pub async fn switch_on(desk: &Desk, actor: &Actor, id: HookId) -> Result<(), DeedError> {
    permit(actor, Deed::KeepPeople)?;
    let mut tx = desk.database.write(actor.team).await?;
    tx.switch_hook_on(id).await.map_err(no_such)?;
    Ok(tx.commit().await?)
}

/// Asks for a message that only tries a webhook out; it is sent like any other.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has none of this id; [`DeedError::NotAllowed`] if it is switched off.
pub async fn try_out(desk: &Desk, actor: &Actor, id: HookId) -> Result<(), DeedError> {
    permit(actor, Deed::KeepPeople)?;
    let mut tx = desk.database.read(actor.team).await?;
    let mut hooks = tx.hooks().await?.into_iter();
    drop(tx);
    let hook = hooks.find(|hook| hook.id == id);
    let hook = hook.ok_or(DeedError::NotFound("webhook"))?;
    if hook.off_at.is_some() {
        return Err(NotAllowed::HookIsOff.into());
    }
    let now = desk.clock.now();
    let errand = ErrandId::new();
    let trial = HookMessage::trial(errand, actor.team, &hook, now);
    let errand = told(
        &hook,
        (errand, actor.team),
        &trial,
        (errand.to_string(), now),
    )?;
    let mut door = desk.database.write_door().await?;
    door.add_errand(&errand, now).await?;
    Ok(door.commit().await?)
}

fn no_such(error: StoreError) -> DeedError {
    match error {
        StoreError::Stale { .. } => DeedError::NotFound("webhook"),
        other => other.into(),
    }
}

/// Asks for the messages that are still to be sent, for every team.
pub async fn prepare(desk: &Desk) -> Result<(), DeedError> {
    let teams = desk.database.door().await?.teams_with_news().await?;
    for team in teams {
        prepare_team(desk, team).await?;
    }
    Ok(())
}

async fn prepare_team(desk: &Desk, team: TeamId) -> Result<(), DeedError> {
    let mut tx = desk.database.read(team).await?;
    let hooks = tx.hooks().await?;
    let head = tx.head().await?.map_or(0, |head| head.size);
    let mut wanted: HashMap<HookId, (u64, Vec<NewErrand>)> = HashMap::new();
    for hook in hooks.iter().filter(|hook| hook.off_at.is_none()) {
        let span = Span {
            first: hook.seq + 1,
            last: head,
        };
        let all = EntryFilter::default();
        let kept = tx.entries(&all, span, Direction::Up, PAGE).await?;
        let Some(last) = kept.last().map(|kept| kept.entry.seq) else {
            continue;
        };
        let told = kept
            .iter()
            .filter(|kept| hook.is_told_of(&kept.entry.change));
        let errands = told.map(|kept| message(hook, kept, desk.clock.now()));
        let errands: Result<Vec<NewErrand>, DeedError> = errands.collect();
        wanted.insert(hook.id, (last, errands?));
    }
    drop(tx);
    for hook in hooks {
        let Some((last, errands)) = wanted.remove(&hook.id) else {
            continue;
        };
        let mut door = desk.database.write_door().await?;
        if !door.move_hook(team, hook.id, (hook.seq, last)).await? {
            continue;
        }
        for errand in &errands {
            door.add_errand(errand, desk.clock.now()).await?;
        }
        door.commit().await?;
    }
    Ok(())
}

/// What tells a webhook of an entry.
fn message(hook: &Hook, kept: &Kept, now: OffsetDateTime) -> Result<NewErrand, DeedError> {
    let id = ErrandId::new();
    let message = HookMessage::new(id, &kept.entry);
    let once = kept.entry.seq.to_string();
    told(hook, (id, kept.entry.team), &message, (once, now))
}

/// The errand of a message; `once` tells it from the others of the webhook.
fn told(
    hook: &Hook,
    (id, team): (ErrandId, TeamId),
    message: &HookMessage,
    (once, now): (String, OffsetDateTime),
) -> Result<NewErrand, DeedError> {
    let payload = serde_json::to_string(message);
    Ok(NewErrand {
        id,
        team,
        kind: ErrandKind::Hook,
        about: hook.id.0,
        once: format!("{}:{once}", hook.id),
        payload: payload.map_err(|error| DeedError::Internal(error.into()))?,
        due_at: now,
    })
}

/// Sends a message and says what came back. A webhook that has failed for long is switched off.
///
/// # Errors
/// [`Failed`] where it did not arrive.
pub async fn send(desk: &Desk, errand: &Errand, reach: HookReach) -> Result<String, Failed> {
    let id = HookId(errand.about);
    let now = desk.clock.now();
    let (hook, key) = of(desk, errand.team, id).await?;
    let sent = post(&hook, &key, errand, (reach, now)).await;
    let noted = note(desk, (errand.team, id), now, sent.is_ok()).await;
    if let Err(error) = noted {
        tracing::warn!(error = %error, "Could not note how a webhook stands");
    }
    sent
}

async fn of(desk: &Desk, team: TeamId, id: HookId) -> Result<(Hook, Vec<u8>), Failed> {
    let read = async {
        let mut tx = desk.database.read(team).await?;
        let hook = tx.hooks().await?.into_iter().find(|hook| hook.id == id);
        Ok::<_, StoreError>((hook, tx.hook_key(id).await?))
    };
    match read.await {
        Ok((Some(hook), Some(key))) if hook.off_at.is_none() => Ok((hook, key)),
        Ok((Some(_), _)) => Err(Failed::for_good("The webhook is switched off.")),
        Ok(_) => Err(Failed::for_good("The webhook was removed.")),
        Err(_) => Err(Failed::now("The database did not answer.")),
    }
}

async fn post(
    hook: &Hook,
    key: &[u8],
    errand: &Errand,
    (reach, now): (HookReach, OffsetDateTime),
) -> Result<String, Failed> {
    let target = Target::read(&hook.address, reach).map_err(Failed::now)?;
    let (id, seconds) = (errand.id.to_string(), now.unix_timestamp());
    let signed = signature::signature(key, &id, seconds, &errand.payload);
    let headers = [
        (signature::ID, id),
        (signature::TIMESTAMP, seconds.to_string()),
        (signature::SIGNATURE, signed),
    ];
    let answered = outgoing::post(&target, reach, &headers, errand.payload.clone()).await;
    let answered = answered.map_err(Failed::now)?;
    let told = match answered.beginning.trim() {
        "" => format!("It answered {}.", answered.status),
        words => format!("It answered {}: {words}", answered.status),
    };
    match answered.status {
        200..300 => Ok(told),
        // What was moved has to be written anew: nobody is led elsewhere.
        _ => Err(Failed::now(told)),
    }
}

async fn note(
    desk: &Desk,
    (team, id): (TeamId, HookId),
    now: OffsetDateTime,
    arrived: bool,
) -> Result<(), StoreError> {
    let mut door = desk.database.write_door().await?;
    if arrived {
        door.hook_reached(team, id).await?;
    } else if door.hook_missed(team, id, now, now - LONG).await? {
        tracing::warn!(hook.id = %id, "Switched off: webhook {id}");
    }
    door.commit().await
}
