//! Cutting ropes, for programs.

use axum::{extract::State, response::Response};
use serde::Serialize;
use utoipa::ToSchema;

use super::{ProblemJson, created};
use crate::{
    deed,
    domain::{CutDraft, CutId, Item, ItemId},
    web::{App, JsonBody, Path, Problem, Query, Signed, listed::FormId},
};

/// A rope that was cut.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct PiecesJson {
    /// The rope, closed; its `cut_into` names the pieces.
    rope: Item,
    /// The pieces; their `cut_from` names every rope that they were part of.
    pieces: Vec<Item>,
}

/// Cut a rope
///
/// The rope is closed, and each piece is an item of its own. The pieces and the waste together cannot be longer than
/// the rope; where they are shorter, `rest` says what became of what is left over. A rope that is retired, missing or on a planned job is not cut. `?id=` may bring a UUID of version 7 of
/// your own: sent twice, the rope is cut once.
#[utoipa::path(post, path = "/api/v1/items/{id}/cuts", tag = "register",
    params(("id" = Uuid, Path), ("id" = Option<Uuid>, Query)), request_body = CutDraft,
    responses((status = 201, body = PiecesJson), (status = 409, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_cut_rope(
    State(app): State<App>,
    signed: Signed,
    Path(item): Path<ItemId>,
    Query(given): Query<FormId>,
    JsonBody(draft): JsonBody<CutDraft>,
) -> Result<Response, Problem> {
    let id = CutId(given.id());
    let done = deed::cut::cut(&app.desk, &signed.actor, item, id, &draft).await?;
    Ok(created(
        done.rope.revision,
        PiecesJson {
            rope: done.rope,
            pieces: done.pieces,
        },
    ))
}
