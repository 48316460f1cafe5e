//! Kits counted back.

use super::{Recorded, StoreError, Tx, WriteTx};
use crate::domain::{Condition, Issue, IssueState, KitReturn, ReturnId};

impl Tx {
    /// The count of this id.
    pub async fn kit_return(&mut self, id: ReturnId) -> Result<Option<KitReturn>, StoreError> {
        self.one_of_job("kit_return", id.0).await
    }

    /// The counts of an issue, the first first.
    pub async fn kit_returns(&mut self, issue: &Issue) -> Result<Vec<KitReturn>, StoreError> {
        let mut counts: Vec<KitReturn> = self.all_of_job("kit_return", issue.job.id).await?;
        counts.retain(|count| count.issue == issue.id);
        Ok(counts)
    }
}

impl WriteTx {
    /// Keeps a count: what was counted is with the crew no more, and once all is counted the issue is over.
    ///
    /// # Errors
    /// [`StoreError::Refused`] if the issue is not out, [`StoreError::Stale`] if an item was counted before.
    pub(super) async fn add_kit_return(
        &mut self,
        count: &KitReturn,
        recorded: Recorded,
    ) -> Result<(), StoreError> {
        const HEAD: &str = "INSERT INTO kit_return (team_id, id, job_id, seq, record) VALUES ";
        let mut issue = self.issue_out(count.issue, count.job).await?;
        self.add_of_job(HEAD, (count.id.0, count.job), recorded, count)
            .await?;
        for line in &count.lines {
            self.put_back(line.item, count.issue).await?;
            if line.condition == Condition::LookAt {
                let item = self.item_there(line.item).await?;
                self.save_item(&item.look_asked_by(count, &line.note))
                    .await?;
            }
        }
        if self.out_on(count.job).await?.is_empty() {
            issue.state = IssueState::Returned;
            self.end_issue(&issue).await?;
        }
        Ok(())
    }
}
