//! Steps that are not open, and reasons why an item may not go on a job.

use std::borrow::Cow;

use serde::{Deserialize, Serialize};

use super::{Cited, ItemId, JobId, ModelId, NoticeId, Shortfall, fact::Fact};

/// A step that is not open in the state a record is in.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, thiserror::Error, utoipa::ToSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum NotAllowed {
    /// Nothing is sent to what is off.
    #[error("This webhook is switched off. Switch it on again first.")]
    HookIsOff,
    /// Nobody here can sign how far the record has grown.
    #[error(
        "This server cannot sign checkpoints for your team: it has no secret to sign with, or another one than that which the team's key was made from. Whoever runs it sets ROPELOFT_SIGNING_SECRET; an administrator then takes a key."
    )]
    NoSigningSecret,
    /// The server could sign, but the record has no key yet.
    #[error(
        "This record has no key yet that signs it. The server takes the first one by itself within a minute: ask again then. An officer or an administrator who makes a checkpoint takes it at once."
    )]
    NoKeyYet,
    /// What was signed is not what is there.
    #[error(
        "Nothing is signed: this record is not the one of its own last checkpoint, of {size} entries. Keep that checkpoint, and a copy of the database as it is; whoever runs this server has \"ropeloft rebuild\" name what does not agree, and puts a backup back."
    )]
    NotTheSignedRecord {
        /// How many entries the checkpoint is of.
        size: u64,
    },
    /// Nothing can be proved of a record that is not the one of its own hashes.
    #[error(
        "Nothing is proved: this record was changed behind its own hashes. Keep a copy of the database as it is; \"Compare\" on the page of checkpoints and \"ropeloft rebuild\" name what does not agree, and whoever runs this server puts a backup back."
    )]
    NotOfItsHashes,
    /// A retired item stays retired.
    #[error(
        "This item is retired, and retired is for good. If that was a slip, add the thing as a new item that names this one in its note."
    )]
    Retired,
    /// It is there already.
    #[error("This item is in quarantine already.")]
    AlreadyQuarantined,
    /// It is there already.
    #[error("This item is in service already.")]
    AlreadyInService,
    /// It is there already.
    #[error("This item is reported missing already.")]
    AlreadyMissing,
    /// What an event did to it is looked at first.
    #[error(
        "Something happened to this item: first an after-event examination on that day or later must find it fit, then it may be returned to service."
    )]
    EventNotExamined,
    /// What was out of sight is looked at first.
    #[error(
        "A missing item that was found goes to quarantine first; an after-event examination has to find it fit before it returns to service."
    )]
    FoundGoesToQuarantine,
    /// What nobody can find is not cut.
    #[error("This rope is reported missing; find it and report it before it is cut.")]
    MissingIsNotCut,
    /// Only ropes are cut.
    #[error("Only rope and cord are cut into pieces that stay in use.")]
    IsNotCut,
    /// The rope is no more.
    #[error(
        "This rope was cut already; what is left of it is its pieces, and each of them may be cut again."
    )]
    CutAlready,
    /// Whoever asked does not confirm, nor whoever examined it then.
    #[error(
        "You asked for its return yourself, or are the examiner who found it fit. Your team has a second competent person confirm it; it stays in quarantine until then."
    )]
    SecondPerson,
    /// The job is over.
    #[error("This job is closed or cancelled; it cannot be changed any more.")]
    JobEnded,
    /// The kit is with a crew.
    #[error(
        "The kit of this job is issued. Count it back, or take the issue back with a reason; then plan and kit may change."
    )]
    KitIsOut,
    /// There is nothing out that could be taken back or counted.
    #[error("This issue is over: its kit was taken back or is counted already.")]
    IssueOver,
    /// What is being counted is counted to the end.
    #[error("Some of this kit is counted back already: count the rest, then the kit may change.")]
    CountBegun,
    /// What is not offered stays as it is.
    #[error("This is withdrawn. Take it up again before you change it.")]
    Withdrawn,
    /// It is offered.
    #[error("This is not withdrawn.")]
    NotWithdrawn,
    /// Every new job starts from it.
    #[error("Your team works by this rulebook. Choose another one for the team first.")]
    HomeRulebook,
    /// The notice is closed for this item.
    #[error("This notice is closed for this item already.")]
    NoticeClosed,
    /// The notice does not cover the item.
    #[error("This notice does not cover this item.")]
    NoticeDoesNotCover,
    /// What is withdrawn covers nothing.
    #[error("This notice was withdrawn. Open a new one if it holds after all.")]
    NoticeWithdrawn,
    /// A photo or document is withdrawn once.
    #[error("This photo or document was withdrawn already; nothing is left to be done.")]
    FileWithdrawn,
    /// A round is closed once.
    #[error(
        "This round was closed already, with what was not examined and why; it stays as it was closed. Plan a new round for what \
         is left."
    )]
    RoundClosed,
    /// Somebody must be left who can let people in.
    #[error("This is the last active administrator; make another one first.")]
    LastAdministrator,
    /// The item is on a job that holds it.
    #[error(
        "This item is on a planned job; take it off the job first, or report what happened to it."
    )]
    OnAJob,
    /// What opens it is kept nowhere.
    #[error(
        "This link was made already, and its address was shown once. If nobody noted it, withdraw the link and make another."
    )]
    LinkMade,
    /// What is over stays over.
    #[error("This link was withdrawn already.")]
    LinkWithdrawn,
    /// There is nothing to withdraw.
    #[error("The last day of this link is over: it lets nobody in any more.")]
    LinkEnded,
    /// A person exists already.
    #[error("Ropeloft is set up for a team already; sign in instead.")]
    AlreadySetUp,
}

