//! The lists that examinations are done by: those that come with the program, and what a team adds.

use super::{DeedError, Desk, Seen, permit, same_revision};
use crate::{
    domain::{
        Actor, Change, Checklist, ChecklistId, Criterion, CriterionDraft, Deed, Examination, Kind,
        ListEdition, TeamChecklist,
        checklist::{Watched, watched},
    },
    store::Tx,
};

/// The newest list for a kind, with the team's own criteria.
pub async fn newest(tx: &mut Tx, kind: Kind) -> Result<Checklist, DeedError> {
    let own = tx.checklist(kind).await?;
    Ok(Checklist::newest(kind, own.as_ref()))
}

/// The list that a record was done by, as it was on its day.
///
/// # Errors
/// [`DeedError::NotFound`] if there is no such edition.
pub async fn of_edition(tx: &mut Tx, edition: ListEdition) -> Result<Checklist, DeedError> {
    let own = match edition.own {
        0 => None,
        number => Some(
            tx.checklist_edition(edition.kind, number)
                .await?
                .ok_or(DeedError::NotFound("list"))?,
        ),
    };
    Checklist::of(edition, own.as_ref()).ok_or(DeedError::NotFound("list"))
}

/// The lists that these records were done by, each once.
pub async fn of_all(
    tx: &mut Tx,
    examinations: &[Examination],
) -> Result<Vec<Checklist>, DeedError> {
    let editions = examinations.iter().filter_map(|one| one.checklist);
    of_editions(tx, editions).await
}

async fn of_editions(
    tx: &mut Tx,
    editions: impl Iterator<Item = ListEdition>,
) -> Result<Vec<Checklist>, DeedError> {
    let mut lists: Vec<Checklist> = Vec::new();
    for edition in editions {
        if !lists.iter().any(|list| list.edition == edition) {
            lists.push(of_edition(tx, edition).await?);
        }
    }
    Ok(lists)
}

/// What these examinations of an item, the last done first, leave to be watched, each with its criterion.
pub async fn watching(
    tx: &mut Tx,
    examinations: &[Examination],
) -> Result<Vec<(Criterion, Watched)>, DeedError> {
    let watched = watched(examinations);
    let lists = of_editions(tx, watched.iter().map(|one| one.list)).await?;
    let mut all = Vec::new();
    for one in watched {
        let list = lists.iter().find(|list| list.edition == one.list);
        let criterion = list.and_then(|list| list.criterion(&one.answer.criterion));
        all.extend(criterion.cloned().map(|criterion| (criterion, one)));
    }
    Ok(all)
}

/// How many of an item's last examinations are asked what is to be watched.
pub const LOOKED_BACK: u32 = 200;

/// A list with what a team added to it.
#[derive(Clone, Debug)]
pub struct Shown {
    /// The newest list.
    pub list: Checklist,
    /// The newest of the team's own; none where it has added nothing yet.
    pub own: Option<TeamChecklist>,
}

impl Shown {
    /// The edition of the team's own that a change is made against; 0 where there is none yet.
    pub fn revision(&self) -> u32 {
        self.own.as_ref().map_or(0, |own| own.revision)
    }
}

/// The kind that is named by its key, or by the id of what the team added to it.
///
/// # Errors
/// [`DeedError::NotFound`] if there is none.
pub async fn kind(desk: &Desk, actor: &Actor, named: &str) -> Result<Kind, DeedError> {
    permit(actor, Deed::Read)?;
    if let Some(kind) = Kind::ALL.iter().find(|kind| kind.key() == named) {
        return Ok(*kind);
    }
    let id: ChecklistId = named.parse().map_err(|_| DeedError::NotFound("list"))?;
    let mut tx = desk.database.read(actor.team).await?;
    let own = tx.checklist_of_id(id).await?;
    own.map(|own| own.kind).ok_or(DeedError::NotFound("list"))
}

/// The newest list for a kind.
pub async fn show(desk: &Desk, actor: &Actor, kind: Kind) -> Result<Shown, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let own = tx.checklist(kind).await?;
    Ok(Shown {
        list: Checklist::newest(kind, own.as_ref()),
        own,
    })
}

/// The newest list for every kind.
pub async fn all(desk: &Desk, actor: &Actor) -> Result<Vec<Shown>, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let owns = tx.checklists().await?;
    let lists = Kind::ALL.iter().map(|kind| {
        let own = owns.iter().find(|own| own.kind == *kind);
        Shown {
            list: Checklist::newest(*kind, own),
            own: own.cloned(),
        }
    });
    Ok(lists.collect())
}

/// Adds a criterion of the team's own to a kind: a further edition. Records that are there keep theirs.
///
/// # Errors
/// [`DeedError::Invalid`] with every field that does not hold; [`DeedError::Stale`] if it was changed since it was
/// seen.
pub async fn add(
    desk: &Desk,
    actor: &Actor,
    (kind, seen): (Kind, Seen),
    draft: &CriterionDraft,
) -> Result<TeamChecklist, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let mut tx = desk.database.write(actor.team).await?;
    let before = tx.checklist(kind).await?;
    let there = before.as_ref().map_or(0, |own| own.revision);
    let next = TeamChecklist::with(before.as_ref(), kind, draft);
    let next = same_revision(there, seen, next)?;
    let change = Change::ChecklistRevised(next.clone());
    tx.record(actor, desk.clock.now(), change).await?;
    tx.commit().await?;
    Ok(next)
}

/// Takes a criterion of the team's own back: a further edition without it.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has no such criterion; [`DeedError::Stale`] as for adding.
pub async fn take_back(
    desk: &Desk,
    actor: &Actor,
    (kind, seen): (Kind, Seen),
    key: &str,
) -> Result<TeamChecklist, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let mut tx = desk.database.write(actor.team).await?;
    let before = tx.checklist(kind).await?;
    let there = before.as_ref().map_or(0, |own| own.revision);
    same_revision(there, seen, Ok(()))?;
    let next = before.and_then(|own| own.without(key));
    let next = next.ok_or(DeedError::NotFound("criterion of your own"))?;
    let change = Change::ChecklistRevised(next.clone());
    tx.record(actor, desk.clock.now(), change).await?;
    tx.commit().await?;
    Ok(next)
}
