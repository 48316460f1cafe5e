//! Pages of a list, each beginning where the one before it ended.

use std::{fmt, str::FromStr};

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::statement::Statement;

/// A page of a list.
#[derive(Clone, Debug, PartialEq)]
pub struct Page<T> {
    /// What stands on it.
    pub rows: Vec<T>,
    /// Where what comes behind each of them begins.
    pub cursors: Vec<Cursor>,
    /// Where the next one begins, if there is one.
    pub next: Option<Cursor>,
}

/// Up or down the sort.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Direction {
    /// The smallest first.
    #[default]
    Up,
    /// The greatest first.
    Down,
}

/// The last row of a page: what it is sorted by, then its id. Written as one word for an address.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Cursor {
    key: Vec<String>,
    id: Uuid,
}

/// The text is no cursor of this list.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("Take the next page's cursor from the answer that held the page before it.")]
pub struct BadCursor;

impl Cursor {
    /// The cursor behind a row that is sorted by `key`.
    pub fn new(key: impl IntoIterator<Item = String>, id: Uuid) -> Self {
        Self {
            key: key.into_iter().collect(),
            id,
        }
    }

    /// The sort's values, if there are so many.
    pub fn key<const N: usize>(&self) -> Option<&[String; N]> {
        self.key.as_slice().try_into().ok()
    }

    /// The row's id.
    pub fn id(&self) -> Uuid {
        self.id
    }
}

impl fmt::Display for Cursor {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = serde_json::to_string(self).map_err(|_| fmt::Error)?;
        f.write_str(&hex::encode(text))
    }
}

impl FromStr for Cursor {
    type Err = BadCursor;
    fn from_str(text: &str) -> Result<Self, BadCursor> {
        let bytes = hex::decode(text).map_err(|_| BadCursor)?;
        let cursor: Self = serde_json::from_slice(&bytes).map_err(|_| BadCursor)?;
        // PostgreSQL takes no such text.
        let nul = cursor.key.iter().any(|part| part.contains('\0'));
        if nul { Err(BadCursor) } else { Ok(cursor) }
    }
}

impl Direction {
    /// What stands between a row of a later page and the cursor.
    pub(super) fn beyond(self) -> &'static str {
        match self {
            Self::Up => " > ",
            Self::Down => " < ",
        }
    }

    /// `up` where the sort goes up, else `down`: two constant texts of an `ORDER BY`.
    pub(super) fn either(self, up: &'static str, down: &'static str) -> &'static str {
        match self {
            Self::Up => up,
            Self::Down => down,
        }
    }
}

/// Ends a statement with one row more than asked for, which tells whether there is a next page.
pub(super) fn limit(statement: &mut Statement, limit: u32) {
    statement.sql(" LIMIT ").bind(limit.saturating_add(1));
}

impl<T> Page<T> {
    /// A page of at most `limit` of the rows, which were asked for with one more; `cursor` tells where a row stands.
    pub(super) fn cut<R, E>(
        mut rows: Vec<R>,
        limit: u32,
        cursor: impl Fn(&R) -> Cursor,
        into: impl FnMut(R) -> Result<T, E>,
    ) -> Result<Self, E> {
        let limit = limit as usize;
        let more = rows.len() > limit;
        rows.truncate(limit);
        let cursors: Vec<Cursor> = rows.iter().map(cursor).collect();
        Ok(Self {
            next: cursors.last().filter(|_| more).cloned(),
            cursors,
            rows: rows.into_iter().map(into).collect::<Result<_, E>>()?,
        })
    }
}
