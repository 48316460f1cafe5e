//! Files that are taken away, sent while they are written.

use std::error::Error;

use axum::{
    body::Body,
    http::header,
    response::{IntoResponse, Response},
};
use futures::TryStreamExt;

use super::{App, Problem, Signed};
use crate::{
    deed::export::{self, Order},
    export::FileForm,
};

/// The file as an answer. What fails after its beginning breaks the answer off, so that nobody takes a part of it for
/// the whole.
pub(super) async fn answer(app: &App, signed: &Signed, order: Order) -> Result<Response, Problem> {
    let (form, word) = (order.form, order.wanted.word());
    let name = format!("ropeloft-{word}-{}.{}", signed.today(app), form.ending());
    let chunks = export::begin(&app.desk, &signed.actor, order).await?;
    let chunks = chunks.inspect_err(|error| {
        tracing::error!(error = error as &dyn Error, "A file broke off");
    });
    Ok(named(form, &name, Body::from_stream(chunks)))
}

/// A CSV file of this name.
pub(super) fn whole(name: &str, bytes: impl IntoResponse) -> Response {
    named(FileForm::Csv, name, bytes)
}

fn named(form: FileForm, name: &str, bytes: impl IntoResponse) -> Response {
    let headers = [
        (header::CONTENT_TYPE, form.media_type().to_owned()),
        (
            header::CONTENT_DISPOSITION,
            format!("attachment; filename=\"{name}\""),
        ),
    ];
    (headers, bytes).into_response()
}
