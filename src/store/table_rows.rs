//! The rows of a table that is made from the ledger, in the order of their keys.

use std::collections::VecDeque;

use time::{Date, OffsetDateTime};
use uuid::Uuid;

use super::{
    StoreError, Tx, on_db,
    statement::{Statement, Value, assemble},
    table::{Holds, Table},
};
use Holds::{Day, Flag, Id, Moment, Number, Text};

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

/// The rows of one table of one team by key, a page of them in memory at a time.
pub(super) struct Rows<'a> {
    table: &'a Table,
    tx: &'a mut Tx,
    page: VecDeque<Row>,
    last: Option<Row>,
}

impl<'a> Rows<'a> {
    pub(super) fn new(table: &'a Table, tx: &'a mut Tx) -> Self {
        Self {
            table,
            tx,
            page: VecDeque::new(),
            last: None,
        }
    }

    /// The next row; none after the last.
    pub(super) async fn next(&mut self) -> Result<Option<Row>, StoreError> {
        if self.page.is_empty() {
            let page = self.table.page(self.tx, self.last.as_ref()).await?;
            self.last = page.last().cloned().or(self.last.take());
            self.page = page.into();
        }
        Ok(self.page.pop_front())
    }
}
