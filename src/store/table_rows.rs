//! The rows of a table that is made from the ledger, in the order of their keys.

use std::collections::VecDeque;

use super::{
    StoreError, Tx,
    table::{Row, Table},
};

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
