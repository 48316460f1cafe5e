//! The tables that are made from the ledger, so that they can be made again and compared.

use serde::{Serialize, de::DeserializeOwned};

use crate::domain::{
    Attachment, Bag, BagCheck, CrewPlan, Event, Examination, FunctionCheck, GuestLink, Issue, Item,
    Job, KitLine, KitReturn, LedgerKey, Model, Notice, NoticeClosing, OwnRig, Pin, Qualification,
    Round, Store, TeamChecklist, Usage, Witness, rulebook::TeamRulebook, tag::Tag,
};

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Holds {
    Id,
    Text,
    Number,
    Flag,
    Moment,
    Day,
}
use Holds::{Day, Flag, Id, Moment, Number, Text};

/// Writes a record again, as it would be written today.
type Normal = fn(&str) -> Option<String>;

/// A table that is made from the ledger.
pub(super) struct Table {
    pub(super) name: &'static str,
    /// The column that holds the team.
    pub(super) of: &'static str,
    /// Every other column, those of the key first.
    pub(super) columns: &'static [(&'static str, Holds)],
    /// How many columns the key has.
    pub(super) key: usize,
    /// Writes its record again: one that was written before a field was added says the same.
    pub(super) normal: Option<Normal>,
}

const fn table(
    name: &'static str,
    key: usize,
    columns: &'static [(&'static str, Holds)],
    normal: Option<Normal>,
) -> Table {
    Table {
        name,
        of: "team_id",
        columns,
        key,
        normal,
    }
}

