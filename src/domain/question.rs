//! What is asked of the whole record, by an auditor most of all: some questions, each with what it asks for and one table as its answer, which is
//! a page, a file and an answer for programs.
//!
//! The store finds records, a rule here tells of each whether it is an answer and why. Every rule takes what it needs and
//! nothing else, so that it can be held against a plain count over a small history.

mod answer;
mod asked;
mod beyond;
mod corrected;
mod gap;
mod in_date;
mod late;
mod recalled;
mod used;

use super::counted;

pub use answer::{Cell, Column, Row, Tally, To};
pub use asked::{Asked, LONGEST_DELAY, Period, QuestionDraft, USUAL_DELAY, Which};
pub use beyond::{Beyond, Held, beyond};
pub use corrected::{CORRECTING, Corrected, OF_TEAM, ON_RECORD, OnRecord};
pub use gap::{Gap, Stretch, UseAfter, gaps_of_item, stretches, usage_stopped};
pub use in_date::{OutOfDate, out_of_date};
pub use late::{Late, late};
use recalled::WITHDRAWN;
pub use recalled::{NoticeFor, fate};
pub use used::{Undone, Use, UseKind, UsedOn, uses};

/// A question.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Question {
    /// Which items no job takes.
    HeldBack,
    /// Which items had no valid examination on a day.
    NotInDate,
    /// Which examinations were done by somebody beyond their qualification.
    Beyond,
    /// What an item was used for between two days.
    Used,
    /// What a recalled lot touched.
    Recalled,
    /// Which attempts were refused between two days.
    Refused,
    /// What the record lacks.
    Gaps,
    /// What was recorded long after it was done.
    Late,
}

const ITEM: Column = Column::of_records("item", "item_id", "Item");
const JOB: Column = Column::of_records("job", "job_id", "Job");
const MODEL: Column = Column::of_records("model", "model_id", "Model");
const ENTRY: Column = Column::new("entry", "Entry");
const WHY: Column = Column::new("why", "Why");

const HELD_BACK: &[Column] = &[
    ITEM,
    Column::new("kind", "Kind"),
    MODEL,
    Column::new("store", "Where it lives"),
    Column::new("reasons", "Why no job takes it"),
];
const NOT_IN_DATE: &[Column] = &[
    ITEM,
    Column::new("kind", "Kind"),
    MODEL,
    Column::new("passed_on", "Last passed"),
    Column::new("valid_until", "Valid until"),
    Column::new("interval_months", "Months between"),
    WHY,
    Column::new("rulebook", "Rulebook of the team on that day"),
];
const BEYOND: &[Column] = &[
    Column::of_records("examination", "examination_id", "Examined"),
    ITEM,
    Column::new("kind", "Kind of gear"),
    Column::new("examiner", "Examiner"),
    WHY,
    Column::new("recorded_by", "Recorded by"),
    ENTRY,
];
const USED: &[Column] = &[
    Column::new("on", "Day"),
    Column::new("what", "What"),
    JOB,
    Column::new("with", "How much, or what happened"),
    Column::new("who", "Who"),
    ENTRY,
];
const RECALLED: &[Column] = &[
    ITEM,
    MODEL,
    Column::new("lot", "Lot"),
    Column::new("fate", "What became of it"),
    JOB,
    Column::new("on", "Day"),
    Column::new("how", "How it was used"),
    Column::new("who", "Who had it"),
];
const REFUSED: &[Column] = &[
    Column::new("recorded_at", "When"),
    Column::new("who", "Who"),
    ITEM,
    JOB,
    Column::new("position", "For"),
    Column::new("reasons", "Reasons"),
    ENTRY,
];
const GAPS: &[Column] = &[
    Column::new("gap", "Gap"),
    Column::of_records("about", "about_id", "About"),
    Column::new("kind", "Kind"),
    WHY,
];
const LATE: &[Column] = &[
    Column::new("done_on", "Done"),
    Column::new("recorded_on", "Recorded"),
    Column::new("days", "Days between"),
    Column::new("what", "What"),
    Column::of_records("about", "about_id", "About"),
    Column::new("recorded_by", "Recorded by"),
    ENTRY,
];

impl Question {
    /// All of them, in the order in which they are shown.
    pub const ALL: [Self; 8] = [
        Self::HeldBack,
        Self::NotInDate,
        Self::Beyond,
        Self::Used,
        Self::Recalled,
        Self::Refused,
        Self::Gaps,
        Self::Late,
    ];

