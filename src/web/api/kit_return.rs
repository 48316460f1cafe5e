//! Counting kits back, for programs and for a phone that was out of reach.

use axum::{Json, extract::State, response::Response};
use serde::Serialize;
use utoipa::ToSchema;

use super::{ProblemJson, created, issue::SinceJson};
use crate::{
    deed,
    domain::{IssueId, ItemId, JobId, KitReturn, KitReturnDraft, ReturnId},
    web::{App, JsonBody, Path, Problem, Query, Signed, listed::FormId},
};

/// How far an issue is counted back.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct ReturnsJson {
    /// What is with the crew still.
    out: Vec<ItemId>,
    /// The counts so far, the first first.
    counts: Vec<KitReturn>,
    /// What of it is not fit any more by its own record, and why.
    since: Vec<SinceJson>,
}

/// What was counted back of an issue
#[utoipa::path(get, path = "/api/v1/jobs/{id}/issues/{issue}/returns", tag = "jobs", params(("id" = Uuid, Path), ("issue" = Uuid, Path)),
    responses((status = 200, body = ReturnsJson), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_returns(
    State(app): State<App>,
    signed: Signed,
    Path((job, issue)): Path<(JobId, IssueId)>,
) -> Result<Json<ReturnsJson>, Problem> {
    let counted = deed::kit_return::show(&app.desk, &signed.actor, job, issue).await?;
    Ok(Json(ReturnsJson {
        out: counted.out,
        counts: counted.counts,
        since: SinceJson::all(counted.since),
    }))
}

/// Count a kit back
///
/// `lines` has the items by their ids, each with its `condition`; `scanned` has codes, marks or serials of what is back
/// and fine, one a line; `rest` is `fine` where all the others are so too. What is not counted stays with the crew. Use
/// is logged for each item, and states follow. The same `id` sent again counts once.
#[utoipa::path(post, path = "/api/v1/jobs/{id}/issues/{issue}/returns", tag = "jobs",
    params(("id" = Uuid, Path), ("issue" = Uuid, Path), ("id" = Option<Uuid>, Query)), request_body = KitReturnDraft,
    responses((status = 201, body = KitReturn), (status = 409, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_count(
    State(app): State<App>,
    signed: Signed,
    Path(of): Path<(JobId, IssueId)>,
    Query(given): Query<FormId>,
    JsonBody(draft): JsonBody<KitReturnDraft>,
) -> Result<Response, Problem> {
    let id = ReturnId(given.id());
    let count = deed::kit_return::count(&app.desk, &signed.actor, of, (id, &draft)).await?;
    Ok(created(1, count))
}
