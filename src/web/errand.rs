//! What went out by itself and what did not, for administrators.

use std::collections::HashMap;

use axum::{
    extract::State,
    response::{IntoResponse, Response},
};
use serde::Deserialize;
use uuid::Uuid;

use super::{
    App, Done, Page, Path, Problem, Query, Signed,
    listed::{ROWS, cursor, of_list, pager},
};
use crate::{
    deed,
    domain::{Errand, ErrandId, ErrandState},
    store::ErrandFilter,
    view::{
        Section,
        errand::{ErrandList, ErrandRow},
        words,
    },
};

/// What stands behind the question mark.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct Asked {
    state: String,
    after: String,
}

/// Rows of errands, each with the name of whom it is for.
pub(super) async fn rows(
    (app, signed): (&App, &Signed),
    errands: &[Errand],
) -> Result<Vec<ErrandRow>, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let people = tx.people().await?.into_iter();
    let mut names: HashMap<Uuid, String> = people.map(|one| (one.id.0, one.name)).collect();
    let hooks = tx.hooks().await?.into_iter();
    names.extend(hooks.map(|hook| (hook.id.0, hook.address)));
    let rows = errands.iter().map(|errand| {
        let about = names.get(&errand.about);
        let about = about.map_or("a webhook that was removed", String::as_str);
        ErrandRow::new(errand, about, &signed.zone)
    });
    Ok(rows.collect())
}

/// The list.
pub(super) async fn page_list(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<Asked>,
) -> Result<Page<ErrandList>, Problem> {
    let state = match asked.state.trim() {
        "" => None,
        key => Some(ErrandState::from_key(key).ok_or_else(|| {
            let given: String = key.chars().take(40).collect();
            Problem::Unreadable(format!(
                "\"{given}\" is no state. Choose one from the page."
            ))
        })?),
    };
    let filter = ErrandFilter { state, about: None };
    let after = cursor(&asked.after)?;
    let page = deed::errand::list(&app.desk, &signed.actor, filter, after.as_ref(), ROWS).await?;
    let rows = rows((&app, &signed), &page.rows).await?;
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let given_up = tx.errands_given_up().await.map_err(of_list)?;
    let pairs = [("state", asked.state.as_str())];
    let shown = words::count(rows.len(), "line", "lines");
    let pager = pager(
        "/team/outgoing",
        &pairs,
        &asked.after,
        page.next.as_ref(),
        shown,
    );
    let shell = signed.shell_in(Section::People, "What goes out");
    Ok(Page(ErrandList::new(shell, (state, given_up), rows, pager)))
}

/// Has one sent again.
pub(super) async fn page_again(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ErrandId>,
) -> Result<Response, Problem> {
    deed::errand::again(&app.desk, &signed.actor, id).await?;
    Ok(Done::to("/team/outgoing")
        .saying("It is sent again.")
        .into_response())
}
