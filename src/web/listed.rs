//! What lists have in common: the address of the next page, and what stands behind the question mark.

use std::{collections::HashSet, sync::LazyLock};

use axum::http::Method;
use serde::Deserialize;
use uuid::Uuid;

use super::{Problem, known::encode, table};
use crate::{
    store::{Cursor, StoreError},
    view::part::Pager,
};

/// How many rows a page of a list has.
pub(super) const ROWS: u32 = 50;

/// The id that a form was given when it was opened, so that sending it twice adds one record.
#[derive(Deserialize)]
pub(super) struct FormId {
    #[serde(default)]
    id: Option<Uuid>,
}

impl FormId {
    /// The id that it brought.
    pub fn given(&self) -> Option<Uuid> {
        self.id
    }

    /// The id; a new one if the form brought none.
    pub fn id(&self) -> Uuid {
        self.id.unwrap_or_else(Uuid::now_v7)
    }
}

/// An address with what stands behind the question mark; what is empty is left out.
pub(super) fn address(path: &str, pairs: &[(&str, &str)]) -> String {
    let mut text = path.to_owned();
    let mut before = '?';
    for (name, value) in pairs.iter().filter(|(_, value)| !value.is_empty()) {
        text.push(before);
        text.push_str(name);
        text.push('=');
        text.push_str(&encode(value));
        before = '&';
    }
    text
}

/// Reads where a page begins; an empty text is the beginning.
pub(super) fn cursor(text: &str) -> Result<Option<Cursor>, Problem> {
    if text.is_empty() {
        return Ok(None);
    }
    text.parse().map(Some).map_err(|_| bad_cursor())
}

/// A cursor of another list, or one that was tampered with.
pub(super) fn bad_cursor() -> Problem {
    Problem::Unreadable(
        "The address does not say where the page of the list begins. Go back to its first page."
            .to_owned(),
    )
}

/// What the store says, the cursor's fault told from ours.
pub(super) fn of_list(error: StoreError) -> Problem {
    match error {
        StoreError::Cursor => bad_cursor(),
        other => other.into(),
    }
}

/// Ways around a list: `pairs` are what stands behind the question mark without the cursor.
pub(super) fn pager(
    path: &str,
    pairs: &[(&str, &str)],
    after: &str,
    next: Option<&Cursor>,
    shown: String,
) -> Pager {
    Pager {
        first: (!after.is_empty()).then(|| address(path, pairs)),
        next: next.map(|next| {
            let next = next.to_string();
            let mut pairs = pairs.to_vec();
            pairs.push(("after", &next));
            address(path, &pairs)
        }),
        shown,
    }
}

/// Whether the house has a page at this address, written as the table of routes does.
pub(super) fn has_page(path: &str) -> bool {
    static PAGES: LazyLock<HashSet<&'static str>> = LazyLock::new(|| {
        let table = table();
        let pages = table.iter().filter(|route| route.method == Method::GET);
        pages.map(|route| route.path).collect()
    });
    PAGES.contains(path)
}
