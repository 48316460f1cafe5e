//! A post that is sent twice with one `Idempotency-Key` is done once, and answered alike.
//!
//! The answer is kept after the deed, in a transaction of its own; between the two, a second sender
//! can slip in. That is why records have ids that the client makes: the second then finds its id taken.

use axum::{
    body::{Body, to_bytes},
    extract::Request,
    http::{HeaderName, HeaderValue, Method, StatusCode, header},
    middleware::Next,
    response::{IntoResponse, Response},
};
use sha2::{Digest, Sha256};

use super::{App, Problem, Signed, route::Limits};
use crate::{
    domain::{FieldErrors, Hash},
    store::{Posted, StoreError},
};

const HEADER: HeaderName = HeaderName::from_static("idempotency-key");
/// The longest answer that is kept.
const LONGEST_ANSWER: usize = 4 * 1024 * 1024;

/// On an answer that holds what is shown once and kept nowhere, so that it is not kept here either.
#[derive(Clone, Copy)]
pub(super) struct ShownOnce;

/// Runs the request, or gives the answer that was given before.
pub(super) async fn once(
    app: &App,
    signed: Option<&Signed>,
    limits: Limits,
    request: Request,
    next: Next,
) -> Result<Response, Problem> {
    let is_post = request.method() == Method::POST && request.uri().path().starts_with("/api/");
    let (Some(key), Some(signed), true) = (request.headers().get(HEADER), signed, is_post) else {
        return Ok(next.run(request).await);
    };
    // A key belongs to the person, so that nobody is given another's answer.
    let key = format!("{} {}", signed.actor.person, readable(key)?);
    let (parts, body) = request.into_parts();
    let Ok(body) = to_bytes(body, limits.body).await else {
        return Err(Problem::TooLarge {
            limit: limits.body,
            given: None,
        });
    };
    let mut hash = Sha256::new();
    hash.update(parts.uri.to_string());
    hash.update([0]);
    hash.update(&body);
    let asked: Hash = hash.finalize().into();
    if let Some(before) = app
        .desk
        .database
        .read(signed.actor.team)
        .await?
        .posted(&key)
        .await?
    {
        return again(before, &asked);
    }
    let response = next.run(Request::from_parts(parts, Body::from(body))).await;
    let shown_once = response.extensions().get::<ShownOnce>().is_some();
    if shown_once || !response.status().is_success() {
        return Ok(response);
    }
    let (parts, body) = response.into_parts();
    let body = to_bytes(body, LONGEST_ANSWER)
        .await
        .map_err(Problem::internal)?;
    let posted = Posted {
        request_hash: asked,
        status: parts.status.as_u16(),
        body: String::from_utf8_lossy(&body).into_owned(),
        posted_at: app.desk.clock.now(),
    };
    // What was asked is done, and is told as done; without its answer kept, a repeat finds the ids taken.
    if let Err(error) = keep(app, signed, &key, &posted).await {
        tracing::warn!(error = %error, "Could not keep the answer to a key");
    }
    Ok(Response::from_parts(parts, Body::from(body)))
}

async fn keep(app: &App, signed: &Signed, key: &str, posted: &Posted) -> Result<(), StoreError> {
    let mut tx = app.desk.database.write(signed.actor.team).await?;
    match tx.keep_posted(key, posted).await {
        Ok(()) => tx.commit().await,
        // Somebody with the same key was quicker; what they were told holds as well.
        Err(StoreError::Taken) => Ok(()),
        Err(other) => Err(other),
    }
}

fn readable(key: &HeaderValue) -> Result<&str, Problem> {
    key.to_str()
        .ok()
        .map(str::trim)
        .filter(|key| (1..=200).contains(&key.len()))
        .ok_or_else(|| {
            Problem::Invalid(FieldErrors::one(
                "Idempotency-Key",
                "range",
                "Write a key of 1 to 200 plain characters, such as a new UUID.",
            ))
        })
}

fn again(before: Posted, asked: &Hash) -> Result<Response, Problem> {
    if before.request_hash != *asked {
        return Err(Problem::Invalid(FieldErrors::one(
            "Idempotency-Key",
            "taken",
            "Another request was sent with this key. Make a new key for each new wish.",
        )));
    }
    let status = StatusCode::from_u16(before.status).map_err(Problem::internal)?;
    Ok((
        status,
        [
            (header::CONTENT_TYPE, "application/json"),
            (HeaderName::from_static("idempotent-replayed"), "true"),
        ],
        before.body,
    )
        .into_response())
}
