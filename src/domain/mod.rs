//! Records and rules: types that cannot be wrong and steps that can be refused. Pure.

mod alike;
pub mod approval;
mod attachment;
mod attribute;
mod bag;
mod beside;
mod board;
pub mod cell;
mod change;
mod change_kind;
pub mod checklist;
pub mod checkpoint;
mod cited;
mod clock;
mod consequence;
mod counted;
pub mod course;
mod crew_plan;
mod cut;
mod cut_draft;
pub mod date;
mod digest;
mod distance;
mod done;
mod edition;
pub mod entered;
mod errand;
mod event;
mod examination;
pub mod fact;
mod field;
mod first_use;
pub mod fitness;
mod fold;
mod function_check;
mod guest;
mod hands;
mod held;
mod held_before;
mod hook;
mod id;
mod in_place;
mod inherited;
mod issue;
mod item;
mod job;
mod job_draft;
mod kept_file;
mod kind;
mod kit;
mod kit_file;
mod kit_list;
mod kit_return;
pub mod kit_strength;
mod label;
pub mod ledger;
mod ledger_key;
pub mod life;
mod load_case;
mod look;
mod material;
mod model;
mod model_kind;
mod moment;
mod name_removal;
mod names;
mod near;
mod notice;
mod number_span;
mod offer;
mod own_rig;
mod paper;
mod person;
mod picture;
mod pin;
mod place;
mod preference;
mod price;
mod proof;
pub mod proposal;
mod qualification;
pub mod question;
pub mod rating;
pub mod ready;
mod refusal;
pub mod retention;
mod retirement;
mod rig_draft;
mod rig_file;
mod round;
pub mod rulebook;
pub mod sealed_name;
pub mod signed_note;
mod since_look;
mod since_made;
mod site;
mod standard_class;
mod standard_line;
mod standing;
mod state;
mod still_held;
pub mod tag;
pub mod then;
mod told;
pub mod tree_proof;
pub mod trend;
mod usage;
mod verdict_kept;
mod way_back;
mod with_crew;
mod witness;
mod zone;

