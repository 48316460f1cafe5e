//! A store: a place where items live.

use serde::{Deserialize, Serialize};

use super::{FieldErrors, StoreId};

/// A place where items live: a bay, a vehicle, a bag.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Store {
    /// Its id.
    pub id: StoreId,
    /// Counts the changes, from 1.
    pub revision: u32,
    /// Its name; unique in the team.
    pub name: String,
    /// A note.
    pub note: String,
}

/// A store as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct StoreDraft {
    /// Its name.
    pub name: String,
    /// A note.
    pub note: String,
}

impl StoreDraft {
    /// The store that was typed in.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn check(&self, id: StoreId, revision: u32) -> Result<Store, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let name = wrong.line("name", &self.name);
        let note = wrong.note("note", &self.note);
        wrong.or(|| Store {
            id,
            revision,
            name,
            note,
        })
    }
}
