//! What a list says of items that are there already, and which items a notice holds, for programs.

use serde::Serialize;
use utoipa::ToSchema;

use crate::import::{Differs, Fate, Rehearsal, RowFate};

/// A row whose item the register has already.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct ThereJson {
    /// The row.
    row: u32,
    /// The item's mark.
    mark: String,
    /// Whether the item is updated; else it stays as it is.
    updated: bool,
    /// What the row says otherwise; nothing if it says the same.
    differs: Vec<DiffersJson>,
}

/// What a row says otherwise than the register.
#[derive(Serialize, ToSchema)]
struct DiffersJson {
    /// The field, in words.
    field: String,
    /// What the register says.
    old: String,
    /// What the row says.
    new: String,
}

/// An item that goes to quarantine as soon as the list is taken in.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct HeldJson {
    /// The item's mark.
    mark: String,
    /// The title of the safety notice that is open for it.
    notice: String,
}

impl ThereJson {
    pub(super) fn all(rehearsal: &Rehearsal) -> Vec<Self> {
        let is_there = |row: &&RowFate| {
            let fate = row.fate;
            matches!(fate, Fate::Same | Fate::Differs | Fate::Updated)
        };
        let there = rehearsal.rows.iter().filter(is_there);
        let differs = |differs: &Differs| DiffersJson {
            field: differs.label.clone(),
            old: differs.old.clone(),
            new: differs.new.clone(),
        };
        there
            .map(|row| Self {
                row: row.row,
                mark: row.mark.clone(),
                updated: row.fate == Fate::Updated,
                differs: row.differs.iter().map(differs).collect(),
            })
            .collect()
    }
}

impl HeldJson {
    pub(super) fn all(rehearsal: &Rehearsal) -> Vec<Self> {
        let held = rehearsal.held();
        held.map(|one| Self {
            mark: one.mark.clone(),
            notice: one.notice.clone(),
        })
        .collect()
    }
}
