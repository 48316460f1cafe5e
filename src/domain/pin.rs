//! Pinned plans: what a team keeps complete sets for, whether a job is planned for it or not.

use serde::{Deserialize, Serialize};
use time::Date;

use super::{
    FieldErrors, Job, Load, LoadCase, PinId, Zone, entered::EnteredLength, ready::ReadinessDraft,
};

/// How many plans may be pinned at once: the sets for each are counted when the list is looked at.
pub const MOST_PINS: usize = 12;

/// A plan that complete sets are counted for.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Pin {
    /// Its id.
    pub id: PinId,
    /// The rig's key, in the version that was the newest when it was pinned.
    pub rig: String,
    /// The rulebook's key, likewise.
    pub rulebook: String,
    /// How deep the load goes.
    pub depth: EnteredLength,
    /// What hangs on the rope.
    pub load: Load,
    /// For how many people, in which case; none where the load alone says it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub case: Option<LoadCase>,
    /// How far a travelling pulley goes before it is set back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub throw: Option<EnteredLength>,
    /// From one anchor to the other.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub between_anchors: Option<EnteredLength>,
}

/// That a plan is pinned no longer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PinRemoved {
    /// Which, as it was.
    pub pin: Pin,
}

impl Pin {
    /// The pin of a plan that was checked, and of which rig and rulebook are settled.
    pub fn of(id: PinId, plan: &Job) -> Self {
        Self {
            id,
            rig: plan.rig.clone(),
            rulebook: plan.rulebook.clone(),
            depth: plan.depth,
            load: plan.load,
            case: plan.case,
            throw: plan.setup.throw,
            between_anchors: plan.setup.between_anchors,
        }
    }

    /// The plan as a job of one day.
    ///
    /// # Errors
    /// Every field that does not hold any more.
    pub fn plan(&self, today: Date, zone: &Zone) -> Result<Job, FieldErrors> {
        let text = |length: Option<EnteredLength>| {
            length.map_or_else(String::new, |length| length.to_string())
        };
        let draft = ReadinessDraft {
            rig: self.rig.clone(),
            rulebook: self.rulebook.clone(),
            depth: self.depth.to_string(),
            load: self.load.to_string(),
            case: self.case.map_or("", LoadCase::key).to_owned(),
            throw: text(self.throw),
            between_anchors: text(self.between_anchors),
            ..ReadinessDraft::default()
        };
        draft.check(today, zone)
    }

    /// Whether two pins are of the same plan.
    pub fn is_same_plan(&self, other: &Self) -> bool {
        *self
            == Self {
                id: self.id,
                ..other.clone()
            }
    }

    /// The plan in words: "four-to-one-pull-down, 15 m deep, 1 person, by european".
    pub fn words(&self) -> String {
        let case = self
            .case
            .map(|case| format!(", planned for {}", case.word()));
        format!(
            "{}, {} deep, {}{}, by {}",
            self.rig,
            self.depth,
            self.load,
            case.unwrap_or_default(),
            self.rulebook
        )
    }
}
