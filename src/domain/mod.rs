//! Records and rules: types that cannot be wrong and steps that can be refused. Pure.

pub mod attribute;
mod change;
mod cited;
mod clock;
pub mod date;
pub mod entered;
mod event;
mod examination;
mod field;
pub mod fitness;
mod fold;
mod id;
mod item;
mod job;
mod job_draft;
mod kind;
mod kit;
mod kit_list;
pub mod kit_strength;
pub mod ledger;
pub mod life;
mod model;
mod notice;
mod person;
mod place;
mod preference;
mod rating;
mod refusal;
pub mod rulebook;
mod standing;
mod state;
mod told;

pub use attribute::{Attribute, Attributes, Takes, Value, Where};
pub use change::{Change, ImportTaken, ItemRefused, ItemStepped, KitLineRemoved, VerdictKept};
pub use cited::{Cited, Known};
pub use clock::Clock;
pub use date::Made;
pub use event::{Event, EventDraft, EventKind};
pub use examination::{Examination, ExaminationBasis, ExaminationDraft, ExaminationKind, Verdict};
pub use field::{FieldError, FieldErrors, LONGEST_LINE, LONGEST_NOTE};
pub use fold::{finding_words, fold, words};
pub use id::*;
pub use item::{Item, ItemDetails, ItemDraft};
pub use job::{Job, JobEnd, JobState, Load, Setup};
pub use job_draft::{JobDraft, write_moment};
pub use kind::{Kind, Material};
pub use kit::{KitLine, KitLineDraft};
pub use kit_list::{Candidate, KitEntry, KitList};
pub use ledger::{Entry, Frontier, Hash, Sealed};
pub use life::{Life, LifeEnd, LifeLimit, life};
pub use model::{Model, ModelDraft};
pub use notice::{Notice, NoticeClosing, NoticeDraft};
pub use person::{
    Actor, Deed, LONGEST_PASSWORD, Person, PersonDraft, Role, SHORTEST_PASSWORD, Team,
    check_password,
};
pub use place::{Store, StoreDraft};
pub use preference::{Preference, Theme, Units};
pub use rating::{Approval, ApprovalDraft, Rating, RatingDraft, RatingSource, RopeRange, key_of};
pub use refusal::{NotAllowed, Refusal, RefusalCode};
pub use standing::{Standing, standings};
pub use state::{ItemState, ItemStep};
pub use told::{Mentioned, Names, Told, about};
