//! Puts many rows into a table with few statements: each statement is a way to the database and back.

use super::{
    StoreError, WriteTx,
    statement::{Statement, Value, change_by},
};

/// The most rows of one statement: no database takes any number of bound values.
const MOST_ROWS: usize = 500;

impl WriteTx {
    /// Puts rows in: `head` goes as far as `VALUES`, `tail` stands behind the rows.
    pub(super) async fn insert(
        &mut self,
        head: &'static str,
        rows: Vec<Vec<Value>>,
        tail: &'static str,
    ) -> Result<(), StoreError> {
        let mut rows = rows.into_iter().peekable();
        while rows.peek().is_some() {
            let mut statement = Statement::new(head);
            statement.rows(rows.by_ref().take(MOST_ROWS)).sql(tail);
            change_by!(self.conn, statement)?;
        }
        Ok(())
    }
}
