//! Counts over the whole register: a row for each group that is counted.

use std::collections::BTreeMap;

use time::Date;

use super::{
    Cell, Table,
    cell::{day, number, told, told_of},
};
use crate::domain::{
    Bill, Kind, Model, ModelId, RetiredFor,
    trend::{Ages, Ahead, LotFailures, RetiredGroup},
};

fn whole<const N: usize>(headings: [&'static str; N], table: Table<N>) -> Vec<u8> {
    let mut bytes = Table::beginning(headings);
    bytes.extend(table.into_bytes());
    bytes
}

/// Items by age. `years_since_made` is empty where the date made is not known.
pub fn ages(ages: &Ages) -> Vec<u8> {
    let mut table = Table::part();
    for group in &ages.groups {
        let lives = group.lives;
        table.row([
            group.years.map_or(Cell::Nothing, number),
            number(lives.items()),
            number(lives.within),
            number(lives.past),
            number(lives.open),
        ]);
    }
    let headings = [
        "years_since_made",
        "items",
        "within_life",
        "past_life",
        "no_end_told",
    ];
    whole(headings, table)
}

/// What ends by month and model. `month` is `over` where the life is over already. `cost` has a sum for each currency;
/// `unpriced` are items with no price on record.
pub fn ahead(ahead: &Ahead, models: &BTreeMap<ModelId, Model>) -> Vec<u8> {
    let mut table = Table::part();
    for row in &ahead.rows {
        let model = models.get(&row.model);
        let price = model.and_then(|model| model.price.as_ref());
        let Bill {
            items, unpriced, ..
        } = row.bill;
        table.row([
            row.month
                .clone()
                .unwrap_or_else(|| "over".to_owned())
                .into(),
            model.map_or("", |model| model.kind.key()).into(),
            model.map(Model::title).unwrap_or_default().into(),
            number(items),
            told_of(price),
            row.bill.words().into(),
            number(unpriced),
            told(row.model),
        ]);
    }
    let headings = [
        "month", "kind", "model", "items", "price", "cost", "unpriced", "model_id",
    ];
    whole(headings, table)
}

/// What failed, a row a lot. `lot` is empty for items that have none noted.
pub fn failures(
    lots: &[LotFailures],
    models: &BTreeMap<ModelId, Model>,
    (from, until): (Date, Date),
) -> Vec<u8> {
    let mut table = Table::part();
    for lot in lots {
        let model = models.get(&lot.model);
        let counts = lot.failures;
        table.row([
            day(Some(from)),
            day(Some(until)),
            model.map_or("", |model| model.kind.key()).into(),
            model.map(Model::title).unwrap_or_default().into(),
            lot.lot.as_deref().unwrap_or_default().into(),
            number(counts.items),
            number(counts.items_examined),
            number(counts.items_failed),
            number(counts.examinations),
            number(counts.examinations_failed),
            number(counts.events),
            number(counts.items_with_event),
            told(lot.model),
        ]);
    }
    let headings = [
        "from",
        "until",
        "kind",
        "model",
        "lot",
        "items",
        "items_examined",
        "items_failed",
        "examinations",
        "examinations_failed",
        "events",
        "items_with_event",
        "model_id",
    ];
    whole(headings, table)
}

/// What was retired, by year, kind and what for.
pub fn retired(groups: &[RetiredGroup]) -> Vec<u8> {
    let mut counts: BTreeMap<(i32, Option<usize>, RetiredFor), (Kind, u32)> = BTreeMap::new();
    for group in groups {
        let place = Kind::ALL.iter().position(|kind| *kind == group.kind);
        let key = (group.on.year(), place, group.because);
        counts.entry(key).or_insert((group.kind, 0)).1 += group.items;
    }
    let mut table = Table::part();
    for ((year, _, because), (kind, items)) in counts {
        table.row([
            number(year),
            kind.key().into(),
            because.key().into(),
            number(items),
        ]);
    }
    whole(["year", "kind", "retired_for", "items"], table)
}
