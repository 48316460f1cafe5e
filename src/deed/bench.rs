//! The bench: many items looked at one after another, by a list or as they come to hand.

use std::collections::HashMap;

use super::{DeedError, checklist, qualification, round, rulebook, tag};
use crate::{
    domain::{
        Checklist, Competence, Examination, FieldErrors, Item, ItemId, ItemState, JobId, Kind,
        Model, RoundId, Store, rulebook::Rulebook, tag::Scan,
    },
    store::{Direction, ItemFilter, ItemSort, Tx},
};

/// The most items that one list carries: a phone keeps the sheet of each.
pub const MOST: u32 = 500;

/// Which items a list is made of.
#[derive(Clone, Debug)]
pub enum Wanted {
    /// These, in this order.
    Named(Vec<ItemId>),
    /// The kit of a job.
    Kit(JobId),
    /// What a round of examinations is made of.
    Round(RoundId),
    /// What a search finds, by mark.
    Found(ItemFilter),
}

/// An item laid on the bench, with what whoever looks at it needs.
#[derive(Clone, Debug)]
pub struct Laid {
    /// The item.
    pub item: Item,
    /// Its model.
    pub model: Model,
    /// What is looked at.
    pub list: Checklist,
    /// The codes on it.
    pub codes: Vec<String>,
    /// The last examinations, the last done first.
    pub past: Vec<Examination>,
}

/// What a code leads to.
#[derive(Clone, Debug)]
pub enum Found {
    /// The item that it is on, or whose mark or serial it is.
    One(Box<Item>),
    /// It may mean several: somebody has to choose.
    Several(Vec<Item>),
    /// None has it.
    None(Box<Scan>),
}

/// What is the same for every item on the bench.
#[derive(Clone, Debug)]
pub struct Around {
    /// The team's rulebook.
    pub rulebook: Rulebook,
    /// Who is competent.
    pub competence: Competence,
    /// Where items live.
    pub stores: Vec<Store>,
}

/// What is the same for every item on the bench.
pub async fn around(tx: &mut Tx) -> Result<Around, DeedError> {
    Ok(Around {
        rulebook: rulebook::home(tx).await?.into_owned(),
        competence: qualification::of(tx).await?,
        stores: tx.stores().await?,
    })
}

/// The items of a list; what is retired can be looked at no more and is left out.
///
/// # Errors
/// [`DeedError::Invalid`] under `list` if it has more than [`MOST`]; [`DeedError::NotFound`] for a job or an item that
/// is not there.
pub async fn items(tx: &mut Tx, wanted: &Wanted) -> Result<Vec<Item>, DeedError> {
    let mut items = match wanted {
        Wanted::Named(ids) => named(tx, ids).await?,
        Wanted::Kit(job) => {
            tx.job(*job).await?.ok_or(DeedError::NotFound("job"))?;
            let kit = tx.kit(*job).await?;
            let ids: Vec<ItemId> = kit.iter().map(|line| line.item).collect();
            named(tx, &ids).await?
        }
        Wanted::Round(id) => {
            let round = tx.round(*id).await?.ok_or(DeedError::NotFound("round"))?;
            round::items_in(tx, &round).await?.0
        }
        Wanted::Found(filter) => {
            let order = (ItemSort::Mark, Direction::Up);
            let page = tx.items(filter, order, None, MOST).await?;
            if page.next.is_some() {
                return Err(too_long().into());
            }
            page.rows
        }
    };
    items.retain(|item| item.state != ItemState::Retired);
    Ok(items)
}

async fn named(tx: &mut Tx, ids: &[ItemId]) -> Result<Vec<Item>, DeedError> {
    if ids.len() > MOST as usize {
        return Err(too_long().into());
    }
    let mut there = tx.items_of(ids).await?;
    if ids.iter().any(|id| !there.contains_key(id)) {
        return Err(DeedError::NotFound("item"));
    }
    let items = ids.iter().filter_map(|id| there.remove(id));
    Ok(items.collect())
}

fn too_long() -> FieldErrors {
    let sentence =
        format!("A list carries at most {MOST} items, and this one has more: narrow it down.");
    FieldErrors::one("list", "long", sentence)
}

/// The item that a code is on, or that has it as its mark or its serial; all of them where it may mean several.
///
/// # Errors
/// [`DeedError::Invalid`] under `code` if the code cannot be read.
pub async fn find(tx: &mut Tx, code: &str) -> Result<Found, DeedError> {
    let scan =
        Scan::read(code).map_err(|fault| FieldErrors::one("code", "code", fault.to_string()))?;
    let mut meant = tag::all_meant(tx, &scan).await?;
    Ok(match (meant.len(), meant.pop()) {
        (1, Some(item)) => Found::One(Box::new(item)),
        (_, Some(last)) => {
            meant.push(last);
            Found::Several(meant)
        }
        (_, None) => Found::None(Box::new(scan)),
    })
}

/// Lays items on the bench.
///
/// # Errors
/// [`DeedError::NotFound`] if a model is not there.
pub async fn lay(tx: &mut Tx, items: Vec<Item>) -> Result<Vec<Laid>, DeedError> {
    let ids: Vec<ItemId> = items.iter().map(|item| item.id).collect();
    let mut codes = HashMap::<ItemId, Vec<String>>::new();
    for tag in tx.tags_of(&ids).await? {
        codes.entry(tag.item).or_default().push(tag.text);
    }
    let mut models: Vec<_> = items.iter().map(|item| item.model).collect();
    models.sort_unstable();
    models.dedup();
    let models = tx.models_of(&models).await?;
    let mut lists = HashMap::<Kind, Checklist>::new();
    let mut laid = Vec::with_capacity(items.len());
    for item in items {
        let model = models.get(&item.model).cloned();
        let model = model.ok_or(DeedError::NotFound("model"))?;
        let list = match lists.get(&model.kind) {
            Some(list) => list.clone(),
            None => checklist::newest(tx, model.kind).await?,
        };
        lists.entry(model.kind).or_insert_with(|| list.clone());
        let past = tx
            .examinations_in_line(&item, checklist::LOOKED_BACK)
            .await?;
        laid.push(Laid {
            codes: codes.remove(&item.id).unwrap_or_default(),
            past,
            item,
            model,
            list,
        });
    }
    Ok(laid)
}
