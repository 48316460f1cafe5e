//! Records as JSON text in the column `record`: the columns beside it hold only what is searched, sorted or guarded.

use serde::{Serialize, de::DeserializeOwned};

use super::StoreError;

/// A row of which only the record is wanted.
#[derive(sqlx::FromRow)]
pub(super) struct RecordRow {
    pub(super) record: String,
}

impl RecordRow {
    /// The record, out of `table`.
    pub(super) fn read<T: DeserializeOwned>(&self, table: &'static str) -> Result<T, StoreError> {
        read(table, &self.record)
    }
}

/// A row of what a team keeps itself and may withdraw.
#[derive(sqlx::FromRow)]
pub(super) struct KeptRow {
    pub(super) withdrawn: bool,
    pub(super) record: String,
}

/// Reads a record out of `table`.
pub(super) fn read<T: DeserializeOwned>(table: &'static str, text: &str) -> Result<T, StoreError> {
    serde_json::from_str(text).map_err(|e| StoreError::corrupt(table, "record")(e.into()))
}

/// Writes a record for `table`.
pub(super) fn write<T: Serialize>(table: &'static str, record: &T) -> Result<String, StoreError> {
    serde_json::to_string(record).map_err(|e| StoreError::corrupt(table, "record")(e.into()))
}

/// The record in the first of the rows, if there is one.
pub(super) fn one<T: DeserializeOwned>(
    table: &'static str,
    row: Option<RecordRow>,
) -> Result<Option<T>, StoreError> {
    row.map(|row| row.read(table)).transpose()
}

/// The records in all the rows.
pub(super) fn all<T: DeserializeOwned>(
    table: &'static str,
    rows: &[RecordRow],
) -> Result<Vec<T>, StoreError> {
    rows.iter().map(|row| row.read(table)).collect()
}
