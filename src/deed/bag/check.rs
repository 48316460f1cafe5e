//! Looking through a bag, and moving items by scan.

use super::{MOST_SHOWN, living, packed};
use crate::{
    deed::{
        DeedError, Desk,
        kit::{with_crews, with_models},
        permit,
        tag::item_coded,
    },
    domain::{
        Actor, BagCheck, BagCheckDraft, BagCheckId, Change, Contents, Deed, FieldErrors, Item,
        ItemId, ItemMoved, ItemState, MOST_IN_BAG, MoveDraft, Packed, StoreId, WithCrew, counted,
    },
    store::Tx,
};

/// Keeps what was in a bag when it was looked through. Sent twice under one id it is kept once.
///
/// # Errors
/// [`DeedError::Invalid`] with every code that no item has, and under `empty` where nothing was seen and nobody said so;
/// [`DeedError::NotFound`] if there is no such place.
pub async fn check(
    desk: &Desk,
    actor: &Actor,
    (id, store): (BagCheckId, StoreId),
    draft: &BagCheckDraft,
) -> Result<BagCheck, DeedError> {
    permit(actor, Deed::ReportEvent)?;
    let mut tx = desk.database.write(actor.team).await?;
    let place = tx.store(store).await?.ok_or(DeedError::NotFound("store"))?;
    if let Some(there) = tx.bag_check(id).await? {
        return Ok(there);
    }
    let mut wrong = FieldErrors::default();
    let note = wrong.note("note", &draft.note);
    let empty = wrong.tick("empty", &draft.empty);
    let mut seen = ticked(&mut tx, &draft.seen, &mut wrong).await?;
    seen.extend(scanned(&mut tx, "codes", &draft.codes, &mut wrong).await?);
    let (pairs, more) = living(&mut tx, store).await?;
    if more {
        let sentence = format!(
            "More than {MOST_SHOWN} items live here: put them into bags, and look through each."
        );
        wrong.add("codes", "range", sentence);
    }
    wrong.or(|| ())?;
    let mut living: Vec<ItemId> = pairs.iter().map(|(item, _)| item.id).collect();
    let ids: Vec<ItemId> = seen.iter().map(|item| item.id).collect();
    // What is out with a crew is missing in no bag: it is where the record says.
    let out = tx.out_of(&living).await?;
    living.retain(|item| ids.contains(item) || !out.contains_key(item));
    if ids.is_empty() && !living.is_empty() && !empty {
        return Err(nothing_seen(living.len()).into());
    }
    let (present, missing, others) = BagCheck::sorted(&living, &ids);
    let lacking = lacking(&mut tx, store, seen).await?;
    let now = desk.clock.now();
    let check = BagCheck {
        id,
        store,
        name: place.name,
        on: tx.day(now).await?,
        present,
        missing,
        others,
        lacking,
        note,
    };
    tx.record(actor, now, Change::BagChecked(check.clone()))
        .await?;
    tx.commit().await?;
    Ok(check)
}

/// How many of the list of a place are not among what was seen; none where it has no list.
async fn lacking(tx: &mut Tx, store: StoreId, seen: Vec<Item>) -> Result<Option<u32>, DeedError> {
    let Some(bag) = tx.bag(store).await? else {
        return Ok(None);
    };
    let seen = with_models(tx, seen).await?;
    let mut packed: Vec<Packed> = seen.iter().map(packed).collect();
    packed.sort_by_key(|one| one.item);
    packed.dedup_by_key(|one| one.item);
    let lacking = Contents::of(&bag.parts, &packed).lacking(&bag.parts);
    Ok(Some(u32::try_from(lacking).unwrap_or(u32::MAX)))
}

fn nothing_seen(living: usize) -> FieldErrors {
    let sentence = format!(
        "Nothing was ticked or scanned, and {} here: tick what is there, or say below that nothing of it is.",
        counted(living, "item lives", "items live")
    );
    FieldErrors::one("empty", "required", sentence)
}