    /// The word for programs and addresses.
    pub fn key(self) -> &'static str {
        match self {
            Self::HeldBack => "held-back",
            Self::NotInDate => "not-in-date",
            Self::Beyond => "beyond-qualification",
            Self::Used => "use-of-an-item",
            Self::Recalled => "recalled-lot",
            Self::Refused => "refused-attempts",
            Self::Gaps => "gaps",
            Self::Late => "recorded-late",
        }
    }

    /// Reads the word for programs.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.key() == key)
    }

    /// A few words.
    pub fn title(self) -> &'static str {
        match self {
            Self::HeldBack => "What must not go out",
            Self::NotInDate => "Not in date on a day",
            Self::Beyond => "Examined beyond a qualification",
            Self::Used => "Every use of an item",
            Self::Recalled => "All that a recalled lot touched",
            Self::Refused => "Refused attempts",
            Self::Gaps => "Gaps in the record",
            Self::Late => "Recorded long after",
        }
    }

    /// The question in a sentence.
    pub fn asks(self) -> &'static str {
        match self {
            Self::HeldBack => {
                "Which items that are not retired would no job take, today or until a day, and for which reasons?"
            }
            Self::NotInDate => {
                "Which items that were in service on a day had no valid examination on it?"
            }
            Self::Beyond => {
                "Which thorough examinations were done by somebody whose qualification did not cover the kind of gear or the \
                 day, or of whom none was on record?"
            }
            Self::Used => {
                "On which jobs was an item, what use of it was logged, and what happened to it?"
            }
            Self::Recalled => {
                "Which items does a notice, or a lot of a maker, cover; on which jobs and for what were they used, who had \
                 them, and what became of them?"
            }
            Self::Refused => {
                "Who tried to put which item on which job and was refused, and for which reasons?"
            }
            Self::Gaps => "What does the record not say that it should?",
            Self::Late => {
                "What was recorded long after the day on which it says it was done, or corrected long after others went by it?"
            }
        }
    }

    /// The columns of its table.
    pub fn columns(self) -> &'static [Column] {
        match self {
            Self::HeldBack => HELD_BACK,
            Self::NotInDate => NOT_IN_DATE,
            Self::Beyond => BEYOND,
            Self::Used => USED,
            Self::Recalled => RECALLED,
            Self::Refused => REFUSED,
            Self::Gaps => GAPS,
            Self::Late => LATE,
        }
    }
}

/// How many of how many, and of what: "3 of 120 items".
fn share(tally: &Tally, one: &str, many: &str) -> String {
    format!("{} of {}", tally.found, counted(tally.of, one, many))
}

impl Asked {
    /// The answer in a sentence, by what was counted.
    pub fn answer(&self, tally: &Tally) -> String {
        match self {
            Self::HeldBack { until } => {
                let items = share(
                    tally,
                    "item that is not retired",
                    "items that are not retired",
                );
                format!("No job that lasts until {until} takes {items}")
            }
            Self::NotInDate { on } => {
                let (one, many) = ("item that was in service", "items that were in service");
                let items = share(tally, one, many);
                format!("{items} had no valid examination on {on}")
            }
            Self::Beyond(period) => {
                let looks = share(tally, "thorough examination", "thorough examinations");
                let were = period.words();
                format!("{looks} {were} beyond the examiner's qualification")
            }
            Self::Used { period, .. } => {
                let uses = share(tally, "record of its use", "records of its use");
                format!("{uses} {}", period.within())
            }
            Self::Recalled(_) => {
                let items = share(tally, "item of the maker", "items of the maker");
                if tally.parts.contains_key(WITHDRAWN) {
                    format!("{items} were covered {WITHDRAWN}")
                } else {
                    format!("{items} are covered")
                }
            }
            Self::Refused(period) => {
                let one = "attempt to put an item on a job";
                let tries = share(tally, one, "attempts to put an item on a job");
                format!("{tries} {} refused", period.words())
            }
            Self::Gaps { .. } => {
                let records = counted(tally.of, "record", "records");
                match tally.found {
                    0 => format!("No gap was found in {records}"),
                    found => format!("{} in {records}", counted(found, "gap", "gaps")),
                }
            }
            Self::Late { days, .. } => {
                let (one, many) = (
                    "entry that names its day or corrects another",
                    "entries that name their day or correct others",
                );
                let days = counted(*days, "day", "days");
                format!("{} came more than {days} after it", share(tally, one, many))
            }
        }
    }
}
