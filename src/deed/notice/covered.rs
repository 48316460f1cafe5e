//! What a notice covers, and what it covered: of one that was withdrawn the list stays, and so does what it was closed
//! for before a correction let it out.

use std::collections::{BTreeMap, HashMap};

use uuid::Uuid;

use super::{past::slipped_from, some_of_model, with_closings};
use crate::{
    deed::{DeedError, Desk, permit},
    domain::{
        Actor, Deed, ItemId, Model, ModelId, Notice, NoticeClosing, NoticeId, NoticeItem,
        NoticeStanding, fold,
    },
    store::{Cursor, Page, StoreError, Tx},
};

/// How many closings are read at once.
const SOME: u32 = 500;

/// A page of what a notice covers.
#[derive(Clone, Debug)]
pub struct Covered {
    /// The notice.
    pub notice: Notice,
    /// Items by mark, each with its closing if it was closed.
    pub page: Page<NoticeItem>,
    /// How many items it covers, or covered when it was withdrawn.
    pub all: usize,
    /// For how many of them it is open.
    pub open: usize,
    /// How many it was closed for and covers no more.
    pub let_out: usize,
}

/// A page of the items that a notice covers or covered, by mark, after `after`. All of them are counted, and no more than
/// a page is kept meanwhile.
///
/// # Errors
/// [`DeedError::NotFound`] if there is no such notice; [`StoreError::Cursor`] if the cursor belongs to another list.
pub async fn covered(
    desk: &Desk,
    actor: &Actor,
    id: NoticeId,
    after: Option<&Cursor>,
    limit: u32,
) -> Result<Covered, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    covered_in(&mut tx, id, after, limit).await
}

pub(in crate::deed) async fn covered_in(
    tx: &mut Tx,
    id: NoticeId,
    after: Option<&Cursor>,
    limit: u32,
) -> Result<Covered, DeedError> {
    let after = after
        .map(|after| {
            let [mark] = after.key::<1>().ok_or(StoreError::Cursor)?;
            Ok::<_, StoreError>((mark.clone(), after.id()))
        })
        .transpose()?;
    let notice = tx.notice(id).await?.ok_or(DeedError::NotFound("notice"))?;
    let mut found = Found {
        after,
        limit: limit as usize,
        rows: BTreeMap::new(),
        all: 0,
        open: 0,
        let_out: 0,
    };
    for model in tx.models_of_maker(&notice.maker).await? {
        of_model(tx, (&notice, &model), &mut found).await?;
    }
    for item in slipped_from(tx, &notice).await? {
        found.take(NoticeItem::still_open(item));
    }
    let_out(tx, &notice, &mut found).await?;
    Ok(found.of(notice))
}

/// The items of a model that a notice is about.
async fn of_model(
    tx: &mut Tx,
    (notice, model): (&Notice, &Model),
    found: &mut Found,
) -> Result<(), DeedError> {
    let mut beyond = None;
    loop {
        let page = some_of_model(tx, model.id, beyond.as_ref()).await?;
        let items = page.rows.into_iter();
        let items = items.filter(|item| notice.is_about(item, model));
        for (item, closing) in with_closings(tx, notice.id, items.collect()).await? {
            found.take(NoticeItem::new(notice, (item, model), closing));
        }
        beyond = page.next;
        if beyond.is_none() {
            return Ok(());
        }
    }
}

/// The items that a notice was closed for and that it is about no more.
async fn let_out(tx: &mut Tx, notice: &Notice, found: &mut Found) -> Result<(), DeedError> {
    let mut after: Option<ItemId> = None;
    loop {
        let closings = tx.closings_of_notice(notice.id, after, SOME).await?;
        let Some(last) = closings.last() else {
            return Ok(());
        };
        after = Some(last.item);
        for one in with_models(tx, notice, closings).await? {
            if one.standing == NoticeStanding::LetOut {
                found.take(one);
            }
        }
    }
}

/// The items of these closings of a notice, and how it stands for each.
pub(super) async fn with_models(
    tx: &mut Tx,
    notice: &Notice,
    closings: Vec<NoticeClosing>,
) -> Result<Vec<NoticeItem>, StoreError> {
    let ids: Vec<ItemId> = closings.iter().map(|closing| closing.item).collect();
    let mut items = tx.items_of(&ids).await?;
    let mut models: Vec<ModelId> = items.values().map(|item| item.model).collect();
    models.sort_unstable();
    models.dedup();
    let models: HashMap<ModelId, Model> = tx.models_of(&models).await?;
    let of = closings.into_iter().filter_map(|closing| {
        let item = items.remove(&closing.item)?;
        let model = models.get(&item.model)?;
        Some(NoticeItem::new(notice, (item, model), Some(closing)))
    });
    Ok(of.collect())
}

/// What was found so far.
struct Found {
    after: Option<(String, Uuid)>,
    limit: usize,
    rows: BTreeMap<(String, Uuid), NoticeItem>,
    all: usize,
    open: usize,
    let_out: usize,
}

impl Found {
    fn take(&mut self, one: NoticeItem) {
        if one.standing == NoticeStanding::LetOut {
            self.let_out += 1;
        } else {
            self.all += 1;
        }
        self.open += usize::from(one.standing.is_open());
        let key = (fold(&one.item.mark), one.item.id.0);
        if self.after.as_ref().is_none_or(|after| key > *after) {
            self.rows.insert(key, one);
        }
        // One more than a page tells whether there is a next one.
        if self.rows.len() > self.limit + 1 {
            self.rows.pop_last();
        }
    }

    fn of(mut self, notice: Notice) -> Covered {
        let more = self.rows.len() > self.limit;
        if more {
            self.rows.pop_last();
        }
        let cursors = self.rows.keys();
        let cursors: Vec<Cursor> = cursors
            .map(|(mark, id)| Cursor::new([mark.clone()], *id))
            .collect();
        Covered {
            notice,
            page: Page {
                next: cursors.last().filter(|_| more).cloned(),
                cursors,
                rows: self.rows.into_values().collect(),
            },
            all: self.all,
            open: self.open,
            let_out: self.let_out,
        }
    }
}
