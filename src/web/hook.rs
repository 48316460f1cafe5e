//! Webhooks, for administrators.

use axum::{
    extract::State,
    http::header,
    response::{IntoResponse, Response},
};

use super::{App, Done, Page, Path, Problem, Signed, errand::rows, typed::Typed};
use crate::{
    deed::{self, DeedError},
    domain::{FieldErrors, HookDraft, HookId},
    store::ErrandFilter,
    view::{
        Section,
        hook::{Hooks, ShowHook},
    },
};

/// How many of the last messages a webhook's page shows.
const LAST: u32 = 50;

async fn list(
    (app, signed): (&App, &Signed),
    typed: (&HookDraft, &FieldErrors),
    key: Option<String>,
) -> Result<Hooks, Problem> {
    let hooks = deed::hook::list(&app.desk, &signed.actor).await?;
    let shell = signed.shell_in(Section::People, "Webhooks");
    Ok(Hooks::new(shell, &hooks, typed, key))
}

/// The list.
pub(super) async fn page_list(
    State(app): State<App>,
    signed: Signed,
) -> Result<Page<Hooks>, Problem> {
    let (draft, nothing) = (HookDraft::default(), FieldErrors::default());
    list((&app, &signed), (&draft, &nothing), None)
        .await
        .map(Page)
}

/// Adds a webhook and shows its key, once.
pub(super) async fn page_create(
    State(app): State<App>,
    signed: Signed,
    typed: Typed,
) -> Result<Response, Problem> {
    let draft: HookDraft = typed.draft()?;
    let reach = app.config.outgoing.hooks;
    match deed::hook::add(&app.desk, &signed.actor, &draft, reach).await {
        Ok((_, key)) => {
            let (draft, nothing) = (HookDraft::default(), FieldErrors::default());
            let view = list((&app, &signed), (&draft, &nothing), Some(key)).await?;
            // No redirect: the key must stand in no address, cookie or cache.
            Ok(([(header::CACHE_CONTROL, "no-store")], Page(view)).into_response())
        }
        Err(DeedError::Invalid(wrong)) => {
            let view = list((&app, &signed), (&draft, &wrong), None).await?;
            Ok(Page::wrong(view))
        }
        Err(other) => Err(other.into()),
    }
}

/// One webhook with what went to it.
pub(super) async fn page_show(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<HookId>,
) -> Result<Page<ShowHook>, Problem> {
    let hooks = deed::hook::list(&app.desk, &signed.actor).await?;
    let hook = hooks.iter().find(|hook| hook.id == id);
    let hook = hook.ok_or(Problem::NotFound("webhook"))?;
    let filter = ErrandFilter {
        about: Some(id.0),
        ..ErrandFilter::default()
    };
    let page = deed::errand::list(&app.desk, &signed.actor, filter, None, LAST).await?;
    let rows = rows((&app, &signed), &page.rows).await?;
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let by = tx.person(hook.person).await?;
    let by = by.map_or_else(String::new, |person| person.name);
    let shell = signed.shell_in(Section::People, "Webhook");
    Ok(Page(ShowHook::new(shell, (hook, &by), rows, &signed.zone)))
}

/// Switches a webhook on again.
pub(super) async fn page_switch_on(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<HookId>,
) -> Result<Response, Problem> {
    deed::hook::switch_on(&app.desk, &signed.actor, id).await?;
    Ok(Done::to(format!("/team/webhooks/{id}"))
        .saying("The webhook is on again.")
        .into_response())
}

/// Sends a message that only tries a webhook out.
pub(super) async fn page_try_out(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<HookId>,
) -> Result<Response, Problem> {
    deed::hook::try_out(&app.desk, &signed.actor, id).await?;
    Ok(Done::to(format!("/team/webhooks/{id}"))
        .saying("A trial is on its way. What comes of it stands below; look again in a moment.")
        .into_response())
}

/// Removes a webhook.
pub(super) async fn page_remove(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<HookId>,
) -> Result<Response, Problem> {
    deed::hook::remove(&app.desk, &signed.actor, id).await?;
    Ok(Done::to("/team/webhooks")
        .saying("The webhook is removed.")
        .into_response())
}
