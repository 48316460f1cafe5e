//! Whether the register has what a notice names: a slip of the pen must not leave on the shelf what is called back.

use std::collections::{BTreeMap, BTreeSet};

use super::items_of_model;
use crate::{
    deed::DeedError,
    domain::{FieldErrors, Item, ItemState, Model, Notice, counted, fold, nearest},
    store::Tx,
};

/// What opens a notice all the same.
const ANYWAY: &str =
    "If it is right and may be bought later, tick \"Open it all the same\" (`anyway`: `yes`).";

/// What opens a notice that leaves out what is spelt much like what it names.
const OTHERS: &str = "What is the same under another spelling is left out of the notice: name it too (a model under further \
    models), or correct the record of the model first. If it is another, tick \"Open it all the same\" (`anyway`: `yes`).";

/// How many lots or serials are told by name.
const TOLD: usize = 5;

/// The makers of the register and the names of their models, as they are offered where a notice is written.
#[derive(Clone, Debug, Default)]
pub struct Known {
    /// The makers.
    pub makers: BTreeSet<String>,
    /// The names of their models.
    pub models: BTreeSet<String>,
}

impl Known {
    /// What the register has.
    ///
    /// # Errors
    /// [`DeedError`] if the register cannot be read.
    pub async fn of(tx: &mut Tx) -> Result<Self, DeedError> {
        let models = tx.models_counted().await?;
        Ok(Self {
            makers: models.iter().map(|(one, _)| one.maker.clone()).collect(),
            models: models.into_iter().map(|(one, _)| one.name).collect(),
        })
    }
}

/// What the register does not have of what a notice names, with what may be meant.
///
/// # Errors
/// [`DeedError`] if the register cannot be read.
pub(super) async fn unknown(tx: &mut Tx, notice: &Notice) -> Result<FieldErrors, DeedError> {
    let mut wrong = FieldErrors::default();
    let all = tx.models_counted().await?;
    let is_theirs = |model: &Model| fold(&model.maker) == fold(&notice.maker);
    let theirs: Vec<&(Model, u64)> = all.iter().filter(|(one, _)| is_theirs(one)).collect();
    if theirs.is_empty() {
        let makers = with_items(all.iter().map(|(one, items)| (one.maker.as_str(), *items)));
        let what = format!("The register has no maker \"{}\"", notice.maker);
        wrong.add("maker", "unknown", asked(&what, &notice.maker, &makers));
        return Ok(wrong);
    }
    let names = with_items(
        theirs
            .iter()
            .map(|(one, items)| (one.name.as_str(), *items)),
    );
    let has = |name: &str| names.keys().any(|one| fold(one) == fold(name));
    for (at, name) in notice.models().enumerate() {
        if !has(name) {
            let field = if at == 0 { "model_name" } else { "more_models" };
            let what = format!("The register has no model \"{name}\" of {}", notice.maker);
            wrong.add(field, "unknown", asked(&what, name, &names));
        }
    }
    let is_known = wrong.is_empty();
    ask_of_alike(&alike(tx, notice).await?, notice, &mut wrong);
    if is_known {
        let theirs = theirs.iter().map(|(model, _)| model);
        unknown_numbers(tx, (notice, theirs), &mut wrong).await?;
    }
    Ok(wrong)
}

/// The models that a notice leaves out although their maker or name is spelt much like what it names, each with how many items
/// it would cover if they were the same. What is retired is not counted.
///
/// # Errors
/// [`DeedError`] if the register cannot be read.
pub async fn alike(tx: &mut Tx, notice: &Notice) -> Result<Vec<(Model, usize)>, DeedError> {
    let mut found = Vec::new();
    if notice.withdrawn.is_some() {
        return Ok(found);
    }
    let all = tx.models_counted().await?.into_iter();
    for (model, _) in all.filter(|(model, items)| *items > 0 && notice.nearly_names(model)) {
        let items = items_of_model(tx, model.id).await?.into_iter();
        let asked = items.filter(|item| item.state != ItemState::Retired && notice.asks_for(item));
        match asked.count() {
            0 => {}
            items => found.push((model, items)),
        }
    }
    Ok(found)
}

