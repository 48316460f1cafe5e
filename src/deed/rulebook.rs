//! Rulebooks: those that come with the program, and the team's own in all their versions, withdrawn or not.

use std::borrow::Cow;

use super::{DeedError, Desk, Seen, permit, same_revision};
use crate::{
    domain::{
        Actor, Change, Deed, Edition, FieldErrors, NotAllowed, OfferDraft, RulebookId,
        RulebookOffer,
        rulebook::{Rulebook, RulebookDraft, TeamRulebook, rulebook, shipped},
    },
    store::{KeptRulebook, Tx, WriteTx},
};

/// A rulebook by whoever keeps it.
#[derive(Clone, Debug)]
pub enum Found {
    /// It comes with the program.
    Shipped(&'static Rulebook),
    /// A version of the team's own, and the number of the newest.
    Own(Box<KeptRulebook>, u32),
}

impl Found {
    /// What it asks.
    pub fn book(&self) -> &Rulebook {
        match self {
            Self::Shipped(book) => book,
            Self::Own(kept, _) => &kept.rulebook.book,
        }
    }

    /// What a job names: the key, with the version of one of the team's own.
    pub fn edition(&self) -> Edition<'_> {
        match self {
            Self::Shipped(book) => Edition {
                key: book.key(),
                version: None,
            },
            Self::Own(kept, _) => kept.rulebook.edition(),
        }
    }

    /// Whether it is the team's own and was withdrawn.
    pub fn is_withdrawn(&self) -> bool {
        matches!(self, Self::Own(kept, _) if kept.withdrawn)
    }

    /// What it asks, alone.
    pub fn into_book(self) -> Cow<'static, Rulebook> {
        match self {
            Self::Shipped(book) => Cow::Borrowed(book),
            Self::Own(kept, _) => Cow::Owned(kept.rulebook.book),
        }
    }
}

/// The rulebook that is named: by a key, by a key with a version, or by the id of one of the team's own.
pub(super) async fn find(tx: &mut Tx, named: &str) -> Result<Option<Found>, DeedError> {
    let edition = Edition::read(named);
    let shipped = rulebook(edition.key).filter(|_| edition.version.is_none());
    if let Some(book) = shipped {
        return Ok(Some(Found::Shipped(book)));
    }
    let own = match edition.key.parse::<RulebookId>() {
        Ok(id) => tx.rulebook(id).await?,
        Err(_) => tx.rulebook_named(&edition).await?,
    };
    let Some(kept) = own else { return Ok(None) };
    let newest = tx.rulebook(kept.rulebook.id).await?;
    let newest = newest.map_or(kept.rulebook.revision, |newest| newest.rulebook.revision);
    Ok(Some(Found::Own(Box::new(kept), newest)))
}

/// A rulebook by its key, its key and version, or its id.
///
/// # Errors
/// [`DeedError::NotFound`] if there is none.
pub async fn show(desk: &Desk, actor: &Actor, named: &str) -> Result<Found, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let found = find(&mut tx, named).await?;
    found.ok_or(DeedError::NotFound("rulebook"))
}

/// The newest version of each of the team's own, withdrawn or not.
pub async fn own(desk: &Desk, actor: &Actor) -> Result<Vec<KeptRulebook>, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    Ok(tx.rulebooks().await?)
}

/// Of the team's own those that new jobs may name.
pub fn offered(own: Vec<KeptRulebook>) -> Vec<TeamRulebook> {
    let own = own.into_iter().filter(|kept| !kept.withdrawn);
    own.map(|kept| kept.rulebook).collect()
}

/// The rulebook that the team works by; the first shipped one where it has none.
pub async fn home(tx: &mut Tx) -> Result<Cow<'static, Rulebook>, DeedError> {
    Ok(tx.home_rulebook().await?)
}

/// Notes under `rulebook` if the team has no such one to work by, or it is withdrawn. Its own are named without a
/// version: the newest is meant.
pub(super) async fn check_home(
    tx: &mut Tx,
    wrong: &mut FieldErrors,
    key: &str,
) -> Result<(), DeedError> {
    let found = find(tx, key).await?;
    let is_offered = |found: &Found| found.book().key() == key && !found.is_withdrawn();
    if !found.as_ref().is_some_and(is_offered) {
        let own = tx.rulebooks().await?;
        let offered = own.iter().filter(|kept| !kept.withdrawn);
        let mut keys: Vec<&str> = shipped().iter().map(Rulebook::key).collect();
        keys.extend(offered.map(|kept| kept.rulebook.book.key()));
        let given: String = key.chars().take(60).collect();
        let sentence = format!("Choose a rulebook ({}), not \"{given}\".", keys.join(", "));
        wrong.add("rulebook", "choice", sentence);
    }
    Ok(())
}

