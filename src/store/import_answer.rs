//! What a team last said about a list with certain headings.

use time::OffsetDateTime;
use uuid::Uuid;

use super::{
    StoreError, Tx, WriteTx,
    tx::{change_any, find},
};
use crate::domain::{Hash, PersonId};

/// The answers that were given last about a list with certain headings.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ImportAnswer {
    /// The hash of the headings.
    pub headings: Hash,
    /// Who gave them.
    pub person: PersonId,
    /// When.
    pub kept_at: OffsetDateTime,
    /// What the list was called.
    pub file_name: String,
    /// The answers, as the import room writes them.
    pub answers: String,
}

#[derive(sqlx::FromRow)]
struct AnswerRow {
    person_id: Uuid,
    kept_at: OffsetDateTime,
    file_name: String,
    answers: String,
}

impl Tx {
    /// The answers that were given last about a list with headings of this hash.
    pub async fn import_answer(
        &mut self,
        headings: &Hash,
    ) -> Result<Option<ImportAnswer>, StoreError> {
        const SQL: &str = "
            SELECT person_id, kept_at, file_name, answers
              FROM import_answer
             WHERE team_id = $1
               AND headings = $2";
        let row: Option<AnswerRow> = find!(self.conn, SQL, self.team.0, headings.as_slice())?;
        Ok(row.map(|row| ImportAnswer {
            headings: *headings,
            person: PersonId(row.person_id),
            kept_at: row.kept_at,
            file_name: row.file_name,
            answers: row.answers,
        }))
    }
}

impl WriteTx {
    /// Keeps answers in the place of the last ones about the same headings.
    ///
    /// # Errors
    /// [`StoreError::Unlinked`] if the team has no such person.
    pub async fn keep_import_answer(&mut self, answer: &ImportAnswer) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO import_answer (team_id, headings, person_id, kept_at, file_name, answers)
            VALUES ($1, $2, $3, $4, $5, $6)
                ON CONFLICT (team_id, headings) DO UPDATE
               SET person_id = excluded.person_id,
                   kept_at = excluded.kept_at,
                   file_name = excluded.file_name,
                   answers = excluded.answers";
        let team = self.team;
        change_any!(
            self.conn,
            SQL,
            team.0,
            answer.headings.as_slice(),
            answer.person.0,
            answer.kept_at,
            answer.file_name.as_str(),
            answer.answers.as_str(),
        )
        .map(drop)
    }
}
