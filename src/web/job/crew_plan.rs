//! Who does what on a job.

use axum::{extract::State, response::Response};

use super::shell;
use crate::{
    deed,
    domain::{CrewPlan, CrewPlanDraft, CrewPlanId, FieldErrors, JobId},
    view::crew_plan::{CrewOf, ShowCrewPlan},
    web::{
        App, Done, Page, Path, Problem, Query, Signed, listed::FormId, page::answer, typed::Typed,
    },
};

/// The page; without anything typed it begins with the plan that stands, or the starting set.
async fn form(
    (app, signed): (&App, &Signed),
    job: JobId,
    id: CrewPlanId,
    typed: Option<(&CrewPlanDraft, &FieldErrors)>,
) -> Result<ShowCrewPlan, Problem> {
    let crew = deed::crew_plan::show(&app.desk, &signed.actor, job).await?;
    let shell = shell(signed, &format!("Crew: {}", crew.job.title));
    let of = CrewOf {
        job: &crew.job,
        plan: crew.plan.as_ref(),
        warnings: &crew.warnings,
        haulers: crew.haulers,
        people: &crew.people,
    };
    let begun = crew.plan.as_ref().map(CrewPlan::draft);
    let begun = begun.unwrap_or_else(|| CrewPlanDraft::starting(&crew.job, crew.haulers));
    let nothing = FieldErrors::default();
    let typed = typed.unwrap_or((&begun, &nothing));
    Ok(ShowCrewPlan::new(shell, id, of, typed))
}

/// The crew of a job.
pub(in crate::web) async fn page_crew(
    State(app): State<App>,
    signed: Signed,
    Path(job): Path<JobId>,
) -> Result<Page<ShowCrewPlan>, Problem> {
    form((&app, &signed), job, CrewPlanId::new(), None)
        .await
        .map(Page)
}

/// Plans the crew.
pub(in crate::web) async fn page_plan_crew(
    State(app): State<App>,
    signed: Signed,
    Path(job): Path<JobId>,
    Query(new): Query<FormId>,
    typed: Typed,
) -> Result<Response, Problem> {
    let draft: CrewPlanDraft = typed.draft()?;
    let id = CrewPlanId(new.id());
    let done = deed::crew_plan::plan(&app.desk, &signed.actor, job, (id, &draft)).await;
    answer(
        done,
        |_| Done::to(format!("/jobs/{job}/crew")).saying("The crew is planned."),
        async |wrong| form((&app, &signed), job, id, Some((&draft, &wrong))).await,
    )
    .await
}
