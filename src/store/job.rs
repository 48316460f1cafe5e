//! Jobs.

use std::collections::HashMap;

use time::{OffsetDateTime, format_description::well_known::Rfc3339};
use uuid::Uuid;

use super::{
    Cursor, Direction, Page, StoreError, Tx, WriteTx,
    model::MOST_AT_ONCE,
    page, record,
    record::RecordRow,
    statement::{Statement, find_by},
    tx::{change_any, change_one, find},
};
use crate::domain::{Job, JobEnd, JobId, JobState};

/// Which jobs are listed. What is not set leaves all in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct JobFilter {
    /// In this state alone.
    pub state: Option<JobState>,
    /// That end after this moment.
    pub ends_after: Option<OffsetDateTime>,
    /// That start before this moment.
    pub starts_before: Option<OffsetDateTime>,
}

#[derive(sqlx::FromRow)]
struct JobRow {
    id: Uuid,
    starts_at: OffsetDateTime,
    record: String,
}

impl Tx {
    /// The job of this id.
    pub async fn job(&mut self, id: JobId) -> Result<Option<Job>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM job
             WHERE team_id = $1
               AND id = $2";
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, id.0)?;
        record::one("job", row)
    }

    /// The jobs of these ids; those that are not there are left out.
    pub async fn jobs_of(&mut self, ids: &[JobId]) -> Result<HashMap<JobId, Job>, StoreError> {
        let mut found = HashMap::new();
        for some in ids.chunks(MOST_AT_ONCE) {
            let mut statement = Statement::new("SELECT record FROM job WHERE team_id = ");
            statement.bind(self.team.0).sql(" AND id IN ");
            statement.list(some.iter().map(|id| id.0));
            let rows: Vec<RecordRow> = find_by!(self.conn, statement)?;
            let jobs: Vec<Job> = record::all("job", &rows)?;
            found.extend(jobs.into_iter().map(|job| (job.id, job)));
        }
        Ok(found)
    }

    /// A page of jobs after `after`, by when they start.
    pub async fn jobs(
        &mut self,
        filter: JobFilter,
        direction: Direction,
        after: Option<&Cursor>,
        limit: u32,
    ) -> Result<Page<Job>, StoreError> {
        let mut statement =
            Statement::new("SELECT id, starts_at, record FROM job WHERE team_id = ");
        statement.bind(self.team.0);
        if let Some(state) = filter.state {
            statement.sql(" AND state = ").bind(state.key());
        }
        if let Some(moment) = filter.ends_after {
            statement.sql(" AND ends_at > ").bind(moment);
        }
        if let Some(moment) = filter.starts_before {
            statement.sql(" AND starts_at < ").bind(moment);
        }
        if let Some(after) = after {
            let [start] = after.key().ok_or(StoreError::Cursor)?;
            let start = OffsetDateTime::parse(start, &Rfc3339).map_err(|_| StoreError::Cursor)?;
            statement
                .sql(" AND (starts_at, id)")
                .sql(direction.beyond());
            statement.sql("(").bind(start).sql(", ");
            statement.bind(after.id()).sql(")");
        }
        statement.sql(direction.either(
            " ORDER BY starts_at, id",
            " ORDER BY starts_at DESC, id DESC",
        ));
        page::limit(&mut statement, limit);
        let rows: Vec<JobRow> = find_by!(self.conn, statement)?;
        Page::cut(
            rows,
            limit,
            |row| {
                let start = row.starts_at.format(&Rfc3339).unwrap_or_default();
                Cursor::new([start], row.id)
            },
            |row| record::read("job", &row.record),
        )
    }
}

impl WriteTx {
    pub(super) async fn add_job(&mut self, job: &Job) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO job (team_id, id, revision, state, starts_at, ends_at, record)
            VALUES ($1, $2, $3, $4, $5, $6, $7)";
        let team = self.team;
        change_any!(
            self.conn,
            SQL,
            team.0,
            job.id.0,
            i64::from(job.revision),
            job.state.key(),
            job.starts_at,
            job.ends_at,
            record::write("job", job)?,
        )
        .map(drop)
    }

    /// Writes a job that is one revision newer than the one that is there, and moves its kit with it.
    ///
    /// # Errors
    /// [`StoreError::Booked`] if another job holds an item at the new time.
    pub(super) async fn revise_job(&mut self, job: &Job) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE job
               SET revision = $3, state = $4, starts_at = $5, ends_at = $6, record = $7
             WHERE team_id = $1
               AND id = $2
               AND revision = $3 - 1";
        let team = self.team;
        change_one!(
            self.conn,
            "job",
            SQL,
            team.0,
            job.id.0,
            i64::from(job.revision),
            job.state.key(),
            job.starts_at,
            job.ends_at,
            record::write("job", job)?,
        )?;
        self.move_kit(job).await
    }

    /// Ends a job; its items are free from here on.
    pub(super) async fn end_job(&mut self, end: &JobEnd) -> Result<(), StoreError> {
        let mut job = self.job_there(end.job).await?;
        job.state.must_be_planned()?;
        job.state = end.state;
        job.revision += 1;
        self.revise_job(&job).await
    }

    /// The job that a change is about.
    pub(super) async fn job_there(&mut self, id: JobId) -> Result<Job, StoreError> {
        self.job(id).await?.ok_or(StoreError::Unlinked)
    }
}
