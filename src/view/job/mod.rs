//! Jobs: the list, the plan, the kit list, what may go at a position, and the verdict.

mod change;
mod forces;
mod kit;
mod lack;
mod list;
mod need;
mod plan;
mod position;
mod proposal;
mod verdict;
mod what_if;

pub use kit::{KitSheet, PositionRow};
pub(crate) use kit::{job_nav, takes};
pub use list::{JobList, JobRow};
pub use plan::{JobForm, PlanChoices};
pub use position::{CandidateRow, PositionSheet};
pub use proposal::{Parts as ProposalParts, PickRow, ProposalSheet, RefusedRow};
pub use verdict::VerdictSheet;
pub use what_if::WhatIfSheet;

use super::part::{Badge, Tone};
use crate::domain::{Edition, Job, JobState, KitList, Zone};

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

/// The rig of a job in words; of a team's own, the version that the job keeps.
pub(super) fn rig_words(list: &KitList) -> String {
    let title = list.rig.title();
    match Edition::read(&list.job.rig).version {
        Some(version) => format!("{title} (own, version {version})"),
        None => title.to_owned(),
    }
}
