//! How the server does, for machines that watch it.

use axum::{
    extract::State,
    http::{StatusCode, header},
    response::{IntoResponse, Response},
};

use super::App;

/// Says "ok" if the database answers.
pub(super) async fn show(State(app): State<App>) -> Response {
    let answer = async { app.desk.database.door().await?.nobody_yet().await };
    match answer.await {
        Ok(_) => (StatusCode::OK, "ok\n").into_response(),
        Err(error) => {
            tracing::warn!(error = %error, "The database does not answer");
            (
                StatusCode::SERVICE_UNAVAILABLE,
                "the database does not answer\n",
            )
                .into_response()
        }
    }
}

/// The counts of this server.
pub(super) async fn metrics(State(app): State<App>) -> Response {
    (
        [(header::CONTENT_TYPE, "text/plain; version=0.0.4")],
        app.counts.text(),
    )
        .into_response()
}
