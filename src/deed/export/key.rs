//! The key of a row in a file: whoever holds a part of it asks for what comes behind that row.
//!
//! It is the place behind which reading begins, the number of an entry or the place in a list, and where a record has
//! several rows, a point and how many of them come before and are passed over: `12`, `11.2`.

use super::super::DeedError;
use crate::{
    domain::FieldErrors,
    store::{Cursor, StoreError},
};

/// Behind which row a file begins.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Key {
    place: String,
    /// How many rows of the next record are passed over.
    pub(super) rows: u32,
}

/// It is the key of no row of this file.
pub(super) fn no_key() -> DeedError {
    let words = "Take the key of the last row that you hold from a file of the same rows in the same order: the column \
                 key of CSV and XLSX, the member key of JSON Lines.";
    FieldErrors::one("after", "key", words).into()
}

impl Key {
    /// Reads a key; an empty text is the beginning.
    ///
    /// # Errors
    /// [`DeedError::Invalid`] if it is none.
    pub fn read(text: &str) -> Result<Self, DeedError> {
        let text = text.trim();
        let (place, rows) = match text.split_once('.') {
            None => (text, 0),
            Some((place, rows)) => (place, rows.parse().map_err(|_| no_key())?),
        };
        if !place.bytes().all(|byte| byte.is_ascii_hexdigit()) {
            return Err(no_key());
        }
        Ok(Self {
            place: place.to_owned(),
            rows,
        })
    }

    /// The key behind so many rows of the record that comes next behind `place`.
    pub(super) fn within(place: &str, rows: u32) -> String {
        format!("{place}.{rows}")
    }

    /// The number of the entry behind which it is; none at the beginning.
    pub(super) fn seq(&self) -> Result<Option<u64>, DeedError> {
        match self.place.as_str() {
            "" => Ok(None),
            seq => seq.parse().map(Some).map_err(|_| no_key()),
        }
    }

    /// The place in a list behind which it is; none at the beginning.
    pub(super) fn cursor(&self) -> Result<Option<Cursor>, DeedError> {
        match self.place.as_str() {
            "" => Ok(None),
            place => place.parse().map(Some).map_err(|_| no_key()),
        }
    }
}

/// The same fault told of the key, where it belongs to another list.
pub(super) fn of_key(error: DeedError) -> DeedError {
    match error {
        DeedError::Store(StoreError::Cursor) => no_key(),
        other => other,
    }
}
