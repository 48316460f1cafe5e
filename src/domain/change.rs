//! Every change of a record is one value of [`Change`]: what the ledger keeps and the tables follow.
//!
//! The JSON shape of a change is a contract with every ledger that was ever written: variants and
//! fields are added, never renamed or removed.

use serde::{Deserialize, Serialize};
use time::Date;
use uuid::Uuid;

use super::date::iso;
use super::rulebook::TeamRulebook;
use super::tag::{Tag, TagRemoved};
use super::{
    Attachment, AttachmentWithdrawal, Bag, BagCheck, CrewPlan, Event, Examination, FunctionCheck,
    GuestLink, GuestLinkEnd, GuestReads, Issue, IssueTakenBack, Item, ItemId, ItemMoved, ItemStep,
    Job, JobEnd, JobId, KitLine, KitLineRemoved, KitReturn, LedgerKey, Model, ModelKindChanged,
    NameRemoval, Notice, NoticeClosing, NoticeCorrection, NoticeEnd, OwnRig, Person, Pin,
    PinRemoved, Qualification, QualificationAddress, QualificationEnd, Refusal, RetiredFor,
    ReturnAsked, RigOffer, RopeCut, Round, RoundClosing, RulebookOffer, Store, Team, TeamChecklist,
    Usage, VerdictKept, Witness, WitnessEnd,
};

/// A change of the team's records.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "kind", content = "of", rename_all = "kebab-case")]
pub enum Change {
    /// The team began; the first entry of every ledger.
    TeamFounded(Team),
    /// The team's name, rulebook or time zone changed.
    TeamRevised(Team),
    /// A person joined.
    PersonAdded(Person),
    /// A person's name, role or access changed.
    PersonRevised(Person),
    /// Somebody was recorded as competent to examine gear.
    QualificationRecorded(Qualification),
    /// A qualification was ended.
    QualificationEnded(QualificationEnd),
    /// The address of whoever holds a qualification was written down, or is another.
    QualificationAddressed(QualificationAddress),
    /// A key was taken that signs checkpoints of the ledger from here on.
    LedgerKeyTaken(LedgerKey),
    /// Somebody outside was asked to sign checkpoints too.
    WitnessNamed(Witness),
    /// A witness is asked no longer.
    WitnessEnded(WitnessEnd),
    /// Somebody's name was removed from the records, on lawful request.
    NamesRemoved(NameRemoval),
    /// A link was made by which an outside auditor gets in.
    GuestLinkMade(GuestLink),
    /// A link for an outside auditor was withdrawn.
    GuestLinkWithdrawn(GuestLinkEnd),
    /// The server took up how much had been read by such a link.
    GuestReadsCounted(GuestReads),
    /// A store was added.
    StoreAdded(Store),
    /// A store was renamed.
    StoreRevised(Store),
    /// The list of what belongs in a bag was written, or changed.
    BagListed(Bag),
    /// A bag was looked through.
    BagChecked(BagCheck),
    /// An item went from one place to another.
    ItemMoved(ItemMoved),
    /// A model was added.
    ModelAdded(Model),
    /// A model's record changed.
    ModelRevised(Model),
    /// A model is of another kind than it was recorded as.
    ModelKindChanged(ModelKindChanged),
    /// A rulebook of the team's own was added.
    RulebookAdded(TeamRulebook),
    /// A rulebook of the team's own changed: a further version, beside the older ones.
    RulebookRevised(TeamRulebook),
    /// A rulebook of the team's own is offered no more; jobs that were planned under it keep it.
    RulebookWithdrawn(RulebookOffer),
    /// A rulebook of the team's own that was withdrawn is offered again.
    RulebookTakenUp(RulebookOffer),
    /// A team's own criteria for a kind changed: a further edition, beside the older ones.
    ChecklistRevised(TeamChecklist),
    /// An import was taken in; its records follow.
    ImportTaken(ImportTaken),
    /// An item was added.
    ItemAdded(Item),
    /// An item's details changed.
    ItemRevised(Item),
    /// An item went from one state to another.
    ItemStepped(ItemStepped),
    /// A competent person asked for an item's return from quarantine; somebody else confirms it.
    ReturnAsked(ReturnAsked),
    /// An examination was recorded.
    ExaminationRecorded(Examination),
    /// A rope was cut; its pieces are items of their own from then on.
    RopeCut(RopeCut),
    /// Use of an item was logged.
    UsageLogged(Usage),
    /// Something happened to an item.
    EventReported(Event),
    /// A tag was put on an item.
    TagAdded(Tag),
    /// A tag was taken off an item.
    TagRemoved(TagRemoved),
    /// A round of examinations was planned.
    RoundPlanned(Round),
    /// A round of examinations was closed.
    RoundClosed(RoundClosing),
    /// A photo or a document was put on a record.
    FileAttached(Attachment),
    /// A photo or a document was withdrawn from a record.
    FileWithdrawn(AttachmentWithdrawal),
    /// A safety notice was opened.
    NoticeOpened(Notice),
    /// A safety notice was closed for one item.
    NoticeClosed(NoticeClosing),
    /// What a safety notice says was corrected, and with it what it covers.
    NoticeCorrected(Box<NoticeCorrection>),
    /// A safety notice was withdrawn: it covers nothing any more.
    NoticeWithdrawn(NoticeEnd),
    /// A rig of the team's own was added.
    RigAdded(OwnRig),
    /// A rig of the team's own got a new version; the older ones stay.
    RigRevised(OwnRig),
    /// A rig of the team's own is not offered any more; jobs that were planned with it keep it.
    RigWithdrawn(RigOffer),
    /// A rig of the team's own that was withdrawn is offered again.
    RigTakenUp(RigOffer),
    /// A job was planned.
    JobPlanned(Job),
    /// A job's plan changed.
    JobRevised(Job),
    /// A job was closed or cancelled.
    JobEnded(JobEnd),
    /// An item went on a job.
    KitLineAdded(KitLine),
    /// An item was taken off a job.
    KitLineRemoved(KitLineRemoved),
    /// An item was refused for a job; kept, since attempts matter too.
    ItemRefused(ItemRefused),
    /// The verdict on a job's kit was kept.
    VerdictKept(VerdictKept),
    /// The kit of a job was handed out, frozen with the verdict on it.
    KitIssued(Box<Issue>),
    /// An issue was taken back before anything was counted.
    IssueTakenBack(IssueTakenBack),
    /// Somebody looked at a rig before it was loaded, and signed.
    FunctionCheckSigned(FunctionCheck),
    /// Items of an issue were counted back; what follows for each stands behind it.
    KitReturned(Box<KitReturn>),
    /// Who does what on a job was planned, or planned anew.
    CrewPlanned(CrewPlan),
    /// A plan was pinned, so that complete sets are counted for it.
    PlanPinned(Pin),
    /// A plan is pinned no longer.
    PlanUnpinned(PinRemoved),
}

