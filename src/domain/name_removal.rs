//! The removal of somebody's name from a team's records, on lawful request.

use serde::{Deserialize, Serialize};

use super::{FieldErrors, Hash, PersonId, sealed_name::removed_name};

/// That names were removed: what stands behind these seals is gone, and nothing else of the record.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct NameRemoval {
    /// The seals, each in hexadecimal.
    pub seals: Vec<String>,
    /// The person of the team whose they were; none where the name had no account.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub person: Option<PersonId>,
    /// On whose request and by which rule.
    pub reason: String,
    /// The entries in which somebody typed one of the names, where it stays: the first so many.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub typed_in: Vec<u64>,
}

/// The most entries that are told in which a removed name was typed.
pub const MOST_TYPED: u32 = 200;

impl NameRemoval {
    /// Where one of the names still stands, in words; none where it stands nowhere.
    pub fn stays_in(&self) -> Option<String> {
        let [first, rest @ ..] = self.typed_in.as_slice() else {
            return None;
        };
        let mut entries = first.to_string();
        for seq in rest {
            entries.push_str(", ");
            entries.push_str(&seq.to_string());
        }
        let more = if self.typed_in.len() >= MOST_TYPED as usize {
            " and maybe later ones"
        } else {
            ""
        };
        let what = if rest.is_empty() { "entry" } else { "entries" };
        Some(format!(
            "it still stands in what somebody typed, in {what} {entries}{more}"
        ))
    }

    /// The seals as hashes; what is none is left out.
    pub fn hashes(&self) -> impl Iterator<Item = Hash> {
        self.seals.iter().filter_map(|seal| {
            let mut hash = Hash::default();
            hex::decode_to_slice(seal, &mut hash).ok()?;
            Some(hash)
        })
    }

    /// What stands in the names' place from now on.
    pub fn instead(&self) -> Vec<String> {
        self.hashes().map(|seal| removed_name(&seal)).collect()
    }
}

/// A removal as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct NameRemovalDraft {
    /// The id of a person of the team whose account is closed; empty for a name without an account.
    pub person: String,
    /// The name as it stands in the record; of a person of the team the name of today, to be sure of whom it is.
    pub name: String,
    /// On whose request and by which rule: it is kept, so that it must not name the person.
    pub reason: String,
}

impl NameRemovalDraft {
    /// The name and the reason.
    ///
    /// # Errors
    /// Every field that does not hold; a reason that says the name again.
    pub fn check(&self) -> Result<(String, String), FieldErrors> {
        let mut wrong = FieldErrors::default();
        let name = wrong.line("name", &self.name);
        let reason = wrong.reason("reason", &self.reason);
        if !name.is_empty() && reason.to_lowercase().contains(&name.to_lowercase()) {
            let sentence = "The reason stays in the record for good: write it without the name.";
            wrong.add("reason", "name", sentence);
        }
        wrong.or(|| (name, reason))
    }
}
