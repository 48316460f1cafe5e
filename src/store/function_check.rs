//! Function checks.

use super::{Recorded, StoreError, Tx, WriteTx};
use crate::domain::{FunctionCheck, FunctionCheckId, Issue};

impl Tx {
    /// The function check of this id.
    pub async fn function_check(
        &mut self,
        id: FunctionCheckId,
    ) -> Result<Option<FunctionCheck>, StoreError> {
        self.one_of_job("function_check", id.0).await
    }

    /// The function checks of an issue, the first signed first.
    pub async fn function_checks(
        &mut self,
        issue: &Issue,
    ) -> Result<Vec<FunctionCheck>, StoreError> {
        let mut checks: Vec<FunctionCheck> =
            self.all_of_job("function_check", issue.job.id).await?;
        checks.retain(|check| check.issue == issue.id);
        Ok(checks)
    }
}

impl WriteTx {
    /// Keeps a function check.
    ///
    /// # Errors
    /// [`StoreError::Refused`] if its issue is not out.
    pub(super) async fn add_function_check(
        &mut self,
        check: &FunctionCheck,
        recorded: Recorded,
    ) -> Result<(), StoreError> {
        const HEAD: &str = "INSERT INTO function_check (team_id, id, job_id, seq, record) VALUES ";
        self.issue_out(check.issue, check.job).await?;
        self.add_of_job(HEAD, (check.id.0, check.job), recorded, check)
            .await
    }
}
