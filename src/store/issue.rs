//! Issues, and what is with a crew.

use std::collections::{HashMap, HashSet};

use uuid::Uuid;

use super::{
    Recorded, StoreError, Tx, WriteTx,
    model::MOST_AT_ONCE,
    record,
    record::RecordRow,
    statement::{Statement, find_by},
    tx::{change_one, find_all},
};
use crate::domain::{
    Issue, IssueId, IssueState, IssueTakenBack, Item, ItemId, ItemOut, Job, JobId, NotAllowed,
};

#[derive(sqlx::FromRow)]
#[expect(clippy::struct_field_names, reason = "they are the columns")]
struct OutRow {
    item_id: Uuid,
    job_id: Uuid,
    issue_id: Uuid,
}

impl From<OutRow> for ItemOut {
    fn from(row: OutRow) -> Self {
        Self {
            item: ItemId(row.item_id),
            job: JobId(row.job_id),
            issue: IssueId(row.issue_id),
        }
    }
}

impl Tx {
    /// The issue of this id.
    pub async fn issue(&mut self, id: IssueId) -> Result<Option<Issue>, StoreError> {
        self.one_of_job("kit_issue", id.0).await
    }

    /// The issues of a job, the first first.
    pub async fn issues(&mut self, job: JobId) -> Result<Vec<Issue>, StoreError> {
        self.all_of_job("kit_issue", job).await
    }

    /// Those of the jobs whose kit was ever issued, also where the issue was taken back.
    pub async fn issued_of(&mut self, jobs: &[JobId]) -> Result<HashSet<JobId>, StoreError> {
        let mut found = HashSet::new();
        for some in jobs.chunks(MOST_AT_ONCE) {
            let mut statement =
                Statement::new("SELECT DISTINCT job_id FROM kit_issue WHERE team_id = ");
            statement.bind(self.team.0).sql(" AND job_id IN ");
            statement.list(some.iter().map(|id| id.0));
            let rows: Vec<(Uuid,)> = find_by!(self.conn, statement)?;
            found.extend(rows.into_iter().map(|(id,)| JobId(id)));
        }
        Ok(found)
    }

    /// Where those of the items are that are with a crew.
    pub async fn out_of(
        &mut self,
        items: &[ItemId],
    ) -> Result<HashMap<ItemId, ItemOut>, StoreError> {
        let mut found = HashMap::new();
        for some in items.chunks(MOST_AT_ONCE) {
            let mut statement =
                Statement::new("SELECT item_id, job_id, issue_id FROM item_out WHERE team_id = ");
            statement.bind(self.team.0).sql(" AND item_id IN ");
            statement.list(some.iter().map(|id| id.0));
            let rows: Vec<OutRow> = find_by!(self.conn, statement)?;
            let rows = rows.into_iter().map(ItemOut::from);
            found.extend(rows.map(|out| (out.item, out)));
        }
        Ok(found)
    }

    /// The items of a job that are with its crew.
    pub async fn out_on(&mut self, job: JobId) -> Result<Vec<ItemId>, StoreError> {
        const SQL: &str = "
            SELECT item_id, job_id, issue_id
              FROM item_out
             WHERE team_id = $1
               AND job_id = $2
             ORDER BY item_id";
        let rows: Vec<OutRow> = find_all!(self.conn, SQL, self.team.0, job.0)?;
        Ok(rows.into_iter().map(|row| ItemId(row.item_id)).collect())
    }

