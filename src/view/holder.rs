//! Who had what a safety notice covers, and on which jobs.

use askama::Template;

use super::{
    Shell,
    file_choice::FileChoice,
    notice::state,
    part::{Badge, Empty, Pager},
};
use crate::domain::{ItemId, Job, NoticeId, NoticeItem, Zone};

/// An item that a notice covers or covered, with the jobs it was on.
pub struct HolderRow {
    id: ItemId,
    mark: String,
    model: String,
    state: Badge,
    notice: String,
    jobs: Vec<JobLine>,
}

struct JobLine {
    href: String,
    title: String,
    what: String,
}

impl HolderRow {
    /// An item of a model with this title.
    pub fn new(of: &NoticeItem, model: String) -> Self {
        let item = &of.item;
        Self {
            id: item.id,
            mark: item.mark.clone(),
            model,
            state: state(item.state),
            notice: of.in_words(),
            jobs: Vec::new(),
        }
    }

    /// Notes that it was on a job: who put it on, when in words, and whether it was taken off again.
    pub fn on(&mut self, job: &Job, (by, at, taken_off): (&str, &str, bool), zone: &Zone) {
        let off = if taken_off { ", taken off again" } else { "" };
        self.jobs.push(JobLine {
            href: format!("/jobs/{}", job.id),
            title: job.title.clone(),
            what: format!(
                "{}, {} to {}, {}; put on by {by}, {at}{off}",
                job.place,
                zone.words(job.starts_at),
                zone.words(job.ends_at),
                job.state.key()
            ),
        });
    }
}

/// The page.
#[derive(Template)]
#[template(path = "notice/holders.html")]
pub struct Holders {
    /// The frame.
    pub shell: Shell,
    /// The notice's title.
    pub notice: String,
    /// The notice's page.
    pub href: String,
    /// The items by mark.
    pub rows: Vec<HolderRow>,
    /// Ways to the other pages.
    pub pager: Pager,
    /// All of it as a file.
    pub file: FileChoice,
}

impl Holders {
    /// The page of a notice.
    pub fn new(
        shell: Shell,
        (id, title): (NoticeId, &str),
        rows: Vec<HolderRow>,
        (pager, file): (Pager, FileChoice),
    ) -> Self {
        Self {
            shell,
            notice: title.to_owned(),
            href: format!("/notices/{id}"),
            rows,
            pager,
            file,
        }
    }

    fn empty() -> Empty {
        Empty::new(
            "It covers no item of yours.",
            "One that comes in later and is covered stands here from then on.",
        )
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::{PROBE, gear};
        let of = gear::covered();
        let mut row = HolderRow::new(&of, PROBE.to_owned());
        row.jobs.push(JobLine {
            href: "/jobs/1".to_owned(),
            title: PROBE.to_owned(),
            what: PROBE.to_owned(),
        });
        let bare = HolderRow::new(&of, PROBE.to_owned());
        let page = |rows| {
            let about = (gear::notice().id, PROBE);
            let around = (Pager::default(), FileChoice::sample());
            Self::new(Shell::sample("Holders"), about, rows, around)
        };
        vec![page(vec![row, bare]), page(Vec::new())]
    }
}
