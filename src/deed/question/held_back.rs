//! Items that no job takes.

use std::collections::HashMap;

use time::Date;

use super::walk::{At, ITEMS, Part, Today};
use crate::{
    deed::{DeedError, kit::with_models, notice},
    domain::{
        Item, Model, Refusal, StoreId,
        fitness::{Own, wherever},
        fold,
        question::{Cell, Row, To},
    },
    store::{Direction, ItemFilter, ItemSort, Tx},
};

pub(super) async fn part(
    tx: &mut Tx,
    today: &Today,
    until: Date,
    at: At,
) -> Result<(Part, At), DeedError> {
    let after = match at {
        At::Items(after) => after,
        _ => None,
    };
    let filter = ItemFilter {
        without_retired: true,
        ..ItemFilter::default()
    };
    let by_mark = (ItemSort::Mark, Direction::Up);
    let page = tx.items(&filter, by_mark, after.as_ref(), ITEMS).await?;
    let pairs = with_models(tx, page.rows).await?;
    let about = pairs.iter().map(|(item, model)| (item, model));
    let notice::About {
        notices,
        closings,
        still_open,
    } = notice::about(tx, about).await?;
    let rulebook = tx.home_rulebook().await?;
    let stores = tx.stores().await?.into_iter();
    let stores: HashMap<StoreId, String> = stores.map(|store| (store.id, store.name)).collect();
    let mut part = Part::default();
    for (item, model) in &pairs {
        part.tally.of += 1;
        let refusals = wherever(&Own {
            item,
            model,
            rulebook: &rulebook,
            home: None,
            notices: &notices,
            closings: &closings,
            still_open: &still_open,
            today: today.day,
            job_end: (until > today.day).then_some(until),
            zone: &today.zone,
        });
        if !refusals.is_empty() {
            part.tally.found += 1;
            let mut reasons: Vec<_> = refusals.iter().map(|one| one.code.words()).collect();
            reasons.sort_unstable();
            reasons.dedup();
            for reason in reasons {
                part.tally.count_beside(reason);
            }
            let store = stores.get(&item.store);
            part.rows.push(row((item, model), store, &refusals));
        }
    }
    let next = page.next.map_or(At::End, |next| At::Items(Some(next)));
    Ok((part, next))
}

fn row((item, model): (&Item, &Model), store: Option<&String>, refusals: &[Refusal]) -> Row {
    let reasons: Vec<&str> = refusals.iter().map(|one| one.sentence.as_str()).collect();
    Row {
        place: fold(&item.mark),
        cells: vec![
            Cell::Record(To::Item(item.id), item.mark.clone()),
            model.kind.word().into(),
            Cell::Record(To::Model(model.id), model.title()),
            store.map_or(Cell::Nothing, |name| name.as_str().into()),
            reasons.join(" ").into(),
        ],
    }
}