    /// The jobs whose kit is out, at most `limit`, the first to end first.
    pub async fn jobs_out(&mut self, limit: u32) -> Result<Vec<Job>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM job
             WHERE team_id = $1
               AND id IN (SELECT job_id FROM item_out WHERE team_id = $1)
             ORDER BY ends_at, id
             LIMIT $2";
        let rows: Vec<RecordRow> = find_all!(self.conn, SQL, self.team.0, i64::from(limit))?;
        record::all("job", &rows)
    }

    /// What is with a crew and not in service any more, by job and item, at most `limit`.
    pub async fn unfit_out(&mut self, limit: u32) -> Result<Vec<(ItemOut, Item)>, StoreError> {
        const SQL: &str = "
            SELECT o.item_id, o.job_id, o.issue_id
              FROM item_out o
              JOIN item i ON i.team_id = o.team_id AND i.id = o.item_id
             WHERE o.team_id = $1
               AND i.state <> 'in-service'
             ORDER BY o.job_id, o.item_id
             LIMIT $2";
        let rows: Vec<OutRow> = find_all!(self.conn, SQL, self.team.0, i64::from(limit))?;
        let ids: Vec<ItemId> = rows.iter().map(|row| ItemId(row.item_id)).collect();
        let mut items = self.items_of(&ids).await?;
        let rows = rows.into_iter().map(ItemOut::from);
        Ok(rows
            .filter_map(|out| Some((out, items.remove(&out.item)?)))
            .collect())
    }
}

impl WriteTx {
    /// Keeps an issue: its items are with the crew from here on.
    ///
    /// # Errors
    /// [`StoreError::Refused`] if the job has ended or its kit is out, [`StoreError::Taken`] if one of the items is out
    /// with another.
    pub(super) async fn add_issue(
        &mut self,
        issue: &Issue,
        recorded: Recorded,
    ) -> Result<(), StoreError> {
        const ISSUE: &str = "INSERT INTO kit_issue (team_id, id, job_id, seq, record) VALUES ";
        const OUT: &str = "INSERT INTO item_out (team_id, item_id, job_id, issue_id) VALUES ";
        let mut job = self.job_there(issue.job.id).await?;
        job.may_change()?;
        let team = self.team;
        self.add_of_job(ISSUE, (issue.id.0, job.id), recorded, issue)
            .await?;
        let rows = issue.lines.iter().map(|line| {
            vec![
                team.0.into(),
                line.item.0.into(),
                job.id.0.into(),
                issue.id.0.into(),
            ]
        });
        self.insert(OUT, rows.collect(), "").await?;
        self.show_use(issue).await?;
        job.issued = Some(issue.id);
        job.revision += 1;
        self.revise_job(&job).await
    }

    /// Takes an issue back: its items are on their shelves again, and plan and kit may change.
    pub(super) async fn take_issue_back(
        &mut self,
        back: &IssueTakenBack,
    ) -> Result<(), StoreError> {
        let mut issue = self.issue_out(back.issue, back.job).await?;
        for line in issue.lines.clone() {
            self.put_back(line.item, issue.id).await?;
        }
        issue.state = IssueState::TakenBack {
            reason: back.reason.clone(),
        };
        self.end_issue(&issue).await
    }

    /// The issue of a job that is out.
    pub(super) async fn issue_out(&mut self, id: IssueId, job: JobId) -> Result<Issue, StoreError> {
        let issue = self.issue(id).await?.ok_or(StoreError::Unlinked)?;
        if issue.job.id != job {
            return Err(StoreError::Unlinked);
        }
        match issue.state {
            IssueState::Out => Ok(issue),
            _ => Err(NotAllowed::IssueOver.into()),
        }
    }

    /// An item is on its shelf again.
    pub(super) async fn put_back(
        &mut self,
        item: ItemId,
        issue: IssueId,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            DELETE FROM item_out
             WHERE team_id = $1
               AND item_id = $2
               AND issue_id = $3";
        let team = self.team;
        change_one!(self.conn, "item_out", SQL, team.0, item.0, issue.0)
    }

    /// Keeps how an issue ended, and lets its job change again.
    pub(super) async fn end_issue(&mut self, issue: &Issue) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE kit_issue
               SET record = $3
             WHERE team_id = $1
               AND id = $2";
        let team = self.team;
        let text = record::write("kit_issue", issue)?;
        change_one!(self.conn, "kit_issue", SQL, team.0, issue.id.0, text)?;
        let mut job = self.job_there(issue.job.id).await?;
        job.issued = None;
        job.revision += 1;
        self.revise_job(&job).await
    }
}
