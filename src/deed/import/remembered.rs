//! What a team last said about a list with the same headings.

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use time::OffsetDateTime;

use super::ImportFile;
use crate::{
    deed::DeedError,
    domain::{Actor, Hash, PersonId, date::write_day},
    import::{Answers, SaidBefore, Table, headings_of},
    store::{ImportAnswer, Tx, WriteTx},
};

/// Answers that were taken over from another list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct TakenOver {
    /// The answers.
    pub answers: Answers,
    /// How that list was said to be written, which is only offered.
    #[serde(default)]
    pub before: SaidBefore,
    /// What that list was called.
    pub file: String,
    /// Who gave them, by name.
    pub by: String,
    /// The day.
    pub on: String,
}

/// A list is known again by its headings.
fn hash(table: &Table) -> Option<Hash> {
    let mut hash = Sha256::new();
    for heading in headings_of(table)? {
        hash.update(heading.as_bytes());
        hash.update([0]);
    }
    Some(hash.finalize().into())
}

pub(super) async fn name_of(tx: &mut Tx, person: PersonId) -> Result<String, DeedError> {
    let person = tx.person(person).await?;
    Ok(person.ok_or(DeedError::NotFound("person"))?.name)
}

/// What was last said about a list with the headings of this one.
pub(super) async fn find(tx: &mut Tx, table: &Table) -> Result<Option<TakenOver>, DeedError> {
    let Some(headings) = hash(table) else {
        return Ok(None);
    };
    let Some(kept) = tx.import_answer(&headings).await? else {
        return Ok(None);
    };
    let answers: Answers = serde_json::from_str(&kept.answers).unwrap_or_default();
    let (answers, before) = answers.carried(table).for_other_items();
    Ok(Some(TakenOver {
        answers,
        before,
        file: kept.file_name,
        by: name_of(tx, kept.person).await?,
        on: write_day(tx.day(kept.kept_at).await?),
    }))
}

/// Keeps what was said about a list for the next one with the same headings.
pub(super) async fn keep(
    tx: &mut WriteTx,
    actor: &Actor,
    now: OffsetDateTime,
    (table, file): (&Table, &ImportFile),
) -> Result<(), DeedError> {
    let mut answers = file.answers.carried(table);
    // What this list did not ask is offered to the next as it was to this.
    if let Some(over) = &file.taken_over {
        over.before.fill(&mut answers);
    }
    let Some(headings) = hash(table).filter(|_| answers != Answers::default()) else {
        return Ok(());
    };
    let answers =
        serde_json::to_string(&answers).map_err(|error| DeedError::Internal(error.into()))?;
    let answer = ImportAnswer {
        headings,
        person: actor.person,
        kept_at: now,
        file_name: file.name.chars().take(200).collect(),
        answers,
    };
    tx.keep_import_answer(&answer).await?;
    Ok(())
}
