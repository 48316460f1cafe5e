//! The answer to a change of an item's record.

use serde::Serialize;
use utoipa::ToSchema;

use crate::{deed::item::Revised, domain::Item};

/// An item whose record was changed, and what came of it.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct RevisedJson {
    #[serde(flatten)]
    item: Item,
    /// What else came of it, and what did not, a sentence each: pieces of a rope that were corrected alike, and those that
    /// keep something of their own; that what it passed as another kind of gear does not count.
    told: Vec<String>,
}

impl From<Revised> for RevisedJson {
    fn from(Revised { item, told }: Revised) -> Self {
        Self { item, told }
    }
}
