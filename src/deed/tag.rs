//! Tags: putting a code on an item, taking it off, and finding the item by it.

use bytes::Bytes;
use time::OffsetDateTime;

use super::{DeedError, Desk, attachment::in_turn, bench, item, permit};
use crate::{
    domain::{
        Actor, Change, Deed, FieldErrors, Item, ItemDraft, ItemId, JobId, ModelId, TagId, fold,
        tag::{OwnCode, Scan, Tag, TagDraft, TagKind, TagRemoved, job_of, own_key},
    },
    import::{MOST_CODES, codes_in},
    store::{Direction, ItemFilter, ItemSort, Tx, WriteTx},
};

/// What a scanned code leads to.
#[derive(Clone, Debug)]
pub struct Found {
    /// The code, read.
    pub scan: Scan,
    /// The item that it is on, or whose mark or serial it is.
    pub item: Option<Item>,
    /// Where it may mean several: these, for somebody to choose.
    pub several: Vec<Item>,
    /// Where no item has it: the model of which another piece has a code of the same product.
    pub model: Option<ModelId>,
    /// The job whose kit list bears it.
    pub job: Option<JobId>,
}

/// Looks for the item that a scanned code is on; where none has it, for the item with this mark, or with this serial.
///
/// # Errors
/// [`DeedError::Invalid`] under `code` if the code cannot be read.
pub async fn look_up(desk: &Desk, actor: &Actor, code: &str) -> Result<Found, DeedError> {
    permit(actor, Deed::Read)?;
    let scan =
        Scan::read(code).map_err(|fault| FieldErrors::one("code", "code", fault.to_string()))?;
    let mut tx = desk.database.read(actor.team).await?;
    let job = match job_of(code) {
        Some(job) => tx.job(job).await?.map(|job| job.id),
        None => None,
    };
    let (item, several) = match bench::find(&mut tx, code).await? {
        bench::Found::One(item) => (Some(*item), Vec::new()),
        bench::Found::Several(items) => (None, items),
        bench::Found::None(_) => (None, Vec::new()),
    };
    let model = match (&item, scan.product()) {
        (None, Some(product)) => model_of(&mut tx, product).await?,
        _ => None,
    };
    Ok(Found {
        scan,
        item,
        several,
        model,
        job,
    })
}

/// What the codes in a photo say, each once; empty where none is found in it. Nothing is kept of the photo.
///
/// # Errors
/// [`DeedError::Invalid`] under `photo` if it cannot be read.
pub async fn read_photo(actor: &Actor, bytes: Bytes) -> Result<Vec<String>, DeedError> {
    permit(actor, Deed::ReportEvent)?;
    let read = in_turn(move || codes_in(&bytes)).await?;
    Ok(read.map_err(|unfit| FieldErrors::one("photo", "file", unfit.to_string()))?)
}

/// The one code of a photo: of several nobody knows which is meant.
///
/// # Errors
/// [`FieldErrors`] under `photo` where there is none, or more than one.
pub fn only(mut found: Vec<String>) -> Result<String, FieldErrors> {
    let words = match found.len() {
        0 => "No code was found in the photo. Go nearer, so that it fills the picture, hold still, and keep light and \
              shadow off it; or type what stands beside it."
            .to_owned(),
        1 => return Ok(found.remove(0)),
        n => {
            let more = if n == MOST_CODES { " or more" } else { "" };
            format!(
                "{n} codes{more} are in this photo, and nothing was opened. Take a photo that shows one of them alone."
            )
        }
    };
    Err(FieldErrors::one("photo", "code", words))
}

/// The item that a scanned code or a typed mark leads to.
///
/// # Errors
/// [`DeedError::Invalid`] under `field` where it is a code on one item and the mark of another.
pub(super) async fn item_coded(
    tx: &mut Tx,
    (field, text): (&str, &str),
) -> Result<Option<Item>, DeedError> {
    let Ok(scan) = Scan::read(text) else {
        return Ok(tx.item_marked(text).await?);
    };
    let mut meant = items_of(tx, &scan).await?;
    if let [tagged, marked] = meant.as_slice() {
        let sentence = format!(
            "{} is the mark of one item and a code on another, {}. Take that code off, or choose the item in the register.",
            marked.mark, tagged.mark
        );
        return Err(FieldErrors::one(field, "choice", sentence).into());
    }
    Ok(meant.pop())
}

/// The item on which a code is that reads so.
pub(super) async fn item_tagged(tx: &mut Tx, text: &str) -> Result<Option<Item>, DeedError> {
    match Scan::read(text) {
        Ok(scan) => tagged(tx, &scan).await,
        Err(_) => Ok(None),
    }
}

