//! The course of a notice, and what became of the one that holds an item.

use super::past;
use crate::{
    deed::DeedError,
    domain::{
        Change, Entry, Item, ItemState, LetGo, Model, NoticeId, NoticeStep, notice_course,
        then::NOTICE_KINDS,
    },
    store::Tx,
};

/// A step of a notice's course.
#[derive(Clone, Debug)]
pub struct CourseStep {
    /// The step.
    pub step: NoticeStep,
    /// The name of who took it.
    pub by: String,
}

/// The course of a notice, the first step first.
///
/// # Errors
/// [`DeedError`] if the ledger cannot be read.
pub async fn course(tx: &mut Tx, id: NoticeId) -> Result<Vec<CourseStep>, DeedError> {
    let entries = entries(tx, id).await?;
    let people = tx.people().await?;
    let steps = notice_course(&entries).into_iter();
    let named = steps.map(|step| {
        let by = people.iter().find(|person| person.id == step.by);
        CourseStep {
            by: by.map(|person| person.name.clone()).unwrap_or_default(),
            step,
        }
    });
    Ok(named.collect())
}

async fn entries(tx: &mut Tx, id: NoticeId) -> Result<Vec<Entry<Change>>, DeedError> {
    let kept = tx.entries_about(&[id.0], NOTICE_KINDS).await?;
    Ok(kept.into_iter().map(|kept| kept.entry).collect())
}

/// What became of the notice that put an item in quarantine, where it covers it no more. `notices` are those of its
/// history.
///
/// # Errors
/// [`DeedError`] if the record cannot be read.
pub async fn let_go(
    tx: &mut Tx,
    (item, model): (&Item, &Model),
    notices: &[NoticeId],
) -> Result<Option<LetGo>, DeedError> {
    if item.state != ItemState::Quarantined {
        return Ok(None);
    }
    // A step names its notice by the title alone: one that still covers the item holds it.
    let about = tx.notices_about(&model.maker).await?;
    let mut about = about.iter();
    if about.any(|one| one.covers(item, model) && one.hold_reason() == item.state_reason) {
        return Ok(None);
    }
    // So does one that it slipped out of by a correction of its record.
    let still = past::slipped(tx, item).await?;
    let is_still = |id: &&NoticeId| still.iter().any(|one| one.id == **id);
    for id in notices.iter().filter(|id| !is_still(id)) {
        let gone = LetGo::of(&entries(tx, *id).await?, (item, model));
        if gone.is_some() {
            return Ok(gone);
        }
    }
    Ok(None)
}
