//! The records of the demo as its entries leave them: a second reading, which refuses what a rule forbids.

use std::collections::{BTreeMap, BTreeSet};

use ropeloft::demo::DemoEntry;
use ropeloft::domain::{
    Change, Condition, Deed, Issue, IssueId, Item, ItemId, ItemState, ItemStep, Job, JobId,
    JobState, KitLine, KitLineId, Model, ModelId, Notice, NoticeClosing, NoticeId, PersonId, Role,
    StoreId, Zone, function_asks, life, read_rig,
    rulebook::{Rulebook, TeamRulebook, rulebook},
};
use ropeloft::rigging::shipped_rig;
use time::OffsetDateTime;

/// The records as the entries leave them, taken up one by one and refused where a rule forbids it.
#[derive(Default)]
pub struct Records {
    pub roles: BTreeMap<PersonId, Role>,
    pub stores: BTreeSet<StoreId>,
    pub models: BTreeMap<ModelId, Model>,
    pub items: BTreeMap<ItemId, Item>,
    pub jobs: BTreeMap<JobId, Job>,
    pub lines: BTreeMap<KitLineId, KitLine>,
    pub notices: BTreeMap<NoticeId, Notice>,
    pub closings: Vec<NoticeClosing>,
    /// The versions of the team's own rulebooks, by what a job names.
    pub rulebooks: BTreeMap<String, Rulebook>,
    /// The rigs of the team's own, by what a job names.
    pub rigs: BTreeSet<String>,
    /// What is with a crew.
    pub issues: BTreeMap<IssueId, Issue>,
    ids: BTreeSet<uuid::Uuid>,
}

