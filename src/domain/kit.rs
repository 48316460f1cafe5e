//! The kit list of a job: items, each for a position of the rig or as a spare.

use serde::{Deserialize, Serialize};

use super::{ItemId, JobId, KitLineId};

/// One item on a job.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct KitLine {
    /// Its id.
    pub id: KitLineId,
    /// The job.
    pub job: JobId,
    /// The item.
    pub item: ItemId,
    /// The position of the rig it fills; none is a spare.
    pub position: Option<String>,
}

/// An item was taken off a job.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct KitLineRemoved {
    /// The line.
    pub line: KitLineId,
    /// The job.
    pub job: JobId,
    /// The item.
    pub item: ItemId,
    /// Why.
    pub reason: String,
}

/// A kit line as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct KitLineDraft {
    /// The item's id or its mark.
    pub item: String,
    /// The position's key; empty is a spare.
    pub position: String,
}
