//! What complete sets are counted for, and what the answer speaks of.

use std::{borrow::Cow, collections::HashMap, sync::Arc};

use serde::{Deserialize, Serialize};
use time::Date;

use super::{
    FieldErrors, Item, ItemId, Job, JobDraft, JobId, Kind, Model, Pin, PinId, Zone, counted,
    proposal::{Readiness, Span},
};
use crate::rigging::Rig;

/// How far is looked ahead, in months.
pub const MONTHS_AHEAD: u16 = 24;

/// What sets are counted for: the plan of a job, or one as typed in.
#[derive(
    Clone,
    Debug,
    Default,
    PartialEq,
    Eq,
    Serialize,
    Deserialize,
    utoipa::ToSchema,
    utoipa::IntoParams,
)]
#[serde(default)]
#[into_params(parameter_in = Query)]
pub struct ReadinessDraft {
    /// A job, whose plan it is; then the others are left out.
    pub job: String,
    /// A plan that is pinned; then the others are left out.
    pub pin: String,
    /// The rig's key.
    pub rig: String,
    /// The rulebook's key.
    pub rulebook: String,
    /// The depth with its unit.
    pub depth: String,
    /// The load: a mass with its unit, or `1 person`, `2 persons`; with a `case` it may be empty and is that of its people.
    pub load: String,
    /// For how many people: `one-person`, `two-persons` or `rescue`; empty where the load alone says it.
    pub case: String,
    /// How far a travelling pulley goes before it is set back; empty where the rig has none.
    pub throw: String,
    /// From one anchor to the other; empty where the rope runs between none.
    pub between_anchors: String,
}

impl ReadinessDraft {
    /// The plan of a job.
    pub fn of_job(id: JobId) -> Self {
        Self {
            job: id.to_string(),
            ..Self::default()
        }
    }

    /// The plan that was written, as the addresses and forms name its fields.
    pub fn pairs(&self) -> [(&'static str, &str); 7] {
        [
            ("rig", &self.rig),
            ("rulebook", &self.rulebook),
            ("depth", &self.depth),
            ("load", &self.load),
            ("case", &self.case),
            ("throw", &self.throw),
            ("between_anchors", &self.between_anchors),
        ]
    }

    /// The plan as a job of one day.
    pub fn check(&self, today: Date, zone: &Zone) -> Result<Job, FieldErrors> {
        let draft = JobDraft {
            title: "One day".to_owned(),
            place: "Any".to_owned(),
            starts_at: format!("{today}T12:00"),
            ends_at: format!("{today}T13:00"),
            depth: self.depth.clone(),
            load: self.load.clone(),
            case: self.case.clone(),
            rulebook: self.rulebook.clone(),
            rig: self.rig.clone(),
            throw: self.throw.clone(),
            between_anchors: self.between_anchors.clone(),
            ..JobDraft::default()
        };
        draft.check(JobId::new(), 1, zone)
    }
}

/// How many sets could go out, and the records that the answer speaks of.
#[derive(Clone, Debug)]
pub struct Ready {
    /// The plan as a job of today.
    pub job: Job,
    /// The job whose plan it is, if it is that of one.
    pub of: Option<Job>,
    /// The pin whose plan it is, if it is that of one.
    pub pin: Option<PinId>,
    /// The rig.
    pub rig: Cow<'static, Rig>,
    /// The title of the rulebook.
    pub rulebook: String,
    /// The answer.
    pub readiness: Arc<Counted>,
    /// What the plan lacks to tell how long the ropes must be, a sentence each.
    pub plan_lacks: Vec<String>,
    /// Today, and the last day that is looked at.
    pub span: Span,
}

/// An answer with what it names.
#[derive(Clone, Debug)]
pub struct Counted {
    /// The answer.
    pub sets: Readiness,
    /// The items that it names, with their models.
    pub items: HashMap<ItemId, (Item, Model)>,
    /// How many of the items that were looked at are out with crews, and so in no set of today.
    pub out: usize,
    /// The kinds of which there are more items than were looked at.
    pub cut_off: Vec<Kind>,
}

impl Counted {
    /// How many items are out with crews, in a sentence; nothing where none is.
    pub fn out_words(&self) -> Option<String> {
        (self.out > 0).then(|| {
            format!(
                "{} of the kinds that the rig takes {} out with crews and in no set of today.",
                counted(self.out, "item", "items"),
                if self.out == 1 { "is" } else { "are" }
            )
        })
    }
}

/// A pinned plan with its answer.
#[derive(Clone, Debug)]
pub struct PinnedSets {
    /// The pin.
    pub pin: Pin,
    /// The answer; or why there is none, where its rig or its rulebook is not read any more.
    pub ready: Result<Ready, FieldErrors>,
}

/// The plans that the team works by.
#[derive(Clone, Debug)]
pub struct StandingSets {
    /// Those that are pinned, the first one pinned first.
    pub pinned: Vec<PinnedSets>,
    /// Each with its answer: those of planned jobs first, the next one first; then that of the last job with each
    /// other rig, of those that ended in the last two years.
    pub plans: Vec<Ready>,
    /// Whether there are more than were counted for.
    pub more: bool,
}
