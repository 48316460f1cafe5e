//! What is to happen when; the play takes it up in the order of time.

use std::collections::BTreeMap;

use time::{Date, OffsetDateTime};

use super::sheet::Act;
use crate::domain::{ExaminationKind, ForReportDraft, Verdict};

/// Something that is to happen. Numbers are places in the tables.
pub(super) enum Task {
    /// An item of a batch comes in.
    AddItem { batch: usize, number: u8 },
    /// An item is looked at.
    Examine(Look),
    /// Something of a story.
    Act { mark: String, act: Box<Act> },
    /// A model's record changes.
    Revise(usize),
    /// A notice comes.
    OpenNotice(usize),
    /// A notice is closed for one item.
    CloseNotice { notice: usize, closing: usize },
    /// A rulebook of the team's own is added, or gets its next version.
    KeepRulebook(usize),
    /// A rig of the team's own is added.
    AddRig(usize),
    /// A round of examinations is planned.
    PlanRound(usize),
    /// A bag gets its list and its gear.
    PackBag(usize),
    /// A plan is pinned, so that complete sets are counted for it.
    PinPlan(usize),
    /// A job is planned.
    PlanJob(usize),
    /// A place in a job's kit is filled.
    TakeOn { job: usize, wish: usize },
    /// An item is asked for that may not go on the job.
    Attempt { job: usize, attempt: usize },
    /// The verdict on a job's kit is kept.
    KeepVerdict(usize),
    /// An item on a job is exchanged.
    Swap(usize),
    /// An item on a job is looked at before it is used.
    CheckBefore { job: usize, mark: String },
    /// The kit of a job is handed out.
    Issue(usize),
    /// Somebody looks at a rig before it is loaded.
    SignCheck { job: usize, by: &'static str },
    /// A job is closed or cancelled.
    EndJob(usize),
}

/// A look at an item.
#[derive(Clone)]
pub(super) struct Look {
    pub(super) mark: String,
    pub(super) kind: ExaminationKind,
    pub(super) on: Date,
    pub(super) verdict: Verdict,
    pub(super) report: ForReportDraft,
    /// What was found; empty takes a line from the table of findings.
    pub(super) findings: String,
    /// When the next one is due; nothing is the longest that is allowed.
    pub(super) due: Option<Date>,
    /// Who looked; empty is whoever records it.
    pub(super) examiner: String,
}

/// All that is still to happen.
#[derive(Default)]
pub(super) struct Agenda {
    tasks: BTreeMap<(OffsetDateTime, u32), Task>,
    count: u32,
}

impl Agenda {
    /// Notes something; of two at the same moment the one that was noted first comes first.
    pub(super) fn add(&mut self, at: OffsetDateTime, task: Task) {
        self.count += 1;
        self.tasks.insert((at, self.count), task);
    }

    /// The next thing.
    pub(super) fn next(&mut self) -> Option<(OffsetDateTime, Task)> {
        self.tasks.pop_first().map(|((at, _), task)| (at, task))
    }
}
