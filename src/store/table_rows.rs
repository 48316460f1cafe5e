//! The rows of a table that is made from the ledger, in the order of their keys.

use std::vec;

use time::{Date, OffsetDateTime};
use tokio::sync::mpsc;
use uuid::Uuid;

use super::{
    StoreError, Tx, on_db,
    statement::{Statement, Value, assemble},
    table::{Holds, TABLES, Table},
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

/// How many pages are read ahead of who takes them.
const AHEAD: usize = 2;

type Page = Result<Vec<Row>, StoreError>;

/// The rows of a team's tables, one table behind the other, each by key: read by a task of its own, so that two databases
/// are read at once, and no more than a few pages ahead.
pub(super) struct Rows {
    pages: mpsc::Receiver<Page>,
    page: vec::IntoIter<Row>,
}

impl Rows {
    pub(super) fn of(tx: Tx) -> Self {
        let (send, pages) = mpsc::channel(AHEAD);
        tokio::spawn(read_tables(tx, send));
        Self {
            pages,
            page: Vec::new().into_iter(),
        }
    }

    /// The next row of the table; none after its last, and then those of the next table follow.
    pub(super) async fn next(&mut self) -> Result<Option<Row>, StoreError> {
        if let Some(row) = self.page.next() {
            return Ok(Some(row));
        }
        // A task that ended too early has read nothing to its end.
        let page = self.pages.recv().await.ok_or(StoreError::GivenUp)??;
        self.page = page.into_iter();
        Ok(self.page.next())
    }
}

/// Hands every page of every table on, the empty one behind its last too, until nobody takes them any more.
async fn read_tables(mut tx: Tx, pages: mpsc::Sender<Page>) {
    for table in TABLES {
        let mut last: Option<Row> = None;
        loop {
            let page = table.page(&mut tx, last.as_ref()).await;
            last = page.as_ref().ok().and_then(|page| page.last().cloned());
            let failed = page.is_err();
            if pages.send(page).await.is_err() || failed {
                return;
            }
            if last.is_none() {
                break;
            }
        }
    }
}
