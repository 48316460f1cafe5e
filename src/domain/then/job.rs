//! A job as its entries make it: its plan, its list, and what is with its crew.

use std::collections::{BTreeMap, BTreeSet};

use time::Date;

use super::{Fold, Reckoning};
use crate::domain::{
    Change, CrewPlan, Entry, FunctionCheck, Issue, IssueId, IssueState, ItemId, Job, JobId,
    KitLine, KitLineId, KitReturn, Usage, VerdictKept, Zone,
};

/// The kinds of changes of which a job is made.
pub const JOB_KINDS: &[&str] = &[
    "job-planned",
    "job-revised",
    "job-ended",
    "kit-line-added",
    "kit-line-removed",
    "item-refused",
    "verdict-kept",
    "kit-issued",
    "issue-taken-back",
    "function-check-signed",
    "kit-returned",
    "crew-planned",
    "usage-logged",
];

/// A job on a day, made from entries about it that are given in their order.
#[derive(Clone, Debug)]
pub struct JobThen {
    day: Date,
    by: Reckoning,
    days: Zone,
    id: JobId,
    /// The plan; none where it was not planned yet.
    pub job: Option<Job>,
    /// What stands on its list.
    pub lines: BTreeMap<KitLineId, KitLine>,
    /// Its issues, without what they say of the kit.
    pub issues: BTreeMap<IssueId, Issue>,
    /// What is with the crew, by which issue.
    pub out: BTreeMap<ItemId, IssueId>,
    /// The function checks.
    pub checks: Vec<FunctionCheck>,
    /// The counts.
    pub counts: Vec<KitReturn>,
    /// Who does what, as it was planned last.
    pub crew: Option<CrewPlan>,
    /// The verdict that was kept last.
    pub verdict: Option<VerdictKept>,
    /// The use that was logged on it.
    pub usage: Vec<Usage>,
    /// How many attempts were refused.
    pub refused: u32,
}

impl JobThen {
    /// Nothing yet; `day` is one of `zone`.
    pub fn new(id: JobId, day: Date, by: Reckoning, zone: Zone) -> Self {
        Self {
            day,
            by,
            days: zone,
            id,
            job: None,
            lines: BTreeMap::new(),
            issues: BTreeMap::new(),
            out: BTreeMap::new(),
            checks: Vec::new(),
            counts: Vec::new(),
            crew: None,
            verdict: None,
            usage: Vec::new(),
            refused: 0,
        }
    }

    /// Does what the tables did with the plan and the list.
    fn follow(&mut self, change: &Change) {
        match change {
            Change::JobPlanned(job) | Change::JobRevised(job) if job.id == self.id => {
                self.job = Some(job.clone());
            }
            Change::JobEnded(end) if end.job == self.id => self.change(|job| job.state = end.state),
            Change::KitLineAdded(line) if line.job == self.id => {
                self.lines.insert(line.id, line.clone());
            }
            Change::KitLineRemoved(removed) if removed.job == self.id => {
                self.lines.remove(&removed.line);
            }
            Change::ItemRefused(refused) if refused.job == self.id => self.refused += 1,
            Change::VerdictKept(verdict) if verdict.job == self.id => {
                self.verdict = Some(verdict.clone());
            }
            Change::UsageLogged(usage) if usage.job == Some(self.id) => {
                self.usage.push(usage.clone());
            }
            other => self.follow_crew(other),
        }
    }

    /// Does what the tables did when the kit went out and came back.
    fn follow_crew(&mut self, change: &Change) {
        match change {
            Change::CrewPlanned(plan) if plan.job == self.id => self.crew = Some(plan.clone()),
            Change::FunctionCheckSigned(check) if check.job == self.id => {
                self.checks.push(check.clone());
            }
            Change::KitIssued(issue) if issue.job.id == self.id => {
                let out = issue.lines.iter().map(|line| (line.item, issue.id));
                self.out.extend(out);
                self.issues.insert(issue.id, (**issue).clone());
                self.change(|job| job.issued = Some(issue.id));
            }
            Change::IssueTakenBack(back) if back.job == self.id => {
                self.out.retain(|_, issue| *issue != back.issue);
                let reason = back.reason.clone();
                self.end(back.issue, IssueState::TakenBack { reason });
            }
            Change::KitReturned(count) if count.job == self.id => {
                let back: BTreeSet<ItemId> = count.lines.iter().map(|line| line.item).collect();
                self.out.retain(|item, _| !back.contains(item));
                self.counts.push((**count).clone());
                if self.out.is_empty() {
                    self.end(count.issue, IssueState::Returned);
                }
            }
            // The rest is about another job, or about none.
            _ => (),
        }
    }

    fn change(&mut self, change: impl FnOnce(&mut Job)) {
        if let Some(job) = &mut self.job {
            change(job);
            job.revision += 1;
        }
    }

    fn end(&mut self, issue: IssueId, state: IssueState) {
        if let Some(issue) = self.issues.get_mut(&issue) {
            issue.state = state;
            self.change(|job| job.issued = None);
        }
    }
}

impl Fold for JobThen {
    fn apply(&mut self, entry: &Entry<Change>) {
        let day = match self.by {
            Reckoning::Then => entry.recorded_on(&self.days),
            Reckoning::Now => entry.done_on(&self.days),
        };
        if day <= self.day {
            self.follow(&entry.change);
        }
    }
}
