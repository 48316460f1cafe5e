//! The tables that are made from the ledger, so that they can be made again and compared.

use serde::{Serialize, de::DeserializeOwned};
use time::{Date, OffsetDateTime};
use uuid::Uuid;

use super::{
    StoreError, Tx, on_db,
    statement::{Statement, Value, assemble},
};
use crate::domain::{
    Attachment, Event, Examination, Item, Job, KitLine, Model, Notice, NoticeClosing, OwnRig,
    Qualification, Round, Store, TeamChecklist, Usage, rulebook::TeamRulebook, tag::Tag,
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
    of: &'static str,
    /// Every other column, those of the key first.
    pub(super) columns: &'static [(&'static str, Holds)],
    /// How many columns the key has.
    key: usize,
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
            ("record", Text),
        ],
        Some(again::<Item>),
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
];

fn again<T: DeserializeOwned + Serialize>(text: &str) -> Option<String> {
    let record: T = serde_json::from_str(text).ok()?;
    serde_json::to_string(&record).ok()
}

/// A row, column by column; nothing where the column is empty.
pub(super) type Row = Vec<Option<Value>>;

/// The cells of a row of either database.
macro_rules! cells {
    ($row:expr, $columns:expr) => {{
        use sqlx::Row as _;
        let row = $row;
        let mut cells: Row = Vec::with_capacity($columns.len());
        for (at, (_, holds)) in $columns.iter().enumerate() {
            cells.push(match holds {
                Id => row.try_get::<Option<Uuid>, _>(at)?.map(Value::Id),
                Text => row.try_get::<Option<String>, _>(at)?.map(Value::Text),
                Number => row.try_get::<Option<i64>, _>(at)?.map(Value::Number),
                Flag => row.try_get::<Option<bool>, _>(at)?.map(Value::Flag),
                Moment => row
                    .try_get::<Option<OffsetDateTime>, _>(at)?
                    .map(Value::Moment),
                Day => row.try_get::<Option<Date>, _>(at)?.map(Value::Day),
            });
        }
        Ok(cells)
    }};
}
impl Table {
    /// The key of a row.
    pub(super) fn key_of<'a>(&self, row: &'a Row) -> &'a [Option<Value>] {
        &row[..self.key]
    }

    /// The rows of a team after `after`, by key.
    pub(super) async fn page(
        &self,
        tx: &mut Tx,
        after: Option<&Row>,
    ) -> Result<Vec<Row>, StoreError> {
        let mut statement = Statement::new("SELECT ");
        push_names(&mut statement, self.columns);
        statement.sql(" FROM ").sql(self.name).sql(" WHERE ");
        statement.sql(self.of).sql(" = ").bind(tx.team.0);
        if let Some(after) = after {
            statement.sql(" AND (");
            push_names(&mut statement, &self.columns[..self.key]);
            statement.sql(") > ");
            statement.list(self.key_of(after).iter().flatten().cloned());
        }
        statement.sql(" ORDER BY ");
        push_names(&mut statement, &self.columns[..self.key]);
        statement.sql(" LIMIT ").bind(PAGE);
        let columns = self.columns;
        let rows = on_db!(&mut tx.conn, |c| {
            let mut query = assemble!(statement);
            let rows = query.build().fetch_all(c).await;
            rows.and_then(|rows| rows.iter().map(|row| cells!(row, columns)).collect())
        })?;
        Ok(rows)
    }
}

/// How many rows are read at once.
const PAGE: u32 = 500;

fn push_names(statement: &mut Statement, columns: &[(&'static str, Holds)]) {
    let mut between = "";
    for (name, _) in columns {
        statement.sql(between).sql(name);
        between = ", ";
    }
}
