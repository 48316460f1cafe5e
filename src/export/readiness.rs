//! How many complete sets could go out: a row for each day on which the number changes and each item behind it.

use std::{collections::HashMap, hash::BuildHasher};

use super::{
    Cell, Column,
    cell::{day, number, told},
    column::column,
};
use crate::domain::{
    Item, ItemId, Model,
    proposal::{Ended, Readiness},
};

/// How many cells a row has.
pub const CELLS: usize = 7;

/// The columns. `at_most` is what the rules of the single items allow.
pub const COLUMNS: [Column; CELLS] = [
    column("from").on_paper(1.6),
    column("sets").on_paper(0.8),
    column("at_most").on_paper(1.0),
    column("ended_mark").on_paper(2.0),
    column("ended_kind").on_paper(2.0),
    column("ended_for").on_paper(2.4),
    column("ended_item_id"),
];

/// A row for each change; where several items ended, a row for each of them.
pub fn rows(
    sets: &Readiness,
    items: &HashMap<ItemId, (Item, Model), impl BuildHasher>,
) -> Vec<[Cell<'static>; CELLS]> {
    let mut rows = Vec::new();
    for step in &sets.steps {
        let mut row = |ended: Option<&Ended>| {
            let of = ended.and_then(|ended| items.get(&ended.item));
            rows.push([
                day(Some(step.from)),
                number(step.sets),
                number(step.at_most),
                of.map_or(Cell::Nothing, |(item, _)| told(&item.mark)),
                of.map_or("", |(_, model)| model.kind.key()).into(),
                ended.map_or("", |ended| ended.why.key()).into(),
                ended.map_or(Cell::Nothing, |ended| told(ended.item)),
            ]);
        };
        if step.ended.is_empty() {
            row(None);
        }
        step.ended.iter().for_each(|ended| row(Some(ended)));
    }
    rows
}
