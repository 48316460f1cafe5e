//! What is kept about a job beside its plan and its kit: tables of one shape, a record a row, in the order of the ledger.

use serde::{Serialize, de::DeserializeOwned};
use uuid::Uuid;

use super::{
    Recorded, StoreError, Tx, WriteTx, record,
    record::RecordRow,
    statement::{Statement, find_by},
};
use crate::domain::JobId;

impl Tx {
    /// The record of this id in one of these tables.
    pub(super) async fn one_of_job<T: DeserializeOwned>(
        &mut self,
        table: &'static str,
        id: Uuid,
    ) -> Result<Option<T>, StoreError> {
        let mut statement = Statement::new("SELECT record FROM ");
        statement.sql(table).sql(" WHERE team_id = ");
        statement.bind(self.team.0).sql(" AND id = ").bind(id);
        let rows: Vec<RecordRow> = find_by!(self.conn, statement)?;
        record::one(table, rows.into_iter().next())
    }

    /// The records of a job in one of these tables, the first recorded first.
    pub(super) async fn all_of_job<T: DeserializeOwned>(
        &mut self,
        table: &'static str,
        job: JobId,
    ) -> Result<Vec<T>, StoreError> {
        let mut statement = Statement::new("SELECT record FROM ");
        statement.sql(table).sql(" WHERE team_id = ");
        statement
            .bind(self.team.0)
            .sql(" AND job_id = ")
            .bind(job.0);
        statement.sql(" ORDER BY seq");
        let rows: Vec<RecordRow> = find_by!(self.conn, statement)?;
        record::all(table, &rows)
    }
}

impl WriteTx {
    /// Keeps a record of a job; `head` goes as far as `VALUES`.
    pub(super) async fn add_of_job<T: Serialize>(
        &mut self,
        head: &'static str,
        (id, job): (Uuid, JobId),
        recorded: Recorded,
        record: &T,
    ) -> Result<(), StoreError> {
        let text = record::write("job", record)?;
        let row = vec![
            self.team.0.into(),
            id.into(),
            job.0.into(),
            recorded.seq_column().into(),
            text.into(),
        ];
        self.insert(head, vec![row], "").await
    }
}
