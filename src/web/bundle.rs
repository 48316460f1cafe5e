//! Bundles of the record to take away, which prove themselves.

use std::error::Error;

use axum::{
    body::Body,
    extract::State,
    http::header,
    response::{IntoResponse, Response},
};
use futures::TryStreamExt;
use serde::Deserialize;

use super::{App, Path, Problem, Query, Signed};
use crate::{
    deed::{
        DeedError,
        bundle::{self, Wanted},
        history::{Narrowing, Of},
    },
    domain::{FieldErrors, ItemId, JobId},
};

/// What stands behind the question mark: the days of a time span, of the team's alone.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(super) struct AskedTime {
    from: String,
    until: String,
}

/// What a program asks for.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(super) struct AskedBundle {
    item: Option<ItemId>,
    job: Option<JobId>,
    from: String,
    until: String,
}

/// The team's record, or what was recorded in a time of it.
pub(super) async fn file_team(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<AskedTime>,
) -> Result<Response, Problem> {
    answer(&app, &signed, Of::Team, asked).await
}

/// The record of one item.
pub(super) async fn file_item(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ItemId>,
) -> Result<Response, Problem> {
    answer(&app, &signed, Of::Item(id), AskedTime::default()).await
}

/// The record of one job.
pub(super) async fn file_job(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
) -> Result<Response, Problem> {
    answer(&app, &signed, Of::Job(id), AskedTime::default()).await
}

/// A bundle that proves itself
///
/// Entries of the ledger with the hashes that lead to a signed checkpoint, a JSON object a line; `ropeloft verify FILE`
/// checks it without a server. Of the whole record, of the days `from` to `until` of it, of one item or of one job.
#[utoipa::path(get, path = "/api/v1/ledger/bundle", tag = "history",
    params(("item" = Option<Uuid>, Query), ("job" = Option<Uuid>, Query), ("from" = Option<String>, Query),
        ("until" = Option<String>, Query)),
    responses(
        (status = 200, description = "The bundle", body = String, content_type = "application/x-ndjson"),
        (status = 404, body = super::api::ProblemJson),
        (status = 409, description = "This server cannot sign for the team", body = super::api::ProblemJson),
        (status = 422, body = super::api::ProblemJson),
    ))]
pub(super) async fn api_bundle(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<AskedBundle>,
) -> Result<Response, Problem> {
    let AskedBundle {
        item,
        job,
        from,
        until,
    } = asked;
    let days = !from.is_empty() || !until.is_empty();
    let of = match (item, job) {
        (None, None) => Of::Team,
        (Some(item), None) if !days => Of::Item(item),
        (None, Some(job)) if !days => Of::Job(job),
        _ => {
            let sentence = "Ask for an item, for a job or for days, one of them at a time.";
            let field = if job.is_some() { "job" } else { "item" };
            return Err(DeedError::from(FieldErrors::one(field, "choice", sentence)).into());
        }
    };
    answer(&app, &signed, of, AskedTime { from, until }).await
}

/// The file as an answer. What fails after its beginning breaks the answer off, and a bundle without its end is no
/// bundle.
async fn answer(app: &App, signed: &Signed, of: Of, asked: AskedTime) -> Result<Response, Problem> {
    let narrowing = Narrowing {
        from: asked.from.trim().to_owned(),
        until: asked.until.trim().to_owned(),
        ..Narrowing::default()
    };
    let filter = narrowing
        .check(Of::Team, &signed.zone)
        .map_err(DeedError::from)?;
    let wanted = Wanted { of, filter };
    let secret = app.signing.as_ref();
    let (word, chunks) = bundle::begin(&app.desk, &signed.actor, secret, wanted).await?;
    let chunks = chunks.inspect_err(|error| {
        tracing::error!(error = error as &dyn Error, "A bundle broke off");
    });
    let name = format!("ropeloft-{word}-{}.bundle", signed.today(app));
    let headers = [
        (header::CONTENT_TYPE, "application/x-ndjson".to_owned()),
        (
            header::CONTENT_DISPOSITION,
            format!("attachment; filename=\"{name}\""),
        ),
    ];
    Ok((headers, Body::from_stream(chunks)).into_response())
}
