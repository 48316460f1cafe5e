//! Pinned plans: pages, and the same for programs.

use axum::{
    Json,
    extract::State,
    http::StatusCode,
    response::{IntoResponse, Response},
};

use super::{
    App, Done, Form, JsonBody, Path, Problem, Query, Signed,
    api::{ProblemJson, created},
    listed::FormId,
    page::answer,
    readiness,
};
use crate::{
    deed,
    domain::{Pin, PinId, ready::ReadinessDraft},
};

/// Pins a plan.
pub(super) async fn page_pin(
    State(app): State<App>,
    signed: Signed,
    Query(given): Query<FormId>,
    Form(draft): Form<ReadinessDraft>,
) -> Result<Response, Problem> {
    let done = deed::pin::pin(&app.desk, &signed.actor, PinId(given.id()), &draft).await;
    answer(
        done,
        |_| Done::to("/readiness").saying("The plan is pinned."),
        async |wrong| Box::pin(readiness::list(&app, &signed, draft, &wrong)).await,
    )
    .await
}

/// Pins a plan no longer.
pub(super) async fn page_unpin(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<PinId>,
) -> Result<Response, Problem> {
    deed::pin::unpin(&app.desk, &signed.actor, id).await?;
    let done = Done::to("/readiness").saying("The plan is pinned no longer.");
    Ok(done.into_response())
}

/// The plans that are pinned
///
/// Complete sets are counted for each whether a job is planned for it or not: `GET /api/v1/readiness?pin=`.
#[utoipa::path(get, path = "/api/v1/readiness/pins", tag = "jobs", responses((status = 200, body = Vec<Pin>)))]
pub(super) async fn api_pins(
    State(app): State<App>,
    signed: Signed,
) -> Result<Json<Vec<Pin>>, Problem> {
    Ok(Json(deed::pin::list(&app.desk, &signed.actor).await?))
}

/// Pin a plan
///
/// `job` and `pin` are left out; the rest is the plan.
#[utoipa::path(post, path = "/api/v1/readiness/pins", tag = "jobs", params(("id" = Option<Uuid>, Query)), request_body = ReadinessDraft,
    responses((status = 201, body = Pin, headers(("ETag" = String))), (status = 422, body = ProblemJson)))]
pub(super) async fn api_pin(
    State(app): State<App>,
    signed: Signed,
    Query(given): Query<FormId>,
    JsonBody(draft): JsonBody<ReadinessDraft>,
) -> Result<Response, Problem> {
    let pin = deed::pin::pin(&app.desk, &signed.actor, PinId(given.id()), &draft).await?;
    Ok(created("1", pin))
}

/// Pin a plan no longer
#[utoipa::path(delete, path = "/api/v1/readiness/pins/{id}", tag = "jobs", params(("id" = Uuid, Path)),
    responses((status = 204), (status = 404, body = ProblemJson)))]
pub(super) async fn api_unpin(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<PinId>,
) -> Result<StatusCode, Problem> {
    deed::pin::unpin(&app.desk, &signed.actor, id).await?;
    Ok(StatusCode::NO_CONTENT)
}
