//! Spares the pages of a job where a device takes them along anew: as long as nothing of the team has changed they are
//! not worked out again.
//!
//! Everything that such a page says follows from the team's ledger, the clock, and who reads it how. The mark of a page
//! (`ETag`) is a hash of these, read with one statement before anything is solved; a device sends it back in
//! `If-None-Match`, and a mark that still holds is answered by 304. Whoever opens a page gets it worked out anew all the
//! same: only what a script asks for is spared.

use std::fmt::Write;

use axum::{
    extract::{Request, State},
    http::{HeaderName, HeaderValue, Method, StatusCode, header},
    middleware::Next,
    response::{IntoResponse, Response},
};
use sha2::{Digest, Sha256};

use super::{App, Problem, Signed, known::Known, route::Route};
use crate::view::asset::asset_url;

/// For how long a page is taken for the same by the clock alone: what is late by minutes only may be said so later.
const SAME_SECONDS: i64 = 15 * 60;
/// How a browser asks; `navigate` is a person who opens the page.
const FETCH_MODE: HeaderName = HeaderName::from_static("sec-fetch-mode");

/// Whether a route is a page of a job that devices take along.
pub(super) fn is_spared(route: &Route) -> bool {
    let files = [".pdf", ".csv"];
    route.method == Method::GET
        && route.path.starts_with("/jobs/{id}")
        && !files.iter().any(|ending| route.path.ends_with(ending))
}

/// Answers 304 where the mark that was sent still holds; else adds the mark to the page.
pub(super) async fn spare(
    State(app): State<App>,
    request: Request,
    next: Next,
) -> Result<Response, Problem> {
    let known = request.extensions().get::<Known>().cloned();
    let known = known.filter(|known| known.flash.is_none());
    let Some(signed) = known.as_ref().and_then(Known::signed) else {
        return Ok(next.run(request).await);
    };
    // A request is not shared between threads, its address is.
    let address = request.uri().to_string();
    let Some(mark) = mark(&app, signed, &address).await? else {
        return Ok(next.run(request).await);
    };
    let headers = request.headers();
    let is_opened = headers
        .get(FETCH_MODE)
        .is_some_and(|mode| mode == "navigate");
    let sent = headers.get(header::IF_NONE_MATCH);
    if !is_opened && sent == Some(&mark) {
        return Ok((StatusCode::NOT_MODIFIED, [(header::ETAG, mark)]).into_response());
    }
    let mut response = next.run(request).await;
    if response.status() == StatusCode::OK {
        response.headers_mut().insert(header::ETAG, mark);
    }
    Ok(response)
}

/// The mark of a page as it would be worked out now; none where there is no ledger.
async fn mark(app: &App, signed: &Signed, address: &str) -> Result<Option<HeaderValue>, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let Some(head) = tx.head().await? else {
        return Ok(None);
    };
    let now = app.desk.clock.now();
    let while_same = now.unix_timestamp().div_euclid(SAME_SECONDS);
    let mut text = String::new();
    // Writing to a string does not fail.
    let _ = write!(
        text,
        "{:?} {} {} {:?} {:?} {:?} {} {} {while_same} {} {}",
        signed.actor.team,
        head.size,
        hex::encode(head.root),
        signed.actor.person,
        signed.actor.role,
        signed.preference,
        signed.session.is_some(),
        signed.today(app),
        address,
        asset_url("app.css"),
    );
    let _ = write!(
        text,
        " {} {}",
        env!("CARGO_PKG_VERSION"),
        asset_url("along.js")
    );
    let hash = hex::encode(Sha256::digest(text.as_bytes()));
    Ok(HeaderValue::from_str(&format!("W/\"{hash}\"")).ok())
}
