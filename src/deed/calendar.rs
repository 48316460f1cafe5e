//! Calendars of what falls due, each under a private address that needs no sign-in and can be revoked.

use std::collections::BTreeMap;

use time::Duration;

use super::{
    DeedError, Desk, paper, permit,
    session::{hash_of, new_secret},
};
use crate::{
    domain::{Actor, CalendarId, Deed, ItemState, TeamId, fitness::due_on, life},
    export::calendar::{DueDay, Falls, Heading, calendar},
    store::{CalendarAddress, StoreError},
};

/// How far ahead a calendar looks, in days.
const AHEAD: i64 = 400;
/// How many addresses one person may have at once.
const MOST: usize = 10;

/// One's own calendars, the newest first.
pub async fn list(desk: &Desk, actor: &Actor) -> Result<Vec<CalendarAddress>, DeedError> {
    let mut tx = desk.database.read(actor.team).await?;
    Ok(tx.calendars_of(actor.person).await?)
}

/// Makes an address for oneself and gives its secret, which is kept nowhere.
///
/// # Errors
/// [`DeedError::Invalid`] under `calendar` if one has as many as one may.
pub async fn make(desk: &Desk, actor: &Actor) -> Result<String, DeedError> {
    let secret = new_secret();
    let mut tx = desk.database.write(actor.team).await?;
    let there = tx.calendars_of(actor.person).await?;
    let live = there.iter().filter(|one| one.revoked_at.is_none()).count();
    if live >= MOST {
        let message =
            format!("You have {live} addresses that work. Revoke one first; {MOST} are the most.");
        return Err(crate::domain::FieldErrors::one("calendar", "range", message).into());
    }
    let made = CalendarAddress {
        id: CalendarId::new(),
        person: actor.person,
        created_at: desk.clock.now(),
        revoked_at: None,
    };
    tx.add_calendar(&made, &hash_of(&secret)).await?;
    tx.commit().await?;
    Ok(secret)
}

/// Revokes one of one's own for good.
///
/// # Errors
/// [`DeedError::NotFound`] if it is not one's own, or was revoked before.
pub async fn revoke(desk: &Desk, actor: &Actor, id: CalendarId) -> Result<(), DeedError> {
    let mut tx = desk.database.write(actor.team).await?;
    let revoked = tx.revoke_calendar(actor.person, id, desk.clock.now()).await;
    revoked.map_err(|error| match error {
        StoreError::Stale { .. } => DeedError::NotFound("calendar"),
        other => other.into(),
    })?;
    Ok(tx.commit().await?)
}

/// The calendar behind a secret: the items in service that fall due or whose lives end, up to a good year ahead, and
/// those that are overdue or past their life.
///
/// # Errors
/// [`DeedError::NotFound`] if there is none, it was revoked, or its owner may no longer sign in.
pub async fn feed(desk: &Desk, secret: &str) -> Result<Vec<u8>, DeedError> {
    let mut door = desk.database.door().await?;
    let team = door.calendar_team(&hash_of(secret)).await?;
    drop(door);
    let team = team.ok_or(DeedError::NotFound("calendar"))?;
    due_days(desk, team).await
}

/// The same calendar for somebody of the team.
pub async fn of_team(desk: &Desk, actor: &Actor) -> Result<Vec<u8>, DeedError> {
    permit(actor, Deed::Export)?;
    due_days(desk, actor.team).await
}

async fn due_days(desk: &Desk, team: TeamId) -> Result<Vec<u8>, DeedError> {
    let mut tx = desk.database.read(team).await?;
    let at = desk.clock.now();
    let until = tx.day(at).await? + Duration::days(AHEAD);
    let (own, _) = tx.this_team().await?.ok_or(DeedError::NotFound("team"))?;
    let mut days: BTreeMap<_, Vec<String>> = BTreeMap::new();
    paper::each_item(&mut tx, |item, model, rulebook| {
        if item.state != ItemState::InService {
            return;
        }
        let due = due_on(item, model, rulebook).map(|(day, _)| day);
        let ends = life(item, model, rulebook).ends_on();
        for (day, falls) in [(due, Falls::Due), (ends, Falls::LifeEnds)] {
            if let Some(day) = day.filter(|day| *day <= until) {
                let marks = days.entry((day, falls)).or_default();
                marks.push(item.mark.clone());
            }
        }
    })
    .await?;
    let days: Vec<DueDay> = days
        .into_iter()
        .map(|((on, falls), marks)| DueDay { on, falls, marks })
        .collect();
    let heading = Heading {
        team: &own.name,
        id: team.0,
        at,
    };
    Ok(calendar(&heading, &days))
}
