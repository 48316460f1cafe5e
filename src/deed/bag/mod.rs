//! Bags: what belongs in each, what is in it and whether it is fit, looking through one, and moving items by scan.

mod check;
mod file;
mod list;

use super::{
    DeedError, Desk,
    kit::{with_crews, with_models},
    notice, permit,
};
use crate::{
    domain::{
        Actor, BagPart, Belonging, Contents, Deed, InPlace, Inside, Item, ItemId, Model, Packed,
        StoreId, fitness,
    },
    store::{Direction, ItemFilter, ItemSort, Tx},
};

pub use check::{Moved, check, move_into};
pub use file::file;
pub use list::list;

/// The most items of a place that are judged on its page.
pub const MOST_SHOWN: usize = 500;

/// What is in a place, and whether all of it is fit.
///
/// # Errors
/// [`DeedError::NotFound`] if there is no such place.
pub async fn show(desk: &Desk, actor: &Actor, id: StoreId) -> Result<InPlace, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let store = tx.store(id).await?.ok_or(DeedError::NotFound("store"))?;
    let bag = tx.bag(id).await?;
    let (pairs, more) = living(&mut tx, id).await?;
    let checked = tx.last_bag_check(id).await?;
    let ids: Vec<ItemId> = pairs.iter().map(|(item, _)| item.id).collect();
    let out = tx.out_of(&ids).await?;
    let mut packed: Vec<Packed> = pairs.iter().map(packed).collect();
    // What lies there fills the list before what is out or was not found.
    packed.sort_by_key(|one| {
        let mut missed = checked.iter().flat_map(|check| &check.missing);
        out.contains_key(&one.item) || missed.any(|item| *item == one.item)
    });
    let parts = bag.as_ref().map_or(&[][..], |bag| &bag.parts);
    let contents = Contents::of(parts, &packed);
    let named = checked.iter().flat_map(|check| &check.others);
    let named: Vec<ItemId> = named.copied().collect();
    let elsewhere = tx.items_of(&named).await?.into_values();
    let mut elsewhere: Vec<Item> = elsewhere.filter(|item| item.store != id).collect();
    elsewhere.sort_by(|one, other| one.mark.cmp(&other.mark));
    let words = words(&mut tx, parts).await?;
    let rulebook = tx.home_rulebook().await?;
    let title = rulebook.title().to_owned();
    let items = judged(&mut tx, desk, pairs).await?;
    Ok(InPlace {
        stores: tx.stores().await?,
        bags: tx.bags().await?,
        store,
        words,
        bag,
        items,
        more,
        contents,
        checked,
        elsewhere,
        rulebook: title,
    })
}

fn packed((item, model): &(Item, Model)) -> Packed {
    Packed {
        item: item.id,
        model: model.id,
        kind: model.kind,
    }
}

/// The items that live in a place and are not retired, with their models; and whether there are more.
async fn living(tx: &mut Tx, store: StoreId) -> Result<(Vec<(Item, Model)>, bool), DeedError> {
    let filter = ItemFilter {
        store: Some(store),
        without_retired: true,
        ..ItemFilter::default()
    };
    let sort = (ItemSort::Mark, Direction::Up);
    let most = u32::try_from(MOST_SHOWN).unwrap_or(u32::MAX);
    let page = tx.items(&filter, sort, None, most).await?;
    let more = page.next.is_some();
    Ok((with_models(tx, page.rows).await?, more))
}

/// Items with what speaks against each today, by the team's rulebook.
async fn judged(
    tx: &mut Tx,
    desk: &Desk,
    pairs: Vec<(Item, Model)>,
) -> Result<Vec<Inside>, DeedError> {
    let zone = tx.zone().await?;
    let today = zone.day(desk.clock.now());
    let rulebook = tx.home_rulebook().await?;
    let about = pairs.iter().map(|(item, model)| (item, model));
    let notice::About {
        notices,
        closings,
        still_open,
    } = notice::about(tx, about).await?;
    let ids: Vec<ItemId> = pairs.iter().map(|(item, _)| item.id).collect();
    let mut out = with_crews(tx, desk.clock.now(), &ids).await?;
    let judge = |(item, model): (Item, Model)| {
        let refusals = fitness::wherever(&fitness::Own {
            item: &item,
            model: &model,
            rulebook: &rulebook,
            home: None,
            notices: &notices,
            closings: &closings,
            still_open: &still_open,
            today,
            job_end: None,
            zone: &zone,
        });
        Inside {
            with_crew: out.remove(&item.id),
            item,
            model,
            refusals,
        }
    };
    Ok(pairs.into_iter().map(judge).collect())
}

/// The lines of a list in words, as they may be typed in again.
async fn words(tx: &mut Tx, parts: &[BagPart]) -> Result<Vec<String>, DeedError> {
    let (mut items, mut models) = (Vec::new(), Vec::new());
    for part in parts {
        match part.what {
            Belonging::Item(item) => items.push(item),
            Belonging::Model(model) => models.push(model),
            Belonging::Kind(_) => {}
        }
    }
    let items = tx.items_of(&items).await?;
    let models = tx.models_of(&models).await?;
    let word = |part: &BagPart| match part.what {
        Belonging::Item(item) => items.get(&item).map(|item| item.mark.clone()),
        Belonging::Model(model) => models.get(&model).map(Model::title),
        Belonging::Kind(kind) => Some(kind.word().to_owned()),
    };
    Ok(parts
        .iter()
        .map(|part| word(part).unwrap_or_else(|| "a record that is gone".to_owned()))
        .collect())
}
