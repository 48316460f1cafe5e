//! How the server does, for machines that watch it.

use std::time::Duration;

use axum::{
    extract::State,
    http::{StatusCode, header},
    response::{IntoResponse, Response},
};

use super::App;

/// How long the database may take to answer: who watches does not wait long.
const PATIENCE: Duration = Duration::from_secs(3);

/// Says "ok" if the database answers in time.
pub(super) async fn show(State(app): State<App>) -> Response {
    let answer = async { app.desk.database.door().await?.nobody_yet().await };
    match tokio::time::timeout(PATIENCE, answer).await {
        Ok(Ok(_)) => return (StatusCode::OK, "ok\n").into_response(),
        Ok(Err(error)) => tracing::warn!(error = %error, "The database does not answer"),
        Err(_) => tracing::warn!("The database does not answer in time"),
    }
    (
        StatusCode::SERVICE_UNAVAILABLE,
        [(header::RETRY_AFTER, "5")],
        "the database does not answer\n",
    )
        .into_response()
}

/// The counts of this server.
pub(super) async fn metrics(State(app): State<App>) -> Response {
    (
        [(header::CONTENT_TYPE, "text/plain; version=0.0.4")],
        app.counts.text(),
    )
        .into_response()
}
