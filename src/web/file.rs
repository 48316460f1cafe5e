//! Files that are taken away, sent while they are written.

use std::error::Error;

use axum::{
    body::Body,
    http::header,
    response::{IntoResponse, Response},
};
use futures::TryStreamExt;

use super::{App, Problem, Signed};
use crate::deed::export::{self, Wanted};

/// The file as an answer. What fails after its beginning breaks the answer off, so that nobody takes a part of it for
/// the whole.
pub(super) async fn answer(
    app: &App,
    signed: &Signed,
    wanted: Wanted,
) -> Result<Response, Problem> {
    let name = format!("ropeloft-{}-{}.csv", wanted.word(), signed.today(app));
    let chunks = export::begin(&app.desk, &signed.actor, wanted).await?;
    let chunks = chunks.inspect_err(|error| {
        tracing::error!(error = error as &dyn Error, "A file broke off");
    });
    Ok(whole(&name, Body::from_stream(chunks)))
}

/// A CSV file of this name.
pub(super) fn whole(name: &str, bytes: impl IntoResponse) -> Response {
    let headers = [
        (
            header::CONTENT_TYPE,
            "text/csv; charset=utf-8; header=present".to_owned(),
        ),
        (
            header::CONTENT_DISPOSITION,
            format!("attachment; filename=\"{name}\""),
        ),
    ];
    (headers, bytes).into_response()
}