async fn tagged(tx: &mut Tx, scan: &Scan) -> Result<Option<Item>, DeedError> {
    for key in scan.keys() {
        if let Some(tag) = tx.tag_of_key(&key).await? {
            return Ok(tx.item(tag.item).await?);
        }
    }
    Ok(None)
}

/// The item that a code is on, and the one that has it as its mark, where that is another.
async fn items_of(tx: &mut Tx, scan: &Scan) -> Result<Vec<Item>, DeedError> {
    let mut meant = Vec::from_iter(tagged(tx, scan).await?);
    let marked = tx.item_marked(&scan.text).await?;
    let other = marked.filter(|item| meant.iter().all(|one| one.id != item.id));
    meant.extend(other);
    Ok(meant)
}

/// All that a code may mean: the item that it is on and the one that has it as its mark. A text may be the serial of
/// another too, and so may what a code says where it is on none.
pub(super) async fn all_meant(tx: &mut Tx, scan: &Scan) -> Result<Vec<Item>, DeedError> {
    let mut meant = items_of(tx, scan).await?;
    if meant.is_empty() || scan.kind == TagKind::Text {
        let serial = scan.serial().unwrap_or(&scan.text);
        let others = with_serial(tx, serial).await?.into_iter();
        let others = others.filter(|item| meant.iter().all(|other| other.id != item.id));
        let others: Vec<Item> = others.collect();
        meant.extend(others);
    }
    Ok(meant)
}

/// The items with this serial, of whatever model.
async fn with_serial(tx: &mut Tx, serial: &str) -> Result<Vec<Item>, DeedError> {
    let filter = ItemFilter {
        search: serial.to_owned(),
        ..ItemFilter::default()
    };
    let order = (ItemSort::Mark, Direction::Up);
    let page = tx.items(&filter, order, None, bench::MOST).await?;
    let is_it = |item: &Item| {
        let held = item.serial.as_deref();
        held.is_some_and(|held| fold(held) == fold(serial))
    };
    Ok(page.rows.into_iter().filter(is_it).collect())
}

async fn model_of(tx: &mut Tx, product: &str) -> Result<Option<ModelId>, DeedError> {
    let Some(tag) = tx.tag_of_product(product).await? else {
        return Ok(None);
    };
    Ok(tx.item(tag.item).await?.map(|item| item.model))
}

/// The item that a code of our own is on.
///
/// # Errors
/// [`DeedError::NotFound`] if it is no such code, or on no item of this team.
pub async fn item_of_own(desk: &Desk, actor: &Actor, code: &str) -> Result<ItemId, DeedError> {
    permit(actor, Deed::Read)?;
    let code = OwnCode::read(code).ok_or(DeedError::NotFound("tag"))?;
    let mut tx = desk.database.read(actor.team).await?;
    let tag = tx.tag_of_key(&own_key(code)).await?;
    Ok(tag.ok_or(DeedError::NotFound("tag"))?.item)
}

/// Puts a code on an item. Sent twice under one id it is put on once.
///
/// # Errors
/// [`DeedError::Invalid`] under `text` if the code cannot be read, many things have it, or another item has it.
pub async fn put(
    desk: &Desk,
    actor: &Actor,
    (id, item): (TagId, ItemId),
    draft: &TagDraft,
) -> Result<Tag, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let mut tx = desk.database.write(actor.team).await?;
    tx.item(item).await?.ok_or(DeedError::NotFound("item"))?;
    if let Some(there) = tx.tag(id).await? {
        return Ok(there);
    }
    let tag = draft.check(id, item)?;
    let tag = put_in(&mut tx, actor, desk.clock.now(), tag).await?;
    tx.commit().await?;
    Ok(tag)
}

async fn put_in(
    tx: &mut WriteTx,
    actor: &Actor,
    now: OffsetDateTime,
    tag: Tag,
) -> Result<Tag, DeedError> {
    if let Some(there) = tx.tag_of_key(&tag.key).await? {
        let on = tx.item(there.item).await?;
        let on = on.map_or_else(|| "another item".to_owned(), |item| item.mark);
        let message = format!(
            "This code is on {on} already. Take it off there first, if it was put on the wrong one."
        );
        return Err(FieldErrors::one("text", "taken", message).into());
    }
    if let Some(message) = read_otherwise(tx, &tag).await? {
        return Err(FieldErrors::one("text", "taken", message).into());
    }
    tx.record(actor, now, Change::TagAdded(tag.clone())).await?;
    Ok(tag)
}

