//! One id type a noun, so that an item's id cannot be given where a person's is asked.

use std::{fmt, str::FromStr};

use serde::{Deserialize, Serialize};
use uuid::Uuid;

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident)+) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, utoipa::ToSchema)]
        #[serde(transparent)]
        pub struct $name(pub Uuid);

        impl $name {
            /// A new id; version 7, so ids made later sort later.
            #[expect(clippy::new_without_default, reason = "an id is made on purpose, never by default")]
            pub fn new() -> Self {
                Self(Uuid::now_v7())
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }

        impl FromStr for $name {
            type Err = uuid::Error;
            fn from_str(text: &str) -> Result<Self, uuid::Error> {
                text.parse().map(Self)
            }
        }
    )+};
}

ids! {
    /// A rope team; every record belongs to one.
    TeamId
    /// A person who signs in.
    PersonId
    /// A place where items live.
    StoreId
    /// A look through a bag.
    BagCheckId
    /// What a maker sells.
    ModelId
    /// One physical thing.
    ItemId
    /// A dated look at an item.
    ExaminationId
    /// Something that happened to an item.
    EventId
    /// A rope that was cut.
    CutId
    /// An entry of the log of use.
    UsageId
    /// A maker's or authority's safety notice.
    NoticeId
    /// A team's own rig.
    RigId
    /// A photo or a document on a record.
    AttachmentId
    /// A planned piece of work.
    JobId
    /// One item on a job.
    KitLineId
    /// The kit of a job, handed out.
    IssueId
    /// A function check, signed by one person.
    FunctionCheckId
    /// A count of what came back.
    ReturnId
    /// A plan that complete sets are counted for.
    PinId
    /// Who does what on a job.
    CrewPlanId
    /// A round of examinations.
    RoundId
    /// A rulebook of a team's own.
    RulebookId
    /// A code on an item.
    TagId
    /// The criteria that a team adds to a kind.
    ChecklistId
    /// That somebody is competent to examine gear.
    QualificationId
    /// A piece of work that the server does by itself.
    ErrandId
    /// An address that is told of changes.
    HookId
    /// A private address of a calendar.
    CalendarId
    /// Somebody who signs checkpoints of the ledger too.
    WitnessId
    /// A link for an outside auditor.
    GuestLinkId
    /// A machine's token.
    TokenId
}
