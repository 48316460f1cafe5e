//! Which items go on a job: whatever the rules let go, and what they refuse.

use time::{Date, Duration, OffsetDateTime};

use super::DemoError;
use super::agenda::Task;
use super::play::{Line, Play};
use crate::domain::fitness::{Circumstances, Elsewhere, KitItem, Plan, fitness};
use crate::domain::kit_strength::{Extent, kit_verdict};
use crate::domain::{
    Change, ItemRefused, JobState, KitEntry, KitLine, KitLineId, KitLineRemoved, KitList, Refusal,
    VerdictKept, Withdrawn, Zone,
};

/// The letters in front of a mark.
fn letters(mark: &str) -> &str {
    mark.split('-').next().unwrap_or_default()
}

/// What is looked for.
struct Wanted<'a> {
    /// Marks or the letters of marks, the preferred first.
    from: &'a [String],
    position: Option<&'a str>,
    /// An item that is not wanted.
    without: Option<&'a str>,
}

impl Play<'_> {
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
        let wanted = Wanted {
            from: &wish.from,
            position: wish.position.as_deref(),
            without: None,
        };
        match self.best(job, &wanted, at.date())? {
            Some(mark) => self.put_on(at, job, &mark, wish.position.clone()),
            None if wish.optional => Ok(()),
            None => {
                let why = format!("nothing is fit of {}", wish.from.join(", "));
                Err(DemoError::at(&line.title, why))
            }
        }
    }

    /// The item that may go on the job: of the preferred letters first, then the one that was out least often.
    fn best(
        &self,
        job: usize,
        wanted: &Wanted<'_>,
        today: Date,
    ) -> Result<Option<String>, DemoError> {
        for group in wanted.from {
            let mut fit: Option<(usize, &String)> = None;
            let named = |mark: &&String| letters(mark) == group || *mark == group;
            for mark in self.items.keys().filter(named) {
                let outings = self.lines.iter().filter(|line| line.mark == *mark).count();
                let better = fit.is_none_or(|(least, _)| outings < least)
                    && wanted.without != Some(mark.as_str());
                if better && self.refusals(job, mark, wanted.position, today)?.is_empty() {
                    fit = Some((outings, mark));
                }
            }
            if let Some((_, mark)) = fit {
                return Ok(Some(mark.clone()));
            }
        }
        Ok(None)
    }

    /// Every reason why the item may not go on the job.
    fn refusals(
        &self,
        job: usize,
        mark: &str,
        position: Option<&str>,
        today: Date,
    ) -> Result<Vec<Refusal>, DemoError> {
        let (item, model) = self.item(mark)?;
        let candidate = KitItem {
            item,
            model,
            position,
        };
        let kit = self.kit(job)?;
        self.ask(job, candidate, &kit, today)
    }

    /// What is on the list of a job.
    fn kit(&self, job: usize) -> Result<Vec<KitItem<'_>>, DemoError> {
        self.lines
            .iter()
            .filter(|line| line.job == job)
            .map(|line| {
                let (item, model) = self.item(&line.mark)?;
                Ok(KitItem::new(&line.kit, item, model))
            })
            .collect()
    }

    fn ask(
        &self,
        job: usize,
        candidate: KitItem<'_>,
        kit: &[KitItem<'_>],
        today: Date,
    ) -> Result<Vec<Refusal>, DemoError> {
        let circumstances = Circumstances {
            kit,
            notices: &self.notices,
            closings: &self.closings,
            still_open: &[],
            elsewhere: &self.elsewhere(job, &candidate.item.mark),
            today,
            zone: &Zone::UTC,
        };
        Ok(fitness(candidate, &self.plan(job)?, &circumstances))
    }

    fn plan(&self, job: usize) -> Result<Plan<'_>, DemoError> {
        self.plan_of(&self.jobs[&job])
    }

    /// The kit of a job, judged.
    pub(super) fn kit_list(&self, at: OffsetDateTime, job: usize) -> Result<KitList, DemoError> {
        let plan = self.plan(job)?;
        let kit = self.kit(job)?;
        let lines = self.lines.iter().filter(|line| line.job == job);
        let mut entries = Vec::new();
        for (line, one) in lines.zip(&kit) {
            let others: Vec<KitItem<'_>> = kit
                .iter()
                .filter(|other| other.item.id != one.item.id)
                .copied()
                .collect();
            entries.push(KitEntry {
                line: line.kit.clone(),
                item: one.item.clone(),
                model: one.model.clone(),
                refusals: self.ask(job, *one, &others, at.date())?,
                with_crew: None,
            });
        }
        Ok(KitList {
            job: plan.job.clone(),
            withdrawn: Withdrawn::default(),
            entries,
            load: plan.load,
            rig: std::borrow::Cow::Owned(plan.rig.clone()),
            verdict: kit_verdict(&plan, &kit, Extent::WithSwings),
        })
    }

    /// The verdict on the kit of a job is kept, as the crew saw it.
    pub(super) fn keep_verdict(&mut self, at: OffsetDateTime, job: usize) -> Result<(), DemoError> {
        let list = self.kit_list(at, job)?;
        let kept = VerdictKept {
            job: list.job.id,
            version: env!("CARGO_PKG_VERSION").to_owned(),
            passes: list.passes(),
            sentence: list.sentence(),
            answer: serde_json::to_value(&list.verdict)
                .map_err(|error| DemoError::at(&list.job.title, error))?,
        };
        self.record(at, "crew", Change::VerdictKept(kept))
    }

    /// The other planned jobs that hold the item.
    fn elsewhere(&self, job: usize, mark: &str) -> Vec<Elsewhere> {
        self.lines
            .iter()
            .filter(|line| line.mark == mark && line.job != job)
            .map(|line| &self.jobs[&line.job])
            .filter(|other| other.state == JobState::Planned)
            .map(|other| Elsewhere {
                title: other.title.clone(),
                starts_at: other.starts_at,
                ends_at: other.ends_at,
                who: self.people["crew"].name.clone(),
                is_out: false,
            })
            .collect()
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
            kit: line.clone(),
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

    /// The crew asks for an item that may not go; the reasons are kept.
    pub(super) fn attempt(
        &mut self,
        at: OffsetDateTime,
        job: usize,
        attempt: usize,
    ) -> Result<(), DemoError> {
        let line = &self.sheets.work.job[job].attempts[attempt];
        let refusals = self.refusals(job, &line.item, line.position.as_deref(), at.date())?;
        if refusals.is_empty() {
            return Err(DemoError::at(&line.item, "nothing speaks against it"));
        }
        let refused = ItemRefused {
            job: self.jobs[&job].id,
            item: self.item(&line.item)?.0.id,
            position: line.position.clone(),
            refusals,
        };
        self.record(at, "crew", Change::ItemRefused(refused))
    }

    /// Exchanges an item on the job for another of its kind.
    pub(super) fn swap(&mut self, at: OffsetDateTime, job: usize) -> Result<(), DemoError> {
        let sheet = &self.sheets.work.job[job];
        let place = || DemoError::at(&sheet.title, "there is nothing to exchange");
        let swap = sheet.swap.as_ref().ok_or_else(place)?;
        let position = Some(swap.position.clone());
        let found = self
            .lines
            .iter()
            .position(|line| line.job == job && line.kit.position == position)
            .ok_or_else(place)?;
        let gone = self.lines.remove(found);
        let removed = KitLineRemoved {
            line: gone.kit.id,
            job: gone.kit.job,
            item: gone.kit.item,
            reason: swap.reason.clone(),
        };
        self.record(at, "crew", Change::KitLineRemoved(removed))?;
        let from = [letters(&gone.mark).to_owned()];
        let wanted = Wanted {
            from: &from,
            position: position.as_deref(),
            without: Some(&gone.mark),
        };
        let next = self.best(job, &wanted, at.date())?.ok_or_else(place)?;
        self.put_on(at, job, &next, position)
    }
}