/// An import that was taken in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ImportTaken {
    /// The file's name.
    pub file_name: String,
    /// The SHA-256 of its bytes, in hex.
    pub sha256: String,
    /// How many items came of it.
    pub items: u32,
}

/// An item went from one state to another.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ItemStepped {
    /// The item.
    pub item: ItemId,
    /// The step.
    pub step: ItemStep,
    /// Why.
    pub reason: String,
    /// The day it was done, which may be before it was recorded.
    #[serde(with = "iso")]
    pub on: Date,
    /// For what it was retired, if it was and somebody chose one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub retired_for: Option<RetiredFor>,
}

/// An item was refused for a job.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ItemRefused {
    /// The job.
    pub job: JobId,
    /// The item.
    pub item: ItemId,
    /// The position it was meant for; none is a spare.
    pub position: Option<String>,
    /// All the reasons.
    pub refusals: Vec<Refusal>,
}

impl Change {
    /// The notice as it stands from then on, where it was opened or corrected.
    pub fn notice(&self) -> Option<&Notice> {
        match self {
            Self::NoticeOpened(notice) => Some(notice),
            Self::NoticeCorrected(to) => Some(&to.notice),
            _ => None,
        }
    }

    /// The model as it stands from then on, where it was put on record or changed.
    pub fn model(&self) -> Option<&Model> {
        match self {
            Self::ModelAdded(model) | Self::ModelRevised(model) => Some(model),
            Self::ModelKindChanged(changed) => Some(&changed.model),
            _ => None,
        }
    }

