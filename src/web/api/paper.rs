//! Papers, labels and the calendar, for programs: the same files that the pages offer.

use axum::{extract::State, http::header, response::IntoResponse, response::Response};
use serde::Deserialize;

use super::ProblemJson;
use crate::{
    deed,
    domain::{ExaminationId, ItemId, JobId, LabelDraft, SpanDraft},
    web::{
        App, JsonBody, Path, Problem, Query, Signed,
        job::kit_list,
        paper::{paper_of, pdf},
    },
};

/// On which paper a file is laid out, and for the list of what falls due its days.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct AskedFile {
    from: String,
    to: String,
    paper: String,
}

/// What falls due, to print
///
/// A PDF of the items whose examination falls due in a span of days, both days among them; left out, it is the month
/// from today on.
#[utoipa::path(get, path = "/api/v1/due.pdf", tag = "papers",
    params(("from" = Option<String>, Query), ("to" = Option<String>, Query), ("paper" = Option<String>, Query, description = "`a4` or `letter`")),
    responses((status = 200, content_type = "application/pdf", body = Vec<u8>), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_due_list(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<AskedFile>,
) -> Result<Response, Problem> {
    let paper = paper_of(&signed, &asked.paper);
    let span = SpanDraft {
        from: asked.from,
        to: asked.to,
    };
    let due = deed::paper::due(&app.desk, &signed.actor, &span).await?;
    let bytes = due.file(paper).await?;
    Ok(pdf(&format!("due-{}", signed.today(&app)), bytes))
}

/// The equipment record of an item, to print
#[utoipa::path(get, path = "/api/v1/items/{id}/record.pdf", tag = "papers",
    params(("id" = Uuid, Path), ("paper" = Option<String>, Query, description = "`a4` or `letter`")),
    responses((status = 200, content_type = "application/pdf", body = Vec<u8>), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_record(
    State(app): State<App>,
    signed: Signed,
    Path(item): Path<ItemId>,
    Query(asked): Query<AskedFile>,
) -> Result<Response, Problem> {
    let paper = paper_of(&signed, &asked.paper);
    let bytes = deed::paper::item_record(&app.desk, &signed.actor, item, paper).await?;
    Ok(pdf(&format!("record-{item}"), bytes))
}

/// The report of an examination, to print
#[utoipa::path(get, path = "/api/v1/examinations/{examination}/report.pdf", tag = "papers",
    params(("examination" = Uuid, Path), ("paper" = Option<String>, Query, description = "`a4` or `letter`")),
    responses((status = 200, content_type = "application/pdf", body = Vec<u8>), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_report(
    State(app): State<App>,
    signed: Signed,
    Path(examination): Path<ExaminationId>,
    Query(asked): Query<AskedFile>,
) -> Result<Response, Problem> {
    let paper = paper_of(&signed, &asked.paper);
    let bytes = deed::paper::report(&app.desk, &signed.actor, examination, paper).await?;
    Ok(pdf(&format!("examination-{examination}"), bytes))
}

/// Labels to print
///
/// A PDF with a label an item. An item without a code of Ropeloft's own is given one, which is kept in the history.
/// `holds` is `code` unless the server was told the address under which people reach it.
#[utoipa::path(post, path = "/api/v1/labels", tag = "papers", request_body = LabelDraft,
    responses((status = 200, content_type = "application/pdf", body = Vec<u8>), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_labels(
    State(app): State<App>,
    signed: Signed,
    JsonBody(draft): JsonBody<LabelDraft>,
) -> Result<Response, Problem> {
    let address = app.config.public_url.as_deref();
    let bytes = deed::label::print(&app.desk, &signed.actor, &draft, address).await?;
    Ok(pdf("labels", bytes))
}

/// The calendar of what falls due
///
/// An iCalendar file (RFC 5545) with a day for what falls due on it, up to a good year ahead. A calendar program that
/// cannot show a token is given a private address on the page Calendars instead.
#[utoipa::path(get, path = "/api/v1/calendar.ics", tag = "papers",
    responses((status = 200, content_type = "text/calendar", body = String)))]
pub(in crate::web) async fn api_calendar(
    State(app): State<App>,
    signed: Signed,
) -> Result<Response, Problem> {
    let bytes = deed::calendar::of_team(&app.desk, &signed.actor).await?;
    let headers = [
        (header::CONTENT_TYPE, "text/calendar; charset=utf-8"),
        (header::CACHE_CONTROL, "private, no-store"),
    ];
    Ok((headers, bytes).into_response())
}

/// The kit list of a job, to print
///
/// A PDF by store, with positions, serials, the verdict, the rig and a code that leads to the job. While the kit is
/// issued it is the list as it was frozen.
#[utoipa::path(get, path = "/api/v1/jobs/{id}/kit.pdf", tag = "papers",
    params(("id" = Uuid, Path), ("paper" = Option<String>, Query, description = "`a4` or `letter`")),
    responses((status = 200, content_type = "application/pdf", body = Vec<u8>), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_kit_list(
    State(app): State<App>,
    signed: Signed,
    Path(job): Path<JobId>,
    Query(asked): Query<AskedFile>,
) -> Result<Response, Problem> {
    Box::pin(kit_list(&app, &signed, job, &asked.paper)).await
}
