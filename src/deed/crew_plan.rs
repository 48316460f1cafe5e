//! Planning the crew of a job.

use super::{DeedError, Desk, kit, permit};
use crate::domain::{
    Actor, Change, CrewNeed, CrewPlan, CrewPlanDraft, CrewPlanId, CrewWarning, Deed, Job, JobId,
    Person, kit_strength::Extent,
};

/// The crew of a job, and what is to be said of it.
#[derive(Clone, Debug)]
pub struct Crew {
    /// The job.
    pub job: Job,
    /// The plan that stands, if there is one.
    pub plan: Option<CrewPlan>,
    /// What speaks against it.
    pub warnings: Vec<CrewWarning>,
    /// How many haul, where the verdict says it.
    pub haulers: Option<u32>,
    /// The team.
    pub people: Vec<Person>,
}

/// The crew of a job.
///
/// # Errors
/// [`DeedError::NotFound`] if there is no such job.
pub async fn show(desk: &Desk, actor: &Actor, id: JobId) -> Result<Crew, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let (list, chosen) = kit::judged(&mut tx, id, desk.clock.now(), Extent::Answer).await?;
    let assessment = list.verdict.assessment.as_ref();
    let haulers = assessment.map(|assessment| assessment.haulers);
    let plan = tx.crew_plan_of(id).await?;
    let need = CrewNeed {
        job: &list.job,
        mass: list.load,
        person: chosen.rulebook.person().mass.quantity(),
        haulers,
    };
    let warnings = plan.as_ref().map(|plan| plan.warnings(&need));
    Ok(Crew {
        warnings: warnings.unwrap_or_default(),
        plan,
        haulers,
        people: tx.people().await?,
        job: list.job,
    })
}

/// Plans the crew of a job. An id that was given before gives the plan that is there.
///
/// # Errors
/// [`DeedError::Invalid`] with every field that does not hold; [`DeedError::NotAllowed`] once the job has ended.
pub async fn plan(
    desk: &Desk,
    actor: &Actor,
    job: JobId,
    (id, draft): (CrewPlanId, &CrewPlanDraft),
) -> Result<CrewPlan, DeedError> {
    permit(actor, Deed::PlanJob)?;
    let mut tx = desk.database.write(actor.team).await?;
    let there = tx.job(job).await?.ok_or(DeedError::NotFound("job"))?;
    if let Some(there) = tx.crew_plan(id).await? {
        return if there.job == job {
            Ok(there)
        } else {
            Err(DeedError::NotFound("crew plan"))
        };
    }
    there.state.must_be_planned()?;
    let before = tx.crew_plan_of(job).await?;
    let plan = draft.check(id, job, before.as_ref(), &tx.people().await?)?;
    tx.record(actor, desk.clock.now(), Change::CrewPlanned(plan.clone()))
        .await?;
    tx.commit().await?;
    Ok(plan)
}
