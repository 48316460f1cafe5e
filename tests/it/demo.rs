//! The demo holds by the house's own rules, whatever the day, and has something of everything to look at.

use std::collections::{BTreeMap, BTreeSet};

use ropeloft::demo::{Demo, DemoEntry, demo, history};
use ropeloft::domain::{
    Change, Deed, Examination, Item, ItemId, ItemState, Job, JobId, JobState, Kind, KitLine,
    KitLineId, Model, ModelId, Notice, NoticeId, Role, life,
};
use time::macros::date;
use time::{Date, Duration, OffsetDateTime, Time};

const TODAY: Date = date!(2026 - 11 - 25);

/// The records as the entries leave them, taken up one by one and refused where a rule forbids it.
#[derive(Default)]
struct Records {
    roles: BTreeMap<ropeloft::domain::PersonId, Role>,
    stores: BTreeSet<ropeloft::domain::StoreId>,
    models: BTreeMap<ModelId, Model>,
    items: BTreeMap<ItemId, Item>,
    jobs: BTreeMap<JobId, Job>,
    lines: BTreeMap<KitLineId, KitLine>,
    notices: BTreeMap<NoticeId, Notice>,
    closed: BTreeSet<(NoticeId, ItemId)>,
    looks: Vec<Examination>,
    ids: BTreeSet<uuid::Uuid>,
}

impl Records {
    fn of(history: &[DemoEntry]) -> Self {
        let mut records = Self::default();
        let mut last = OffsetDateTime::UNIX_EPOCH;
        for entry in history {
            assert!(
                entry.at >= last,
                "{} goes back in time",
                entry.change.kind()
            );
            last = entry.at;
            records.take(entry);
        }
        records
    }

    fn new_id(&mut self, id: uuid::Uuid) {
        assert_eq!(id.get_version_num(), 7);
        assert!(self.ids.insert(id), "{id} stands twice");
    }

    fn take(&mut self, entry: &DemoEntry) {
        if let Some(deed) = deed(&entry.change) {
            let role = self.roles[&entry.actor];
            assert!(role.may(deed), "{} by {}", entry.change.kind(), role.word());
        }
        match entry.change.clone() {
            Change::TeamFounded(team) => self.new_id(team.id.0),
            Change::PersonAdded(person) => {
                self.new_id(person.id.0);
                self.roles.insert(person.id, person.role);
            }
            Change::StoreAdded(store) => {
                self.new_id(store.id.0);
                self.stores.insert(store.id);
            }
            Change::ModelAdded(model) => {
                self.new_id(model.id.0);
                self.models.insert(model.id, model);
            }
            Change::ModelRevised(model) => {
                assert_eq!(self.models[&model.id].revision + 1, model.revision);
                self.models.insert(model.id, model);
            }
            other => self.take_item(entry.at, other),
        }
    }

    fn take_item(&mut self, at: OffsetDateTime, change: Change) {
        match change {
            Change::ItemAdded(item) => {
                self.new_id(item.id.0);
                let draft = item.draft();
                let model = &self.models[&item.model];
                assert!(self.stores.contains(&item.store));
                draft
                    .check(Some(model), Some(item.store), at.date())
                    .unwrap();
                assert!(self.items.values().all(|other| other.mark != item.mark));
                self.items.insert(item.id, item);
            }
            Change::ItemRevised(item) => {
                let old = &self.items[&item.id];
                assert_eq!(old.revision + 1, item.revision);
                assert_eq!((old.state, old.next_due_on), (item.state, item.next_due_on));
                self.items.insert(item.id, item);
            }
            Change::ItemStepped(step) => {
                let item = self.items[&step.item].clone();
                self.items.insert(item.id, item.stepped(&step, at).unwrap());
            }
            Change::ExaminationRecorded(look) => {
                self.new_id(look.id.0);
                assert!(look.on <= at.date());
                let item = self.items[&look.item].clone();
                self.items
                    .insert(item.id, item.examined(&look, at).unwrap());
                self.looks.push(look);
            }
            Change::EventReported(event) => {
                self.new_id(event.id.0);
                let item = self.items[&event.item].clone();
                assert_ne!(item.state, ItemState::Retired);
                self.items.insert(item.id, item.after_event(&event, at));
            }
            Change::NoticeOpened(notice) => {
                self.new_id(notice.id.0);
                self.notices.insert(notice.id, notice);
            }
            Change::NoticeClosed(closing) => {
                let item = &self.items[&closing.item];
                assert!(self.notices[&closing.notice].covers(item, &self.models[&item.model]));
                assert!(self.closed.insert((closing.notice, closing.item)));
            }
            other => self.take_job(other),
        }
    }

