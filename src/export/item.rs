//! The register: one row an item, as it stands now.

use super::{
    Cell, Column,
    cell::{day, decimal, moment, number, text, told, told_of},
    column::column,
};
use crate::domain::{Item, Model, fitness::due_on, rulebook::Rulebook};

/// How many cells a row has.
pub const CELLS: usize = 33;

/// The columns.
pub const COLUMNS: [Column; CELLS] = [
    column("mark").on_paper(2.0),
    column("kind").on_paper(1.8),
    column("maker").on_paper(2.2),
    column("model").on_paper(2.2),
    column("store").on_paper(2.0),
    column("serial").on_paper(2.2),
    column("lot"),
    column("made"),
    column("bought_on"),
    column("first_used_on"),
    column("markings_readable"),
    column("state").on_paper(1.9),
    column("state_reason"),
    column("state_since"),
    column("last_passed_on"),
    column("next_due_on").on_paper(1.9),
    column("details"),
    column("note"),
    column("revision"),
    column("item_id"),
    column("model_id"),
    column("store_id"),
    column("hours_used"),
    column("uses"),
    column("falls_held"),
    column("loads_carried"),
    column("event_hold"),
    column("cut_from_id"),
    column("cut_into_ids"),
    column("arduous_use"),
    column("price"),
    column("next_due_by"),
    column("next_due_recorded"),
];

/// The row of an item of `model` that lives in the store of this name. The day on which it is due next is the one that
/// binds under the team's rulebook, as on the pages; the one that its last examination set stands beside it.
pub fn row<'a>(
    item: &'a Item,
    model: Option<&'a Model>,
    store: &'a str,
    rulebook: &Rulebook,
) -> [Cell<'a>; CELLS] {
    let binding = model.and_then(|model| due_on(item, model, rulebook));
    let (due, rule) = binding.unzip();
    let details = item.attributes.typed().into_iter();
    let details: Vec<String> = details
        .map(|(key, text)| format!("{key}: {text}"))
        .collect();
    let into = item.cut_into.iter().flat_map(|into| &into.pieces);
    let into: Vec<String> = into.map(ToString::to_string).collect();
    [
        item.mark.as_str().into(),
        model.map_or("", |model| model.kind.key()).into(),
        model.map_or("", |model| model.maker.as_str()).into(),
        model.map_or("", |model| model.name.as_str()).into(),
        store.into(),
        text(item.serial.as_ref()),
        text(item.lot.as_ref()),
        told_of(item.made),
        day(item.bought_on),
        told_of(item.first_used_on),
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
        day(due),
        details.join("; ").into(),
        item.note.as_str().into(),
        number(item.revision),
        told(item.id),
        told(item.model),
        told(item.store),
        decimal(item.usage.hours()),
        number(item.usage.uses),
        number(item.usage.falls),
        number(item.usage.loads),
        match item.event_hold {
            None => "",
            Some(hold) if hold.examined => "to-return",
            Some(_) => "to-examine",
        }
        .into(),
        told_of(item.whole_ropes().first().map(|rope| rope.item)),
        into.join(" ").into(),
        text(item.arduous.as_ref()),
        told_of(model.and_then(|model| model.price.as_ref())),
        told_of(rule),
        day(item.next_due_on),
    ]
}
