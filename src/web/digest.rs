//! Letters: what one gets by e-mail, and how often.

use axum::{extract::State, response::Response};

use super::{App, Done, Form, Page, Problem, Signed, page::answer};
use crate::{
    deed,
    domain::{DigestDraft, FieldErrors},
    view::digest::{Letters, typed},
};

fn letters(app: &App, signed: &Signed, draft: DigestDraft, wrong: &FieldErrors) -> Letters {
    let can_send = app.config.smtp_url.is_some();
    Letters::new(signed.shell("Letters"), draft, can_send, wrong)
}

/// What one has chosen.
pub(super) async fn page_show(
    State(app): State<App>,
    signed: Signed,
) -> Result<Page<Letters>, Problem> {
    let choice = deed::digest::choice(&app.desk, &signed.actor).await?;
    let nothing = FieldErrors::default();
    Ok(Page(letters(&app, &signed, typed(&choice), &nothing)))
}

/// Keeps what one has chosen.
pub(super) async fn page_save(
    State(app): State<App>,
    signed: Signed,
    Form(draft): Form<DigestDraft>,
) -> Result<Response, Problem> {
    let done = deed::digest::choose(&app.desk, &signed.actor, &draft).await;
    answer(
        done,
        |()| Done::to("/settings/letters").saying("Saved."),
        async |wrong| Ok(letters(&app, &signed, draft, &wrong)),
    )
    .await
}
