//! Issues of kits, for programs.

use axum::{Json, extract::State, response::Response};
use serde::Serialize;
use utoipa::ToSchema;

use super::{ProblemJson, created};
use crate::{
    deed::{self, issue::TakeBackDraft},
    domain::{HeldBefore, Issue, IssueDraft, IssueId, ItemId, JobId},
    web::{App, JsonBody, Path, Problem, Query, Signed, listed::FormId},
};

/// The issues of a job.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct IssuesJson {
    /// Whether the kit may be issued as it stands: then this is empty, else it has every reason.
    reasons: Vec<String>,
    /// The last first.
    issues: Vec<Issue>,
    /// The other planned jobs that hold items of the kit from now until its own job is over, with their marks: once it is
    /// issued they have them no more.
    held: Vec<HeldBefore>,
}

/// Issues of a kit, and why it may not be issued now
#[utoipa::path(get, path = "/api/v1/jobs/{id}/issues", tag = "jobs", params(("id" = Uuid, Path)), responses(
    (status = 200, body = IssuesJson), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_issues(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
) -> Result<Json<IssuesJson>, Problem> {
    let before = deed::issue::before(&app.desk, &signed.actor, id).await?;
    Ok(Json(IssuesJson {
        reasons: before.reasons,
        issues: before.issues,
        held: before.held,
    }))
}

/// Issue a kit
///
/// The kit is frozen with its verdict. `by` hands out and `to` takes: two people, unless nobody else is in the team.
#[utoipa::path(post, path = "/api/v1/jobs/{id}/issues", tag = "jobs", params(("id" = Uuid, Path), ("id" = Option<Uuid>, Query)),
    request_body = IssueDraft, responses((status = 201, body = Issue), (status = 409, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_issue(
    State(app): State<App>,
    signed: Signed,
    Path(job): Path<JobId>,
    Query(given): Query<FormId>,
    JsonBody(draft): JsonBody<IssueDraft>,
) -> Result<Response, Problem> {
    let id = IssueId(given.id());
    let issue = deed::issue::issue(&app.desk, &signed.actor, job, id, &draft).await?;
    Ok(created(1, issue))
}

/// An issue as it was frozen, and what is to be said of it now.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct IssuedJson {
    issue: Issue,
    /// What of it is with the crew still.
    out: Vec<ItemId>,
    /// What of it is not fit any more.
    since: Vec<SinceJson>,
}

/// An item that is not fit any more since it was issued.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct SinceJson {
    item: ItemId,
    reasons: Vec<String>,
}

impl SinceJson {
    /// One for each item.
    pub(in crate::web) fn all(since: Vec<(ItemId, Vec<String>)>) -> Vec<Self> {
        let since = since.into_iter();
        since
            .map(|(item, reasons)| Self { item, reasons })
            .collect()
    }
}

/// One issue
#[utoipa::path(get, path = "/api/v1/jobs/{id}/issues/{issue}", tag = "jobs", params(("id" = Uuid, Path), ("issue" = Uuid, Path)),
    responses((status = 200, body = IssuedJson), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_issued(
    State(app): State<App>,
    signed: Signed,
    Path((job, id)): Path<(JobId, IssueId)>,
) -> Result<Json<IssuedJson>, Problem> {
    let issued = deed::issue::show(&app.desk, &signed.actor, job, id).await?;
    Ok(Json(IssuedJson {
        issue: issued.issue,
        out: issued.out,
        since: SinceJson::all(issued.since),
    }))
}

/// Take an issue back
///
/// Only while nothing of it was counted back. Sent again, it stays as it is.
#[utoipa::path(post, path = "/api/v1/jobs/{id}/issues/{issue}/take-back", tag = "jobs", params(("id" = Uuid, Path), ("issue" = Uuid, Path)),
    request_body = TakeBackDraft, responses((status = 200, body = Issue), (status = 409, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_take_back(
    State(app): State<App>,
    signed: Signed,
    Path((job, id)): Path<(JobId, IssueId)>,
    JsonBody(draft): JsonBody<TakeBackDraft>,
) -> Result<Json<Issue>, Problem> {
    let issue = deed::issue::take_back(&app.desk, &signed.actor, job, id, &draft).await?;
    Ok(Json(issue))
}