impl NotAllowed {
    /// Refuses what a rig or rulebook of the team's own is not ready for: it is withdrawn, or is not.
    ///
    /// # Errors
    /// [`NotAllowed::Withdrawn`] or [`NotAllowed::NotWithdrawn`].
    pub fn unless(is_withdrawn: bool, must_be: bool) -> Result<(), Self> {
        match (is_withdrawn, must_be) {
            (true, false) => Err(Self::Withdrawn),
            (false, true) => Err(Self::NotWithdrawn),
            _ => Ok(()),
        }
    }
}

/// Why an item may not go on a job. There is no override.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Refusal {
    /// A stable word for programs.
    pub code: RefusalCode,
    /// A sentence that says what is wrong and what would mend it.
    pub sentence: String,
    /// The rule that refuses.
    pub rule: Cited,
    /// What was looked at: the recorded value, day or state, in words.
    pub evidence: String,
    /// Who has the item, or planned the job that holds it: the name stands here alone, so that it can be removed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub who: Option<String>,
    /// Where it can be mended, if a record would mend it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mend: Option<Mend>,
    /// What is not on record, in a few words: "breaking strength in a basket"; none where it is on record and
    /// speaks against the item.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lacks: Option<String>,
    /// The same as what would have to be written on the record of the model that would mend it. It is not kept: it
    /// serves forms.
    #[serde(skip)]
    pub fact: Option<Fact>,
    /// How much of what the rule asks is lacking. It is not kept: it puts what lacks least first.
    #[serde(skip)]
    pub short: Shortfall,
}

impl Refusal {
    /// The same reason with the record that would mend it.
    pub(super) fn mended(mut self, mend: Mend) -> Self {
        self.mend = Some(mend);
        self
    }

    /// The same reason, which is only that a fact is not on record, called so.
    pub(super) fn lacking(mut self, what: impl Into<String>, fact: Fact) -> Self {
        self.lacks = Some(what.into());
        self.fact = Some(fact);
        self
    }

    /// The same reason, which is that an item has less than is asked, both numbers in one unit.
    pub(super) fn by(mut self, has: f64, asked: f64) -> Self {
        self.short = Shortfall::of(has, asked);
        self
    }

    /// The same reason with who has the item.
    pub(super) fn held_by(mut self, who: &str) -> Self {
        self.who = Some(who.to_owned()).filter(|who| !who.is_empty());
        self
    }

    /// What was looked at, with who has the item.
    pub fn looked_at(&self) -> Cow<'_, str> {
        match &self.who {
            Some(who) => format!("{}; ask {who}", self.evidence).into(),
            None => self.evidence.as_str().into(),
        }
    }

    /// Whether the item can never go there, whatever is written down of it.
    pub fn is_for_good(&self) -> bool {
        self.lacks.is_none()
            && matches!(
                self.code,
                RefusalCode::LacksPart
                    | RefusalCode::CapturesHere
                    | RefusalCode::WrongKind
                    | RefusalCode::NotLifeSupport
                    | RefusalCode::StrengthBelowMinimum
            )
    }

    /// The reason in a few words, without a full stop: which part it lacks, where it lacks one.
    pub fn brief(&self) -> &str {
        match self.code {
            RefusalCode::LacksPart => &self.evidence,
            code => code.words(),
        }
    }
}

