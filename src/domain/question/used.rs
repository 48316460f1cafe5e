//! Every use of an item: the jobs that it went on, the use that was logged, and what happened to it.

use std::collections::{HashMap, HashSet};

use time::Date;

use crate::domain::{
    Change, Entry, IssueId, ItemId, Job, JobId, JobState, KitLineId, PersonId, Zone,
};

/// A use of an item.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Use {
    /// The day.
    pub on: Date,
    /// The entry that says so.
    pub seq: u64,
    /// The job, if it was on one.
    pub job: Option<JobId>,
    /// Who had it, by name, where the entry has the name of that day.
    pub name: Option<String>,
    /// Who had it or said so, where the entry has no name.
    pub person: PersonId,
    /// What sort of use.
    pub kind: UseKind,
}

/// What sort of use.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum UseKind {
    /// It was handed out for a job.
    Issued,
    /// It was handed out, and the issue was taken back before anything was counted.
    TakenBack,
    /// It stood on the list of a job that was never issued, and was not taken off; on the day the job began.
    Listed,
    /// Use was logged: how much.
    Logged(String),
    /// Something happened to it: what.
    Happened(String),
}

impl UseKind {
    /// The sort, in a few words.
    pub fn part(&self) -> &'static str {
        match self {
            Self::Issued => "issued for a job",
            Self::TakenBack => "issue taken back",
            Self::Listed => "on the list of a job that was never issued",
            Self::Logged(_) => "use logged",
            Self::Happened(_) => "event",
        }
    }

    /// What belongs to it; empty where the sort says it all.
    pub fn words(&self) -> &str {
        match self {
            Self::Logged(words) | Self::Happened(words) => words,
            _ => "",
        }
    }
}

/// What the jobs that an item was on undid, whenever they did.
#[derive(Clone, Debug, Default)]
pub struct Undone {
    /// The issues that were taken back.
    pub issues: HashSet<IssueId>,
    /// The lines that were taken off their lists: of a rope even after its cut, when it was no part of a piece any more.
    pub lines: HashSet<KitLineId>,
}

/// Of what is told: the item and the ropes that it was part of, the jobs that they were on as they stand, and what those
/// jobs undid.
#[derive(Clone, Copy, Debug)]
pub struct UsedOn<'a> {
    /// The item and the ropes that it was part of.
    pub line: &'a [ItemId],
    /// The jobs that entries about them name.
    pub jobs: &'a HashMap<JobId, Job>,
    /// What those jobs undid.
    pub undone: &'a Undone,
    /// In which days are counted.
    pub zone: &'a Zone,
}

/// Every use up to `today` that entries tell, by day and then by entry. `entries` are those about the item and about the
/// ropes that it was part of.
pub fn uses(entries: &[Entry<Change>], of: UsedOn<'_>, today: Date) -> Vec<Use> {
    let mut issued = HashSet::new();
    for entry in entries {
        if let Change::KitIssued(issue) = &entry.change
            && !of.undone.issues.contains(&issue.id)
        {
            let items = issue.lines.iter().map(|line| (issue.job.id, line.item));
            issued.extend(items);
        }
    }
    let told = entries.iter().filter_map(|entry| of.told(entry, &issued));
    let mut uses: Vec<Use> = told.filter(|one| one.on <= today).collect();
    uses.sort_by_key(|one| (one.on, one.seq));
    uses
}

impl UsedOn<'_> {
    /// The use that an entry tells, if it tells one; `issued` are the items that went out for a job.
    fn told(self, entry: &Entry<Change>, issued: &HashSet<(JobId, ItemId)>) -> Option<Use> {
        let used = |on, person, kind| Use {
            on,
            seq: entry.seq,
            job: None,
            name: None,
            person,
            kind,
        };
        let has = |item: &ItemId| self.line.contains(item);
        match &entry.change {
            Change::KitIssued(issue) if issue.lines.iter().any(|line| has(&line.item)) => {
                let is_back = self.undone.issues.contains(&issue.id);
                let kind = if is_back {
                    UseKind::TakenBack
                } else {
                    UseKind::Issued
                };
                Some(Use {
                    job: Some(issue.job.id),
                    name: Some(issue.to.name.clone()),
                    ..used(self.zone.day(issue.at), issue.to.person, kind)
                })
            }
            Change::KitLineAdded(put) if has(&put.item) => {
                let job = self.jobs.get(&put.job)?;
                let went = issued.contains(&(put.job, put.item));
                let is_off =
                    self.undone.lines.contains(&put.id) || job.state == JobState::Cancelled;
                (!went && !is_off).then(|| Use {
                    job: Some(put.job),
                    ..used(self.zone.day(job.starts_at), entry.actor, UseKind::Listed)
                })
            }
            Change::UsageLogged(usage) if has(&usage.item) => Some(Use {
                job: usage.job,
                ..used(usage.on, usage.by, UseKind::Logged(usage.amount.words()))
            }),
            Change::EventReported(event) if has(&event.item) => {
                let words = match event.note.as_str() {
                    "" => event.kind.word().to_owned(),
                    note => format!("{}: {note}", event.kind.word()),
                };
                Some(used(event.on, event.reported_by, UseKind::Happened(words)))
            }
            _ => None,
        }
    }
}
