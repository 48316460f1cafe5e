//! The jobs: how they are planned, which items go on them, how they end.

use time::{Duration, OffsetDateTime};

use super::DemoError;
use super::agenda::{Look, Task};
use super::day::moment;
use super::play::{Line, Play};
use crate::domain::{
    Change, ExaminationKind, ItemState, Job, JobDraft, JobEnd, JobId, JobState, KitLine, KitLineId,
    KitLineRemoved, Verdict, life, write_moment,
};

/// The rig of all jobs.
const RIG: &str = "four-to-one-pull-down";

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
            starts_at: write_moment(from),
            ends_at: write_moment(until),
            depth: line.depth.clone(),
            load: line.load.clone(),
            rulebook: line.rulebook.clone(),
            rig: RIG.to_owned(),
            wet: if line.wet { "yes" } else { "" }.to_owned(),
            note: line.note.clone(),
            ..JobDraft::default()
        };
        let planned = draft
            .check(JobId(self.stamp.next(at)), 1)
            .map_err(|wrong| DemoError::at(&line.title, wrong))?;
        self.jobs.insert(job, planned.clone());
        self.record(at, "crew", Change::JobPlanned(planned))?;
        let wishes = self.sheets.kit(&line.kit).map_or(0, |kit| kit.lines.len());
        for (wish, minute) in (0..wishes).zip(1_i64..) {
            self.agenda
                .add(at + Duration::minutes(minute), Task::TakeOn { job, wish });
        }
        if line.swap.is_some() {
            self.agenda.add(at + Duration::minutes(18), Task::Swap(job));
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

    /// Fills one place of the kit with the best item that there is.
    pub(super) fn take_on(
        &mut self,
        at: OffsetDateTime,
        job: usize,
        wish: usize,
    ) -> Result<(), DemoError> {
        let line = &self.sheets.work.job[job];
        let kit = self.sheets.kit(&line.kit);
        let Some(wish) = kit.and_then(|kit| kit.lines.get(wish)) else {
            return Err(DemoError::at(&line.title, "there is no such kit"));
        };
        match self.best(job, &wish.from) {
            Some(mark) => self.put_on(at, job, &mark, wish.position.clone()),
            None if wish.optional => Ok(()),
            None => {
                let why = format!("nothing is fit of {}", wish.from.join(", "));
                Err(DemoError::at(&line.title, why))
            }
        }
    }

    /// The item that may go on the job: of the preferred letters first, then the one that was out least often.
    fn best(&self, job: usize, from: &[String]) -> Option<String> {
        from.iter().find_map(|letters| {
            self.items
                .keys()
                .filter(|mark| mark.split('-').next() == Some(letters))
                .filter(|mark| self.may_go(mark, &self.jobs[&job]))
                .min_by_key(|mark| self.lines.iter().filter(|line| line.mark == **mark).count())
                .cloned()
        })
    }

    /// Whether nothing that the register knows speaks against the item on this job.
    fn may_go(&self, mark: &str, job: &Job) -> bool {
        let Ok((item, model)) = self.item(mark) else {
            return false;
        };
        let end = job.ends_at.date();
        let life = life(item, model);
        let lives = match &life {
            crate::domain::Life::Ends(ends) => ends.on > end,
            crate::domain::Life::ByCondition(_) => true,
            crate::domain::Life::Unknown(_) => false,
        };
        let known =
            item.made.is_some() && item.serial.is_some() && item.markings_readable == Some(true);
        let noticed = self.notices.iter().any(|(at, notice)| {
            notice.covers(item, model) && !self.closed.contains(&(*at, mark.to_owned()))
        });
        item.state == ItemState::InService
            && lives
            && known
            && !noticed
            && item.next_due_on.is_some_and(|due| due > end)
            && !self.is_out(mark, job)
    }

    /// Whether the item is on a planned job at the time of this one.
    fn is_out(&self, mark: &str, job: &Job) -> bool {
        self.lines
            .iter()
            .filter(|line| line.mark == mark)
            .map(|line| &self.jobs[&line.job])
            .any(|other| other.state == JobState::Planned && other.overlaps(job))
    }

    fn put_on(
        &mut self,
        at: OffsetDateTime,
        job: usize,
        mark: &str,
        position: Option<String>,
    ) -> Result<(), DemoError> {
        let line = KitLine {
            id: KitLineId(self.stamp.next(at)),
            job: self.jobs[&job].id,
            item: self.item(mark)?.0.id,
            position,
        };
        self.lines.push(Line {
            job,
            mark: mark.to_owned(),
            line: line.clone(),
        });
        let count = self.lines.iter().filter(|line| line.job == job).count();
        let before = self.jobs[&job].starts_at - Duration::minutes(60);
        let minutes = Duration::minutes(i64::try_from(count).unwrap_or_default());
        if self.sheets.work.job[job].end.is_some() {
            let mark = mark.to_owned();
            self.agenda
                .add(before + minutes, Task::CheckBefore { job, mark });
        }
        self.record(at, "crew", Change::KitLineAdded(line))
    }

    /// Exchanges an item on the job for another.
    pub(super) fn swap(&mut self, at: OffsetDateTime, job: usize) -> Result<(), DemoError> {
        let sheet = &self.sheets.work.job[job];
        let place = || DemoError::at(&sheet.title, "there is nothing to exchange");
        let swap = sheet.swap.as_ref().ok_or_else(place)?;
        let position = Some(swap.position.clone());
        let found = self
            .lines
            .iter()
            .position(|line| line.job == job && line.line.position == position)
            .ok_or_else(place)?;
        let letters = self.lines[found].mark.split('-').next().map(str::to_owned);
        let from: Vec<String> = letters.into_iter().collect();
        let next = self.best(job, &from).ok_or_else(place)?;
        let gone = self.lines.remove(found);
        let removed = KitLineRemoved {
            line: gone.line.id,
            job: gone.line.job,
            item: gone.line.item,
            reason: swap.reason.clone(),
        };
        self.record(at, "crew", Change::KitLineRemoved(removed))?;
        self.put_on(at, job, &next, position)
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
        self.look(at, mark, ExaminationKind::PreUse)
    }

    fn look(
        &mut self,
        at: OffsetDateTime,
        mark: &str,
        kind: ExaminationKind,
    ) -> Result<(), DemoError> {
        let look = Look {
            mark: mark.to_owned(),
            kind,
            on: at.date(),
            verdict: Verdict::Fit,
            findings: String::new(),
            due: None,
            examiner: self.people["crew"].name.clone(),
        };
        self.examine(at, &look)
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
        self.record(at, "crew", Change::JobEnded(end))?;
        if line.cancelled {
            return Ok(());
        }
        let ropes: Vec<String> = self
            .lines
            .iter()
            .filter(|line| line.job == job && line.line.position.as_deref() == Some("rope"))
            .map(|line| line.mark.clone())
            .collect();
        for mark in ropes {
            let look = Look {
                mark,
                kind: ExaminationKind::AfterUse,
                on: at.date(),
                verdict: Verdict::Fit,
                findings: String::new(),
                due: None,
                examiner: self.people["crew"].name.clone(),
            };
            self.agenda
                .add(at + Duration::minutes(70), Task::Examine(look));
        }
        Ok(())
    }
}
