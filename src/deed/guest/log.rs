//! What outside auditors read: noted before it is answered, and taken up by the ledger once a day is over.

use super::{super::permit, counted, there};
use crate::{
    deed::{DeedError, Desk},
    domain::{
        Actor, Change, Deed, Entry, GuestLinkId, GuestRead, GuestReads, Hash, HeldReads, KeptGuest,
        Role, TeamId,
    },
    store::{Cursor, Direction, GuestAtDoor, Tx},
};

/// How many reads are held against each other at once.
const PAGE: u32 = 500;

/// Notes a read, before it is answered; its number is given by the log.
///
/// # Errors
/// What the store says: then it must not be answered.
pub async fn note(desk: &Desk, guest: &GuestAtDoor, read: GuestRead) -> Result<(), DeedError> {
    let mut door = desk.database.write_door().await?;
    let of = (guest.team, guest.kept.link.id);
    door.note_guest_read(of, read).await?;
    Ok(door.commit().await?)
}

/// Has every team's ledger take up what was read by each link on days that are over, or by a link that is over: how many
/// reads there are and the chain of the last. So it grows by one entry a day and link at most, however much is read.
///
/// Any number of servers may do so at once: it is looked again under the lock of the ledger.
///
/// # Errors
/// What the store says.
pub async fn keep_counting(desk: &Desk) -> Result<(), DeedError> {
    let waiting = desk.database.door().await?.guests_to_count().await?;
    for (team, link) in waiting {
        let mut tx = desk.database.read(team).await?;
        let due = due(desk, &mut tx, link).await?.is_some();
        drop(tx);
        if due {
            count(desk, team, link).await?;
        }
    }
    Ok(())
}

async fn count(desk: &Desk, team: TeamId, link: GuestLinkId) -> Result<(), DeedError> {
    let mut tx = desk.database.write(team).await?;
    let Some(kept) = due(desk, &mut tx, link).await? else {
        return Ok(());
    };
    // The server does it for whoever made the link.
    let actor = Actor {
        team,
        person: kept.link.by,
        role: Role::Admin,
    };
    tx.record(&actor, desk.clock.now(), counted(&kept)).await?;
    Ok(tx.commit().await?)
}

/// The link, if it is time that the ledger takes up what was read by it.
async fn due(desk: &Desk, tx: &mut Tx, id: GuestLinkId) -> Result<Option<KeptGuest>, DeedError> {
    let Some(kept) = tx.guest_link(id).await? else {
        return Ok(None);
    };
    let zone = tx.zone().await?;
    let today = zone.day(desk.clock.now());
    let standing = kept.link.standing(today, kept.maker_active);
    let day_is_over = kept.last_read_at.is_some_and(|at| zone.day(at) < today);
    let due = kept.reads > kept.counted && (day_is_over || standing.is_over());
    Ok(due.then_some(kept))
}

/// Works out the chain of every noted read again, and holds it against what the ledger took up.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has no such link.
pub async fn hold(desk: &Desk, actor: &Actor, id: GuestLinkId) -> Result<HeldReads, DeedError> {
    permit(actor, Deed::SeeReads)?;
    let mut tx = desk.database.read(actor.team).await?;
    let kept = there(&mut tx, id).await?;
    let taken_up = taken_up(&mut tx, id).await?;
    let fault = fault(&mut tx, &kept, taken_up.as_ref().map(|(_, reads)| reads)).await?;
    Ok(HeldReads {
        reads: kept.reads,
        taken_up: taken_up.map(|(seq, reads)| (seq, reads.reads)),
        fault,
    })
}

/// What the ledger took up last.
async fn taken_up(tx: &mut Tx, id: GuestLinkId) -> Result<Option<(u64, GuestReads)>, DeedError> {
    let Some(sealed) = tx.last_of_kind(id.0, "guest-reads-counted").await? else {
        return Ok(None);
    };
    let entry: Entry<Change> = sealed
        .entry()
        .map_err(|error| DeedError::Internal(error.into()))?;
    Ok(match entry.change {
        Change::GuestReadsCounted(reads) => Some((entry.seq, reads)),
        _ => None,
    })
}

async fn fault(
    tx: &mut Tx,
    kept: &KeptGuest,
    taken_up: Option<&GuestReads>,
) -> Result<Option<String>, DeedError> {
    let id = kept.link.id;
    let (mut chain, mut number) = (Hash::default(), 0);
    let mut after: Option<Cursor> = None;
    loop {
        let page = tx
            .guest_reads(id, Direction::Up, after.as_ref(), PAGE)
            .await?;
        for (read, noted) in &page.rows {
            number += 1;
            if read.number != number {
                return Ok(Some(format!("Read {number} is missing.")));
            }
            let worked_out = read.chain(&chain);
            chain = worked_out.map_err(|error| DeedError::Internal(error.into()))?;
            if chain != *noted {
                return Ok(Some(format!(
                    "Read {number} is not what was noted, or one before it is not."
                )));
            }
            if let Some(taken) = taken_up.filter(|taken| taken.reads == number)
                && hex::encode(chain) != taken.chain
            {
                return Ok(Some(format!(
                    "The reads up to {number} are not those that the record took up."
                )));
            }
        }
        match page.next {
            Some(next) => after = Some(next),
            None => break,
        }
    }
    let least = taken_up.map_or(0, |taken| taken.reads).max(kept.reads);
    Ok((number < least).then(|| format!("Only {number} of {least} reads are there.")))
}