/// The items of ids with commas between.
async fn ticked(tx: &mut Tx, text: &str, wrong: &mut FieldErrors) -> Result<Vec<Item>, DeedError> {
    let mut ids: Vec<ItemId> = Vec::new();
    let given = text.split(',').map(str::trim).filter(|id| !id.is_empty());
    for text in given {
        if let Ok(id) = text.parse() {
            ids.push(id);
        } else {
            let given: String = text.chars().take(40).collect();
            wrong.add("seen", "choice", format!("\"{given}\" is no item's id."));
        }
    }
    let found = tx.items_of(&ids).await?;
    if ids.iter().any(|id| !found.contains_key(id)) {
        wrong.add(
            "seen",
            "choice",
            "An item that was ticked is none of your team's.",
        );
    }
    Ok(found.into_values().collect())
}

/// The items of codes or marks, a line each.
async fn scanned(
    tx: &mut Tx,
    field: &str,
    text: &str,
    wrong: &mut FieldErrors,
) -> Result<Vec<Item>, DeedError> {
    let codes = text.lines().map(str::trim).filter(|code| !code.is_empty());
    let codes: Vec<&str> = codes.collect();
    if codes.len() > MOST_IN_BAG {
        let given = codes.len();
        let sentence = format!("{MOST_IN_BAG} codes at most at once; {given} were given.");
        wrong.add(field, "range", sentence);
        return Ok(Vec::new());
    }
    let mut items = Vec::new();
    for code in codes {
        if let Some(item) = item_coded(tx, (field, code)).await? {
            items.push(item);
        } else {
            let given: String = code.chars().take(60).collect();
            let sentence = format!("No item of your team has the code or the mark \"{given}\".");
            wrong.add(field, "choice", sentence);
        }
    }
    Ok(items)
}

/// An item that was moved by its record.
#[derive(Clone, Debug)]
pub struct Moved {
    /// The item.
    pub item: Item,
    /// With which job's crew it is, so that it does not lie where it was moved to.
    pub with_crew: Option<WithCrew>,
}

/// Moves items into a place, all or none; what is in it already stays. Gives those that moved.
///
/// # Errors
/// [`DeedError::Invalid`] with every code that no item has, and every item that is retired.
pub async fn move_into(
    desk: &Desk,
    actor: &Actor,
    to: StoreId,
    draft: &MoveDraft,
) -> Result<Vec<Moved>, DeedError> {
    permit(actor, Deed::ReportEvent)?;
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    tx.store(to).await?.ok_or(DeedError::NotFound("store"))?;
    let mut wrong = FieldErrors::default();
    let mut items = scanned(&mut tx, "codes", &draft.codes, &mut wrong).await?;
    if items.is_empty() && wrong.is_empty() {
        wrong.add("codes", "required", "Scan or write at least one item.");
    }
    for item in items.iter().filter(|item| item.state == ItemState::Retired) {
        let sentence = format!(
            "{} is retired, and that is for good: it is not moved.",
            item.mark
        );
        wrong.add("codes", "state", sentence);
    }
    wrong.or(|| ())?;
    items.sort_by_key(|item| item.id);
    items.dedup_by_key(|item| item.id);
    items.retain(|item| item.store != to);
    let moved = items.iter().map(|item| {
        Change::ItemMoved(ItemMoved {
            item: item.id,
            from: item.store,
            to,
        })
    });
    let moved: Vec<Change> = moved.collect();
    let ids: Vec<ItemId> = items.iter().map(|item| item.id).collect();
    let mut out = with_crews(&mut tx, now, &ids).await?;
    tx.record_all(actor, now, moved).await?;
    tx.commit().await?;
    let moved = items.into_iter().map(|item| Moved {
        with_crew: out.remove(&item.id),
        item: item.moved(to),
    });
    Ok(moved.collect())
}
