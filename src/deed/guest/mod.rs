//! Links of outside auditors: made and withdrawn by who keeps the people; what was read by them is seen by auditors too.

mod door;
mod log;

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::{
    DeedError, Desk, permit,
    session::{hash_of, new_secret},
};
use crate::{
    domain::{
        Actor, Change, Deed, FieldErrors, GuestLinkDraft, GuestLinkEnd, GuestLinkId, GuestRead,
        GuestReads, GuestStanding, GuestWithdrawal, Hash, KeptGuest, NotAllowed, Person, Role,
    },
    store::{Cursor, Direction, Page, StoreError, Tx},
};

pub use door::{Sitting, arrive, knock, leave, open, over_words, standing};
pub use log::{hold, keep_counting, note};

/// A page of the team's links, the newest first, with the people whose names stand in them.
///
/// # Errors
/// [`DeedError::Forbidden`] to all but administrators and auditors.
pub async fn list(
    desk: &Desk,
    actor: &Actor,
    after: Option<&Cursor>,
    limit: u32,
) -> Result<(Page<KeptGuest>, Vec<Person>), DeedError> {
    permit(actor, Deed::SeeReads)?;
    let mut tx = desk.database.read(actor.team).await?;
    let page = tx.guest_links(after, limit).await?;
    Ok((page, tx.people().await?))
}

/// One link, with the people whose names stand in it.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has none of this id.
pub async fn show(
    desk: &Desk,
    actor: &Actor,
    id: GuestLinkId,
) -> Result<(KeptGuest, Vec<Person>), DeedError> {
    permit(actor, Deed::SeeReads)?;
    let mut tx = desk.database.read(actor.team).await?;
    let kept = there(&mut tx, id).await?;
    Ok((kept, tx.people().await?))
}

async fn there(tx: &mut Tx, id: GuestLinkId) -> Result<KeptGuest, DeedError> {
    let found = tx.guest_link(id).await?;
    found.ok_or(DeedError::NotFound("link"))
}

/// Makes a link and gives what opens it, which is kept nowhere.
///
/// # Errors
/// [`DeedError::Invalid`] with every field that does not hold; [`NotAllowed::LinkMade`] if there is one of this id.
pub async fn make(
    desk: &Desk,
    actor: &Actor,
    id: GuestLinkId,
    draft: &GuestLinkDraft,
) -> Result<String, DeedError> {
    permit(actor, Deed::KeepPeople)?;
    let secret = new_secret();
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    let link = draft.check(id, (actor.person, now), tx.day(now).await?)?;
    let made = tx.record(actor, now, Change::GuestLinkMade(link)).await;
    made.map_err(|error| match error {
        StoreError::Taken => NotAllowed::LinkMade.into(),
        other => DeedError::from(other),
    })?;
    tx.add_guest_key(id, &hash_of(&secret)).await?;
    tx.commit().await?;
    Ok(secret)
}

/// Why a link is withdrawn, as typed in.
#[derive(Clone, Debug, Default, Serialize, Deserialize, ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct WithdrawalDraft {
    /// Why.
    pub reason: String,
}

/// Withdraws a link for good: nobody gets in by it any more, and whoever sits there is turned out. What was read by it is
/// taken up by the ledger with it.
///
/// # Errors
/// [`DeedError::Invalid`] without a reason; [`DeedError::NotAllowed`] if it was withdrawn or has ended.
pub async fn withdraw(
    desk: &Desk,
    actor: &Actor,
    id: GuestLinkId,
    draft: &WithdrawalDraft,
) -> Result<(), DeedError> {
    permit(actor, Deed::KeepPeople)?;
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    let kept = there(&mut tx, id).await?;
    let today = tx.day(now).await?;
    match kept.link.standing(today, kept.maker_active) {
        GuestStanding::Withdrawn => return Err(NotAllowed::LinkWithdrawn.into()),
        GuestStanding::Ended => return Err(NotAllowed::LinkEnded.into()),
        GuestStanding::NotYet | GuestStanding::Open | GuestStanding::Shut => {}
    }
    let mut wrong = FieldErrors::default();
    let reason = wrong.reason("reason", &draft.reason);
    wrong.or(|| ())?;
    let end = GuestLinkEnd {
        link: id,
        name: kept.link.name.clone(),
        withdrawn: GuestWithdrawal {
            by: actor.person,
            at: now,
            reason,
        },
    };
    tx.record(actor, now, Change::GuestLinkWithdrawn(end))
        .await?;
    if kept.reads > kept.counted {
        tx.record(actor, now, counted(&kept)).await?;
    }
    Ok(tx.commit().await?)
}

/// That the ledger takes up how much was read.
fn counted(kept: &KeptGuest) -> Change {
    Change::GuestReadsCounted(GuestReads {
        link: kept.link.id,
        name: kept.link.name.clone(),
        reads: kept.reads,
        chain: hex::encode(kept.chain),
    })
}

/// A page of what was read by a link, the last first, each with its chain.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has no such link.
pub async fn reads(
    desk: &Desk,
    actor: &Actor,
    id: GuestLinkId,
    after: Option<&Cursor>,
    limit: u32,
) -> Result<Page<(GuestRead, Hash)>, DeedError> {
    permit(actor, Deed::SeeReads)?;
    let mut tx = desk.database.read(actor.team).await?;
    there(&mut tx, id).await?;
    Ok(tx.guest_reads(id, Direction::Down, after, limit).await?)
}

/// Who takes a file along, where that is an outside auditor; none for people of the team.
pub(super) async fn exporter(tx: &mut Tx, actor: &Actor) -> Result<Option<String>, StoreError> {
    if actor.role != Role::Auditor {
        return Ok(None);
    }
    let guest = tx.guest_link(GuestLinkId(actor.person.0)).await?;
    Ok(guest.map(|kept| kept.link.exporter(&kept.maker)))
}
