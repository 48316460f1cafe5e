//! Files that are taken away, sent while they are written.

use std::error::Error;

use axum::{
    body::Body,
    http::header,
    response::{IntoResponse, Response},
};
use futures::TryStreamExt;

use super::{App, Problem, Signed};
use crate::deed::export::{self, Order};

/// The file as an answer. What fails after its beginning breaks the answer off, so that nobody takes a part of it for
/// the whole.
pub(super) async fn answer(app: &App, signed: &Signed, order: Order) -> Result<Response, Problem> {
    let form = order.form;
    let begun = export::begin(&app.desk, &signed.actor, order).await?;
    let (word, today) = (begun.word, signed.today(app));
    let name = format!("ropeloft-{word}-{today}.{}", form.ending());
    let chunks = begun.chunks.inspect_err(|error| {
        tracing::error!(error = error as &dyn Error, "A file broke off");
    });
    let headers = [
        (header::CONTENT_TYPE, form.media_type().to_owned()),
        (
            header::CONTENT_DISPOSITION,
            format!("attachment; filename=\"{name}\""),
        ),
    ];
    Ok((headers, Body::from_stream(chunks)).into_response())
}
