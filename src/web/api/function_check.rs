//! Function checks, for programs and for a phone that was out of reach.

use axum::{Json, extract::State, response::Response};
use serde::Serialize;
use utoipa::ToSchema;

use super::{ProblemJson, created, issue::SinceJson};
use crate::{
    deed,
    domain::{
        FunctionAsk, FunctionCheck, FunctionCheckDraft, FunctionCheckId, IssueId, JobId, Zone,
        function_asks, function_sheet, signed_lists,
    },
    web::{App, JsonBody, Path, Problem, Query, Signed, listed::FormId},
};

/// What is asked of the rig of an issue, and what was signed.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct FunctionCheckJson {
    /// The edition of the sheet.
    edition: u32,
    /// What is asked of this rig.
    asks: Vec<&'static FunctionAsk>,
    /// The signatures, the first first; each second one ends a list.
    signed: Vec<FunctionCheck>,
    /// Whether the last list has two signatures, and everything in the kit is fit still.
    by_two: bool,
    /// What of the kit is not fit any more by its own record, whatever was signed: nothing is signed while it is with the
    /// rig.
    since: Vec<SinceJson>,
}

/// The function check of an issue
#[utoipa::path(get, path = "/api/v1/jobs/{id}/issues/{issue}/checks", tag = "jobs", params(("id" = Uuid, Path), ("issue" = Uuid, Path)),
    responses((status = 200, body = FunctionCheckJson), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_checks(
    State(app): State<App>,
    signed: Signed,
    Path((job, issue)): Path<(JobId, IssueId)>,
) -> Result<Json<FunctionCheckJson>, Problem> {
    let checked = deed::function_check::show(&app.desk, &signed.actor, job, issue).await?;
    let last = signed_lists(&checked.checks).pop();
    Ok(Json(FunctionCheckJson {
        edition: function_sheet().edition,
        asks: function_asks(&checked.issue),
        by_two: checked.since.is_empty() && last.is_some_and(|list| list.second.is_some()),
        since: SinceJson::all(checked.since),
        signed: checked.checks,
    }))
}

/// Sign the function check
///
/// Every line of `asks` is answered `right`; one that is `not-right` is not signed, and the problem says what to do. `at`
/// is when it was done, with its offset; left out it is now. The same `id` sent again signs once.
#[utoipa::path(post, path = "/api/v1/jobs/{id}/issues/{issue}/checks", tag = "jobs",
    params(("id" = Uuid, Path), ("issue" = Uuid, Path), ("id" = Option<Uuid>, Query)), request_body = FunctionCheckDraft,
    responses((status = 201, body = FunctionCheck), (status = 409, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_sign(
    State(app): State<App>,
    signed: Signed,
    Path(of): Path<(JobId, IssueId)>,
    Query(given): Query<FormId>,
    JsonBody(draft): JsonBody<FunctionCheckDraft>,
) -> Result<Response, Problem> {
    let id = FunctionCheckId(given.id());
    let (desk, actor) = (&app.desk, &signed.actor);
    let check = deed::function_check::sign(desk, actor, of, (id, &draft), &Zone::UTC).await?;
    Ok(created(1, check))
}
