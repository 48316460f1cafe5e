//! Files between the rehearsal of an import and its confirmation.

use time::OffsetDateTime;
use uuid::Uuid;

use super::{
    StoreError, Tx, WriteTx,
    tx::{change_any, find, find_all},
};
use crate::domain::PersonId;

/// A file that was rehearsed and waits to be imported.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ImportDraft {
    /// Its id.
    pub id: Uuid,
    /// Who brought it.
    pub person: PersonId,
    /// When.
    pub created_at: OffsetDateTime,
    /// What it was called.
    pub file_name: String,
    /// What is in it.
    pub bytes: Vec<u8>,
    /// How its headings were mapped, as the import room writes it.
    pub mapping: String,
}

#[derive(sqlx::FromRow)]
struct DraftRow {
    id: Uuid,
    person_id: Uuid,
    created_at: OffsetDateTime,
    file_name: String,
    bytes: Vec<u8>,
    mapping: String,
}

impl Tx {
    /// The newest drafts, the newest first, without what is in them: twenty at most.
    pub async fn import_drafts(&mut self) -> Result<Vec<ImportDraft>, StoreError> {
        const SQL: &str = "
            SELECT id, person_id, created_at, file_name
              FROM import_draft
             WHERE team_id = $1
             ORDER BY created_at DESC, id
             LIMIT 20";
        let rows: Vec<(Uuid, Uuid, OffsetDateTime, String)> =
            find_all!(self.conn, SQL, self.team.0)?;
        let drafts = rows
            .into_iter()
            .map(|(id, person, created_at, file_name)| ImportDraft {
                id,
                person: PersonId(person),
                created_at,
                file_name,
                bytes: Vec::new(),
                mapping: String::new(),
            });
        Ok(drafts.collect())
    }

    /// The draft of this id.
    pub async fn import_draft(&mut self, id: Uuid) -> Result<Option<ImportDraft>, StoreError> {
        const SQL: &str = "
            SELECT id, person_id, created_at, file_name, bytes, mapping
              FROM import_draft
             WHERE team_id = $1
               AND id = $2";
        let row: Option<DraftRow> = find!(self.conn, SQL, self.team.0, id)?;
        Ok(row.map(|row| ImportDraft {
            id: row.id,
            person: PersonId(row.person_id),
            created_at: row.created_at,
            file_name: row.file_name,
            bytes: row.bytes,
            mapping: row.mapping,
        }))
    }
}

impl WriteTx {
    /// Keeps a draft; one of the same id is replaced, for a new mapping of the same file.
    ///
    /// # Errors
    /// [`StoreError::Unlinked`] if the team has no such person.
    pub async fn keep_import_draft(&mut self, draft: &ImportDraft) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO import_draft (team_id, id, person_id, created_at, file_name, bytes, mapping)
            VALUES ($1, $2, $3, $4, $5, $6, $7)
                ON CONFLICT (team_id, id) DO UPDATE
               SET person_id = excluded.person_id,
                   created_at = excluded.created_at,
                   file_name = excluded.file_name,
                   bytes = excluded.bytes,
                   mapping = excluded.mapping";
        let team = self.team;
        change_any!(
            self.conn,
            SQL,
            team.0,
            draft.id,
            draft.person.0,
            draft.created_at,
            draft.file_name.as_str(),
            draft.bytes.as_slice(),
            draft.mapping.as_str(),
        )
        .map(drop)
    }

    /// Drops a draft, after the import or when it is given up.
    pub async fn drop_import_draft(&mut self, id: Uuid) -> Result<(), StoreError> {
        const SQL: &str = "
            DELETE FROM import_draft
             WHERE team_id = $1
               AND id = $2";
        let team = self.team;
        change_any!(self.conn, SQL, team.0, id).map(drop)
    }
}
