//! Safety notices: opening one holds everything it covers; it is closed item by item.

mod correct;
mod course;
mod covered;
mod known;
pub(super) mod past;

use std::collections::{BTreeSet, HashMap};

use time::OffsetDateTime;

use super::{
    DeedError, Desk,
    hold::{hold, hold_if_covered},
    permit, qualification,
};
pub use correct::{Corrected, correct, withdraw};
pub use course::{CourseStep, course, let_go};
pub(super) use covered::covered_in;
pub use covered::{Covered, covered};
use known::unknown;
pub use known::{Known, alike};

use crate::{
    domain::{
        Actor, Change, Deed, FieldErrors, Item, ItemId, ItemState, Model, ModelId, NotAllowed,
        Notice, NoticeClosing, NoticeDraft, NoticeId,
    },
    store::{Cursor, Direction, ItemFilter, ItemSort, Page, StoreError, Tx, WriteTx},
};

/// The notices about some items.
#[derive(Debug, Default)]
pub(super) struct About {
    /// The notices about their makers.
    pub notices: Vec<Notice>,
    /// Which of them are closed for which of these.
    pub closings: Vec<NoticeClosing>,
    /// The notices that are open for what is aside though they cover it no more, since its record was corrected.
    pub still_open: Vec<(ItemId, Notice)>,
}

impl About {
    /// Those that are open for one of the items.
    pub fn open_for<'a>(
        &'a self,
        item: &'a Item,
        model: &'a Model,
    ) -> impl Iterator<Item = &'a Notice> {
        let covering = self.notices.iter().filter(|notice| {
            let mut closings = self.closings.iter();
            notice.covers(item, model)
                && !closings.any(|done| done.notice == notice.id && done.item == item.id)
        });
        let still = self.still_open.iter();
        let still = still.filter(|(of, _)| *of == item.id);
        covering.chain(still.map(|(_, notice)| notice))
    }
}

/// The notices about some items.
pub(super) async fn about<'a>(
    tx: &mut Tx,
    items: impl IntoIterator<Item = (&'a Item, &'a Model)>,
) -> Result<About, StoreError> {
    let (mut ids, mut aside, mut makers) = (Vec::new(), Vec::new(), BTreeSet::new());
    for (item, model) in items {
        ids.push(item.id);
        aside.extend(item.state.is_aside().then_some(item));
        makers.insert(model.maker.clone());
    }
    let mut notices = Vec::new();
    for maker in makers {
        notices.extend(tx.notices_about(&maker).await?);
    }
    let closings = if notices.is_empty() {
        Vec::new()
    } else {
        tx.closings_of(&ids).await?
    };
    Ok(About {
        notices,
        closings,
        still_open: past::slipped_among(tx, &aside).await?,
    })
}

/// The notices that are open for an item: those that cover it, the last issued first, and those that did until its record
/// was corrected.
pub async fn open_for(tx: &mut Tx, item: &Item, model: &Model) -> Result<Vec<Notice>, StoreError> {
    let about = about(tx, [(item, model)]).await?;
    Ok(about.open_for(item, model).cloned().collect())
}

/// The notices that are open for what is aside though they cover it no more, since its record was corrected.
pub async fn still_open(tx: &mut Tx, item: &Item) -> Result<Vec<Notice>, StoreError> {
    if item.state.is_aside() {
        past::slipped(tx, item).await
    } else {
        Ok(Vec::new())
    }
}

/// Refuses to put an item back into service while a notice is open for it.
///
/// # Errors
/// [`DeedError::Invalid`] under `field`, with what is to be done.
pub(super) async fn must_be_closed(
    tx: &mut Tx,
    (item, model): (&Item, &Model),
    field: &str,
) -> Result<(), DeedError> {
    let open = open_for(tx, item, model).await?;
    Ok(refuse_open(&open, item, field)?)
}

/// The same, where it is known which notices are open for the item.
pub(super) fn refuse_open(open: &[Notice], item: &Item, field: &str) -> Result<(), FieldErrors> {
    let Some(notice) = open.first() else {
        return Ok(());
    };
    let sentence = format!(
        "The safety notice \"{}\" is open for {}, and nothing puts it back into service before it is closed for it. Do \
         what it asks, and write the result for this item on the page of the notice; then do this again.",
        notice.title, item.mark
    );
    Err(FieldErrors::one(field, "notice", sentence))
}

/// Opens a notice. Every item in service that it covers goes to quarantine in the same transaction.
///
/// # Errors
/// [`DeedError::Invalid`] with every field that does not hold, and with a maker, model or lot that the register does not
/// have, unless it is to be opened all the same.
pub async fn open(
    desk: &Desk,
    actor: &Actor,
    id: NoticeId,
    draft: &NoticeDraft,
) -> Result<Notice, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    let today = tx.day(now).await?;
    let notice = draft.check(id, today)?;
    if let Some(there) = tx.notice(id).await? {
        return Ok(there);
    }
    let mut wrong = FieldErrors::default();
    if !wrong.tick("anyway", &draft.anyway) {
        wrong.0.extend(unknown(&mut tx, &notice).await?.0);
    }
    wrong.or(|| ())?;
    tx.record(actor, now, Change::NoticeOpened(notice.clone()))
        .await?;
    hold_covered(&mut tx, (actor, now), &notice).await?;
    tx.commit().await?;
    Ok(notice)
}

