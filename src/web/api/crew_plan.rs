//! Crews, for programs.

use axum::{Json, extract::State, response::Response};
use serde::Serialize;
use utoipa::ToSchema;

use super::{ProblemJson, created};
use crate::{
    deed,
    domain::{CrewPlan, CrewPlanDraft, CrewPlanId, CrewWarning, JobId},
    web::{App, JsonBody, Path, Problem, Query, Signed, listed::FormId},
};

/// The crew of a job.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct CrewJson {
    /// The plan that stands; none where there is none yet.
    plan: Option<CrewPlan>,
    /// What speaks against it; a warning refuses nothing.
    warnings: Vec<CrewWarning>,
    /// What a plan may begin with.
    start: CrewPlanDraft,
}

/// The crew of a job
#[utoipa::path(get, path = "/api/v1/jobs/{id}/crew", tag = "jobs", params(("id" = Uuid, Path)), responses(
    (status = 200, body = CrewJson), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_crew(
    State(app): State<App>,
    signed: Signed,
    Path(job): Path<JobId>,
) -> Result<Json<CrewJson>, Problem> {
    let crew = deed::crew_plan::show(&app.desk, &signed.actor, job).await?;
    Ok(Json(CrewJson {
        start: CrewPlanDraft::starting(&crew.job, crew.haulers),
        plan: crew.plan,
        warnings: crew.warnings,
    }))
}

/// Plan the crew of a job
///
/// The whole plan each time; `seen` is the id of the plan that stands. Names that are people's of the team are those.
#[utoipa::path(post, path = "/api/v1/jobs/{id}/crew", tag = "jobs", params(("id" = Uuid, Path), ("id" = Option<Uuid>, Query)),
    request_body = CrewPlanDraft, responses((status = 201, body = CrewPlan), (status = 409, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_plan_crew(
    State(app): State<App>,
    signed: Signed,
    Path(job): Path<JobId>,
    Query(given): Query<FormId>,
    JsonBody(draft): JsonBody<CrewPlanDraft>,
) -> Result<Response, Problem> {
    let id = CrewPlanId(given.id());
    let plan = deed::crew_plan::plan(&app.desk, &signed.actor, job, (id, &draft)).await?;
    Ok(created(1, plan))
}