/// Why a code cannot go on an item: it reads as the mark or the serial of another.
async fn read_otherwise(tx: &mut Tx, tag: &Tag) -> Result<Option<String>, DeedError> {
    if tag.kind != TagKind::Text {
        return Ok(None);
    }
    let marked = tx.item_marked(&tag.text).await?;
    if let Some(other) = marked.filter(|other| other.id != tag.item) {
        return Ok(Some(format!(
            "{} is the mark of another item: whoever scans this code would not know which is meant. Put another code on it.",
            other.mark
        )));
    }
    let others = with_serial(tx, &tag.text).await?;
    let other = others.into_iter().find(|other| other.id != tag.item);
    Ok(other.map(|other| {
        format!(
            "This is the serial of another item, {}: whoever scans this code would not know which is meant. Put another \
             code on it.",
            other.mark
        )
    }))
}

/// Adds an item together with a code that is on it: both, or neither.
///
/// # Errors
/// As for adding an item; what is wrong with the code stands under `tag`.
pub async fn add_item(
    desk: &Desk,
    actor: &Actor,
    id: ItemId,
    draft: &ItemDraft,
    code: &str,
) -> Result<Item, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let mut tx = desk.database.write(actor.team).await?;
    if let Some(there) = tx.item(id).await? {
        return Ok(there);
    }
    let added = item::add_in(&mut tx, desk, actor, (id, draft)).await?;
    let text = code.to_owned();
    let put = match (TagDraft { text }).check(TagId::new(), id) {
        Ok(tag) => put_in(&mut tx, actor, desk.clock.now(), tag).await,
        Err(wrong) => Err(wrong.into()),
    };
    put.map_err(|error| match error {
        DeedError::Invalid(mut wrong) => {
            for error in &mut wrong.0 {
                "tag".clone_into(&mut error.field);
            }
            DeedError::Invalid(wrong)
        }
        other => other,
    })?;
    tx.commit().await?;
    Ok(added)
}

/// Gives an item a code of our own, which nothing else of the team has.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has no such item.
pub async fn make_own(
    desk: &Desk,
    actor: &Actor,
    id: TagId,
    item: ItemId,
) -> Result<Tag, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let mut tx = desk.database.write(actor.team).await?;
    tx.item(item).await?.ok_or(DeedError::NotFound("item"))?;
    if let Some(there) = tx.tag(id).await? {
        return Ok(there);
    }
    let tag = Tag::own(id, item, free_code(&mut tx).await?);
    tx.record(actor, desk.clock.now(), Change::TagAdded(tag.clone()))
        .await?;
    tx.commit().await?;
    Ok(tag)
}

/// A code that is on nothing of the team.
pub(super) async fn free_code(tx: &mut Tx) -> Result<OwnCode, DeedError> {
    loop {
        let code = OwnCode::from_random(rand::random());
        if tx.tag_of_key(&own_key(code)).await?.is_none() {
            return Ok(code);
        }
    }
}

/// Why a tag is taken off, as typed in.
#[derive(
    Clone, Debug, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize, utoipa::ToSchema,
)]
#[serde(default, deny_unknown_fields)]
pub struct TagRemovalDraft {
    /// Why.
    pub reason: String,
}

/// The item and the tag on it.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has no such item, or no such tag is on it.
pub async fn on_item(tx: &mut Tx, item: ItemId, tag: TagId) -> Result<(Item, Tag), DeedError> {
    let item = tx.item(item).await?.ok_or(DeedError::NotFound("item"))?;
    let tag = tx.tag(tag).await?.filter(|tag| tag.item == item.id);
    Ok((item, tag.ok_or(DeedError::NotFound("tag"))?))
}

/// Takes a tag off an item; its code may then go on another.
///
/// # Errors
/// [`DeedError::Invalid`] without a reason; [`DeedError::NotFound`] if it is not on this item.
pub async fn remove(
    desk: &Desk,
    actor: &Actor,
    item: ItemId,
    tag: TagId,
    draft: &TagRemovalDraft,
) -> Result<Tag, DeedError> {
    permit(actor, Deed::KeepRegister)?;
    let mut tx = desk.database.write(actor.team).await?;
    let (item, tag) = on_item(&mut tx, item, tag).await?;
    let mut wrong = FieldErrors::default();
    let reason = wrong.reason("reason", &draft.reason);
    let removed = wrong.or(|| TagRemoved {
        tag: tag.id,
        item: item.id,
        text: tag.text.clone(),
        reason,
    })?;
    tx.record(actor, desk.clock.now(), Change::TagRemoved(removed))
        .await?;
    tx.commit().await?;
    Ok(tag)
}
