//! Correcting a notice, and withdrawing one. Neither returns anything to service.

use std::collections::HashSet;

use time::OffsetDateTime;

use super::{
    covered::with_models, hold_covered, hold_if_covered, items_of_model, past::slipped_from,
    unknown,
};

use crate::{
    deed::{DeedError, Desk, Seen, permit, same_revision},
    domain::{
        Actor, Change, Deed, FieldErrors, Item, ItemId, ItemState, Notice, NoticeClosing,
        NoticeCorrection, NoticeDraft, NoticeEnd, NoticeId, NoticeItem, NoticeStanding,
    },
    store::WriteTx,
};

/// How many closings are read at once.
const SOME: u32 = 500;

/// Why a correction that changes nothing is refused.
const UNCHANGED: &str = "The notice says all of this already, so that there is nothing to correct: nothing was recorded. \
     Change what is wrong in it, or leave it as it is.";

/// A notice that was corrected, and what follows from it.
#[derive(Clone, Debug)]
pub struct Corrected {
    /// The notice as it is now.
    pub notice: Notice,
    /// How many items it holds that it did not hold before.
    pub held: usize,
    /// How many that it covers no more are in quarantine, and stay there.
    pub left: usize,
    /// For how many items that it was closed for it is open again, since something else is to be done.
    pub opened_again: usize,
}

/// Corrects what a notice says and covers. What it covers now and is in service goes to quarantine; what it covers no more
/// stays as it is. Where something else is to be done from now on, the notice is open again for all that it was closed for.
///
/// # Errors
/// [`DeedError::Invalid`] with every field that does not hold, and where nothing would change; [`DeedError::NotAllowed`] if it was withdrawn;
/// [`DeedError::Stale`] if somebody corrected it since it was seen.
pub async fn correct(
    desk: &Desk,
    actor: &Actor,
    (id, seen): (NoticeId, Seen),
    draft: &NoticeDraft,
) -> Result<Corrected, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    let before = tx.notice(id).await?.ok_or(DeedError::NotFound("notice"))?;
    before.may_change()?;
    let today = tx.day(now).await?;
    let mut wrong = FieldErrors::default();
    let reason = wrong.reason("reason", &draft.reason);
    let anyway = wrong.tick("anyway", &draft.anyway);
    let typed = match draft.check(id, today) {
        Ok(notice) => {
            if !anyway {
                wrong.0.extend(unknown(&mut tx, &notice).await?.0);
            }
            if before.edits(&notice).is_empty() {
                wrong.add("title", "unchanged", UNCHANGED);
            }
            wrong.or(|| notice)
        }
        Err(mut errors) => {
            errors.0.extend(wrong.0);
            Err(errors)
        }
    };
    let typed = same_revision(before.corrected, seen, typed)?;
    let notice = Notice {
        corrected: before.corrected + 1,
        ..typed
    };
    let closed = if before.asks_otherwise(&notice) {
        closings(&mut tx, id).await?
    } else {
        Vec::new()
    };
    let slipped = slipped_from(&mut tx, &before).await?;
    let correction = NoticeCorrection {
        notice: notice.clone(),
        reason,
    };
    tx.record(actor, now, Change::NoticeCorrected(Box::new(correction)))
        .await?;
    let held = hold_covered(&mut tx, (actor, now), &notice).await?;
    let left = left_as_it_is(&mut tx, (&before, &notice), slipped).await?;
    let closed = with_models(&mut tx, &notice, closed).await?;
    let slipped = hold_slipped(&mut tx, (actor, now), &closed).await?;
    let opened_again = closed.iter().filter(|one| is_about(one)).count();
    tx.commit().await?;
    Ok(Corrected {
        notice,
        held: held + slipped,
        left,
        opened_again,
    })
}

/// Quarantines what a notice was closed for before a correction of its record took it out, and that it asks something else of
/// now; gives how many.
async fn hold_slipped(
    tx: &mut WriteTx,
    (actor, now): (&Actor, OffsetDateTime),
    closed: &[NoticeItem],
) -> Result<usize, DeedError> {
    let out = closed.iter().filter(|one| !is_about(one));
    let mut held = 0;
    for one in out.filter(|one| one.item.state == ItemState::InService) {
        hold_if_covered(tx, actor, now, &one.item).await?;
        let after = tx.item(one.item.id).await?;
        held += usize::from(after.is_some_and(|item| item.state != one.item.state));
    }
    Ok(held)
}

fn is_about(one: &NoticeItem) -> bool {
    one.standing != NoticeStanding::LetOut
}

/// Every closing of a notice.
async fn closings(tx: &mut WriteTx, id: NoticeId) -> Result<Vec<NoticeClosing>, DeedError> {
    let mut all: Vec<NoticeClosing> = Vec::new();
    loop {
        let after = all.last().map(|closing| closing.item);
        let some = tx.closings_of_notice(id, after, SOME).await?;
        if some.is_empty() {
            return Ok(all);
        }
        all.extend(some);
    }
}

/// How many items in quarantine a notice was open for and lets go: those that it covered, and those that `slipped` out of it
/// by a correction of their record before.
async fn left_as_it_is(
    tx: &mut WriteTx,
    (before, after): (&Notice, &Notice),
    slipped: Vec<Item>,
) -> Result<usize, DeedError> {
    let still = slipped_from(tx, after).await?.into_iter();
    let still: HashSet<ItemId> = still.map(|item| item.id).collect();
    let quarantined = slipped.into_iter().filter(is_quarantined);
    let mut held: HashSet<ItemId> = quarantined.map(|item| item.id).collect();
    for model in tx.models_of_maker(&before.maker).await? {
        let items = items_of_model(tx, model.id).await?.into_iter();
        let items = items.filter(|item| is_quarantined(item) && before.covers(item, &model));
        held.extend(items.map(|item| item.id));
    }
    let mut covered = HashSet::new();
    for model in tx.models_of_maker(&after.maker).await? {
        let items = items_of_model(tx, model.id).await?.into_iter();
        let items = items.filter(|item| held.contains(&item.id) && after.covers(item, &model));
        covered.extend(items.map(|item| item.id));
    }
    let let_go = held.difference(&still);
    Ok(let_go.filter(|item| !covered.contains(item)).count())
}

fn is_quarantined(item: &Item) -> bool {
    item.state == ItemState::Quarantined
}

/// Withdraws a notice: it covers nothing any more. What it held stays in quarantine until somebody competent returns it;
/// gives how many items that are.
///
/// # Errors
/// [`DeedError::Invalid`] without a reason; [`DeedError::NotAllowed`] if it was withdrawn before.
pub async fn withdraw(
    desk: &Desk,
    actor: &Actor,
    id: NoticeId,
    reason: &str,
) -> Result<(Notice, usize), DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let mut wrong = FieldErrors::default();
    let reason = wrong.reason("reason", reason);
    let end = wrong.or(|| NoticeEnd { notice: id, reason })?;
    let mut tx = desk.database.write(actor.team).await?;
    let before = tx.notice(id).await?.ok_or(DeedError::NotFound("notice"))?;
    before.may_change()?;
    let after = Notice {
        withdrawn: Some(end.reason.clone()),
        ..before.clone()
    };
    let slipped = slipped_from(&mut tx, &before).await?;
    tx.record(actor, desk.clock.now(), Change::NoticeWithdrawn(end))
        .await?;
    let left = left_as_it_is(&mut tx, (&before, &after), slipped).await?;
    tx.commit().await?;
    Ok((after, left))
}
