//! A name goes out of the records.

use axum::{Json, extract::State, response::Response};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::{
    App, Done, Form, JsonBody, Page, Problem, Query, Signed, api::ProblemJson, page::answer,
};
use crate::{
    deed::{name, person},
    domain::{FieldErrors, NameRemovalDraft, PersonId},
    view::{
        Section, form,
        name::{RemoveName, Removed},
    },
};

/// What stands behind the question mark.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct AskedName {
    person: Option<PersonId>,
}

/// The form.
pub(super) async fn page_show(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<AskedName>,
) -> Result<Page<RemoveName>, Problem> {
    let draft = NameRemovalDraft {
        person: asked.person.map_or_else(String::new, |id| id.to_string()),
        ..NameRemovalDraft::default()
    };
    let nothing = FieldErrors::default();
    shown(&app, &signed, draft, &nothing).await.map(Page)
}

async fn shown(
    app: &App,
    signed: &Signed,
    draft: NameRemovalDraft,
    wrong: &FieldErrors,
) -> Result<RemoveName, Problem> {
    let who = match draft.person.parse() {
        Ok(id) => Some(
            person::show(&app.desk, &signed.actor, PersonId(id))
                .await?
                .name,
        ),
        Err(_) => None,
    };
    let removed = name::removed(&app.desk, &signed.actor).await?;
    Ok(RemoveName {
        removed: removed.into_iter().map(Removed::from).collect(),
        shell: signed.shell_in(Section::People, "Remove a name"),
        form: form::Form::new(wrong),
        draft,
        who,
    })
}

/// Removes a name.
pub(super) async fn page_remove(
    State(app): State<App>,
    signed: Signed,
    Form(draft): Form<NameRemovalDraft>,
) -> Result<Response, Problem> {
    let done = name::remove(&app.desk, &signed.actor, &draft).await;
    answer(
        done,
        |removal| {
            let instead = removal.instead().join(", ");
            let stays = removal.stays_in();
            let stays = stays.map_or_else(String::new, |stays| format!(" But {stays}: see below."));
            Done::to("/people/names").saying(format!(
                "The name was removed from the records. In its place stands: {instead}.{stays}"
            ))
        },
        async |wrong| shown(&app, &signed, draft, &wrong).await,
    )
    .await
}

/// A name that was removed.
#[derive(Serialize, ToSchema)]
pub(super) struct NameRemovalJson {
    /// The seals that stand in the ledger's entries, in hexadecimal.
    seals: Vec<String>,
    /// What records show in the place of each.
    instead: Vec<String>,
    /// The entries in which somebody typed the name, where it still stands: the first 200 of them.
    typed_in: Vec<u64>,
}

/// Remove a name from the records
///
/// On lawful request. Every hash of the ledger stays what it was.
#[utoipa::path(post, path = "/api/v1/name-removals", tag = "people", request_body = NameRemovalDraft, responses(
    (status = 200, body = NameRemovalJson),
    (status = 404, body = ProblemJson),
    (status = 422, body = ProblemJson),
))]
pub(super) async fn api_remove(
    State(app): State<App>,
    signed: Signed,
    JsonBody(draft): JsonBody<NameRemovalDraft>,
) -> Result<Json<NameRemovalJson>, Problem> {
    let removal = name::remove(&app.desk, &signed.actor, &draft).await?;
    Ok(Json(NameRemovalJson {
        instead: removal.instead(),
        seals: removal.seals,
        typed_in: removal.typed_in,
    }))
}
