//! The names of what the ledger speaks of.

use std::collections::{BTreeSet, HashMap};

use uuid::Uuid;

use super::{AttachedTo, Change, Entry, ItemId, JobId, ModelId, NoticeId};

/// The names of what entries speak of; what is not in it is called by its id or key.
#[derive(Clone, Debug, Default)]
pub struct Names {
    /// The names of records, by id.
    pub records: HashMap<Uuid, String>,
    /// The titles of the positions of the rigs of jobs, by job and key.
    pub positions: HashMap<(JobId, String), String>,
    /// What entries changed, with what was on record before, in words, by their sequence numbers.
    pub changed: HashMap<u64, String>,
}

impl Names {
    /// Adds the names of these records.
    pub fn add<T>(
        &mut self,
        records: impl IntoIterator<Item = T>,
        name: impl Fn(T) -> (Uuid, String),
    ) {
        self.records.extend(records.into_iter().map(name));
    }

    /// The name of a record.
    pub fn of(&self, id: Uuid) -> String {
        self.records
            .get(&id)
            .cloned()
            .unwrap_or_else(|| format!("record {id}"))
    }

    /// The title of a position of the rig of a job.
    pub fn position<'a>(&'a self, job: JobId, key: &'a str) -> &'a str {
        let title = self.positions.get(&(job, key.to_owned()));
        title.map_or(key, String::as_str)
    }
}

/// The records that entries name, so that their names can be looked up at once.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Mentioned {
    /// Items.
    pub items: BTreeSet<ItemId>,
    /// Models.
    pub models: BTreeSet<ModelId>,
    /// Jobs.
    pub jobs: BTreeSet<JobId>,
    /// Notices.
    pub notices: BTreeSet<NoticeId>,
}

impl Mentioned {
    /// What these entries name, beside stores and people.
    pub fn by<'a>(entries: impl IntoIterator<Item = &'a Entry<Change>>) -> Self {
        let mut mentioned = Self::default();
        for entry in entries {
            mentioned.add(&entry.change);
        }
        mentioned
    }

    fn add(&mut self, change: &Change) {
        match change {
            Change::TeamFounded(_)
            | Change::TeamRevised(_)
            | Change::PersonAdded(_)
            | Change::PersonRevised(_)
            | Change::QualificationRecorded(_)
            | Change::QualificationEnded(_)
            | Change::QualificationAddressed(_)
            | Change::LedgerKeyTaken(_)
            | Change::WitnessNamed(_)
            | Change::WitnessEnded(_)
            | Change::NamesRemoved(_)
            | Change::StoreAdded(_)
            | Change::StoreRevised(_)
            | Change::BagListed(_)
            | Change::BagChecked(_)
            | Change::ModelAdded(_)
            | Change::ModelRevised(_)
            | Change::RulebookAdded(_)
            | Change::RulebookRevised(_)
            | Change::RulebookWithdrawn(_)
            | Change::RulebookTakenUp(_)
            | Change::ChecklistRevised(_)
            | Change::ImportTaken(_)
            | Change::RoundPlanned(_)
            | Change::RoundClosed(_)
            | Change::NoticeOpened(_)
            | Change::NoticeCorrected(_)
            | Change::RigAdded(_)
            | Change::RigRevised(_)
            | Change::RigWithdrawn(_)
            | Change::RigTakenUp(_)
            | Change::JobPlanned(_)
            | Change::JobRevised(_) => {}
            Change::ItemAdded(item) | Change::ItemRevised(item) => {
                self.models.insert(item.model);
            }
            Change::ItemStepped(step) => self.item(step.item),
            Change::ReturnAsked(asked) => self.item(asked.item),
            Change::ItemMoved(moved) => self.item(moved.item),
            Change::ExaminationRecorded(examination) => self.item(examination.item),
            Change::RopeCut(cut) => {
                self.item(cut.rope);
                self.items.extend(cut.pieces.iter().map(|piece| piece.id));
            }
            Change::UsageLogged(usage) => {
                self.item(usage.item);
                self.jobs.extend(usage.job);
            }
            Change::EventReported(event) => self.item(event.item),
            Change::TagAdded(tag) => self.item(tag.item),
            Change::TagRemoved(removed) => self.item(removed.item),
            Change::FileAttached(one) => self.bearer(one.to),
            Change::FileWithdrawn(end) => self.bearer(end.to),
            other => self.add_of_notice(other),
        }
    }

    /// What a change of a notice names.
    fn add_of_notice(&mut self, change: &Change) {
        match change {
            Change::NoticeClosed(closing) => {
                self.notices.insert(closing.notice);
                self.item(closing.item);
            }
            Change::NoticeWithdrawn(end) => {
                self.notices.insert(end.notice);
            }
            other => self.add_of_job(other),
        }
    }

    /// What a change of a job names.
    fn add_of_job(&mut self, change: &Change) {
        match change {
            Change::JobEnded(end) => self.job(end.job),
            Change::VerdictKept(verdict) => self.job(verdict.job),
            Change::IssueTakenBack(back) => self.job(back.job),
            Change::FunctionCheckSigned(check) => self.job(check.job),
            Change::CrewPlanned(plan) => self.job(plan.job),
            Change::KitIssued(issue) => {
                self.kit(issue.job.id, issue.lines.iter().map(|line| line.item));
            }
            Change::KitReturned(count) => {
                self.kit(count.job, count.lines.iter().map(|line| line.item));
            }
            Change::KitLineAdded(line) => self.on_job(line.item, line.job),
            Change::KitLineRemoved(line) => self.on_job(line.item, line.job),
            Change::ItemRefused(refused) => self.on_job(refused.item, refused.job),
            // The rest is named by its caller, or names nothing but itself.
            _ => {}
        }
    }

    fn bearer(&mut self, to: AttachedTo) {
        self.items.extend(to.item());
        self.models.extend(to.model());
    }

    fn item(&mut self, id: ItemId) {
        self.items.insert(id);
    }

    fn kit(&mut self, job: JobId, items: impl Iterator<Item = ItemId>) {
        self.job(job);
        self.items.extend(items);
    }

    fn on_job(&mut self, item: ItemId, job: JobId) {
        self.item(item);
        self.job(job);
    }

    fn job(&mut self, id: JobId) {
        self.jobs.insert(id);
    }
}
