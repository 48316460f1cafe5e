//! Items that had no valid examination on a day.

use time::Date;

use super::{
    past::items_on,
    walk::{At, ITEMS, Part, Today},
};
use crate::{
    deed::DeedError,
    domain::{
        Item, ItemState, Model,
        fitness::interval_of,
        fold,
        question::{Cell, OutOfDate, Row, To, out_of_date},
        then::Bound,
    },
    store::{Direction, ItemFilter, ItemSort, Tx},
};

pub(super) async fn part(
    tx: &mut Tx,
    today: &Today,
    on: Date,
    at: At,
) -> Result<(Part, At), DeedError> {
    let after = match at {
        At::Items(after) => after,
        _ => None,
    };
    let by_mark = (ItemSort::Mark, Direction::Up);
    let page = tx
        .items(&ItemFilter::default(), by_mark, after.as_ref(), ITEMS)
        .await?;
    let mut past = items_on(tx, today, on, &page.rows).await?;
    let mut models: Vec<_> = page.rows.iter().map(|item| item.model).collect();
    models.sort_unstable();
    models.dedup();
    let models = tx.models_of(&models).await?;
    let bound = today.rulebooks.on(on);
    let mut part = Part::default();
    for item in &page.rows {
        let (Some(then), Some(model)) = (past.remove(&item.id), models.get(&item.model)) else {
            continue;
        };
        if then.state != ItemState::InService {
            continue;
        }
        // What is on record of arduous use is told of an item, not of a day.
        let then = Item {
            arduous: item.arduous.clone(),
            ..then
        };
        part.tally.of += 1;
        if let Some(why) = out_of_date(&then, model, &bound.rulebook, on) {
            part.tally.count(why.part());
            part.rows.push(row(item, model, bound, &why));
        }
    }
    let next = page.next.map_or(At::End, |next| At::Items(Some(next)));
    Ok((part, next))
}

fn row(item: &Item, model: &Model, bound: &Bound, why: &OutOfDate) -> Row {
    let (passed, until) = why.days();
    Row {
        place: fold(&item.mark),
        cells: vec![
            Cell::Record(To::Item(item.id), item.mark.clone()),
            model.kind.word().into(),
            Cell::Record(To::Model(model.id), model.title()),
            passed.into(),
            until.into(),
            Cell::Number(interval_of(item, model, &bound.rulebook).0.into()),
            why.words().into(),
            bound.words.as_str().into(),
        ],
    }
}
