//! The list of jobs.

use askama::Template;

use super::{state_badge, when};
use crate::{
    domain::{Job, Zone},
    view::{
        Shell,
        file_choice::FileChoice,
        part::{Badge, Empty, Pager, SectionNav},
    },
};

/// All jobs, the next ones first.
#[derive(Template)]
#[template(path = "job/list.html")]
pub struct JobList {
    /// The frame.
    pub shell: Shell,
    /// Planned, closed, cancelled.
    pub nav: SectionNav,
    /// One a job.
    pub rows: Vec<JobRow>,
    /// What to do where there is none.
    pub empty: Empty,
    /// Whether the person may plan one.
    pub may_plan: bool,
    /// The next page.
    pub pager: Pager,
    /// Every job with its kit, as a file.
    pub file: FileChoice,
}

/// One job of the list.
pub struct JobRow {
    /// Where it is shown.
    pub href: String,
    /// Its title.
    pub title: String,
    /// Where.
    pub place: String,
    /// When.
    pub when: String,
    /// Where it stands.
    pub state: Badge,
}

impl JobRow {
    /// The row of a job, with the times of a zone.
    pub fn new(job: &Job, zone: &Zone) -> Self {
        Self {
            href: format!("/jobs/{}", job.id),
            title: job.title.clone(),
            place: job.place.clone(),
            when: when(job, zone),
            state: state_badge(job.state),
        }
    }
}

impl JobList {
    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use crate::{domain::JobState, view::PROBE};
        let row = || JobRow {
            href: "/jobs/1".to_owned(),
            title: PROBE.to_owned(),
            place: PROBE.to_owned(),
            when: String::new(),
            state: state_badge(JobState::Planned),
        };
        [Vec::new(), vec![row(), row()]]
            .into_iter()
            .map(|rows| Self {
                shell: Shell::sample("Jobs"),
                nav: SectionNav {
                    label: "Jobs by state".to_owned(),
                    links: vec![("Planned".to_owned(), "/jobs".to_owned())],
                    here: "/jobs".to_owned(),
                },
                rows,
                empty: Empty::new("No jobs.", "Plan one."),
                may_plan: true,
                pager: Pager::default(),
                file: FileChoice::sample(),
            })
            .collect()
    }
}