/// Every table that is made from the ledger.
pub(super) const TABLES: &[Table] = &[
    Table {
        name: "team",
        of: "id",
        columns: &[
            ("id", Id),
            ("name", Text),
            ("rulebook", Text),
            ("time_zone", Text),
            ("return_by_two", Flag),
            ("employer", Text),
            ("premises", Text),
            ("created_at", Moment),
        ],
        key: 1,
        normal: None,
    },
    table(
        "person",
        1,
        &[
            ("id", Id),
            ("name", Text),
            ("sign_in", Text),
            ("role", Text),
            ("active", Flag),
        ],
        None,
    ),
    table(
        "store",
        1,
        &[
            ("id", Id),
            ("revision", Number),
            ("name_folded", Text),
            ("record", Text),
        ],
        Some(again::<Store>),
    ),
    table(
        "model",
        1,
        &[
            ("id", Id),
            ("revision", Number),
            ("kind", Text),
            ("maker_folded", Text),
            ("title_folded", Text),
            ("search", Text),
            ("interval_months", Number),
            ("arduous_months", Number),
            ("life_terms", Text),
            ("record", Text),
        ],
        Some(again::<Model>),
    ),
    table(
        "rulebook",
        2,
        &[
            ("id", Id),
            ("revision", Number),
            ("rulebook_key", Text),
            ("withdrawn", Flag),
            ("record", Text),
        ],
        Some(again::<TeamRulebook>),
    ),
    table(
        "qualification",
        1,
        &[("id", Id), ("record", Text)],
        Some(again::<Qualification>),
    ),
    table(
        "checklist",
        2,
        &[
            ("kind", Text),
            ("revision", Number),
            ("id", Id),
            ("record", Text),
        ],
        Some(again::<TeamChecklist>),
    ),
    table(
        "item",
        1,
        &[
            ("id", Id),
            ("revision", Number),
            ("model_id", Id),
            ("store_id", Id),
            ("kind", Text),
            ("mark_folded", Text),
            ("state", Text),
            ("due_order", Text),
            ("life_order", Text),
            ("made_order", Text),
            ("lot", Text),
            ("lot_folded", Text),
            ("retired_for", Text),
            ("retired_order", Text),
            ("look_asked", Flag),
            ("markings", Text),
            ("use_shown", Text),
            ("record", Text),
        ],
        Some(again::<Item>),
    ),
    // By which a history is read: what is lacking here is lacking in it.
    table(
        "ledger_subject",
        2,
        &[("subject_id", Id), ("seq", Number)],
        None,
    ),
    table("item_word", 2, &[("item_id", Id), ("word", Text)], None),
    table(
        "tag",
        1,
        &[
            ("id", Id),
            ("item_id", Id),
            ("tag_key", Text),
            ("record", Text),
        ],
        Some(again::<Tag>),
    ),
    table(
        "examination",
        1,
        &[
            ("id", Id),
            ("item_id", Id),
            ("examined_on", Day),
            ("seq", Number),
            ("kind", Text),
            ("verdict", Text),
            ("record", Text),
        ],
        Some(again::<Examination>),
    ),
    table(
        "event",
        1,
        &[
            ("id", Id),
            ("item_id", Id),
            ("happened_on", Day),
            ("seq", Number),
            ("record", Text),
        ],
        Some(again::<Event>),
    ),
    table(
        "usage_entry",
        1,
        &[
            ("id", Id),
            ("item_id", Id),
            ("used_on", Day),
            ("seq", Number),
            ("record", Text),
        ],
        Some(again::<Usage>),
    ),
    table(
        "bag",
        1,
        &[("store_id", Id), ("revision", Number), ("record", Text)],
        Some(again::<Bag>),
    ),
    table(
        "bag_check",
        1,
        &[
            ("id", Id),
            ("store_id", Id),
            ("seq", Number),
            ("record", Text),
        ],
        Some(again::<BagCheck>),
    ),
    table(
        "examination_round",
        1,
        &[
            ("id", Id),
            ("from_on", Day),
            ("closed", Flag),
            ("record", Text),
        ],
        Some(again::<Round>),
    ),
    table(
        "attachment",
        1,
        &[
            ("id", Id),
            ("item_id", Id),
            ("model_id", Id),
            ("bearer_id", Id),
            ("seq", Number),
            ("withdrawn", Flag),
            ("record", Text),
        ],
        Some(again::<Attachment>),
    ),
    table(
        "notice",
        1,
        &[
            ("id", Id),
            ("issued_on", Day),
            ("maker_folded", Text),
            ("record", Text),
        ],
        Some(again::<Notice>),
    ),
    table(
        "notice_closing",
        2,
        &[
            ("item_id", Id),
            ("notice_id", Id),
            ("seq", Number),
            ("record", Text),
        ],
        Some(again::<NoticeClosing>),
    ),
    table(
        "rig",
        1,
        &[
            ("id", Id),
            ("revision", Number),
            ("key", Text),
            ("title_folded", Text),
            ("withdrawn", Flag),
            ("record", Text),
        ],
        Some(again::<OwnRig>),
    ),
    table(
        "rig_version",
        2,
        &[
            ("rig_id", Id),
            ("revision", Number),
            ("person_id", Id),
            ("recorded_at", Moment),
            ("record", Text),
        ],
        Some(again::<OwnRig>),
    ),
    table(
        "job",
        1,
        &[
            ("id", Id),
            ("revision", Number),
            ("state", Text),
            ("starts_at", Moment),
            ("ends_at", Moment),
            ("record", Text),
        ],
        Some(again::<Job>),
    ),
    table(
        "kit_line",
        1,
        &[
            ("id", Id),
            ("job_id", Id),
            ("item_id", Id),
            ("position", Text),
            ("holds", Flag),
            ("starts_at", Moment),
            ("ends_at", Moment),
            ("record", Text),
        ],
        Some(again::<KitLine>),
    ),
    table(
        "ledger_key",
        1,
        &[("number", Number), ("seq", Number), ("record", Text)],
        Some(again::<LedgerKey>),
    ),
    table(
        "guest_link",
        1,
        &[
            ("id", Id),
            ("by_id", Id),
            ("counted", Number),
            ("record", Text),
        ],
        Some(again::<GuestLink>),
    ),
    table(
        "witness",
        1,
        &[("id", Id), ("record", Text)],
        Some(again::<Witness>),
    ),
    table(
        "pin",
        1,
        &[("id", Id), ("record", Text)],
        Some(again::<Pin>),
    ),
    table("kit_issue", 1, OF_JOB, Some(again::<Issue>)),
    table("function_check", 1, OF_JOB, Some(again::<FunctionCheck>)),
    table("kit_return", 1, OF_JOB, Some(again::<KitReturn>)),
    table("crew_plan", 1, OF_JOB, Some(again::<CrewPlan>)),
    table(
        "item_out",
        1,
        &[("item_id", Id), ("job_id", Id), ("issue_id", Id)],
        None,
    ),
];

/// The columns of a record of a job.
const OF_JOB: &[(&str, Holds)] = &[
    ("id", Id),
    ("job_id", Id),
    ("seq", Number),
    ("record", Text),
];

fn again<T: DeserializeOwned + Serialize>(text: &str) -> Option<String> {
    let record: T = serde_json::from_str(text).ok()?;
    serde_json::to_string(&record).ok()
}
