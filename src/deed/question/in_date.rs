//! Items that had no valid examination on a day.

use time::Date;

use super::{
    past::{items_on, versions_of},
    walk::{At, ITEMS, Part, Today},
};
use crate::{
    deed::DeedError,
    domain::{
        Item, ItemState, Model,
        fitness::interval_of,
        fold,
        question::{Cell, OutOfDate, Row, To, out_of_date},
        then::{Bound, version_on},
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
    let versions = versions_of(tx, today, &models).await?;
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
        let versions = versions.get(&item.model).map_or(&[][..], Vec::as_slice);
        let was = version_on(versions, on).unwrap_or(model);
        if let Some(why) = out_of_date(&then, was, &bound.rulebook, on) {
            part.tally.count(why.part());
            let (months, _) = interval_of(item, was, &bound.rulebook);
            part.rows.push(row(item, model, (months, bound), &why));
        }
    }
    let next = page.next.map_or(At::End, |next| At::Items(Some(next)));
    Ok((part, next))
}

fn row(item: &Item, model: &Model, (months, bound): (u16, &Bound), why: &OutOfDate) -> Row {
    let (passed, until) = why.days();
    Row {
        place: fold(&item.mark),
        cells: vec![
            Cell::Record(To::Item(item.id), item.mark.clone()),
            model.kind.word().into(),
            Cell::Record(To::Model(model.id), model.title()),
            passed.into(),
            until.into(),
            Cell::Number(months.into()),
            why.words().into(),
            bound.words.as_str().into(),
        ],
    }
}
