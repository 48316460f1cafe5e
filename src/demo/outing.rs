//! A kit goes out and comes back: issued, looked at by two before it is loaded, counted.

use serde::Deserialize;
use time::{Duration, OffsetDateTime};

use super::DemoError;
use super::agenda::Task;
use super::day::moment;
use super::play::Play;
use crate::domain::{
    Change, Condition, Counting, FunctionCheckDraft, FunctionCheckId, Hands, Issue, IssueId,
    ItemId, KitReturnDraft, LookedDraft, ReturnId, ReturnedLineDraft, Signer, Signing, Store,
    StoreDraft, Zone, function_asks,
};

/// A place of a rig with what was said of the item in it: why another took its place, or what was doubted.
#[derive(Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Swap {
    pub(super) position: String,
    pub(super) reason: String,
}

impl Play<'_> {
    /// Notes when the kit of a job goes out: before its first hour, or yesterday where that is later.
    pub(super) fn plan_outing(&mut self, job: usize, from: OffsetDateTime) {
        let line = &self.sheets.work.job[job];
        if !line.issued {
            return;
        }
        let yesterday = moment(self.today - Duration::days(1), 16, 30);
        self.agenda.add(
            (from - Duration::minutes(40)).min(yesterday),
            Task::Issue(job),
        );
        if line.end.is_some() {
            for (by, minutes) in [("crew", 20), ("officer", 26)] {
                let at = from + Duration::minutes(minutes);
                self.agenda.add(at, Task::SignCheck { job, by });
            }
        }
    }

    fn signer(&self, by: &str) -> Result<Signer, DemoError> {
        let person = self.people.get(by).map(Signer::from);
        person.ok_or_else(|| DemoError::at(by, "nobody signs in like this"))
    }

    fn stores(&self) -> Vec<Store> {
        let lines = self.sheets.team.store.iter();
        let stores = lines.filter_map(|line| {
            let draft = StoreDraft {
                name: line.name.clone(),
                note: line.note.clone(),
            };
            draft.check(*self.stores.get(&line.key)?, 1).ok()
        });
        stores.collect()
    }

    /// The officer hands the kit of a job out.
    pub(super) fn issue(&mut self, at: OffsetDateTime, job: usize) -> Result<(), DemoError> {
        let list = self.kit_list(at, job)?;
        if !list.passes() {
            return Err(DemoError::at(&list.job.title, list.sentence()));
        }
        let id = IssueId(self.stamp.next(at));
        let hands = Hands {
            by: self.signer("officer")?,
            to: self.signer("crew")?,
            alone: false,
        };
        let version = env!("CARGO_PKG_VERSION");
        let plan = self.plan_of(&self.jobs[&job])?;
        let issue = Issue::new(
            id,
            (&list, &plan.days()),
            &self.stores(),
            (hands, at),
            version,
        );
        self.issues.insert(job, issue.clone());
        self.record(at, "officer", Change::KitIssued(Box::new(issue)))
    }

    /// Somebody looks at the rig before it is loaded, and signs.
    pub(super) fn sign_check(
        &mut self,
        at: OffsetDateTime,
        job: usize,
        by: &str,
    ) -> Result<(), DemoError> {
        let issue = self.issues[&job].clone();
        let right = LookedDraft {
            answer: "right".to_owned(),
            note: String::new(),
        };
        let asks = function_asks(&issue).into_iter();
        let draft = FunctionCheckDraft {
            at: String::new(),
            answers: asks.map(|ask| (ask.key.clone(), right.clone())).collect(),
        };
        let signing = Signing {
            on_device_of: None,
            id: FunctionCheckId(self.stamp.next(at)),
            issue: &issue,
            before: &[],
            since: &[],
            by: self.signer(by)?,
            now: at,
            zone: &Zone::UTC,
        };
        let check = draft
            .check(signing)
            .map_err(|wrong| DemoError::at(&issue.job.title, wrong))?;
        self.record(at, by, Change::FunctionCheckSigned(check))
    }

    /// The kit is counted back, where it was issued; what the crew doubts waits for a look.
    pub(super) fn count_back(&mut self, at: OffsetDateTime, job: usize) -> Result<(), DemoError> {
        let Some(issue) = self.issues.remove(&job) else {
            return Ok(());
        };
        let line = &self.sheets.work.job[job];
        let doubts = line.doubt.iter().filter_map(|doubt| {
            let mut lines = issue.lines.iter();
            let kept = lines.find(|line| line.position.as_ref() == Some(&doubt.position))?;
            let draft = ReturnedLineDraft {
                condition: Condition::LookAt.key().to_owned(),
                note: doubt.reason.clone(),
                ..ReturnedLineDraft::default()
            };
            Some((kept.item.to_string(), draft))
        });
        let [from, until] = line.hours;
        let draft = KitReturnDraft {
            hours: until.saturating_sub(from).to_string(),
            uses: "1".to_owned(),
            rest: "fine".to_owned(),
            lines: doubts.collect(),
            ..KitReturnDraft::default()
        };
        let out: Vec<ItemId> = issue.lines.iter().map(|line| line.item).collect();
        let count = draft
            .check(Counting {
                id: ReturnId(self.stamp.next(at)),
                issue: &issue,
                out: &out,
                scanned: &[],
                by: self.signer("crew")?,
                now: at,
                today: at.date(),
                issued_on: issue.at.date(),
            })
            .map_err(|wrong| DemoError::at(&issue.job.title, wrong))?;
        let doubted = count.lines.iter();
        let doubted = doubted.filter(|line| line.condition == Condition::LookAt);
        for line in doubted {
            let mark = issue.line_of(line.item).map(|line| line.mark.clone());
            let (item, _) = self.item(&mark.unwrap_or_default())?;
            let item = item.clone().look_asked_by(&count, &line.note);
            self.replace(item);
        }
        self.record(at, "crew", Change::KitReturned(Box::new(count)))
    }
}
