//! The log of use, for programs.

use axum::{Json, extract::State, response::Response};
use serde::Serialize;
use utoipa::ToSchema;

use super::{ProblemJson, created};
use crate::{
    deed,
    domain::{ItemId, Usage, UsageDraft, UsageId, UsageSums, UseLimit},
    web::{App, JsonBody, Path, Problem, Query, Signed, listed::FormId},
};

/// The most entries that one answer holds.
const MOST: u32 = 500;

/// The use of an item.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct UsageJson {
    /// All of it, with that of the ropes that it was part of.
    sums: UsageSums,
    /// The most that the maker allows, as far as is known.
    limit: UseLimit,
    /// The last used first; the last 500.
    entries: Vec<Usage>,
}

/// Use of an item
#[utoipa::path(get, path = "/api/v1/items/{id}/usage", tag = "register", params(("id" = Uuid, Path)), responses(
    (status = 200, body = UsageJson), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_usage(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ItemId>,
) -> Result<Json<UsageJson>, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let item = tx.item(id).await?.ok_or(Problem::NotFound("item"))?;
    let model = tx.model(item.model).await?;
    let model = model.ok_or(Problem::NotFound("model"))?;
    Ok(Json(UsageJson {
        sums: item.usage,
        limit: model.use_limit,
        entries: tx.usage_in_line(&item, MOST).await?,
    }))
}

/// Log use of an item
///
/// At least one of `hours` (such as `2.5` or `2:30`), `uses`, `falls` and `loads`. A fall is reported as an event too.
#[utoipa::path(post, path = "/api/v1/items/{id}/usage", tag = "register",
    params(("id" = Uuid, Path), ("id" = Option<Uuid>, Query)), request_body = UsageDraft,
    responses((status = 201, body = Usage), (status = 404, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_log_use(
    State(app): State<App>,
    signed: Signed,
    Path(item): Path<ItemId>,
    Query(given): Query<FormId>,
    JsonBody(draft): JsonBody<UsageDraft>,
) -> Result<Response, Problem> {
    let id = UsageId(given.id());
    let usage = deed::usage::log(&app.desk, &signed.actor, item, id, &draft).await?;
    Ok(created("1", usage))
}
