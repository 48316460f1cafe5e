//! Who does what on a job.

use super::{Recorded, StoreError, Tx, WriteTx};
use crate::domain::{CrewPlan, CrewPlanId, JobId};

impl Tx {
    /// The crew plan of this id.
    pub async fn crew_plan(&mut self, id: CrewPlanId) -> Result<Option<CrewPlan>, StoreError> {
        self.one_of_job("crew_plan", id.0).await
    }

    /// The crew plan of a job that stands, if there is one.
    pub async fn crew_plan_of(&mut self, job: JobId) -> Result<Option<CrewPlan>, StoreError> {
        Ok(self.all_of_job("crew_plan", job).await?.pop())
    }
}

impl WriteTx {
    /// Keeps a crew plan; it stands from here on.
    ///
    /// # Errors
    /// [`StoreError::Refused`] once the job has ended.
    pub(super) async fn add_crew_plan(
        &mut self,
        plan: &CrewPlan,
        recorded: Recorded,
    ) -> Result<(), StoreError> {
        const HEAD: &str = "INSERT INTO crew_plan (team_id, id, job_id, seq, record) VALUES ";
        let job = self.job_there(plan.job).await?;
        job.state.must_be_planned()?;
        self.add_of_job(HEAD, (plan.id.0, plan.job), recorded, plan)
            .await
    }
}