    fn take_job(&mut self, change: Change) {
        match change {
            Change::JobPlanned(job) => {
                self.new_id(job.id.0);
                job.draft().check(job.id, 1).unwrap();
                self.jobs.insert(job.id, job);
            }
            Change::JobEnded(end) => {
                let job = self.jobs.get_mut(&end.job).unwrap();
                job.state.must_be_planned().unwrap();
                job.state = end.state;
            }
            Change::KitLineAdded(line) => {
                self.new_id(line.id.0);
                self.may_go_on(&line);
                self.lines.insert(line.id, line);
            }
            Change::KitLineRemoved(gone) => {
                self.jobs[&gone.job].state.must_be_planned().unwrap();
                assert!(self.lines.remove(&gone.line).is_some());
            }
            Change::ItemRefused(refused) => {
                assert!(!refused.refusals.is_empty());
                assert!(self.items.contains_key(&refused.item));
            }
            Change::VerdictKept(verdict) => {
                assert!(self.jobs.contains_key(&verdict.job));
            }
            other => panic!("{} is not expected here", other.kind()),
        }
    }

    /// In service, examined, alive, free of notices, and on no other job and position at the time.
    fn may_go_on(&self, line: &KitLine) {
        let (job, item) = (&self.jobs[&line.job], &self.items[&line.item]);
        let model = &self.models[&item.model];
        job.state.must_be_planned().unwrap();
        assert_eq!(item.state, ItemState::InService, "{}", item.mark);
        assert!(item.next_due_on.unwrap() > job.ends_at.date());
        assert!(
            life(item, model)
                .ends_on()
                .is_none_or(|end| end > job.ends_at.date())
        );
        for (id, notice) in &self.notices {
            assert!(!notice.covers(item, model) || self.closed.contains(&(*id, item.id)));
        }
        for other in self.lines.values() {
            let elsewhere = &self.jobs[&other.job];
            let together = elsewhere.state == JobState::Planned && elsewhere.overlaps(job);
            assert!(!together || other.item != line.item, "{} twice", item.mark);
            let same = other.job == line.job && other.position == line.position;
            assert!(
                !same || line.position.is_none(),
                "two at {:?}",
                line.position
            );
        }
    }

    fn by_mark(&self, mark: &str) -> &Item {
        self.items.values().find(|item| item.mark == mark).unwrap()
    }

    fn count(&self, holds: impl Fn(&Item, &Model) -> bool) -> usize {
        let items = self.items.values();
        items
            .filter(|item| holds(item, &self.models[&item.model]))
            .count()
    }
}

/// What a person must be allowed to do to make the change; nothing for the founding itself.
fn deed(change: &Change) -> Option<Deed> {
    Some(match change {
        Change::TeamFounded(_) | Change::PersonAdded(_) => return None,
        Change::ExaminationRecorded(_) => Deed::Examine,
        Change::EventReported(_) => Deed::ReportEvent,
        Change::ItemStepped(step) if step.step == ropeloft::domain::ItemStep::Quarantine => {
            Deed::ReportEvent
        }
        Change::JobPlanned(_)
        | Change::JobRevised(_)
        | Change::JobEnded(_)
        | Change::KitLineAdded(_)
        | Change::KitLineRemoved(_)
        | Change::ItemRefused(_)
        | Change::VerdictKept(_) => Deed::PlanJob,
        _ => Deed::KeepRegister,
    })
}

fn today() -> Demo {
    demo(TODAY).unwrap()
}

#[test]
fn the_demo_is_the_same_at_every_run() {
    assert_eq!(history(TODAY).unwrap(), history(TODAY).unwrap());
}

#[test]
fn the_demo_holds_by_every_rule() {
    Records::of(&today().history);
}

#[test]
fn the_demo_holds_on_every_day_of_a_year_and_on_odd_days() {
    let year = (0..365).step_by(9).map(|days| TODAY + Duration::days(days));
    for day in year.chain([
        date!(2028 - 02 - 29),
        date!(2024 - 01 - 01),
        date!(2031 - 08 - 31),
    ]) {
        Records::of(&history(day).unwrap_or_else(|error| panic!("{day}: {error}")));
    }
}

