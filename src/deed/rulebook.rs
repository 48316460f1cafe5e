//! Rulebooks: those that come with the program, and the team's own in all their versions.

use std::borrow::Cow;

use super::{DeedError, Desk, permit, same_revision};
use crate::{
    domain::{
        Actor, Change, Deed, Edition, FieldErrors, RulebookId,
        rulebook::{Rulebook, RulebookDraft, TeamRulebook, rulebook, shipped},
    },
    store::Tx,
};

/// A rulebook by whoever keeps it.
#[derive(Clone, Debug)]
pub enum Found {
    /// It comes with the program.
    Shipped(&'static Rulebook),
    /// A version of the team's own, and the number of the newest.
    Own(Box<TeamRulebook>, u32),
}

impl Found {
    /// What it asks.
    pub fn book(&self) -> &Rulebook {
        match self {
            Self::Shipped(book) => book,
            Self::Own(own, _) => &own.book,
        }
    }

    /// What a job names: the key, with the version of one of the team's own.
    pub fn edition(&self) -> Edition<'_> {
        match self {
            Self::Shipped(book) => Edition {
                key: book.key(),
                version: None,
            },
            Self::Own(own, _) => own.edition(),
        }
    }

    /// What it asks, alone.
    pub fn into_book(self) -> Cow<'static, Rulebook> {
        match self {
            Self::Shipped(book) => Cow::Borrowed(book),
            Self::Own(own, _) => Cow::Owned(own.book),
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
    let Some(own) = own else { return Ok(None) };
    let newest = tx.rulebook(own.id).await?;
    let newest = newest.map_or(own.revision, |newest| newest.revision);
    Ok(Some(Found::Own(Box::new(own), newest)))
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

/// The newest version of each of the team's own.
pub async fn own(desk: &Desk, actor: &Actor) -> Result<Vec<TeamRulebook>, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    Ok(tx.rulebooks().await?)
}

/// The rulebook that the team works by; the first shipped one where it has not chosen.
///
/// # Errors
/// [`DeedError::NotFound`] if there is no such team.
pub async fn home(tx: &mut Tx) -> Result<Cow<'static, Rulebook>, DeedError> {
    let (team, _) = tx.this_team().await?.ok_or(DeedError::NotFound("team"))?;
    let found = find(tx, &team.rulebook).await?;
    Ok(found.map_or(Cow::Borrowed(&shipped()[0]), Found::into_book))
}

/// Notes under `rulebook` if the team has no such one to work by. Its own are named without a version: the
/// newest is meant.
pub(super) async fn check_home(
    tx: &mut Tx,
    wrong: &mut FieldErrors,
    key: &str,
) -> Result<(), DeedError> {
    let found = find(tx, key).await?;
    let is_key = |found: &Found| found.book().key() == key;
    if !found.as_ref().is_some_and(is_key) {
        let own = tx.rulebooks().await?;
        let mut keys: Vec<&str> = shipped().iter().map(Rulebook::key).collect();
        keys.extend(own.iter().map(|own| own.book.key()));
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
        return Ok(there);
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
/// [`DeedError::Stale`] if it was changed since `revision`; [`DeedError::Invalid`] as for adding.
pub async fn revise(
    desk: &Desk,
    actor: &Actor,
    id: RulebookId,
    revision: u32,
    draft: &RulebookDraft,
) -> Result<TeamRulebook, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let mut tx = desk.database.write(actor.team).await?;
    let before = tx.rulebook(id).await?;
    let before = before.ok_or(DeedError::NotFound("rulebook"))?;
    let book = same_revision(before.revision, revision, draft.check(Some(&before.book)))?;
    let own = TeamRulebook {
        id,
        revision: revision + 1,
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
