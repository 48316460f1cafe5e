//! A job: where, when, how deep, what load, by which rulebook, with which rig.

use serde::{Deserialize, Serialize};
use time::OffsetDateTime;

use super::entered::{EnteredForce, EnteredLength, EnteredMass};
use super::{IssueId, JobId, LoadCase, NotAllowed, Site, StoreId, counted};
use crate::rigging::{Force, Mass, digits};

/// What hangs on the rope.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Load {
    /// A mass that was weighed or estimated.
    Mass(EnteredMass),
    /// The weight that somebody plans with; its mass counts.
    Force(EnteredForce),
    /// So many people, each with the mass that the rulebook plans with.
    Persons(u8),
}

impl Load {
    /// The mass, with `person` as the rulebook's mass of one person with kit.
    ///
    /// # Errors
    /// A sum beyond the limits of a mass.
    pub fn mass(self, person: Mass) -> Result<Mass, crate::rigging::BoundsError> {
        match self {
            Self::Mass(mass) => Ok(mass.quantity()),
            Self::Force(weight) => Mass::from_kilograms(weight.quantity().kilograms_force()),
            Self::Persons(count) => Mass::from_kilograms(person.kilograms() * f64::from(count)),
        }
    }
}

impl Load {
    /// Which mass is counted for a weight that was entered, in words; nothing where a mass or people were.
    pub fn counted_mass(self) -> Option<String> {
        let Self::Force(weight) = self else {
            return None;
        };
        let mass = digits(weight.quantity().kilograms_force(), 6);
        Some(format!(
            "counted as the weight of {mass} kg, with g = 9.80665 m/s²"
        ))
    }
}

impl std::fmt::Display for Load {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Mass(mass) => mass.fmt(f),
            Self::Force(weight) => weight.fmt(f),
            Self::Persons(count) => f.write_str(&counted(*count, "person", "persons")),
        }
    }
}

/// Where a job stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum JobState {
    /// Planned; holds its items for its time.
    Planned,
    /// Done; its items are free.
    Closed,
    /// Called off; its items are free.
    Cancelled,
}

impl JobState {
    /// All states.
    pub const ALL: [Self; 3] = [Self::Planned, Self::Closed, Self::Cancelled];

    /// The word for programs and people.
    pub fn key(self) -> &'static str {
        match self {
            Self::Planned => "planned",
            Self::Closed => "closed",
            Self::Cancelled => "cancelled",
        }
    }

    /// Reads the word.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|state| state.key() == key)
    }

    /// Whether the job may be changed and holds its items.
    ///
    /// # Errors
    /// [`NotAllowed::JobEnded`] once it is closed or cancelled.
    pub fn must_be_planned(self) -> Result<(), NotAllowed> {
        if self == Self::Planned {
            Ok(())
        } else {
            Err(NotAllowed::JobEnded)
        }
    }
}

/// A planned piece of work.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Job {
    /// Its id.
    pub id: JobId,
    /// Counts the changes, from 1.
    pub revision: u32,
    /// One line that says what it is.
    pub title: String,
    /// Where.
    pub place: String,
    /// From when it needs its items.
    #[serde(with = "time::serde::rfc3339")]
    pub starts_at: OffsetDateTime,
    /// Until when it needs its items.
    #[serde(with = "time::serde::rfc3339")]
    pub ends_at: OffsetDateTime,
    /// How deep the load goes.
    pub depth: EnteredLength,
    /// What hangs on the rope.
    pub load: Load,
    /// For how many people, in which case; none where the plan does not say it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub case: Option<LoadCase>,
    /// The store, or the bag, that a proposed kit takes from before all others; none where the plan does not say it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub first_from: Option<StoreId>,
    /// The rulebook's key.
    pub rulebook: String,
    /// The rig's key.
    pub rig: String,
    /// How the rig stands and is worked.
    pub setup: Setup,
    /// Hazards, the edge, the anchors.
    #[serde(default, skip_serializing_if = "Site::is_blank")]
    pub site: Site,
    /// A note on anything else; what was planned before there were fields for the site has it here.
    pub note: String,
    /// Where it stands.
    pub state: JobState,
    /// The issue by which its kit is with a crew; the plan and the kit stay as they are meanwhile.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub issued: Option<IssueId>,
}

/// How the rig stands and is worked; what the rope length, the haulers and the strength need.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Setup {
    /// From the edge up to where the rig hangs.
    pub head_gap: EnteredLength,
    /// What the pulleys and connectors of both ends take of the height together.
    pub block_length: EnteredLength,
    /// Rope kept at the hand.
    pub tail: EnteredLength,
    /// Rope in knots.
    pub knots: EnteredLength,
    /// How far a travelling pulley goes before it is set back; only rigs that have one need it.
    pub throw: Option<EnteredLength>,
    /// From one anchor to the other, straight along the rope; only rigs whose rope runs between two need it.
    pub between_anchors: Option<EnteredLength>,
    /// The girth of the thickest body that a strop or a sling of the rig goes round; where it is not given, that is not
    /// judged.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub anchor_girth: Option<EnteredLength>,
    /// Whether the rope gets wet.
    pub wet: bool,
    /// What one hauler pulls, as the team sets it.
    pub pull_each: EnteredForce,
    /// The rope that goes through the hands in a second, where the team counts with a speed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hand_speed: Option<EnteredLength>,
    /// What the whole crew pulls if the load is stuck; where it is not given, that is not judged.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stuck_pull: Option<EnteredForce>,
    /// How far the load drops before a belay is tight; where it is not given, a catch is not judged.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub catch_slack: Option<EnteredLength>,
    /// The rope from the belay device to the load, which stretches in a catch.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub catch_rope: Option<EnteredLength>,
    /// The factor asked of a stuck load and a catch; the rulebook's where it is not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub exceptional_factor: Option<f64>,
    /// Whether a competent person has planned the line across a span that the rig hangs from.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub line_planned: bool,
    /// Whether own harnesses are worn that are not in the register: those are not judged, and what is on the list is.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub own_harness: bool,
}

impl Setup {
    /// What one hauler pulls.
    pub fn pull(&self) -> Force {
        self.pull_each.quantity()
    }
}

impl Job {
    /// Whether its plan and its kit may change.
    ///
    /// # Errors
    /// [`NotAllowed::JobEnded`] once it is closed or cancelled, [`NotAllowed::KitIsOut`] while its kit is issued.
    pub fn may_change(&self) -> Result<(), NotAllowed> {
        self.state.must_be_planned()?;
        match self.issued {
            Some(_) => Err(NotAllowed::KitIsOut),
            None => Ok(()),
        }
    }

    /// How many people hang on the rope, where the plan says it.
    pub fn people(&self) -> Option<u8> {
        match (self.case, self.load) {
            (Some(case), _) => Some(case.people()),
            (None, Load::Persons(count)) => Some(count.max(1)),
            (None, Load::Mass(_) | Load::Force(_)) => None,
        }
    }

    /// Whether the two jobs need their items at the same time.
    ///
    /// A job that ends at the moment the other starts leaves them free.
    pub fn overlaps(&self, other: &Self) -> bool {
        self.starts_at < other.ends_at && other.starts_at < self.ends_at
    }
}

/// How a job ends.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct JobEnd {
    /// The job.
    pub job: JobId,
    /// Closed or cancelled.
    pub state: JobState,
    /// Why or how.
    pub reason: String,
}
