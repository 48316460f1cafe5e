//! The jobs: how they are planned, what is looked at before and after, how they end.

use time::{Duration, OffsetDateTime};

use super::DemoError;
use super::agenda::{Look, Task};
use super::day::moment;
use super::play::Play;
use crate::domain::{
    Change, ExaminationKind, ForReportDraft, JobDraft, JobEnd, JobId, JobState, UsageDraft,
    Verdict, Zone, write_moment,
};

/// Notes when each job is planned.
pub(super) fn plan(play: &mut Play<'_>) {
    for (job, line) in play.sheets.work.job.iter().enumerate() {
        let start = play.today + Duration::days(line.day.into());
        let yesterday = play.today - Duration::days(1);
        let planned = (start - Duration::days(line.lead.into())).min(yesterday);
        let minutes = i64::try_from(job).unwrap_or_default() * 20;
        play.agenda
            .add(moment(planned, 7, minutes), Task::PlanJob(job));
    }
}

impl Play<'_> {
    /// A job is planned, and what is to follow is noted.
    pub(super) fn plan_job(&mut self, at: OffsetDateTime, job: usize) -> Result<(), DemoError> {
        let line = &self.sheets.work.job[job];
        let day = self.today + Duration::days(line.day.into());
        let [from, until] = line.hours.map(|hour| moment(day, hour, 0));
        let draft = JobDraft {
            title: line.title.clone(),
            place: line.place.clone(),
            starts_at: write_moment(from, &Zone::UTC),
            ends_at: write_moment(until, &Zone::UTC),
            depth: line.depth.clone(),
            load: line.load.clone(),
            rulebook: line.rulebook.clone(),
            rig: line.rig.clone(),
            wet: if line.wet { "yes" } else { "" }.to_owned(),
            case: line.case.clone(),
            hazards: line.site.hazards.clone(),
            edge: line.site.edge.clone(),
            anchors: line.site.anchors.clone(),
            note: line.note.clone(),
            ..JobDraft::default()
        };
        let planned = draft
            .check(JobId(self.stamp.next(at)), 1, &Zone::UTC)
            .map_err(|wrong| DemoError::at(&line.title, wrong))?;
        self.jobs.insert(job, planned.clone());
        self.record(at, "crew", Change::JobPlanned(planned))?;
        self.plan_outing(job, from);
        let wishes = self.sheets.kit(&line.kit).map_or(0, |kit| kit.lines.len());
        for (wish, minute) in (0..wishes).zip(1_i64..) {
            self.agenda
                .add(at + Duration::minutes(minute), Task::TakeOn { job, wish });
        }
        if line.swap.is_some() {
            self.agenda.add(at + Duration::minutes(18), Task::Swap(job));
        }
        for attempt in 0..line.attempts.len() {
            let minutes = Duration::minutes(20 + i64::try_from(attempt).unwrap_or_default());
            self.agenda
                .add(at + minutes, Task::Attempt { job, attempt });
        }
        if line.verdict {
            self.agenda
                .add(at + Duration::minutes(45), Task::KeepVerdict(job));
        }
        if line.cancelled {
            self.agenda
                .add(from - Duration::hours(2), Task::EndJob(job));
        } else if line.end.is_some() {
            self.agenda
                .add(until + Duration::minutes(20), Task::EndJob(job));
        }
        Ok(())
    }

    /// The crew looks at an item before it is used; the officer writes it down.
    pub(super) fn check_before(
        &mut self,
        at: OffsetDateTime,
        job: usize,
        mark: &str,
    ) -> Result<(), DemoError> {
        let goes = self.jobs[&job].state == JobState::Planned
            && self
                .lines
                .iter()
                .any(|line| line.job == job && line.mark == mark);
        if !goes {
            return Ok(());
        }
        let look = self.look(at, mark, ExaminationKind::PreUse);
        self.examine(at, &look)
    }

    /// A look by the crew in which nothing is found.
    fn look(&self, at: OffsetDateTime, mark: &str, kind: ExaminationKind) -> Look {
        Look {
            mark: mark.to_owned(),
            kind,
            on: at.date(),
            verdict: Verdict::Fit,
            findings: String::new(),
            due: None,
            report: ForReportDraft::default(),
            examiner: self.people["crew"].name.clone(),
        }
    }

    /// The use of the whole kit is logged, as the team has done for a year.
    fn log_kit(&mut self, at: OffsetDateTime, job: usize) -> Result<(), DemoError> {
        if at.date() < self.today - Duration::days(365) {
            return Ok(());
        }
        let [from, until] = self.sheets.work.job[job].hours;
        let draft = UsageDraft {
            hours: until.saturating_sub(from).to_string(),
            uses: "1".to_owned(),
            ..UsageDraft::default()
        };
        let on_job = self.lines.iter().filter(|line| line.job == job);
        let marks: Vec<String> = on_job.map(|line| line.mark.clone()).collect();
        let job = self.jobs.get(&job).cloned();
        marks
            .iter()
            .try_for_each(|mark| self.log_use(at, mark, &draft, ("crew", job.as_ref())))
    }

    /// A job is closed or cancelled; ropes that were used are looked at.
    pub(super) fn end_job(&mut self, at: OffsetDateTime, job: usize) -> Result<(), DemoError> {
        let line = &self.sheets.work.job[job];
        let state = if line.cancelled {
            JobState::Cancelled
        } else {
            JobState::Closed
        };
        let Some(ended) = self.jobs.get_mut(&job) else {
            return Err(DemoError::at(&line.title, "it was never planned"));
        };
        ended
            .state
            .must_be_planned()
            .map_err(|wrong| DemoError::at(&line.title, wrong))?;
        ended.state = state;
        let end = JobEnd {
            job: ended.id,
            state,
            reason: line.end.clone().unwrap_or_default(),
        };
        self.count_back(at, job)?;
        self.record(at, "crew", Change::JobEnded(end))?;
        if line.cancelled {
            return Ok(());
        }
        self.log_kit(at, job)?;
        let ropes: Vec<String> = self
            .lines
            .iter()
            .filter(|line| line.job == job && line.kit.position.as_deref() == Some("rope"))
            .map(|line| line.mark.clone())
            .collect();
        for mark in ropes {
            let look = self.look(at, &mark, ExaminationKind::AfterUse);
            self.agenda
                .add(at + Duration::minutes(70), Task::Examine(look));
        }
        Ok(())
    }
}
