//! Photos and documents, for programs.

use axum::{
    Json,
    body::Bytes,
    extract::{FromRequest, Request, State},
    http::{HeaderMap, header},
    response::{IntoResponse, Response},
};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::{ProblemJson, created};
use crate::{
    deed::attachment::{self, Sent},
    domain::{Attachment, AttachmentId, FieldErrors, LARGEST_UPLOAD, OfferDraft},
    web::{
        App, JsonBody, Path, Problem, Query, Signed,
        attachment::{AskedBearer, send},
    },
};

/// What is on a record.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct AttachmentsJson {
    /// In the order in which they were put there; those that were withdrawn say why.
    attachments: Vec<Attachment>,
}

/// Photos and documents on a record
///
/// Name one of `item`, `model`, `examination` and `event`. Each examination and each event of an item has its own.
#[utoipa::path(get, path = "/api/v1/attachments", tag = "attachments",
    params(("item" = Option<Uuid>, Query), ("model" = Option<Uuid>, Query), ("examination" = Option<Uuid>, Query), ("event" = Option<Uuid>, Query)),
    responses((status = 200, body = AttachmentsJson), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_attachments(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<AskedBearer>,
) -> Result<Json<AttachmentsJson>, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let borne = attachment::bearer(&mut tx, asked.bearer()?).await?;
    Ok(Json(AttachmentsJson {
        attachments: tx.attachments(borne.to).await?,
    }))
}

/// A photo or a document
#[utoipa::path(get, path = "/api/v1/attachments/{id}", tag = "attachments", params(("id" = Uuid, Path)),
    responses((status = 200, body = Attachment), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_attachment(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<AttachmentId>,
) -> Result<Json<Attachment>, Problem> {
    let (found, _) = attachment::show(&app.desk, &signed.actor, id).await?;
    Ok(Json(found))
}

/// The bytes of a photo, of its small one, or of a document
///
/// `sha256` is that of `file` or of `thumbnail`. What is sent is held against it first.
#[utoipa::path(get, path = "/api/v1/attachments/{id}/files/{sha256}", tag = "attachments",
    params(("id" = Uuid, Path), ("sha256" = String, Path)),
    responses((status = 200, content_type = "application/octet-stream", body = Vec<u8>), (status = 304), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_attachment_file(
    State(app): State<App>,
    signed: Signed,
    Path((id, hash)): Path<(AttachmentId, String)>,
    headers: HeaderMap,
) -> Result<Response, Problem> {
    send((&app, &signed), (id, &hash), &headers).await
}

/// What belongs to a file that is sent.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct AskedFile {
    caption: String,
    name: String,
}

/// The kinds of content that are taken.
const TAKEN: [&str; 4] = ["image/jpeg", "image/png", "image/webp", PDF];
const PDF: &str = "application/pdf";

/// Put a photo or a document on a record
///
/// The body is the file: a photo as JPEG, PNG or WebP, a document as PDF, and `Content-Type` says which; at most 20 MiB.
/// Name one of `item`, `model`, `examination` and `event`. `id` is made by whoever sends; sent twice it is there once. A
/// photo is turned upright, made no larger than 2048 pixels and written anew without whatever else was in the file, so
/// its hash is not that of what was sent. A document is kept byte for byte. With `If-None-Match: *` it is put there only
/// where nothing has this id yet; else the answer is 412.
#[utoipa::path(put, path = "/api/v1/attachments/{id}", tag = "attachments",
    params(("id" = Uuid, Path), ("item" = Option<Uuid>, Query), ("model" = Option<Uuid>, Query), ("examination" = Option<Uuid>, Query),
        ("event" = Option<Uuid>, Query), ("caption" = String, Query), ("name" = Option<String>, Query), ("If-None-Match" = Option<String>, Header)),
    request_body(content = Vec<u8>, content_type = "application/octet-stream"),
    responses((status = 201, body = Attachment), (status = 200, body = Attachment), (status = 404, body = ProblemJson),
        (status = 412, body = ProblemJson), (status = 413, body = ProblemJson), (status = 415, body = ProblemJson), (status = 422, body = ProblemJson), (status = 503, body = ProblemJson)))]
pub(in crate::web) async fn api_attach(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<AttachmentId>,
    Query(asked): Query<AskedBearer>,
    Query(file): Query<AskedFile>,
    request: Request,
) -> Result<Response, Problem> {
    let bearer = asked.bearer()?;
    let headers = request.headers().clone();
    let only_new = only_new(&headers)?;
    if only_new && attachment::is_there(&app.desk, &signed.actor, id).await? {
        return Err(Problem::There);
    }
    let body = Bytes::from_request(request, &app).await;
    let bytes = body.map_err(|_| Problem::TooLarge {
        limit: LARGEST_UPLOAD,
        given: None,
    })?;
    kind_holds(&headers, &bytes)?;
    let sent = Sent {
        name: file.name,
        bytes,
    };
    let of = (id, bearer);
    let done = attachment::attach(&app.desk, &signed.actor, of, &file.caption, vec![sent]).await?;
    match (done.new.into_iter().next(), done.there.into_iter().next()) {
        (Some(new), _) => Ok(created(new.file.sha256.clone(), new)),
        (None, _) if only_new => Err(Problem::There),
        (None, there) => Ok(Json(there).into_response()),
    }
}

/// Whether it is to be put there only where nothing is yet: `If-None-Match: *` (RFC 9110, section 13.1.2).
fn only_new(headers: &HeaderMap) -> Result<bool, Problem> {
    match headers.get(header::IF_NONE_MATCH) {
        None => Ok(false),
        Some(value) if value.as_bytes().trim_ascii() == b"*" => Ok(true),
        Some(_) => Err(Problem::Unreadable(
            "If-None-Match must be * here: the file is put there only where nothing is yet."
                .to_owned(),
        )),
    }
}

/// Whether the request says what its bytes are.
fn kind_holds(headers: &HeaderMap, bytes: &[u8]) -> Result<(), Problem> {
    let kind = headers.get(header::CONTENT_TYPE);
    let kind = kind
        .and_then(|value| value.to_str().ok())
        .unwrap_or_default();
    let kind = kind.split(';').next().unwrap_or_default().trim();
    if !TAKEN.contains(&kind) {
        return Err(Problem::WrongKind(format!(
            "Send the file itself, with one of these as Content-Type: {}.",
            TAKEN.join(", ")
        )));
    }
    if (kind == PDF) == bytes.starts_with(b"%PDF-") {
        return Ok(());
    }
    let words = format!("The request says {kind}, and its bytes are something else.");
    Err(FieldErrors::one("Content-Type", "choice", words).into())
}

/// Withdraw a photo or a document
///
/// It is shown no more. Its bytes are kept, and its hash stays in the ledger.
#[utoipa::path(post, path = "/api/v1/attachments/{id}/withdraw", tag = "attachments", params(("id" = Uuid, Path)),
    request_body = OfferDraft,
    responses((status = 200, body = Attachment), (status = 404, body = ProblemJson), (status = 409, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_withdraw_attachment(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<AttachmentId>,
    JsonBody(draft): JsonBody<OfferDraft>,
) -> Result<Json<Attachment>, Problem> {
    let done = attachment::withdraw(&app.desk, &signed.actor, id, &draft).await?;
    Ok(Json(done))
}