pub use alike::may_be;
pub use approval::{Approval, ApprovalDraft, RopeRange};
pub use attachment::{
    AttachedTo, Attachment, AttachmentDraft, AttachmentEnd, AttachmentKind, AttachmentWithdrawal,
    LARGEST_UPLOAD, MOST_ATTACHED, MOST_FILES, Received,
};
pub use attribute::{
    Attribute, Attributes, Takes, Value, Where, confirmation_of, confirmed_by, in_other_unit,
    is_bare_per_cent,
};
pub use bag::{
    Bag, BagCheck, BagCheckDraft, BagDraft, BagLine, BagPart, Belonging, Contents, ItemMoved,
    MOST_IN_BAG, MoveDraft, Packed,
};
pub use board::{Board, DayCount, DayRange, Group, Line, MONTHS, Split, Stretch, WEEKS};
pub use change::{Change, ImportTaken, ItemRefused, ItemStepped};
pub use checklist::{
    Answer, AnswerDraft, By, Checklist, Criterion, CriterionDraft, Finding, LimitDraft,
    ListEdition, ModelLimit, Out, TeamChecklist,
};
pub use cited::{Cited, Known};
pub use clock::Clock;
pub use consequence::{Consequence, Consequences, Follows, Outcome, consequences};
pub use counted::counted;
pub use course::{Course, Reading};
pub use crew_plan::{
    Apart, CrewNeed, CrewPlan, CrewPlanDraft, CrewRole, CrewSheet, CrewWarning, Duty, DutyDraft,
    MOST_DUTIES, Named, crew_sheet,
};
pub use cut::{CutFrom, CutInto, CutSum, MOST_PIECES, Piece, RopeCut, WholeRope};
pub use cut_draft::{CutDraft, PieceDraft, Rest};
pub use date::Made;
pub use digest::{Digest, DigestChoice, DigestDraft, DigestPart, Every};
pub use distance::{Distance, Shortfall};
pub use done::DATED;
pub use edition::Edition;
pub use errand::{Errand, ErrandKind, ErrandState, LEASE, MOST_ATTEMPTS, NewErrand, wait_after};
pub use event::{Event, EventDraft, EventHold, EventKind};
pub use examination::{
    Danger, Examination, ExaminationBasis, ExaminationDraft, FirstThere, ForReport, ForReportDraft,
};
pub use field::{FieldError, FieldErrors, LONGEST_LINE, LONGEST_NOTE, nested, ticked, unnested};
pub use first_use::{FirstUse, ShownBy, UseShown};
pub use fold::{finding_words, fold, words};
pub use function_check::{
    BelayAsked, FunctionAsk, FunctionCheck, FunctionCheckDraft, FunctionSheet, Looked, LookedDraft,
    SignedList, Signing, function_asks, function_sheet, half_signed, signed_lists,
};
pub use guest::{
    GuestLink, GuestLinkDraft, GuestLinkEnd, GuestRead, GuestReads, GuestStanding, GuestWithdrawal,
    HeldReads, KeptGuest, LONGEST_ADDRESS, MOST_GUEST_DAYS,
};
pub use hands::{Hands, IssueDraft, able};
pub use held::Held;
pub use held_before::HeldBefore;
pub use hook::{
    Hook, HookData, HookDraft, HookMessage, HookReach, QUARANTINED, all_topics, topics,
};
pub use id::*;
pub use in_place::{InPlace, Inside};
pub use inherited::Inherited;
pub use issue::{
    Issue, IssueState, IssueTakenBack, IssuedCheck, IssuedLine, IssuedNeed, IssuedVerdict, ItemOut,
    Signer,
};
pub use item::{Item, ItemDetails, ItemDraft};
pub use job::{Job, JobEnd, JobState, Load, Setup};
pub use job_draft::JobDraft;
pub use kept_file::{FileHash, KeptFile, MediaType, Pixels, size_words};
pub use kind::Kind;
pub use kit::{KitLine, KitLineDraft, KitLineRemoved};
pub use kit_file::{KIT_EXAMPLE, KitFile, KitFileError, keep_load, read_weight};
pub use kit_list::{Candidate, KitEntry, KitList};
pub use kit_return::{
    Condition, Counting, KitReturn, KitReturnDraft, LookAsked, ReturnedLine, ReturnedLineDraft,
};
pub use label::{LabelDraft, LabelPlan, LabelSheet, MOST_LABELS, SMALLEST_MODULE, SymbolKind};
pub use ledger::{Entry, Frontier, Hash, Sealed, Subtree};
pub use ledger_key::{LedgerKey, NoSecret, SigningSecret, own_checkpoint};
pub use life::{Life, LifeEnd, LifeLimit, LifeTerms, life};
pub use load_case::LoadCase;
pub use look::{ExaminationKind, Verdict};
pub use material::Material;
pub use model::{Model, ModelDraft};
pub use model_kind::{KindEffects, ModelKindChanged, ModelKindDraft};
pub use moment::{MomentError, Which, read_moment, write_moment};
pub use name_removal::{MOST_TYPED, NameRemoval, NameRemovalDraft};
pub use names::{Mentioned, Names};
pub use near::{much_alike, nearest};
pub use notice::{
    LetGo, Notice, NoticeClosing, NoticeCorrection, NoticeDraft, NoticeEdit, NoticeEnd, NoticeItem,
    NoticePast, NoticeStanding, NoticeStep, NoticeTurn, Version, notice_course,
};
pub use number_span::{Among, HOW_COMPARED, NumberSpan, Readings};
pub use offer::{OfferDraft, RigOffer, RulebookOffer, Withdrawn};
pub use own_rig::{OwnRig, OwnRigDraft, fault_fields};
pub use paper::{PaperSize, SpanDraft};
pub use person::{
    Actor, Deed, LONGEST_PASSWORD, Person, PersonDraft, Role, SHORTEST_PASSWORD, Team,
    check_password,
};
pub use picture::{Picture, PictureLine, PictureMark, PictureStep, PictureWords};
pub use pin::{MOST_PINS, Pin, PinRemoved};
pub use place::{Store, StoreDraft};
pub use preference::{Preference, Theme, Units};
pub use price::{Bill, Price};
pub use proof::{AddressProof, BETWEEN_LETTERS, CODE_HOLDS, MOST_LETTERS, ProofState};
pub use qualification::{
    Competence, Ended, Examiner, Holder, Qualification, QualificationAddress, QualificationDraft,
    QualificationEnd,
};
pub use rating::{Gear, Rating, RatingDraft, RatingSource, key_of};
pub use refusal::{Mend, NotAllowed, Refusal, RefusalCode};
pub use retirement::{RetiredFor, Retirement};
pub use rig_draft::{
    Acted, BodyDraft, BridleDraft, ChainDraft, ElementDraft, LegDraft, LineDraft, PositionDraft,
    RigDraft, RopeDraft, TripodDraft,
};
pub use rig_file::{LARGEST_RIG, RigFile, RigForm, read_rig, read_sheet};
pub use round::{
    InRound, LeftOut, LookedAt, MOST_IN_ROUND, Round, RoundClosing, RoundClosingDraft, RoundDraft,
};
pub use sealed_name::SealedName;
pub use since_look::SinceLook;
pub use since_made::FirstRecorded;
pub use site::Site;
pub use standard_class::{has_class, rates_load};
pub use standard_line::{WrittenStandard, is_standards_body, standards_in};
pub use standing::{Standing, standings};
pub use state::{ItemState, ItemStep};
pub use told::{Told, about};
use usage::typed_amount;
pub use usage::{Reach, Usage, UsageDraft, UsageSums, UseLimit, Used, used};
pub use verdict_kept::VerdictKept;
pub use way_back::{ReturnAsked, Unanswered};
pub use with_crew::WithCrew;
pub use witness::{Witness, WitnessDraft, WitnessEnd};
pub use zone::{Local, Zone, ZoneError};
