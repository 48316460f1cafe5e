//! Static files, kept by browsers for as long as they like: the name changes with the content.

use axum::{
    http::header,
    response::{IntoResponse, Response},
};

use super::{Path, Problem};
use crate::view::asset::{asset, plain_name};

/// A static file.
pub(super) async fn show(Path(path): Path<String>) -> Result<Response, Problem> {
    let (name, hash) = plain_name(&path).ok_or(Problem::NotFound("file"))?;
    let file = asset(&name).ok_or(Problem::NotFound("file"))?;
    // While servers are being exchanged, a page of the one may ask the other for its file: it gets
    // what there is, and asks again next time.
    let keep = if file.hash == hash {
        "public, max-age=31536000, immutable"
    } else {
        "no-store"
    };
    let kind = mime_guess::from_path(&name).first_or_octet_stream();
    Ok((
        [
            (header::CONTENT_TYPE, kind.to_string()),
            (header::CACHE_CONTROL, keep.to_owned()),
        ],
        file.bytes,
    )
        .into_response())
}

/// The script that answers for us where there is no line. It stands at one address for ever, high enough to see every
/// page, and browsers ask for it anew each time.
pub(super) async fn worker() -> Result<Response, Problem> {
    let file = asset("worker.js").ok_or(Problem::NotFound("file"))?;
    let kind = [(header::CONTENT_TYPE, "text/javascript")];
    Ok((kind, file.bytes).into_response())
}
