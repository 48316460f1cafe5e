//! How an outside auditor gets in: by the address of a link, on its days, for a sitting of some hours.

use time::{Duration, OffsetDateTime};

use super::super::{
    DeedError, Desk,
    session::{hash_of, hold_off, new_secret, note_attempt},
};
use crate::{
    domain::{GuestStanding, Hash, date::write_day},
    store::GuestAtDoor,
};

/// How long a sitting lasts at most; the address opens another.
const SITTING: Duration = Duration::hours(12);

/// The link behind an address, however it stands. An address that leads nowhere counts as an attempt to sign in that has
/// failed, and whoever has failed too often is not answered for a while.
///
/// # Errors
/// [`DeedError::NotFound`] if no link has it, [`DeedError::TooMany`] after too many such.
pub async fn knock(desk: &Desk, secret: &str, address: &str) -> Result<GuestAtDoor, DeedError> {
    // No sign-in name has a blank in it, so these attempts keep nobody of the team out by name.
    let name = format!("link from {address}");
    let mut door = desk.database.door().await?;
    hold_off(&mut door, &name, address, desk.clock.now()).await?;
    let found = door.guest_behind(&hash_of(secret)).await?;
    drop(door);
    if let Some(found) = found {
        return Ok(found);
    }
    note_attempt(desk, &name, address).await?;
    Err(DeedError::NotFound("page"))
}

/// How a link stands at a moment.
pub fn standing(guest: &GuestAtDoor, now: OffsetDateTime) -> GuestStanding {
    let today = guest.zone.day(now);
    guest.kept.link.standing(today, guest.kept.maker_active)
}

/// Why a link lets nobody in at this moment; none while it does.
pub fn over_words(guest: &GuestAtDoor, now: OffsetDateTime) -> Option<String> {
    let link = &guest.kept.link;
    match standing(guest, now) {
        GuestStanding::Open => None,
        GuestStanding::NotYet => Some(format!(
            "This link opens on {}. Come back on that day.",
            write_day(link.from)
        )),
        GuestStanding::Shut => Some(format!(
            "This link is shut, since {}, who made it, may no longer sign in. Ask the team for another.",
            guest.kept.maker
        )),
        GuestStanding::Ended => Some(format!(
            "This link has ended on {}. Ask the team for another.",
            write_day(link.until)
        )),
        GuestStanding::Withdrawn => Some(link.withdrawn.as_ref().map_or_else(
            || "This link was withdrawn.".to_owned(),
            |end| {
                let at = guest.zone.words(end.at);
                format!("This link was withdrawn on {at}.")
            },
        )),
    }
}

/// Opens a sitting by the address of a link and gives its secret and how long it lasts; none where the link lets nobody in
/// now.
///
/// # Errors
/// As [`knock`].
pub async fn open(
    desk: &Desk,
    secret: &str,
    address: &str,
) -> Result<(GuestAtDoor, Option<String>), DeedError> {
    let guest = knock(desk, secret, address).await?;
    let now = desk.clock.now();
    if over_words(&guest, now).is_some() {
        return Ok((guest, None));
    }
    let sitting = new_secret();
    let link = &guest.kept.link;
    let full = now + SITTING;
    let end = link.until.next_day();
    let end = end.map_or(full, |day| guest.zone.midnight(day).min(full));
    let mut door = desk.database.write_door().await?;
    let of = (guest.team, link.id);
    door.add_guest_sitting(&hash_of(&sitting), of, (now, end))
        .await?;
    door.commit().await?;
    Ok((guest, Some(sitting)))
}

/// A sitting that somebody comes with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Sitting {
    /// It lasts.
    Lasts(Box<GuestAtDoor>),
    /// It is over, for this reason.
    Over(String),
}

/// The sitting of this hash, if there is or was one.
///
/// # Errors
/// What the store says.
pub async fn arrive(desk: &Desk, sitting: &Hash) -> Result<Option<Sitting>, DeedError> {
    let found = desk.database.door().await?.guest_sitting(sitting).await?;
    let Some((guest, expires_at)) = found else {
        return Ok(None);
    };
    let now = desk.clock.now();
    Ok(Some(match over_words(&guest, now) {
        Some(words) => Sitting::Over(words),
        None if expires_at <= now => Sitting::Over(format!(
            "This sitting has lasted {} hours and is over. Open the address of your link again.",
            SITTING.whole_hours()
        )),
        None => Sitting::Lasts(Box::new(guest)),
    }))
}

/// Ends a sitting.
///
/// # Errors
/// What the store says.
pub async fn leave(desk: &Desk, sitting: &Hash) -> Result<(), DeedError> {
    let mut door = desk.database.write_door().await?;
    door.end_guest_sitting(sitting).await?;
    Ok(door.commit().await?)
}
