//! The kinds of changes: the word for programs and the words for people, of each in one place.

use super::Change;

/// Makes one table of every variant, its word for programs and its words for people.
macro_rules! kinds {
    ($($variant:ident $key:literal $words:literal;)*) => {
        const COUNT: usize = [$($key),*].len();

        impl Change {
            /// Every kind of change, with its words, in the order in which they are offered.
            pub const KINDS: [(&'static str, &'static str); COUNT] = [$(($key, $words)),*];

            /// The word for what kind of change it is.
            pub fn kind(&self) -> &'static str {
                match self {
                    $(Self::$variant(_) => $key,)*
                }
            }
        }
    };
}

kinds! {
    ItemAdded "item-added" "Item added";
    ItemRevised "item-revised" "Item's record changed";
    ItemStepped "item-stepped" "Item's state changed";
    ReturnAsked "return-asked" "Return from quarantine asked for";
    ExaminationRecorded "examination-recorded" "Examination";
    RopeCut "rope-cut" "Rope cut";
    UsageLogged "usage-logged" "Use logged";
    EventReported "event-reported" "Event";
    TagAdded "tag-added" "Tag put on an item";
    TagRemoved "tag-removed" "Tag taken off an item";
    RoundPlanned "round-planned" "Round of examinations planned";
    RoundClosed "round-closed" "Round of examinations closed";
    FileAttached "file-attached" "Photo or document put on a record";
    FileWithdrawn "file-withdrawn" "Photo or document withdrawn";
    NoticeOpened "notice-opened" "Safety notice opened";
    NoticeClosed "notice-closed" "Safety notice closed for an item";
    NoticeCorrected "notice-corrected" "Safety notice corrected";
    NoticeWithdrawn "notice-withdrawn" "Safety notice withdrawn";
    JobPlanned "job-planned" "Job planned";
    JobRevised "job-revised" "Job's plan changed";
    JobEnded "job-ended" "Job closed or cancelled";
    KitLineAdded "kit-line-added" "Item put on a job";
    KitLineRemoved "kit-line-removed" "Item taken off a job";
    ItemRefused "item-refused" "Item refused for a job";
    VerdictKept "verdict-kept" "Verdict on a kit";
    KitIssued "kit-issued" "Kit issued";
    IssueTakenBack "issue-taken-back" "Issue of a kit taken back";
    FunctionCheckSigned "function-check-signed" "Function check signed";
    KitReturned "kit-returned" "Kit counted back";
    CrewPlanned "crew-planned" "Crew planned";
    PlanPinned "plan-pinned" "Plan pinned for complete sets";
    PlanUnpinned "plan-unpinned" "Plan pinned no longer";
    ImportTaken "import-taken" "Import";
    ModelAdded "model-added" "Model added";
    ModelRevised "model-revised" "Model's record changed";
    ModelKindChanged "model-kind-changed" "Model is of another kind";
    RulebookAdded "rulebook-added" "Rulebook added";
    RulebookRevised "rulebook-revised" "Rulebook changed";
    RulebookWithdrawn "rulebook-withdrawn" "Rulebook withdrawn";
    RulebookTakenUp "rulebook-taken-up" "Rulebook taken up again";
    ChecklistRevised "checklist-revised" "Checklist changed";
    RigAdded "rig-added" "Rig added";
    RigRevised "rig-revised" "Rig changed";
    RigWithdrawn "rig-withdrawn" "Rig withdrawn";
    RigTakenUp "rig-taken-up" "Rig taken up again";
    StoreAdded "store-added" "Store added";
    StoreRevised "store-revised" "Store changed";
    BagListed "bag-listed" "List of a bag written";
    BagChecked "bag-checked" "Bag looked through";
    ItemMoved "item-moved" "Item moved to another place";
    PersonAdded "person-added" "Person joined";
    PersonRevised "person-revised" "Person's account changed";
    QualificationRecorded "qualification-recorded" "Qualification recorded";
    QualificationEnded "qualification-ended" "Qualification ended";
    QualificationAddressed "qualification-addressed" "Address on a qualification";
    LedgerKeyTaken "ledger-key-taken" "Key for checkpoints taken";
    WitnessNamed "witness-named" "Witness of the record named";
    WitnessEnded "witness-ended" "Witness of the record ended";
    NamesRemoved "names-removed" "Name removed";
    GuestLinkMade "guest-link-made" "Link for an outside auditor made";
    GuestLinkWithdrawn "guest-link-withdrawn" "Link for an outside auditor withdrawn";
    GuestReadsCounted "guest-reads-counted" "Reads of an outside auditor taken up";
    TeamFounded "team-founded" "Team founded";
    TeamRevised "team-revised" "Team changed";
}
