//! Whether a rig or a rulebook of the team's own is offered for new jobs: it can be withdrawn, and taken up again.

use serde::{Deserialize, Serialize};

use super::{FieldErrors, RigId, RulebookId};

/// A rig of the team's own is offered no more, or again.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct RigOffer {
    /// The rig.
    pub rig: RigId,
    /// Its title.
    pub title: String,
    /// Why.
    pub reason: String,
}

/// A rulebook of the team's own is offered no more, or again.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct RulebookOffer {
    /// The rulebook.
    pub rulebook: RulebookId,
    /// Its title.
    pub title: String,
    /// Why.
    pub reason: String,
}

/// Why something is withdrawn or taken up again, as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct OfferDraft {
    /// Why.
    pub reason: String,
}

impl OfferDraft {
    /// The reason.
    ///
    /// # Errors
    /// The field `reason` if it says nothing or too much.
    pub fn check(&self) -> Result<String, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let reason = wrong.reason("reason", &self.reason);
        wrong.or(|| reason)
    }
}

/// What a job was planned with and is offered for new jobs no more. The job keeps it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Withdrawn {
    /// Its rig.
    pub rig: bool,
    /// Its rulebook.
    pub rulebook: bool,
}
