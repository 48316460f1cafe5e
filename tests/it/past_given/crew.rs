//! What a crew did, at random.

use rand::{RngExt, seq::IndexedRandom};
use ropeloft::domain::{
    Change, Cited, Condition, Holder, Issue, IssueId, IssueState, IssueTakenBack, IssuedLine,
    IssuedVerdict, ItemRefused, Job, JobEnd, JobState, Kind, KitLineRemoved, KitReturn, Known,
    Qualification, QualificationId, Refusal, RefusalCode, ReturnId, ReturnedLine, Shortfall,
    Signer, Team, UsageSums, Zone,
};
use time::Duration;

use super::Late;
use crate::stock;

impl Late<'_> {
    pub(super) fn planned(&mut self) -> Change {
        let hours = self.rng.random_range(0..24 * 20);
        let at = self.at + Duration::hours(hours);
        Change::JobPlanned(Job {
            starts_at: at,
            ends_at: at + Duration::hours(self.rng.random_range(1..40)),
            title: format!("Job {}", self.made),
            ..stock::rigged("Job", 0)
        })
    }

    pub(super) async fn replanned(&mut self) -> Option<Change> {
        let id = self.jobs.choose(&mut self.rng)?.id;
        let mut tx = self.world.database.read(self.world.team).await.unwrap();
        let job = tx.job(id).await.unwrap()?;
        Some(Change::JobRevised(Job {
            revision: job.revision + 1,
            place: format!("Shaft {}", self.made),
            ..job
        }))
    }

    pub(super) fn ended(&mut self) -> Option<Change> {
        Some(Change::JobEnded(JobEnd {
            job: self.jobs.choose(&mut self.rng)?.id,
            state: *[JobState::Closed, JobState::Closed, JobState::Cancelled]
                .choose(&mut self.rng)?,
            reason: "done".into(),
        }))
    }

    pub(super) fn put_on(&mut self) -> Option<Change> {
        let job = self.jobs.choose(&mut self.rng)?.clone();
        let item = self.items.choose(&mut self.rng)?;
        Some(Change::KitLineAdded(stock::line(&job, item, None)))
    }

    pub(super) fn taken_off(&mut self) -> Option<Change> {
        let line = self.lines.choose(&mut self.rng)?.clone();
        Some(Change::KitLineRemoved(KitLineRemoved {
            line: line.id,
            job: line.job,
            item: line.item,
            reason: "not needed".into(),
        }))
    }

    pub(super) fn refused(&mut self) -> Option<Change> {
        let refusal = |at: u32| Refusal {
            code: RefusalCode::ALL[0],
            sentence: format!("Reason {at}."),
            rule: Cited::new("the team's own rule", Known::Setting),
            evidence: "quarantined".into(),
            mend: None,
            lacks: None,
            who: None,
            fact: None,
            short: Shortfall::default(),
        };
        Some(Change::ItemRefused(ItemRefused {
            job: self.jobs.choose(&mut self.rng)?.id,
            item: self.items.choose(&mut self.rng)?.id,
            position: None,
            refusals: vec![refusal(1), refusal(2)],
        }))
    }

    fn signer(&self, name: &str) -> Signer {
        Signer {
            person: self.world.crew.person,
            name: name.to_owned(),
        }
    }

    pub(super) fn issued(&mut self) -> Option<Change> {
        let job = self.jobs.choose(&mut self.rng)?.clone();
        self.issue_of(job)
    }

    /// A job whose kit went out: whatever chance brings, there is one.
    pub(super) async fn goes_out(&mut self) {
        self.made += 1;
        let item = self.item();
        self.record(item).await;
        let job = self.planned();
        self.record(job).await;
        let last = (self.jobs.last().cloned(), self.items.last().cloned());
        let (Some(job), Some(item)) = last else {
            panic!("a job and an item were added")
        };
        let line = Change::KitLineAdded(stock::line(&job, &item, None));
        self.record(line).await;
        let issue = self.issue_of(job).expect("something is on its list");
        self.record(issue).await;
    }

    /// What stands on the list of a job, as far as this knows.
    fn issue_of(&mut self, job: Job) -> Option<Change> {
        let lines = self.lines.iter().filter(|line| line.job == job.id);
        let lines = lines.filter_map(|line| {
            let item = self.items.iter().find(|item| item.id == line.item)?;
            Some(IssuedLine {
                line: line.id,
                item: item.id,
                revision: item.revision,
                mark: item.mark.clone(),
                kind: Kind::Pulley,
                model: "Fjordwerk Type".into(),
                serial: None,
                store: "Bay".into(),
                position: None,
                place: "spare".into(),
                state: item.state,
                last_passed_on: None,
                due_on: None,
                checks: Vec::new(),
                note: String::new(),
            })
        });
        let lines: Vec<IssuedLine> = lines.collect();
        let late = Duration::hours(self.rng.random_range(0..24 * 30));
        (!lines.is_empty()).then(|| {
            Change::KitIssued(Box::new(Issue {
                id: IssueId::new(),
                job,
                at: self.at - late,
                by: self.signer("Ada Brook"),
                to: self.signer("Bo Fell"),
                alone: false,
                verdict: IssuedVerdict {
                    version: "0".into(),
                    sentence: "Strong enough.".into(),
                    open: Vec::new(),
                    rig: "4:1".into(),
                    captures: false,
                    belayed: false,
                    rulebook: "European".into(),
                    factor_asked: 10.0,
                    rig_asks: Vec::new(),
                    warnings: Vec::new(),
                    needs: Vec::new(),
                    belay_shares: Vec::new(),
                    cautions: Vec::new(),
                    answer: "{}".into(),
                },
                lines,
                state: IssueState::Out,
            }))
        })
    }

    pub(super) fn counted(&mut self) -> Option<Change> {
        let issue = self.issues.choose(&mut self.rng)?.clone();
        let late = Duration::hours(self.rng.random_range(0..24 * 10));
        let at = self.at - late;
        let lines = issue.lines.iter().map(|line| ReturnedLine {
            item: line.item,
            condition: if line.mark.ends_with('1') {
                Condition::LookAt
            } else {
                Condition::Fine
            },
            note: "seen".into(),
            amount: UsageSums::default(),
            water: false,
            chemical: false,
        });
        Some(Change::KitReturned(Box::new(KitReturn {
            id: ReturnId::new(),
            job: issue.job.id,
            issue: issue.id,
            by: self.signer("Cy Tarn"),
            at,
            on: at.date(),
            lines: lines.collect(),
            note: String::new(),
        })))
    }

    pub(super) fn taken_back(&mut self) -> Option<Change> {
        let issue = self.issues.choose(&mut self.rng)?;
        Some(Change::IssueTakenBack(IssueTakenBack {
            issue: issue.id,
            job: issue.job.id,
            reason: "called off".into(),
        }))
    }

    /// The team counts its days by other clocks, or somebody is competent from now on.
    pub(super) fn team(&mut self) -> Change {
        if self.rng.random_bool(0.5) {
            let zone = ["UTC", "Asia/Tokyo", "America/Denver"]
                .choose(&mut self.rng)
                .unwrap();
            return Change::TeamRevised(Team {
                time_zone: Zone::read(zone).unwrap(),
                ..Team::new(self.world.team, "North shaft team", "european")
            });
        }
        let from = self.day() - Duration::days(self.rng.random_range(0..300));
        let names = ["Ada Brook", "Bo Fell"];
        let kinds: &[Kind] = if self.rng.random_bool(0.5) {
            &[]
        } else {
            &[Kind::Rope, Kind::Pulley]
        };
        Change::QualificationRecorded(Qualification {
            id: QualificationId::new(),
            holder: Holder::Outside {
                name: names.choose(&mut self.rng).unwrap().to_string(),
                body: String::new(),
            },
            kinds: kinds.to_vec(),
            from,
            until: self
                .rng
                .random_bool(0.5)
                .then(|| from + Duration::days(300)),
            evidence: "course".into(),
            address: String::new(),
            ended: None,
        })
    }
}
