//! What makers sell: one row a model, as it stands now.

use super::{
    Cell, Column,
    cell::{number, told, told_of},
    column::column,
};
use crate::domain::{Approval, Model, Rating};

/// How many cells a row has.
pub const CELLS: usize = 20;

/// The columns. `ratings` has each value as entered, what it is and how it is loaded; `limits` what the maker allows of
/// what is measured; `confirmed` the figures that such gear hardly ever has, and of which somebody said that they are so.
pub const COLUMNS: [Column; CELLS] = [
    column("kind").on_paper(2.0),
    column("maker").on_paper(2.4),
    column("model").on_paper(2.4),
    column("material").on_paper(1.8),
    column("life_support").on_paper(1.6),
    column("approvals").on_paper(4.0),
    column("ratings").on_paper(4.0),
    column("details"),
    column("limits"),
    column("life_years_from_made"),
    column("life_years_from_first_use"),
    column("life_by_condition"),
    column("most_use"),
    column("examine_every_months"),
    column("price"),
    column("instructions"),
    column("note"),
    column("revision"),
    column("model_id"),
    column("confirmed"),
];

fn yes(is_so: bool) -> Cell<'static> {
    if is_so { "yes" } else { "no" }.into()
}

fn rating(rating: &Rating) -> String {
    let (kind, mode) = (rating.kind.words(), rating.mode.words());
    format!("{} {kind}, {mode}", rating.value)
}

fn listed(parts: impl Iterator<Item = String>) -> Cell<'static> {
    parts.collect::<Vec<_>>().join("; ").into()
}

/// The row of a model.
pub fn row(model: &Model) -> [Cell<'_>; CELLS] {
    let details = model.attributes.typed().into_iter();
    let limits = model.limits.iter().map(|limit| {
        let ends = [("at least", limit.least), ("at most", limit.most)];
        let ends = ends
            .into_iter()
            .filter_map(|(word, end)| Some(format!("{word} {}", end?)));
        let ends = ends.collect::<Vec<_>>().join(", ");
        format!("{}: {ends} ({})", limit.criterion, limit.source)
    });
    let years = |years: Option<u16>| years.map_or(Cell::Nothing, number);
    [
        model.kind.key().into(),
        model.maker.as_str().into(),
        model.name.as_str().into(),
        model.material.key().into(),
        yes(model.life_support),
        listed(model.approvals.iter().map(Approval::words)),
        listed(model.ratings.iter().map(rating)),
        listed(details.map(|(key, text)| format!("{key}: {text}"))),
        listed(limits),
        years(model.life.years_from_made),
        years(model.life.years_from_first_use),
        yes(model.life.by_condition),
        model.use_limit.words().into(),
        years(model.examine_every_months),
        told_of(model.price.as_ref()),
        model.instructions.as_str().into(),
        model.note.as_str().into(),
        number(model.revision),
        told(model.id),
        model.confirmed().into(),
    ]
}