/// Where a reason or a gap can be mended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case", tag = "in", content = "id")]
pub enum Mend {
    /// What is written down about the item.
    ItemRecord(ItemId),
    /// The state of the item.
    ItemState(ItemId),
    /// A new examination of the item.
    Examination(ItemId),
    /// What is written down about the model.
    ModelRecord(ModelId),
    /// The safety notice, to be closed for the item.
    Notice(NoticeId),
    /// The plan of the job.
    JobPlan(JobId),
}

impl RefusalCode {
    /// Whether the reason is the item's own record, wherever the item goes; the others are about its place on a job.
    pub fn is_of_the_item(self) -> bool {
        matches!(
            self,
            Self::Retired
                | Self::Quarantined
                | Self::Missing
                | Self::LookAsked
                | Self::PastLife
                | Self::UsedUp
                | Self::LifeUnknown
                | Self::Overdue
                | Self::NeverExamined
                | Self::Notice
                | Self::MadeUnknown
                | Self::SerialUnknown
                | Self::MarkingsUnknown
                | Self::NotLifeSupport
        )
    }
}

impl RefusalCode {
    /// Its words as they stand within a sentence.
    pub fn in_brackets(self) -> String {
        let mut words = self.words().to_owned();
        if let Some(first) = words.get_mut(..1) {
            first.make_ascii_lowercase();
        }
        words
    }
}

macro_rules! codes {
    ($(#[doc = $words:literal] $name:ident, $key:literal;)+) => {
        /// A stable word for each reason.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, utoipa::ToSchema)]
        #[serde(rename_all = "kebab-case")]
        pub enum RefusalCode { $(#[doc = $words] $name,)+ }

        impl RefusalCode {
            /// All reasons.
            pub const ALL: &'static [Self] = &[$(Self::$name),+];

            /// The word for programs.
            pub fn key(self) -> &'static str {
                match self { $(Self::$name => $key,)+ }
            }

            /// A few words for people, without a full stop.
            pub fn words(self) -> &'static str {
                let words = match self { $(Self::$name => $words,)+ };
                words.trim().trim_end_matches('.')
            }
        }
    };
}

codes! {
    /// Retired.
    Retired, "retired";
    /// In quarantine.
    Quarantined, "quarantined";
    /// Missing.
    Missing, "missing";
    /// Whoever counted it back wants it looked at.
    LookAsked, "look-asked";
    /// Its life ends before the job does.
    PastLife, "past-life";
    /// As much use as the maker allows is behind it.
    UsedUp, "used-up";
    /// The end of its life cannot be told.
    LifeUnknown, "life-unknown";
    /// The examination falls due before the job ends.
    Overdue, "overdue";
    /// It never passed an intake or periodic examination.
    NeverExamined, "never-examined";
    /// An open safety notice covers it.
    Notice, "notice";
    /// It is on another job at that time.
    OnAnotherJob, "on-another-job";
    /// It is on this job already.
    OnThisJob, "on-this-job";
    /// The position is filled already.
    PositionFilled, "position-filled";
    /// The rig has no such position.
    NoSuchPosition, "no-such-position";
    /// It lacks the approval that the rulebook asks for.
    NotApproved, "not-approved";
    /// The rope's diameter is outside the range of the device, or one of the two is not known.
    RopeDiameter, "rope-diameter";
    /// The rope's kind is not allowed, or not known.
    RopeKind, "rope-kind";
    /// The wrong kind of thing for the position.
    WrongKind, "wrong-kind";
    /// It lacks a part that the position needs.
    LacksPart, "lacks-part";
    /// It captures the rope where it must run both ways.
    CapturesHere, "captures-here";
    /// How much it holds, loaded as it is here, is not known.
    StrengthUnknown, "strength-unknown";
    /// Its breaking strength is below the rulebook's minimum.
    StrengthBelowMinimum, "strength-below-minimum";
    /// What else its record says is outside the rulebook's limits.
    OutOfBounds, "out-of-bounds";
    /// Its rated load is below the job's.
    RatedLoad, "rated-load";
    /// Its approval asks for more strands than the rig has.
    Strands, "strands";
    /// The rope is too short.
    RopeTooShort, "rope-too-short";
    /// It does not go round the anchor, or how long it is is not known.
    DoesNotGoRound, "does-not-go-round";
    /// The date made is unknown.
    MadeUnknown, "made-unknown";
    /// The serial or lot is unknown.
    SerialUnknown, "serial-unknown";
    /// The markings cannot be read, or nobody looked.
    MarkingsUnknown, "markings-unknown";
    /// Not for holding people.
    NotLifeSupport, "not-life-support";
}
