//! Tags, for programs.

use axum::{
    Json,
    body::Bytes,
    extract::{State, rejection::BytesRejection},
    response::Response,
};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::{ProblemJson, created};
use crate::{
    deed::{self, tag::TagRemovalDraft},
    domain::{
        Item, ItemId, JobId, LARGEST_UPLOAD, Made, ModelId, TagId,
        tag::{Elements, Tag, TagDraft, TagKind},
    },
    web::{App, JsonBody, Path, Problem, Query, Signed, listed::FormId},
};

/// What was scanned.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct AskedCode {
    code: String,
}

/// A scanned code, read, and the item that it leads to.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct ScanJson {
    /// What kind of code it is.
    kind: TagKind,
    /// The code as people read it.
    words: String,
    /// What it says, where it is a code of GS1.
    elements: Elements,
    /// The maker's serial.
    serial: Option<String>,
    /// The lot.
    lot: Option<String>,
    /// When it was made.
    #[schema(value_type = Option<String>)]
    made: Option<Made>,
    /// Why it does not tell one item from another, if it does not.
    shared: Option<&'static str>,
    /// The item that it is on; `null` if none has it.
    item: Option<Item>,
    /// Where it may mean several items, as a code on one and the mark or serial of another: these, and `item` is `null`.
    several: Vec<Item>,
    /// Where no item has it: the model of which another piece has a code of the same product.
    model: Option<ModelId>,
    /// The job whose printed kit list bears the code; `null` if it is no such code.
    #[schema(value_type = Option<Uuid>)]
    job: Option<JobId>,
}

/// Read a scanned code and find its item
///
/// `code` is what the scanner gives: a GS1 element string with or without symbology identifier, its separators as GS
/// (`%1D`), in brackets, a GS1 Digital Link, a code of our own, the address on a printed kit list (`/j/…`), a mark, or any other text.
#[utoipa::path(get, path = "/api/v1/scan", tag = "tags", params(("code" = String, Query)), responses(
    (status = 200, body = ScanJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_scan(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<AskedCode>,
) -> Result<Json<ScanJson>, Problem> {
    let found = deed::tag::look_up(&app.desk, &signed.actor, &asked.code).await?;
    let scan = found.scan;
    Ok(Json(ScanJson {
        kind: scan.kind,
        words: scan.words(),
        serial: scan.serial().map(str::to_owned),
        lot: scan.lot().map(str::to_owned),
        made: scan.made(signed.today(&app)),
        shared: scan.shared,
        elements: scan.elements,
        item: found.item,
        several: found.several,
        model: found.model,
        job: found.job,
    }))
}

/// What stands in a photo.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct PhotoCodeJson {
    /// What its code says, separators as GS; `null` if no code was found in it, or several, of which nobody knows which is
    /// meant.
    code: Option<String>,
    /// How many codes were found in it, each text once; 9 stands for as many or more.
    codes: usize,
}

/// Read the code in a photo
///
/// The body is the photo, as JPEG, PNG or WebP, of at most 20 MiB, with a QR code or a Data Matrix in it. Nothing is kept
/// of it. What the code leads to says `/api/v1/scan`.
#[utoipa::path(post, path = "/api/v1/scan/photo", tag = "tags",
    request_body(content = Vec<u8>, content_type = "application/octet-stream"), responses(
    (status = 200, body = PhotoCodeJson), (status = 413, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_scan_photo(
    signed: Signed,
    body: Result<Bytes, BytesRejection>,
) -> Result<Json<PhotoCodeJson>, Problem> {
    let bytes = body.map_err(|_| Problem::TooLarge {
        limit: LARGEST_UPLOAD,
        given: None,
    })?;
    let mut found = deed::tag::read_photo(&signed.actor, bytes).await?;
    let codes = found.len();
    let code = found.pop().filter(|_| codes == 1);
    Ok(Json(PhotoCodeJson { code, codes }))
}

/// The tags on an item.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct TagsJson {
    /// In the order in which they were put on.
    tags: Vec<Tag>,
}

/// Tags on an item
#[utoipa::path(get, path = "/api/v1/items/{id}/tags", tag = "tags", params(("id" = Uuid, Path)), responses(
    (status = 200, body = TagsJson), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_tags(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ItemId>,
) -> Result<Json<TagsJson>, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    tx.item(id).await?.ok_or(Problem::NotFound("item"))?;
    Ok(Json(TagsJson {
        tags: tx.tags(id).await?,
    }))
}

/// Put a code on an item
///
/// A code is on one item of the team, however it is written. One that many pieces have is refused.
#[utoipa::path(post, path = "/api/v1/items/{id}/tags", tag = "tags",
    params(("id" = Uuid, Path), ("id" = Option<Uuid>, Query)), request_body = TagDraft,
    responses((status = 201, body = Tag), (status = 404, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_put_tag(
    State(app): State<App>,
    signed: Signed,
    Path(item): Path<ItemId>,
    Query(given): Query<FormId>,
    JsonBody(draft): JsonBody<TagDraft>,
) -> Result<Response, Problem> {
    let ids = (TagId(given.id()), item);
    let tag = deed::tag::put(&app.desk, &signed.actor, ids, &draft).await?;
    Ok(created("1", tag))
}

/// Give an item a code of our own
///
/// The code is short, and its last character checks the others. `/t/CODE` leads to the item.
#[utoipa::path(post, path = "/api/v1/items/{id}/tags/own", tag = "tags",
    params(("id" = Uuid, Path), ("id" = Option<Uuid>, Query)),
    responses((status = 201, body = Tag), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_make_tag(
    State(app): State<App>,
    signed: Signed,
    Path(item): Path<ItemId>,
    Query(given): Query<FormId>,
) -> Result<Response, Problem> {
    let id = TagId(given.id());
    let tag = deed::tag::make_own(&app.desk, &signed.actor, id, item).await?;
    Ok(created("1", tag))
}

/// Take a code off an item
#[utoipa::path(post, path = "/api/v1/items/{id}/tags/{tag}/off", tag = "tags",
    params(("id" = Uuid, Path), ("tag" = Uuid, Path)), request_body = TagRemovalDraft,
    responses((status = 200, body = Tag), (status = 404, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_remove_tag(
    State(app): State<App>,
    signed: Signed,
    Path((item, tag)): Path<(ItemId, TagId)>,
    JsonBody(draft): JsonBody<TagRemovalDraft>,
) -> Result<Json<Tag>, Problem> {
    Ok(Json(
        deed::tag::remove(&app.desk, &signed.actor, item, tag, &draft).await?,
    ))
}
