//! The register: one row an item, as it stands now.

use super::{
    Table,
    cell::{day, moment, number, text},
};
use crate::domain::{Item, Model};

/// How many cells a row has.
pub const CELLS: usize = 31;

/// The headings.
pub const HEADINGS: [&str; CELLS] = [
    "mark",
    "kind",
    "maker",
    "model",
    "store",
    "serial",
    "lot",
    "made",
    "bought_on",
    "first_used_on",
    "markings_readable",
    "state",
    "state_reason",
    "state_since",
    "last_passed_on",
    "next_due_on",
    "details",
    "note",
    "revision",
    "item_id",
    "model_id",
    "store_id",
    "hours_used",
    "uses",
    "falls_held",
    "loads_carried",
    "event_hold",
    "cut_from_id",
    "cut_into_ids",
    "arduous_use",
    "price",
];

/// What one of the model costs, as far as that is on record.
fn price(model: Option<&Model>) -> String {
    let price = model.and_then(|model| model.price.as_ref());
    price.map(ToString::to_string).unwrap_or_default()
}

/// Adds an item of `model` that lives in the store of this name.
pub fn push(table: &mut Table<CELLS>, item: &Item, model: Option<&Model>, store: &str) {
    let details = item.attributes.typed().into_iter();
    let details: Vec<String> = details
        .map(|(key, text)| format!("{key}: {text}"))
        .collect();
    let into = item.cut_into.iter().flat_map(|into| &into.pieces);
    let into: Vec<String> = into.map(ToString::to_string).collect();
    table.row([
        item.mark.as_str().into(),
        model.map_or("", |model| model.kind.key()).into(),
        model.map_or("", |model| model.maker.as_str()).into(),
        model.map_or("", |model| model.name.as_str()).into(),
        store.into(),
        text(item.serial.as_ref()),
        text(item.lot.as_ref()),
        item.made
            .map(|made| made.to_string())
            .unwrap_or_default()
            .into(),
        day(item.bought_on),
        day(item.first_used_on),
        match item.markings_readable {
            Some(true) => "yes",
            Some(false) => "no",
            None => "",
        }
        .into(),
        item.state.key().into(),
        item.state_reason.as_str().into(),
        moment(item.state_since),
        day(item.last_passed_on),
        day(item.next_due_on),
        details.join("; ").into(),
        item.note.as_str().into(),
        number(item.revision),
        number(item.id),
        number(item.model),
        number(item.store),
        item.usage.hours().into(),
        number(item.usage.uses),
        number(item.usage.falls),
        number(item.usage.loads),
        match item.event_hold {
            None => "",
            Some(hold) if hold.examined => "to-return",
            Some(_) => "to-examine",
        }
        .into(),
        item.whole_ropes()
            .first()
            .map(|rope| rope.item.to_string())
            .unwrap_or_default()
            .into(),
        into.join(" ").into(),
        text(item.arduous.as_ref()),
        price(model).into(),
    ]);
}
