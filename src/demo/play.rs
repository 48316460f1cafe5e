//! Plays the tables from the first day to the last, one recorded change after the other.

use std::collections::BTreeMap;

use time::{Date, OffsetDateTime};

use super::agenda::{Agenda, Task};
use super::chance::Chance;
use super::day::{moment, months_before, working_day};
use super::sheet::Sheets;
use super::stamp::Stamp;
use super::{Demo, DemoEntry, DemoError, DemoPerson, bag, gear, job, own, picture, round, story};
use crate::domain::rulebook::TeamRulebook;
use crate::domain::{
    AttachedTo, Change, Competence, Issue, Item, ItemId, Job, KitLine, Model, Notice,
    NoticeClosing, Person, PersonId, QualificationDraft, QualificationId, StoreDraft, StoreId,
    Team, TeamId, Zone,
    date::{add_months, write_day},
};
use crate::rigging::Rig;

/// How many months the history goes back.
const MONTHS: u16 = 96;

/// Where the play stands.
pub(super) struct Play<'a> {
    pub(super) sheets: &'a Sheets,
    pub(super) today: Date,
    pub(super) agenda: Agenda,
    pub(super) stamp: Stamp,
    pub(super) people: BTreeMap<String, Person>,
    pub(super) competence: Competence,
    pub(super) stores: BTreeMap<String, StoreId>,
    /// By their keys in the tables.
    pub(super) models: BTreeMap<String, Model>,
    /// By their marks, with the key of the model.
    pub(super) items: BTreeMap<String, (Item, String)>,
    /// In the order in which they came.
    pub(super) notices: Vec<Notice>,
    pub(super) closings: Vec<NoticeClosing>,
    /// Every version of what the team wrote itself, by what a job names.
    pub(super) rulebooks: BTreeMap<String, TeamRulebook>,
    pub(super) rigs: BTreeMap<String, Rig>,
    /// By their place in the table.
    pub(super) jobs: BTreeMap<usize, Job>,
    pub(super) lines: Vec<Line>,
    /// What is with a crew, by the place of the job.
    pub(super) issues: BTreeMap<usize, Issue>,
    entries: Vec<DemoEntry>,
}

/// An item on a job.
pub(super) struct Line {
    pub(super) job: usize,
    pub(super) mark: String,
    pub(super) kit: KitLine,
}

/// The first day: a working day eight years back.
pub(super) fn founding(today: Date) -> Date {
    working_day(months_before(today, MONTHS))
}

/// Plays all tables up to the morning of `today`.
pub(super) fn play(sheets: &Sheets, today: Date) -> Result<Demo, DemoError> {
    let mut play = Play {
        sheets,
        today,
        agenda: Agenda::default(),
        stamp: Stamp::new(),
        people: BTreeMap::new(),
        competence: Competence::default(),
        stores: BTreeMap::new(),
        models: BTreeMap::new(),
        items: BTreeMap::new(),
        notices: Vec::new(),
        closings: Vec::new(),
        rulebooks: BTreeMap::new(),
        rigs: BTreeMap::new(),
        jobs: BTreeMap::new(),
        lines: Vec::new(),
        issues: BTreeMap::new(),
        entries: Vec::new(),
    };
    let team = play.found()?;
    gear::plan(&mut play)?;
    story::plan(&mut play);
    own::plan(&mut play);
    round::plan(&mut play);
    bag::plan(&mut play);
    job::plan(&mut play);
    while let Some((at, task)) = play.agenda.next() {
        play.take_up(at, task)?;
    }
    let with_password = |line: &super::sheet::PersonLine| DemoPerson {
        person: play.people[&line.sign_in].clone(),
        password: line.password.clone(),
    };
    Ok(Demo {
        team,
        people: sheets.team.person.iter().map(with_password).collect(),
        history: play.entries,
        files: picture::all()?.flat_map(|one| one.files.clone()).collect(),
    })
}

