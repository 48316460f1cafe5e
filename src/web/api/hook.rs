//! Webhooks, for programs.

use axum::{
    Json,
    extract::State,
    http::{StatusCode, header},
    response::{IntoResponse, Response},
};
use serde::Serialize;
use time::OffsetDateTime;
use utoipa::ToSchema;

use super::{ProblemJson, created};
use crate::{
    deed,
    domain::{Hook, HookDraft, HookId},
    web::{App, JsonBody, Path, Problem, Signed},
};

/// A webhook.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct HookJson {
    /// Its id.
    id: HookId,
    /// Where messages go.
    address: String,
    /// Of what it is told; empty is of every change.
    topics: Vec<String>,
    /// When it was added.
    #[serde(with = "time::serde::rfc3339")]
    added_at: OffsetDateTime,
    /// As far as it has been told of the team's ledger.
    sequence: u64,
    /// Since when every message has failed.
    #[serde(with = "time::serde::rfc3339::option")]
    failing_at: Option<OffsetDateTime>,
    /// When it was switched off.
    #[serde(with = "time::serde::rfc3339::option")]
    off_at: Option<OffsetDateTime>,
}

impl From<Hook> for HookJson {
    fn from(hook: Hook) -> Self {
        Self {
            id: hook.id,
            address: hook.address,
            topics: hook.topics,
            added_at: hook.added_at,
            sequence: hook.seq,
            failing_at: hook.failing_at,
            off_at: hook.off_at,
        }
    }
}

/// A new webhook with its key.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct NewHookJson {
    #[serde(flatten)]
    hook: HookJson,
    /// The key that its messages are signed with, shown this once.
    key: String,
}

/// Webhooks, the newest first
#[utoipa::path(get, path = "/api/v1/webhooks", tag = "team", responses(
    (status = 200, body = Vec<HookJson>), (status = 403, body = ProblemJson)))]
pub(in crate::web) async fn api_hooks(
    State(app): State<App>,
    signed: Signed,
) -> Result<Json<Vec<HookJson>>, Problem> {
    let hooks = deed::hook::list(&app.desk, &signed.actor).await?;
    Ok(Json(hooks.into_iter().map(HookJson::from).collect()))
}

/// Add a webhook
///
/// `topics` are kinds of change with commas between; empty is every change. The key is in this answer and in no other.
#[utoipa::path(post, path = "/api/v1/webhooks", tag = "team", request_body = HookDraft,
    responses((status = 201, body = NewHookJson), (status = 403, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_add_hook(
    State(app): State<App>,
    signed: Signed,
    JsonBody(draft): JsonBody<HookDraft>,
) -> Result<Response, Problem> {
    let reach = app.config.outgoing.hooks;
    let (hook, key) = deed::hook::add(&app.desk, &signed.actor, &draft, reach).await?;
    let hook = HookJson::from(hook);
    let made = created("1", NewHookJson { hook, key });
    Ok(([(header::CACHE_CONTROL, "no-store")], made).into_response())
}

/// Try a webhook out
///
/// Sends a message of the type `trial`, like any other: signed, and tried again where it does not arrive.
#[utoipa::path(post, path = "/api/v1/webhooks/{id}/trial", tag = "team", params(("id" = Uuid, Path)),
    responses((status = 202), (status = 404, body = ProblemJson), (status = 409, body = ProblemJson)))]
pub(in crate::web) async fn api_try_hook_out(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<HookId>,
) -> Result<StatusCode, Problem> {
    deed::hook::try_out(&app.desk, &signed.actor, id).await?;
    Ok(StatusCode::ACCEPTED)
}

/// Switch a webhook on again
#[utoipa::path(post, path = "/api/v1/webhooks/{id}/on", tag = "team", params(("id" = Uuid, Path)),
    responses((status = 204), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_switch_hook_on(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<HookId>,
) -> Result<StatusCode, Problem> {
    deed::hook::switch_on(&app.desk, &signed.actor, id).await?;
    Ok(StatusCode::NO_CONTENT)
}

/// Remove a webhook for good
#[utoipa::path(delete, path = "/api/v1/webhooks/{id}", tag = "team", params(("id" = Uuid, Path)),
    responses((status = 204), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_remove_hook(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<HookId>,
) -> Result<StatusCode, Problem> {
    deed::hook::remove(&app.desk, &signed.actor, id).await?;
    Ok(StatusCode::NO_CONTENT)
}
