//! Jobs: the list, the plan, the kit list, what may go at a position, and the verdict.

mod above;
mod answer;
mod brief;
mod change;
mod check_row;
mod facts;
mod forces;
mod in_place;
mod kit;
mod kit_row;
mod lack;
mod list;
mod nav;
mod need;
mod noted;
mod open_point;
mod other_rig;
mod plan;
mod planned;
mod position;
mod proposal;
mod proposal_open;
mod proposal_row;
mod verdict;
mod what_if;

pub use facts::{Asked, FactsOf, FactsSheet, source_of_all};
pub use in_place::InPlace;
pub use kit::KitSheet;
pub use kit_row::PositionRow;
pub(crate) use kit_row::takes;
pub use list::{JobList, JobRow};
pub(crate) use nav::job_nav;
pub use noted::Noted;
pub use other_rig::OtherRig;
pub(in crate::view) use plan::{BY_LOAD, cases};
pub use plan::{JobForm, PlanChoices};
pub(in crate::view) use planned::{planned_for, with_site};
pub use position::{CandidateRow, PositionSheet};
pub use proposal::{Parts as ProposalParts, ProposalSheet};
pub use proposal_row::{PickRow, RefusedRow};
pub use verdict::VerdictSheet;
pub use what_if::WhatIfSheet;

use super::part::{Badge, Tone};
use crate::domain::{Job, JobState, Zone};

/// The state of a job as a badge.
pub(super) fn state_badge(state: JobState) -> Badge {
    match state {
        JobState::Planned => Badge::new(Tone::Note, "planned"),
        JobState::Closed => Badge::new(Tone::Out, "closed"),
        JobState::Cancelled => Badge::new(Tone::Out, "cancelled"),
    }
}

/// When a job is, in words, on the clocks of a zone.
pub(in crate::view) fn when(job: &Job, zone: &Zone) -> String {
    format!(
        "{} to {}",
        zone.words(job.starts_at),
        zone.words(job.ends_at)
    )
}