    /// The records whose history this belongs to.
    pub fn subjects(&self) -> Vec<Uuid> {
        match self {
            Self::TeamFounded(team) | Self::TeamRevised(team) => vec![team.id.0],
            Self::PersonAdded(person) | Self::PersonRevised(person) => vec![person.id.0],
            Self::QualificationRecorded(one) => one.subjects(),
            Self::QualificationEnded(end) => vec![end.qualification.0],
            Self::QualificationAddressed(one) => vec![one.qualification.0],
            Self::StoreAdded(store) | Self::StoreRevised(store) => vec![store.id.0],
            Self::BagListed(bag) => vec![bag.store.0],
            Self::BagChecked(check) => vec![check.store.0],
            Self::ItemMoved(moved) => vec![moved.item.0],
            Self::ModelAdded(model) | Self::ModelRevised(model) => vec![model.id.0],
            Self::ModelKindChanged(changed) => vec![changed.model.id.0],
            Self::RulebookAdded(own) | Self::RulebookRevised(own) => vec![own.id.0],
            Self::RulebookWithdrawn(one) | Self::RulebookTakenUp(one) => vec![one.rulebook.0],
            Self::ChecklistRevised(own) => vec![own.id.0],
            Self::ImportTaken(_) | Self::LedgerKeyTaken(_) => Vec::new(),
            Self::WitnessNamed(witness) => vec![witness.id.0],
            Self::WitnessEnded(end) => vec![end.witness.0],
            Self::NamesRemoved(removal) => removal.person.iter().map(|person| person.0).collect(),
            Self::GuestLinkMade(link) => vec![link.id.0],
            Self::GuestLinkWithdrawn(end) => vec![end.link.0],
            Self::GuestReadsCounted(reads) => vec![reads.link.0],
            Self::ItemAdded(item) | Self::ItemRevised(item) => vec![item.id.0],
            Self::ItemStepped(step) => vec![step.item.0],
            Self::ReturnAsked(asked) => vec![asked.item.0],
            Self::ExaminationRecorded(examination) => vec![examination.item.0, examination.id.0],
            Self::RopeCut(cut) => {
                let pieces = cut.pieces.iter().map(|piece| piece.id.0);
                std::iter::once(cut.rope.0).chain(pieces).collect()
            }
            Self::UsageLogged(usage) => {
                let job = usage.job.map(|job| job.0);
                std::iter::once(usage.item.0).chain(job).collect()
            }
            Self::EventReported(event) => vec![event.item.0, event.id.0],
            Self::TagAdded(tag) => vec![tag.item.0],
            Self::TagRemoved(removed) => vec![removed.item.0],
            Self::RoundPlanned(round) => vec![round.id.0],
            Self::PlanPinned(pin) | Self::PlanUnpinned(PinRemoved { pin, .. }) => vec![pin.id.0],
            Self::RoundClosed(closing) => vec![closing.round.0],
            Self::FileAttached(one) => one.subjects(),
            Self::FileWithdrawn(end) => end.subjects(),
            Self::NoticeOpened(notice) => vec![notice.id.0],
            Self::NoticeClosed(closing) => vec![closing.notice.0, closing.item.0],
            Self::NoticeCorrected(correction) => vec![correction.notice.id.0],
            Self::NoticeWithdrawn(end) => vec![end.notice.0],
            Self::RigAdded(rig) | Self::RigRevised(rig) => vec![rig.id.0],
            Self::RigWithdrawn(offer) | Self::RigTakenUp(offer) => vec![offer.rig.0],
            of_job => of_job.subjects_of_job(),
        }
    }

    /// The same of what is done on a job; none of anything else.
    fn subjects_of_job(&self) -> Vec<Uuid> {
        match self {
            Self::JobPlanned(job) | Self::JobRevised(job) => vec![job.id.0],
            Self::JobEnded(end) => vec![end.job.0],
            Self::KitLineAdded(line) => vec![line.job.0, line.item.0],
            Self::KitLineRemoved(line) => vec![line.job.0, line.item.0],
            Self::ItemRefused(refused) => vec![refused.job.0, refused.item.0],
            Self::VerdictKept(verdict) => vec![verdict.job.0],
            Self::KitIssued(issue) => issue.subjects(),
            Self::IssueTakenBack(back) => vec![back.job.0],
            Self::FunctionCheckSigned(check) => vec![check.job.0],
            Self::KitReturned(count) => count.subjects(),
            Self::CrewPlanned(plan) => vec![plan.job.0],
            _ => Vec::new(),
        }
    }
}
