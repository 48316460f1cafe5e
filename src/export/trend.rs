//! Counts over the whole register: a row for each group that is counted.

use std::collections::BTreeMap;

use time::Date;

use super::{
    Cell, Column,
    cell::{day, number, told, told_of},
    column::column,
};
use crate::domain::{
    Bill, Kind, Model, ModelId, RetiredFor,
    trend::{Ages, Ahead, LotFailures, RetiredGroup},
};

/// The columns of the ages. `years_since_made` is empty where the date made is not known.
pub const AGES: [Column; 5] = [
    column("years_since_made").on_paper(1.0),
    column("items").on_paper(1.0),
    column("within_life").on_paper(1.0),
    column("past_life").on_paper(1.0),
    column("no_end_told").on_paper(1.0),
];

/// Items by age.
pub fn ages(ages: &Ages) -> impl Iterator<Item = [Cell<'static>; 5]> {
    ages.groups.iter().map(|group| {
        let lives = group.lives;
        [
            group.years.map_or(Cell::Nothing, number),
            number(lives.items()),
            number(lives.within),
            number(lives.past),
            number(lives.open),
        ]
    })
}

/// The columns of what ends. `month` is `over` where the life is over already. `cost` has a sum for each currency;
/// `unpriced` are items with no price on record.
pub const AHEAD: [Column; 8] = [
    column("month").on_paper(1.2),
    column("kind").on_paper(1.6),
    column("model").on_paper(3.4),
    column("items").on_paper(1.0),
    column("price").on_paper(1.6),
    column("cost").on_paper(2.2),
    column("unpriced").on_paper(1.2),
    column("model_id"),
];

/// What ends by month and model.
pub fn ahead(
    ahead: &Ahead,
    models: &BTreeMap<ModelId, Model>,
) -> impl Iterator<Item = [Cell<'static>; 8]> {
    ahead.rows.iter().map(|row| {
        let model = models.get(&row.model);
        let price = model.and_then(|model| model.price.as_ref());
        let month = row.month.clone().unwrap_or_else(|| "over".to_owned());
        let Bill {
            items, unpriced, ..
        } = row.bill;
        [
            month.into(),
            model.map_or("", |model| model.kind.key()).into(),
            model.map(Model::title).unwrap_or_default().into(),
            number(items),
            told_of(price),
            row.bill.words().into(),
            number(unpriced),
            told(row.model),
        ]
    })
}

/// The columns of what failed. `lot` is empty for items that have none noted.
pub const FAILURES: [Column; 13] = [
    column("from"),
    column("until"),
    column("kind").on_paper(1.6),
    column("model").on_paper(2.8),
    column("lot").on_paper(1.6),
    column("items").on_paper(1.1),
    column("items_examined").on_paper(1.5),
    column("items_failed").on_paper(1.2),
    column("examinations").on_paper(1.9),
    column("examinations_failed").on_paper(1.9),
    column("events").on_paper(1.1),
    column("items_with_event").on_paper(1.3),
    column("model_id"),
];

/// What failed, a row a lot.
pub fn failures(
    lots: &[LotFailures],
    models: &BTreeMap<ModelId, Model>,
    (from, until): (Date, Date),
) -> impl Iterator<Item = [Cell<'static>; 13]> {
    lots.iter().map(move |lot| {
        let model = models.get(&lot.model);
        let counts = lot.failures;
        [
            day(Some(from)),
            day(Some(until)),
            model.map_or("", |model| model.kind.key()).into(),
            model.map(Model::title).unwrap_or_default().into(),
            told_of(lot.lot.as_ref()),
            number(counts.items),
            number(counts.items_examined),
            number(counts.items_failed),
            number(counts.examinations),
            number(counts.examinations_failed),
            number(counts.events),
            number(counts.items_with_event),
            told(lot.model),
        ]
    })
}

/// The columns of what was retired.
pub const RETIRED: [Column; 4] = [
    column("year").on_paper(1.0),
    column("kind").on_paper(1.6),
    column("retired_for").on_paper(2.0),
    column("items").on_paper(1.0),
];

/// What was retired, by year, kind and what for.
pub fn retired(groups: &[RetiredGroup]) -> impl Iterator<Item = [Cell<'static>; 4]> {
    let mut counts: BTreeMap<(i32, Option<usize>, RetiredFor), (Kind, u32)> = BTreeMap::new();
    for group in groups {
        let place = Kind::ALL.iter().position(|kind| *kind == group.kind);
        let key = (group.on.year(), place, group.because);
        counts.entry(key).or_insert((group.kind, 0)).1 += group.items;
    }
    counts
        .into_iter()
        .map(|((year, _, because), (kind, items))| {
            [
                number(year),
                kind.key().into(),
                because.key().into(),
                number(items),
            ]
        })
}