impl Records {
    pub fn of(history: &[DemoEntry]) -> Self {
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
            Change::QualificationRecorded(one) => self.new_id(one.id.0),
            Change::ModelAdded(model) => {
                self.new_id(model.id.0);
                self.models.insert(model.id, model);
            }
            Change::ModelRevised(model) => {
                assert_eq!(self.models[&model.id].revision + 1, model.revision);
                self.models.insert(model.id, model);
            }
            Change::RulebookAdded(own) => {
                self.new_id(own.id.0);
                self.take_rulebook(&own);
            }
            Change::RulebookRevised(own) => self.take_rulebook(&own),
            Change::RoundPlanned(round) => {
                self.new_id(round.id.0);
                assert!(round.items.iter().all(|item| self.items.contains_key(item)));
            }
            Change::RigAdded(rig) => {
                self.new_id(rig.id.0);
                assert_eq!(read_rig(rig.sheet.as_bytes()).unwrap().rig.key(), rig.key);
                self.rigs.insert(rig.edition().to_string());
            }
            Change::PlanPinned(pin) => {
                self.new_id(pin.id.0);
                assert!(self.rigs.contains(&pin.rig) || shipped_rig(&pin.rig).is_some());
                let own = self.rulebooks.contains_key(&pin.rulebook);
                assert!(own || rulebook(&pin.rulebook).is_some());
                pin.plan(entry.at.date(), &Zone::UTC).unwrap();
            }
            other => self.take_item(entry.at, other),
        }
    }

    /// A version follows the one before it, and its sheet reads as the book that it is.
    fn take_rulebook(&mut self, own: &TeamRulebook) {
        let before = format!("{}@{}", own.book.key(), own.revision - 1);
        assert!(own.revision == 1 || self.rulebooks.contains_key(&before));
        assert_eq!(Rulebook::parse_own(&own.book.sheet()).unwrap(), own.book);
        let edition = own.edition().to_string();
        assert!(self.rulebooks.insert(edition, own.book.clone()).is_none());
    }

    fn rulebook(&self, job: &Job) -> &Rulebook {
        let own = self.rulebooks.get(&job.rulebook);
        own.or_else(|| rulebook(&job.rulebook)).unwrap()
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
                    .insert(item.id, item.examined(&look, at, &Zone::UTC).unwrap());
            }
            Change::EventReported(event) => {
                self.new_id(event.id.0);
                let item = self.items[&event.item].clone();
                assert_ne!(item.state, ItemState::Retired);
                self.items.insert(item.id, item.after_event(&event, at));
            }
            Change::FileAttached(one) => {
                self.new_id(one.id.0);
                assert!(self.items.contains_key(&one.to.item().unwrap()));
            }
            Change::NoticeOpened(notice) => {
                self.new_id(notice.id.0);
                self.notices.insert(notice.id, notice);
            }
            Change::NoticeClosed(closing) => {
                let item = &self.items[&closing.item];
                assert!(self.notices[&closing.notice].covers(item, &self.models[&item.model]));
                assert!(!self.is_closed(closing.notice, closing.item));
                self.closings.push(closing);
            }
            other => self.take_bag(at, other),
        }
    }

    fn take_bag(&mut self, at: OffsetDateTime, change: Change) {
        match change {
            Change::BagListed(bag) => {
                assert!(self.stores.contains(&bag.store) && bag.revision == 1);
                assert!(bag.within.is_none_or(|store| self.stores.contains(&store)));
            }
            Change::BagChecked(check) => {
                self.new_id(check.id.0);
                let there = |item: &ItemId| self.items[item].store == check.store;
                assert!(check.present.iter().chain(&check.missing).all(there));
            }
            Change::ItemMoved(moved) => {
                let item = self.items[&moved.item].clone();
                assert_eq!(item.store, moved.from);
                assert_ne!(item.state, ItemState::Retired);
                assert!(self.stores.contains(&moved.to));
                self.items.insert(item.id, item.moved(moved.to));
            }
            other => self.take_use(at, other),
        }
    }

    fn take_use(&mut self, at: OffsetDateTime, change: Change) {
        match change {
            Change::UsageLogged(usage) => {
                self.new_id(usage.id.0);
                let item = self.items[&usage.item].clone();
                self.items.insert(item.id, item.after_use(&usage));
            }
            Change::RopeCut(cut) => {
                let rope = self.items[&cut.rope].clone();
                let (rope, pieces) = rope.cut(&cut, 1, at).unwrap();
                self.items.insert(rope.id, rope);
                for piece in pieces {
                    self.new_id(piece.id.0);
                    assert!(self.items.values().all(|other| other.mark != piece.mark));
                    self.items.insert(piece.id, piece);
                }
            }
            other => self.take_job(other),
        }
    }

    fn take_job(&mut self, change: Change) {
        match change {
            Change::JobPlanned(job) => {
                self.new_id(job.id.0);
                job.draft(&Zone::UTC).check(job.id, 1, &Zone::UTC).unwrap();
                self.rulebook(&job);
                assert!(self.rigs.contains(&job.rig) || shipped_rig(&job.rig).is_some());
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
            other => self.take_outing(other),
        }
    }

    /// A kit goes out whole, is signed for by two and comes back whole.
    fn take_outing(&mut self, change: Change) {
        match change {
            Change::KitIssued(issue) => {
                self.new_id(issue.id.0);
                assert_ne!(issue.by.person, issue.to.person);
                let on_job = self.lines.values().filter(|line| line.job == issue.job.id);
                assert_eq!(on_job.count(), issue.lines.len());
                assert!(self.issues.insert(issue.id, *issue).is_none());
            }
            Change::FunctionCheckSigned(check) => {
                self.new_id(check.id.0);
                let asked = function_asks(&self.issues[&check.issue]).len();
                assert_eq!(check.looked.len(), asked);
            }
            Change::KitReturned(count) => {
                self.new_id(count.id.0);
                let issue = self.issues.remove(&count.issue).unwrap();
                assert_eq!(count.lines.len(), issue.lines.len());
                for line in count
                    .lines
                    .iter()
                    .filter(|line| line.condition == Condition::LookAt)
                {
                    let item = self.items[&line.item].clone();
                    self.items
                        .insert(item.id, item.look_asked_by(&count, &line.note));
                }
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
        // The due day itself is still in date.
        assert!(item.next_due_on.unwrap() >= job.ends_at.date());
        assert!(
            life(item, model, self.rulebook(job))
                .ends_on()
                .is_none_or(|end| end > job.ends_at.date())
        );
        for (id, notice) in &self.notices {
            assert!(!notice.covers(item, model) || self.is_closed(*id, item.id));
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

    /// Whether the notice is closed for the item.
    pub fn is_closed(&self, notice: NoticeId, item: ItemId) -> bool {
        let mut closings = self.closings.iter();
        closings.any(|closing| closing.notice == notice && closing.item == item)
    }

    /// The item with this mark.
    pub fn by_mark(&self, mark: &str) -> &Item {
        self.items.values().find(|item| item.mark == mark).unwrap()
    }

    /// How many items there are of which this holds.
    pub fn count(&self, holds: impl Fn(&Item, &Model) -> bool) -> usize {
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
        Change::FileAttached(one) => one.to.deed(None),
        Change::ExaminationRecorded(_) => Deed::Examine,
        Change::EventReported(_)
        | Change::UsageLogged(_)
        | Change::BagChecked(_)
        | Change::ItemMoved(_)
        | Change::FunctionCheckSigned(_)
        | Change::KitReturned(_) => Deed::ReportEvent,
        Change::ItemStepped(step) if step.step == ItemStep::Quarantine => Deed::ReportEvent,
        Change::JobPlanned(_)
        | Change::JobRevised(_)
        | Change::JobEnded(_)
        | Change::KitLineAdded(_)
        | Change::KitLineRemoved(_)
        | Change::ItemRefused(_)
        | Change::VerdictKept(_)
        | Change::PlanPinned(_)
        | Change::KitIssued(_) => Deed::PlanJob,
        _ => Deed::KeepRegister,
    })
}
