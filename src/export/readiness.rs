//! How many complete sets could go out: a row for each day on which the number changes and each item behind it.

use std::{collections::HashMap, hash::BuildHasher};

use super::{
    Table,
    cell::{day, number},
};
use crate::domain::{Item, ItemId, Model, proposal::Readiness};

/// A row for each change; where several items ended, a row for each of them. `at_most` is what the rules of the single
/// items allow.
pub fn readiness(
    sets: &Readiness,
    items: &HashMap<ItemId, (Item, Model), impl BuildHasher>,
) -> Vec<u8> {
    let mut table = Table::part();
    for step in &sets.steps {
        let mut row = |mark: &str, kind: &'static str, why: &'static str, id: String| {
            table.row([
                day(Some(step.from)),
                number(step.sets),
                number(step.at_most),
                mark.to_owned().into(),
                kind.into(),
                why.into(),
                id.into(),
            ]);
        };
        if step.ended.is_empty() {
            row("", "", "", String::new());
        }
        for ended in &step.ended {
            let of = items.get(&ended.item);
            let mark = of.map_or("", |(item, _)| item.mark.as_str());
            let kind = of.map_or("", |(_, model)| model.kind.key());
            row(mark, kind, ended.why.key(), ended.item.to_string());
        }
    }
    let headings = [
        "from",
        "sets",
        "at_most",
        "ended_mark",
        "ended_kind",
        "ended_for",
        "ended_item_id",
    ];
    let mut bytes = Table::beginning(headings);
    bytes.extend(table.into_bytes());
    bytes
}