impl Play<'_> {
    /// Founds the team, lets its people in and names its stores.
    fn found(&mut self) -> Result<Team, DemoError> {
        let at = moment(founding(self.today), 8, 0);
        let team = Team {
            id: TeamId(self.stamp.next(at)),
            name: self.sheets.team.team.name.clone(),
            rulebook: self.sheets.team.team.rulebook.clone(),
            time_zone: Zone::UTC,
            return_by_two: false,
            employer: self.sheets.team.team.employer.clone(),
            premises: self.sheets.team.team.premises.clone(),
        };
        for line in &self.sheets.team.person {
            let person = Person {
                id: PersonId(self.stamp.next(at)),
                name: line.name.clone(),
                sign_in: line.sign_in.clone(),
                role: line.role,
                active: true,
            };
            self.people.insert(line.sign_in.clone(), person);
        }
        self.record(at, "admin", Change::TeamFounded(team.clone()))?;
        for line in &self.sheets.team.person {
            let person = self.people[&line.sign_in].clone();
            self.record(at, "admin", Change::PersonAdded(person))?;
        }
        let at = moment(founding(self.today), 8, 30);
        for line in &self.sheets.team.store {
            let draft = StoreDraft {
                name: line.name.clone(),
                note: line.note.clone(),
            };
            let store = draft
                .check(StoreId(self.stamp.next(at)), 1)
                .map_err(|wrong| DemoError::at(format!("store {}", line.key), wrong))?;
            self.stores.insert(line.key.clone(), store.id);
            self.record(at, "officer", Change::StoreAdded(store))?;
        }
        self.hold_competent(at)?;
        Ok(team)
    }

    /// Says who may examine what from the first day on.
    fn hold_competent(&mut self, at: OffsetDateTime) -> Result<(), DemoError> {
        let people = self.people.values();
        self.competence.people = people.map(|one| (one.id, one.name.clone())).collect();
        for line in &self.sheets.team.competent {
            let person = self.people.get(&line.sign_in);
            let until = line.months.map(|months| add_months(at.date(), months));
            let draft = QualificationDraft {
                person: person.map(|one| one.id.to_string()).unwrap_or_default(),
                name: line.name.clone(),
                body: line.body.clone(),
                kinds: line.kinds.clone(),
                from: write_day(at.date()),
                until: until.map(write_day).unwrap_or_default(),
                evidence: line.evidence.clone(),
                address: line.address.clone(),
            };
            let one = draft
                .check(QualificationId(self.stamp.next(at)), at.date())
                .map_err(|wrong| DemoError::at("competent", wrong))?;
            self.competence.qualifications.push(one.clone());
            self.record(at, "admin", Change::QualificationRecorded(one))?;
        }
        Ok(())
    }

    fn take_up(&mut self, at: OffsetDateTime, task: Task) -> Result<(), DemoError> {
        match task {
            Task::AddItem { batch, number } => self.add_item(at, batch, number),
            Task::Examine(look) => self.examine(at, &look),
            Task::Act { mark, act } => self.act(at, &mark, &act),
            Task::Revise(revision) => self.revise(at, revision),
            Task::OpenNotice(notice) => self.open_notice(at, notice),
            Task::CloseNotice { notice, closing } => self.close_notice(at, notice, closing),
            Task::KeepRulebook(line) => self.keep_rulebook(at, line),
            Task::AddRig(line) => self.add_rig(at, line),
            Task::PlanRound(round) => self.plan_round(at, round),
            Task::PackBag(bag) => self.pack_bag(at, bag),
            Task::PinPlan(pin) => self.pin_plan(at, pin),
            Task::PlanJob(job) => self.plan_job(at, job),
            Task::TakeOn { job, wish } => self.take_on(at, job, wish),
            Task::Attempt { job, attempt } => self.attempt(at, job, attempt),
            Task::KeepVerdict(job) => self.keep_verdict(at, job),
            Task::Swap(job) => self.swap(at, job),
            Task::CheckBefore { job, mark } => self.check_before(at, job, &mark),
            Task::Issue(job) => self.issue(at, job),
            Task::SignCheck { job, by } => self.sign_check(at, job, by),
            Task::EndJob(job) => self.end_job(at, job),
        }
    }

    /// Writes a change down. Nothing is recorded on the day of the demo itself: it belongs to whoever looks round.
    pub(super) fn record(
        &mut self,
        at: OffsetDateTime,
        by: &str,
        change: Change,
    ) -> Result<(), DemoError> {
        let actor = self
            .people
            .get(by)
            .ok_or_else(|| DemoError::at(by, "nobody signs in like this"))?
            .id;
        if at >= moment(self.today, 0, 0) {
            return Err(DemoError::at(
                change.kind(),
                format!("{at} is not before the day of the demo"),
            ));
        }
        self.entries.push(DemoEntry { at, actor, change });
        Ok(())
    }

    /// The number that the next entry of the ledger has.
    pub(super) fn next_seq(&self) -> u64 {
        u64::try_from(self.entries.len()).map_or(u64::MAX, |count| count + 1)
    }

    /// The marks of the pieces that an item was cut into; none where it was not.
    pub(super) fn pieces(&self, item: &Item) -> Vec<String> {
        let ids = item.cut_into.iter().flat_map(|into| &into.pieces);
        let ids: Vec<_> = ids.collect();
        let items = self.items.values().map(|(item, _)| item);
        let pieces = items.filter(|item| ids.contains(&&item.id));
        pieces.map(|item| item.mark.clone()).collect()
    }

    /// The last examination or event of the item, whichever was recorded last.
    pub(super) fn last_of(&self, item: ItemId) -> Option<AttachedTo> {
        let mut entries = self.entries.iter().rev();
        entries.find_map(|entry| match &entry.change {
            Change::ExaminationRecorded(look) if look.item == item => {
                let examination = look.id;
                Some(AttachedTo::Examination { item, examination })
            }
            Change::EventReported(event) if event.item == item => {
                let event = event.id;
                Some(AttachedTo::Event { item, event })
            }
            _ => None,
        })
    }

    /// The item with this mark, and its model.
    pub(super) fn item(&self, mark: &str) -> Result<(&Item, &Model), DemoError> {
        let (item, model) = self
            .items
            .get(mark)
            .ok_or_else(|| DemoError::at(mark, "there is no such item yet"))?;
        Ok((item, &self.models[model]))
    }

    /// Puts the changed item in the place of the old one.
    pub(super) fn replace(&mut self, item: Item) {
        if let Some((old, _)) = self.items.get_mut(&item.mark) {
            *old = item;
        }
    }

    /// A line of the table of findings for an item, the same at every run.
    pub(super) fn finding(
        &self,
        look: crate::domain::ExaminationKind,
        model: &Model,
        seed: &str,
    ) -> String {
        let lines = self.sheets.findings(look, model.kind);
        Chance::named(seed).pick(lines).cloned().unwrap_or_default()
    }
}