/// Adds a rulebook of the team's own.
///
/// # Errors
/// [`DeedError::Invalid`] with every field, or every fault of the sheet, that does not hold.
pub async fn add(
    desk: &Desk,
    actor: &Actor,
    id: RulebookId,
    draft: &RulebookDraft,
) -> Result<TeamRulebook, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let own = TeamRulebook {
        id,
        revision: 1,
        book: draft.check(None)?,
    };
    let mut tx = desk.database.write(actor.team).await?;
    if let Some(there) = tx.rulebook(id).await? {
        if there.rulebook == own {
            return Ok(own);
        }
        // A file is not held against what its form sent before at the door, as what is typed is.
        let sentence = format!(
            "From this form {} was added before, and what stands here now is not recorded. Send it again if it is a rulebook \
             of its own, or change that one.",
            there.rulebook.book.key()
        );
        return Err(FieldErrors::one(draft.field_of_key(), "taken", sentence).into());
    }
    if tx
        .rulebook_named(&Edition::read(own.book.key()))
        .await?
        .is_some()
    {
        let sentence = format!(
            "Your team has a rulebook with the key {} already: choose another, or change that one.",
            own.book.key()
        );
        return Err(FieldErrors::one(draft.field_of_key(), "taken", sentence).into());
    }
    tx.record(actor, desk.clock.now(), Change::RulebookAdded(own.clone()))
        .await?;
    tx.commit().await?;
    Ok(own)
}

/// Keeps a further version of a rulebook of the team's own. Jobs that are planned keep theirs.
///
/// # Errors
/// [`DeedError::Stale`] if it was changed since it was seen; [`DeedError::NotAllowed`] once it is withdrawn;
/// [`DeedError::Invalid`] as for adding.
pub async fn revise(
    desk: &Desk,
    actor: &Actor,
    id: RulebookId,
    seen: Seen,
    draft: &RulebookDraft,
) -> Result<TeamRulebook, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let mut tx = desk.database.write(actor.team).await?;
    let before = kept(&mut tx, id, false).await?;
    let book = same_revision(before.revision, seen, draft.check(Some(&before.book)))?;
    let own = TeamRulebook {
        id,
        revision: before.revision + 1,
        book,
    };
    if own.book == before.book {
        return Ok(before);
    }
    tx.record(
        actor,
        desk.clock.now(),
        Change::RulebookRevised(own.clone()),
    )
    .await?;
    tx.commit().await?;
    Ok(own)
}

/// Takes a rulebook out of what is offered. Jobs that were planned under it keep it.
///
/// # Errors
/// [`DeedError::Invalid`] without a reason; [`DeedError::NotAllowed`] if it is withdrawn already, or the team works
/// by it.
pub async fn withdraw(
    desk: &Desk,
    actor: &Actor,
    id: RulebookId,
    draft: &OfferDraft,
) -> Result<TeamRulebook, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let reason = draft.check()?;
    let mut tx = desk.database.write(actor.team).await?;
    let own = kept(&mut tx, id, false).await?;
    if tx.home_rulebook().await?.key() == own.book.key() {
        return Err(NotAllowed::HomeRulebook.into());
    }
    let offer = offer(&own, reason);
    tx.record(actor, desk.clock.now(), Change::RulebookWithdrawn(offer))
        .await?;
    tx.commit().await?;
    Ok(own)
}

/// Offers a rulebook again that was withdrawn.
///
/// # Errors
/// [`DeedError::Invalid`] without a reason; [`DeedError::NotAllowed`] if it is not withdrawn.
pub async fn take_up(
    desk: &Desk,
    actor: &Actor,
    id: RulebookId,
    draft: &OfferDraft,
) -> Result<TeamRulebook, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let reason = draft.check()?;
    let mut tx = desk.database.write(actor.team).await?;
    let own = kept(&mut tx, id, true).await?;
    let offer = offer(&own, reason);
    tx.record(actor, desk.clock.now(), Change::RulebookTakenUp(offer))
        .await?;
    tx.commit().await?;
    Ok(own)
}

fn offer(own: &TeamRulebook, reason: String) -> RulebookOffer {
    RulebookOffer {
        rulebook: own.id,
        title: own.book.title().to_owned(),
        reason,
    }
}

/// The newest version of one that is there, and is withdrawn or not, as it is to be.
async fn kept(
    tx: &mut WriteTx,
    id: RulebookId,
    withdrawn: bool,
) -> Result<TeamRulebook, DeedError> {
    let kept = tx.rulebook(id).await?;
    let kept = kept.ok_or(DeedError::NotFound("rulebook"))?;
    NotAllowed::unless(kept.withdrawn, withdrawn)?;
    Ok(kept.rulebook)
}