/// Quarantines every item in service that a notice covers and for which it is not closed; gives how many.
async fn hold_covered(
    tx: &mut WriteTx,
    (actor, now): (&Actor, OffsetDateTime),
    notice: &Notice,
) -> Result<usize, DeedError> {
    let today = tx.day(now).await?;
    let mut held = 0;
    for model in tx.models_of_maker(&notice.maker).await? {
        let mut items = items_of_model(tx, model.id).await?;
        items.retain(|item| item.state == ItemState::InService && notice.covers(item, &model));
        for (item, closing) in with_closings(tx, notice.id, items).await? {
            if closing.is_none() {
                let stepped = hold(notice, item.id, today);
                tx.record(actor, now, Change::ItemStepped(stepped)).await?;
                held += 1;
            }
        }
    }
    Ok(held)
}

/// Holds what open notices cover once a model is called otherwise, and what they covered until then.
pub(super) async fn hold_of_model(
    tx: &mut WriteTx,
    (actor, now): (&Actor, OffsetDateTime),
    before: &Model,
    model: &Model,
) -> Result<(), DeedError> {
    let was = tx.notices_about(&before.maker).await?;
    if was.is_empty() && tx.notices_about(&model.maker).await?.is_empty() {
        return Ok(());
    }
    for item in items_of_model(tx, model.id).await? {
        hold_if_covered(tx, actor, now, &item).await?;
    }
    Ok(())
}

/// Closes a notice for one item. The item stays in quarantine until somebody returns it.
///
/// What may be used again by it is closed by whoever is competent for the item; of one that is retired anybody who
/// keeps the register may write down what became of it.
///
/// # Errors
/// [`DeedError::NotAllowed`] where the notice does not cover the item or is closed for it; [`DeedError::Invalid`] without
/// a result, and where the actor is not competent.
pub async fn close(
    desk: &Desk,
    actor: &Actor,
    notice: NoticeId,
    item: ItemId,
    result: &str,
) -> Result<NoticeClosing, DeedError> {
    permit(actor, Deed::Examine)?;
    let mut wrong = FieldErrors::default();
    let result = wrong.reason("result", result);
    let closing = wrong.or(|| NoticeClosing {
        notice,
        item,
        result,
    })?;
    let mut tx = desk.database.write(actor.team).await?;
    let held = tx.item(item).await?.ok_or(DeedError::NotFound("item"))?;
    let open = tx
        .notice(notice)
        .await?
        .ok_or(DeedError::NotFound("notice"))?;
    let model = tx
        .model(held.model)
        .await?
        .ok_or(DeedError::NotFound("model"))?;
    if !open.covers(&held, &model) {
        let still = past::slipped(&mut tx, &held).await?;
        if still.iter().all(|one| one.id != notice) {
            return Err(NotAllowed::NoticeDoesNotCover.into());
        }
    }
    if tx
        .closings_of(&[item])
        .await?
        .iter()
        .any(|closed| closed.notice == notice)
    {
        return Err(NotAllowed::NoticeClosed.into());
    }
    let now = desk.clock.now();
    if held.state != ItemState::Retired {
        let of = (model.kind, tx.day(now).await?);
        let decides = "closes a notice for what may be used again";
        qualification::must_decide(&mut tx, actor, of, ("result", decides)).await?;
    }
    tx.record(actor, now, Change::NoticeClosed(closing.clone()))
        .await?;
    tx.commit().await?;
    Ok(closing)
}

/// Items, each with its closing of one notice if it is closed for it.
async fn with_closings(
    tx: &mut Tx,
    notice: NoticeId,
    items: Vec<Item>,
) -> Result<Vec<(Item, Option<NoticeClosing>)>, StoreError> {
    let ids: Vec<ItemId> = items.iter().map(|item| item.id).collect();
    let closings = tx.closings_of(&ids).await?.into_iter();
    let mut closings: HashMap<ItemId, NoticeClosing> = closings
        .filter(|closing| closing.notice == notice)
        .map(|closing| (closing.item, closing))
        .collect();
    let items = items.into_iter();
    Ok(items
        .map(|item| {
            let closing = closings.remove(&item.id);
            (item, closing)
        })
        .collect())
}

/// Every item of a model, in whatever state.
pub(in crate::deed) async fn items_of_model(
    tx: &mut Tx,
    model: ModelId,
) -> Result<Vec<Item>, DeedError> {
    let (mut items, mut after) = (Vec::new(), None);
    loop {
        let page = some_of_model(tx, model, after.as_ref()).await?;
        items.extend(page.rows);
        after = page.next;
        if after.is_none() {
            return Ok(items);
        }
    }
}

/// Some items of a model, in whatever state.
async fn some_of_model(
    tx: &mut Tx,
    model: ModelId,
    after: Option<&Cursor>,
) -> Result<Page<Item>, StoreError> {
    let filter = ItemFilter {
        model: Some(model),
        ..ItemFilter::default()
    };
    let sort = (ItemSort::Mark, Direction::Up);
    tx.items(&filter, sort, after, 500).await
}
