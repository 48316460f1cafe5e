//! Whether the register has what a notice names: a slip of the pen must not leave on the shelf what is called back.

use std::collections::{BTreeMap, BTreeSet};

use crate::{
    deed::DeedError,
    domain::{FieldErrors, Model, Notice, fold, nearest},
    store::Tx,
};

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
        let makers = counted(all.iter().map(|(one, items)| (one.maker.as_str(), *items)));
        let what = format!("The register has no maker \"{}\"", notice.maker);
        wrong.add("maker", "unknown", asked(&what, &notice.maker, &makers));
        return Ok(wrong);
    }
    let names = counted(
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
    Ok(wrong)
}

/// The names, with how many items there are of each.
fn counted<'a>(names: impl Iterator<Item = (&'a str, u64)>) -> BTreeMap<&'a str, u64> {
    let mut counted = BTreeMap::new();
    for (name, items) in names {
        *counted.entry(name).or_default() += items;
    }
    counted
}

/// The question whether another name is meant, and what opens the notice all the same.
fn asked(what: &str, name: &str, names: &BTreeMap<&str, u64>) -> String {
    const ANYWAY: &str =
        "If it is right and may be bought later, tick \"Open it all the same\" (`anyway`: `yes`).";
    match nearest(name, names.keys().copied()) {
        Some(near) => {
            let items = match names.get(near) {
                Some(1) => "1 item".to_owned(),
                count => format!("{} items", count.copied().unwrap_or_default()),
            };
            format!("{what}; do you mean {near} ({items})? {ANYWAY}")
        }
        None => format!("{what}, and none that is spelt much like it. {ANYWAY}"),
    }
}
