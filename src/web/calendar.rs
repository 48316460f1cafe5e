//! Calendars: one's own private addresses, and what stands behind one.

use axum::{
    extract::State,
    http::header,
    response::{IntoResponse, Response},
};

use super::{App, Done, Page, Path, Problem, Signed};
use crate::{
    deed::{self, DeedError},
    domain::{CalendarId, FieldErrors},
    view::calendar::{CalendarRow, Calendars},
};

async fn list(
    app: &App,
    signed: &Signed,
    wrong: &FieldErrors,
    secret: Option<String>,
) -> Result<Calendars, Problem> {
    let calendars = deed::calendar::list(&app.desk, &signed.actor).await?;
    let rows = calendars.iter();
    let rows = rows.map(|one| CalendarRow {
        id: one.id.to_string(),
        made: signed.zone.words(one.created_at),
        revoked: one.revoked_at.map(|at| signed.zone.words(at)),
    });
    // Where the server was not told its address, the reader puts it in front.
    let address = app.config.public_url.as_deref().unwrap_or_default();
    Ok(Calendars::new(
        signed.shell("Calendars"),
        rows.collect(),
        wrong,
        secret.map(|secret| format!("{address}/calendar/{secret}.ics")),
    ))
}

/// One's calendars.
pub(super) async fn page_list(
    State(app): State<App>,
    signed: Signed,
) -> Result<Page<Calendars>, Problem> {
    let fine = FieldErrors::default();
    Ok(Page(list(&app, &signed, &fine, None).await?))
}

/// Makes an address and shows it, once.
pub(super) async fn page_create(
    State(app): State<App>,
    signed: Signed,
) -> Result<Response, Problem> {
    match deed::calendar::make(&app.desk, &signed.actor).await {
        Ok(secret) => {
            let fine = FieldErrors::default();
            let view = list(&app, &signed, &fine, Some(secret)).await?;
            // No redirect: the secret must stand in no address of ours, cookie or cache.
            Ok(([(header::CACHE_CONTROL, "no-store")], Page(view)).into_response())
        }
        Err(DeedError::Invalid(wrong)) => Ok(Page::wrong(list(&app, &signed, &wrong, None).await?)),
        Err(other) => Err(other.into()),
    }
}

/// Revokes an address.
pub(super) async fn page_revoke(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<CalendarId>,
) -> Result<Response, Problem> {
    deed::calendar::revoke(&app.desk, &signed.actor, id).await?;
    Ok(Done::to("/settings/calendars")
        .saying("The address is revoked.")
        .into_response())
}

/// The calendar behind a private address. Whoever has the address may read it.
pub(super) async fn file_show(
    State(app): State<App>,
    Path(file): Path<String>,
) -> Result<Response, Problem> {
    let secret = file.strip_suffix(".ics").unwrap_or(&file);
    let bytes = deed::calendar::feed(&app.desk, secret).await?;
    let headers = [
        (header::CONTENT_TYPE, "text/calendar; charset=utf-8"),
        (header::CACHE_CONTROL, "private, no-store"),
    ];
    Ok((headers, bytes).into_response())
}