/// Asks about models that a notice leaves out, under the field by which it does.
fn ask_of_alike(alike: &[(Model, usize)], notice: &Notice, wrong: &mut FieldErrors) {
    let is_theirs = |(model, _): &&(Model, usize)| fold(&model.maker) == fold(&notice.maker);
    let (models, makers): (Vec<_>, Vec<_>) = alike.iter().partition(is_theirs);
    for (field, some) in [("maker", makers), ("model_name", models)] {
        let (told, more) = some.split_at(some.len().min(TOLD));
        let told: Vec<String> = told
            .iter()
            .map(|(model, items)| {
                let items = counted(*items, "item", "items");
                format!("{}, {} ({items})", model.maker, model.name)
            })
            .collect();
        let more = match more.len() {
            0 => String::new(),
            more => format!("; and {more} more"),
        };
        let is_asked = wrong.0.iter().any(|error| error.field == field);
        if !told.is_empty() && !is_asked {
            let there = told.join("; ");
            let what =
                format!("The register also has, spelt much like it: {there}{more}. {OTHERS}");
            wrong.add(field, "alike", what);
        }
    }
}

/// Asks about lots and serials that no item of what a notice is about has: in silence they would call nothing back, whatever
/// was meant by them.
async fn unknown_numbers(
    tx: &mut Tx,
    (notice, theirs): (&Notice, impl Iterator<Item = &Model>),
    wrong: &mut FieldErrors,
) -> Result<(), DeedError> {
    if notice.lots.is_empty() && notice.lot_spans.is_empty() && notice.serials.is_empty() {
        return Ok(());
    }
    let (mut items, mut held) = (Vec::new(), Vec::new());
    for model in theirs.filter(|model| notice.names(model)) {
        let of_model = items_of_model(tx, model.id).await?;
        let is_held = |item: &&Item| item.state != ItemState::Retired && notice.covers(item, model);
        held.extend(of_model.iter().filter(is_held).cloned());
        items.extend(of_model);
    }
    let of = notice.of_words();
    let lots: Vec<&str> = items.iter().filter_map(|one| one.lot.as_deref()).collect();
    let named = notice.lots_beside(&lots, !held.is_empty());
    if let Some(why) = asked_of(&of, "lot", &named, &lots) {
        wrong.add("lots", "unknown", why);
    }
    let serials: Vec<&str> = items.iter().filter_map(Item::maker_serial).collect();
    let named = notice.serials_beside(&serials, !held.is_empty());
    if let Some(why) = asked_of(&of, "serial", &named, &serials) {
        wrong.add("serials", "unknown", why);
    }
    Ok(())
}

/// What is asked of lots or serials that no item has; nothing where there are none.
fn asked_of(of: &str, number: &str, named: &[String], there: &[&str]) -> Option<String> {
    let (told, more) = named.split_at(named.len().min(TOLD));
    let words = |numbers: &str| {
        let told: Vec<String> = told.iter().map(|one| format!("\"{one}\"")).collect();
        let told = told.join(", ");
        let more = match more.len() {
            0 => String::new(),
            more => format!(" and {more} more"),
        };
        format!(
            "No item of {of} has the {numbers} {told}{more} (one without a {number} counts as covered)"
        )
    };
    match named {
        [] => None,
        [one] => {
            let there = with_items(there.iter().map(|number| (*number, 1)));
            Some(asked(&words(number), one, &there))
        }
        _ => Some(format!("{}. {ANYWAY}", words(&format!("{number}s")))),
    }
}

/// The names, with how many items there are of each.
fn with_items<'a>(names: impl Iterator<Item = (&'a str, u64)>) -> BTreeMap<&'a str, u64> {
    let mut with_items = BTreeMap::new();
    for (name, items) in names {
        *with_items.entry(name).or_default() += items;
    }
    with_items
}

/// The question whether another name is meant, and what opens the notice all the same.
fn asked(what: &str, name: &str, names: &BTreeMap<&str, u64>) -> String {
    match nearest(name, names.keys().copied()) {
        Some(near) => {
            let items = names.get(near).copied().unwrap_or_default();
            let items = counted(items, "item", "items");
            format!("{what}; do you mean {near} ({items})? {ANYWAY}")
        }
        None => format!("{what}, and none that is spelt much like it. {ANYWAY}"),
    }
}
