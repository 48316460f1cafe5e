//! What the team writes itself: its standing orders as a rulebook, a rig for its wells, and the plans that it keeps
//! complete sets for.

use time::{Duration, OffsetDateTime};

use super::DemoError;
use super::agenda::Task;
use super::day::moment;
use super::play::Play;
use crate::domain::fitness::Plan;
use crate::domain::rulebook::{RulebookDraft, TeamRulebook, rulebook};
use crate::domain::{
    Change, Job, OwnRigDraft, Pin, PinId, RigId, RulebookId, Zone, ready::ReadinessDraft,
};
use crate::rigging::shipped_rig;

/// The sheet of the rig.
const SHEET: &str = include_str!("well.toml");

/// Notes when each version is written.
pub(super) fn plan(play: &mut Play<'_>) {
    let own = &play.sheets.own;
    let books = own.rulebook.iter().map(|line| line.ago).enumerate();
    let books = books.map(|(at, ago)| (ago, Task::KeepRulebook(at)));
    let rigs = own.rig.iter().map(|line| line.ago).enumerate();
    let rigs = rigs.map(|(at, ago)| (ago, Task::AddRig(at)));
    let pins = own.pin.iter().map(|line| line.ago).enumerate();
    let pins = pins.map(|(at, ago)| (ago, Task::PinPlan(at)));
    for (ago, task) in books.chain(rigs).chain(pins) {
        let day = play.today - Duration::days(ago.into());
        play.agenda.add(moment(day, 16, 0), task);
    }
}

impl Play<'_> {
    /// A rulebook of the team's own is added, or gets its next version.
    pub(super) fn keep_rulebook(
        &mut self,
        at: OffsetDateTime,
        line: usize,
    ) -> Result<(), DemoError> {
        let line = &self.sheets.own.rulebook[line];
        let of_key = |own: &&TeamRulebook| own.book.key() == line.key;
        let before = self.rulebooks.values().rfind(of_key).cloned();
        let draft = RulebookDraft {
            key: line.key.clone(),
            title: line.title.clone(),
            based_on: line.based_on.clone(),
            numbers: line.numbers.clone(),
            reasons: line.reasons.clone(),
            ..RulebookDraft::default()
        };
        let book = draft
            .check(before.as_ref().map(|before| &before.book))
            .map_err(|wrong| DemoError::at(&line.title, wrong))?;
        let own = TeamRulebook {
            id: match &before {
                Some(before) => before.id,
                None => RulebookId(self.stamp.next(at)),
            },
            revision: before.as_ref().map_or(0, |before| before.revision) + 1,
            book,
        };
        let edition = own.edition().to_string();
        self.rulebooks.insert(edition, own.clone());
        let change = match before {
            Some(_) => Change::RulebookRevised(own),
            None => Change::RulebookAdded(own),
        };
        self.record(at, "officer", change)
    }

    /// A rig of the team's own is added.
    pub(super) fn add_rig(&mut self, at: OffsetDateTime, line: usize) -> Result<(), DemoError> {
        let draft = OwnRigDraft {
            sheet: SHEET.to_owned(),
            note: self.sheets.own.rig[line].note.clone(),
        };
        let own = draft
            .check(RigId(self.stamp.next(at)), 1)
            .map_err(|wrong| DemoError::at("well.toml", wrong))?;
        let rig = own
            .rig()
            .map_err(|faults| DemoError::at("well.toml", faults))?;
        self.rigs.insert(own.edition().to_string(), rig);
        self.record(at, "officer", Change::RigAdded(own))
    }

    /// A plan is pinned.
    pub(super) fn pin_plan(&mut self, at: OffsetDateTime, line: usize) -> Result<(), DemoError> {
        let line = &self.sheets.own.pin[line];
        let draft = ReadinessDraft {
            rig: line.rig.clone(),
            rulebook: line.rulebook.clone(),
            depth: line.depth.clone(),
            load: line.load.clone(),
            case: line.case.clone(),
            ..ReadinessDraft::default()
        };
        let plan = draft
            .check(at.date(), &Zone::UTC)
            .map_err(|wrong| DemoError::at(&line.rig, wrong))?;
        self.plan_of(&plan)?;
        let pin = Pin::of(PinId(self.stamp.next(at)), &plan);
        self.record(at, "officer", Change::PlanPinned(pin))
    }

    /// The plan of a job, with a rulebook and a rig of whatever origin.
    pub(super) fn plan_of<'a>(&'a self, job: &'a Job) -> Result<Plan<'a>, DemoError> {
        let home = rulebook(&self.sheets.team.team.rulebook);
        let own = self.rulebooks.get(&job.rulebook).map(|own| &own.book);
        let book = own.or_else(|| rulebook(&job.rulebook));
        let rig = self.rigs.get(&job.rig).or_else(|| shipped_rig(&job.rig));
        match (book, rig, home) {
            (Some(book), Some(rig), Some(home)) => Ok(Plan::new(job, book, rig).at_home(home)),
            _ => Err(DemoError::at(
                &job.title,
                "its rulebook or rig is not there",
            )),
        }
    }
}
