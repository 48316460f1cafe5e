//! Tells how the server does: a line in the log and a count for each request, without names,
//! addresses of people, or what was sent.

use std::time::Instant;

use axum::{
    extract::{MatchedPath, Request, State},
    http::{HeaderName, HeaderValue},
    middleware::Next,
    response::Response,
};
use metrics_exporter_prometheus::{PrometheusBuilder, PrometheusHandle, PrometheusRecorder};
use tracing::Instrument;

use super::App;

/// The counts of one server.
pub struct Counts {
    recorder: PrometheusRecorder,
    handle: PrometheusHandle,
}

impl Default for Counts {
    fn default() -> Self {
        let recorder = PrometheusBuilder::new().build_recorder();
        let handle = recorder.handle();
        Self { recorder, handle }
    }
}

impl Counts {
    /// All counts as Prometheus reads them.
    pub fn text(&self) -> String {
        self.handle.run_upkeep();
        self.handle.render()
    }

    fn note(&self, method: String, route: String, status: u16, seconds: f64) {
        metrics::with_local_recorder(&self.recorder, || {
            metrics::counter!(
                "ropeloft_requests_total",
                "method" => method, "route" => route.clone(), "status" => status.to_string()
            )
            .increment(1);
            metrics::histogram!("ropeloft_request_seconds", "route" => route).record(seconds);
        });
    }
}

/// Gives the request a number, notes it in the log, counts it.
pub(super) async fn watch(State(app): State<App>, request: Request, next: Next) -> Response {
    let begun = Instant::now();
    let number = uuid::Uuid::now_v7().simple().to_string();
    let method = match request.method().as_str() {
        known @ ("GET" | "HEAD" | "POST" | "PUT" | "PATCH" | "DELETE" | "OPTIONS") => known,
        _ => "other",
    }
    .to_owned();
    let span = tracing::info_span!("request", request = number);
    let mut response = next.run(request).instrument(span.clone()).await;
    // The route as the table writes it: an address may hold what is nobody's business.
    let route = response
        .extensions()
        .get::<MatchedPath>()
        .map_or("none", MatchedPath::as_str)
        .to_owned();
    let status = response.status().as_u16();
    let elapsed = begun.elapsed();
    span.in_scope(|| {
        tracing::info!(
            method,
            route,
            status,
            milliseconds = elapsed.as_secs_f64() * 1000.0,
            "{method} {route} answered {status}"
        );
    });
    app.counts
        .note(method, route, status, elapsed.as_secs_f64());
    if let Ok(value) = HeaderValue::from_str(&number) {
        response
            .headers_mut()
            .insert(HeaderName::from_static("x-request-id"), value);
    }
    response
}
