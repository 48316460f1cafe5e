//! Kit lists: the items on a job.

use std::collections::HashMap;

use super::{
    StoreError, Tx, WriteTx,
    model::MOST_AT_ONCE,
    record,
    record::RecordRow,
    statement::{Statement, find_by},
    tx::{change_any, change_one, find, find_all},
};
use crate::domain::{
    Item, ItemId, Job, JobId, JobState, KitLine, KitLineId, KitLineRemoved, ModelId,
};

impl Tx {
    /// The kit line of this id.
    pub async fn kit_line(&mut self, id: KitLineId) -> Result<Option<KitLine>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM kit_line
             WHERE team_id = $1
               AND id = $2";
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, id.0)?;
        record::one("kit_line", row)
    }

    /// The kit of a job, in the order in which it was chosen.
    pub async fn kit(&mut self, job: JobId) -> Result<Vec<KitLine>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM kit_line
             WHERE team_id = $1
               AND job_id = $2
             ORDER BY id";
        let rows: Vec<RecordRow> = find_all!(self.conn, SQL, self.team.0, job.0)?;
        record::all("kit_line", &rows)
    }
}

impl Tx {
    /// At most `limit` jobs on which an item is or was, the last to begin first.
    pub async fn jobs_with(&mut self, item: ItemId, limit: u32) -> Result<Vec<Job>, StoreError> {
        const SQL: &str = "
            SELECT j.record
              FROM kit_line k
              JOIN job j
                ON j.team_id = k.team_id
               AND j.id = k.job_id
             WHERE k.team_id = $1
               AND k.item_id = $2
             ORDER BY k.starts_at DESC, k.id
             LIMIT $3";
        let rows: Vec<RecordRow> =
            find_all!(self.conn, SQL, self.team.0, item.0, i64::from(limit))?;
        record::all("job", &rows)
    }

    /// At most `limit` items of a model on the kit lists of planned jobs, each by its mark with its job.
    pub async fn planned_with(
        &mut self,
        model: ModelId,
        limit: u32,
    ) -> Result<Vec<(String, Job)>, StoreError> {
        const SQL: &str = "
            SELECT i.record, j.record
              FROM item i
              JOIN kit_line k
                ON k.team_id = i.team_id
               AND k.item_id = i.id
              JOIN job j
                ON j.team_id = k.team_id
               AND j.id = k.job_id
             WHERE i.team_id = $1
               AND i.model_id = $2
               AND j.state = $3
             ORDER BY i.mark_folded, j.id
             LIMIT $4";
        let planned = JobState::Planned.key();
        let rows: Vec<(String, String)> = find_all!(
            self.conn,
            SQL,
            self.team.0,
            model.0,
            planned,
            i64::from(limit)
        )?;
        let both = |(item, job): &(String, String)| -> Result<(String, Job), StoreError> {
            let item: Item = record::read("item", item)?;
            Ok((item.mark, record::read("job", job)?))
        };
        rows.iter().map(both).collect()
    }

    /// The kits of several jobs, by job, each in the order in which it was chosen.
    pub async fn kits(
        &mut self,
        jobs: &[JobId],
    ) -> Result<HashMap<JobId, Vec<KitLine>>, StoreError> {
        let mut found: HashMap<JobId, Vec<KitLine>> = HashMap::new();
        for some in jobs.chunks(MOST_AT_ONCE) {
            let mut statement = Statement::new("SELECT record FROM kit_line WHERE team_id = ");
            statement.bind(self.team.0).sql(" AND job_id IN ");
            statement.list(some.iter().map(|id| id.0));
            statement.sql(" ORDER BY id");
            let rows: Vec<RecordRow> = find_by!(self.conn, statement)?;
            for line in record::all::<KitLine>("kit_line", &rows)? {
                found.entry(line.job).or_default().push(line);
            }
        }
        Ok(found)
    }
}

impl WriteTx {
    /// Puts an item on a job.
    ///
    /// # Errors
    /// [`StoreError::Booked`] if another job holds the item at that time, [`StoreError::Taken`] if it is on this job
    /// already or the position is filled, [`StoreError::Refused`] if the job has ended.
    pub(super) async fn add_kit_line(&mut self, line: &KitLine) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO kit_line
                   (team_id, id, job_id, item_id, position, holds, starts_at, ends_at, record)
            VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)";
        let job = self.job_there(line.job).await?;
        job.may_change()?;
        self.must_be_free(&[line.item], &job).await?;
        let team = self.team;
        change_any!(
            self.conn,
            SQL,
            team.0,
            line.id.0,
            line.job.0,
            line.item.0,
            line.position.as_deref(),
            true,
            job.starts_at,
            job.ends_at,
            record::write("kit_line", line)?,
        )
        .map(drop)
    }

    /// Takes an item off a job; that it was on it stands in the ledger.
    pub(super) async fn remove_kit_line(
        &mut self,
        removed: &KitLineRemoved,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            DELETE FROM kit_line
             WHERE team_id = $1
               AND id = $2
               AND job_id = $3
               AND item_id = $4";
        let job = self.job_there(removed.job).await?;
        job.may_change()?;
        let team = self.team;
        let (line, item) = (removed.line.0, removed.item.0);
        change_one!(
            self.conn,
            "kit_line",
            SQL,
            team.0,
            line,
            removed.job.0,
            item
        )
    }

    /// Moves the kit of a job to the job's time, and frees it if the job has ended.
    pub(super) async fn move_kit(&mut self, job: &Job) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE kit_line
               SET holds = $3, starts_at = $4, ends_at = $5
             WHERE team_id = $1
               AND job_id = $2";
        let holds = job.state == JobState::Planned;
        if holds {
            let kit = self.kit(job.id).await?;
            let items: Vec<_> = kit.iter().map(|line| line.item).collect();
            self.must_be_free(&items, job).await?;
        }
        let team = self.team;
        let (starts_at, ends_at) = (job.starts_at, job.ends_at);
        change_any!(self.conn, SQL, team.0, job.id.0, holds, starts_at, ends_at).map(drop)
    }
}