#[test]
fn the_demo_begins_eight_years_back_and_ends_yesterday() {
    let history = today().history;
    assert!(matches!(history[0].change, Change::TeamFounded(_)));
    let midnight = TODAY.with_time(Time::MIDNIGHT).assume_utc();
    assert_eq!(history[0].at.year(), 2018);
    let last = history.last().unwrap().at;
    assert!(last < midnight && last > midnight - Duration::days(2));
}

#[test]
fn the_demo_has_gear_of_every_kind_and_state() {
    let records = Records::of(&today().history);
    assert!(
        (150..=180).contains(&records.items.len()),
        "{}",
        records.items.len()
    );
    assert!((40..=50).contains(&records.models.len()));
    assert_eq!((records.stores.len(), records.roles.len()), (4, 4));
    for kind in Kind::ALL {
        assert!(
            records.count(|_, model| model.kind == *kind) > 0,
            "no {}",
            kind.word()
        );
    }
    for (state, least) in [
        (ItemState::InService, 130),
        (ItemState::Quarantined, 4),
        (ItemState::Missing, 1),
        (ItemState::Retired, 9),
    ] {
        let found = records.count(|item, _| item.state == state);
        assert!(found >= least, "{found} {}", state.word());
    }
}

#[test]
fn the_demo_has_something_overdue_due_past_life_and_unknown() {
    let records = Records::of(&today().history);
    let in_service = |item: &Item| item.state == ItemState::InService;
    let due = |item: &Item| item.next_due_on.filter(|_| in_service(item));
    let overdue = records.count(|item, _| due(item).is_some_and(|due| due < TODAY));
    assert!((5..=10).contains(&overdue), "{overdue} overdue");
    let soon = TODAY + Duration::days(31);
    let month = records.count(|item, _| due(item).is_some_and(|due| due >= TODAY && due < soon));
    assert!((15..=35).contains(&month), "{month} due");
    let dead = records.count(|item, model| {
        in_service(item) && life(item, model).ends_on().is_some_and(|end| end <= TODAY)
    });
    assert!((2..=8).contains(&dead), "{dead} past life");
    assert!(records.count(|item, _| item.made.is_none()) > 0);
    assert!(records.count(|item, _| item.serial.is_none()) > 0);
    assert!(records.count(|item, _| item.markings_readable == Some(false)) > 0);
}

#[test]
fn the_demo_has_an_open_notice_that_covers_one_item_without_a_lot() {
    let records = Records::of(&today().history);
    let open = |notice: &Notice| {
        let mut marks: Vec<&str> = records
            .items
            .values()
            .filter(|item| notice.covers(item, &records.models[&item.model]))
            .filter(|item| !records.closed.contains(&(notice.id, item.id)))
            .map(|item| item.mark.as_str())
            .collect();
        marks.sort_unstable();
        marks
    };
    let open: Vec<_> = records
        .notices
        .values()
        .map(open)
        .filter(|marks| !marks.is_empty())
        .collect();
    assert_eq!(open, [["PC-07", "PC-08", "PC-09"]]);
    assert_eq!(records.by_mark("PC-09").lot, None);
}

#[test]
fn the_demo_has_past_jobs_and_two_to_come() {
    let records = Records::of(&today().history);
    let jobs = |state| {
        records
            .jobs
            .values()
            .filter(|job| job.state == state)
            .count()
    };
    assert_eq!(jobs(JobState::Planned), 2);
    assert!(jobs(JobState::Closed) >= 15);
    assert!(jobs(JobState::Cancelled) >= 1);
}

#[test]
fn every_person_of_the_demo_may_sign_in_with_its_password() {
    let demo = today();
    for person in &demo.people {
        let mut wrong = ropeloft::domain::FieldErrors::default();
        ropeloft::domain::check_password(&mut wrong, "password", &person.password);
        assert!(wrong.is_empty(), "{}: {wrong}", person.person.sign_in);
        let added = Change::PersonAdded(person.person.clone());
        assert!(demo.history.iter().any(|entry| entry.change == added));
    }
    let roles: BTreeSet<Role> = demo
        .people
        .iter()
        .map(|person| person.person.role)
        .collect();
    assert_eq!(roles.len(), Role::ALL.len());
}
