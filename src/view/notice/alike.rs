//! Models that a notice leaves out although they are spelt much like what it names.

use super::super::words;
use crate::domain::Model;

/// One of them.
pub(super) struct AlikeRow {
    pub href: String,
    pub title: String,
    pub items: String,
}

impl AlikeRow {
    /// A model with how many items the notice would cover if it were the same.
    pub fn new((model, items): &(Model, usize)) -> Self {
        Self {
            href: format!("/models/{}", model.id),
            title: format!("{}, {}", model.maker, model.name),
            items: words::count(*items, "item", "items"),
        }
    }
}
