//! The lists that examinations are done by, for programs.

use axum::{Json, extract::State, response::Response};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::{ProblemJson, created, revision, tagged};
use crate::{
    deed,
    domain::{Checklist, CriterionDraft, ListEdition, TeamChecklist},
    web::{App, IfMatch, JsonBody, Path, Problem, Query, Signed},
};

/// Every list.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct ChecklistsJson {
    /// The newest of each kind, with the team's own criteria.
    checklists: Vec<Checklist>,
}

/// Checklists
#[utoipa::path(get, path = "/api/v1/checklists", tag = "checklists", responses((status = 200, body = ChecklistsJson)))]
pub(in crate::web) async fn api_checklists(
    State(app): State<App>,
    signed: Signed,
) -> Result<Json<ChecklistsJson>, Problem> {
    let all = deed::checklist::all(&app.desk, &signed.actor).await?;
    Ok(Json(ChecklistsJson {
        checklists: all.into_iter().map(|shown| shown.list).collect(),
    }))
}

/// Which edition is asked for.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct AskedEdition {
    edition: String,
}

/// One checklist
///
/// The newest of a kind, or the edition that an examination names in its `checklist`, such as `rope@1+2`. The `ETag`
/// is the edition of the team's own criteria.
#[utoipa::path(get, path = "/api/v1/checklists/{kind}", tag = "checklists",
    params(("kind" = String, Path), ("edition" = Option<String>, Query)), responses(
    (status = 200, body = Checklist, headers(("ETag" = String))), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_checklist(
    State(app): State<App>,
    signed: Signed,
    Path(kind): Path<String>,
    Query(asked): Query<AskedEdition>,
) -> Result<Response, Problem> {
    let kind = deed::checklist::kind(&app.desk, &signed.actor, &kind).await?;
    if asked.edition.is_empty() {
        let shown = deed::checklist::show(&app.desk, &signed.actor, kind).await?;
        return Ok(tagged(&shown.revision().to_string(), shown.list));
    }
    let edition: ListEdition = asked.edition.parse().map_err(Problem::Unreadable)?;
    if edition.kind != kind {
        return Err(Problem::NotFound("list"));
    }
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let list = deed::checklist::of_edition(&mut tx, edition).await?;
    Ok(tagged(&edition.own.to_string(), list))
}

async fn seen(
    app: &App,
    signed: &Signed,
    kind: crate::domain::Kind,
    seen: Option<String>,
) -> Result<u32, Problem> {
    let shown = deed::checklist::show(&app.desk, &signed.actor, kind).await?;
    revision(seen, shown.revision())
}

/// Add a criterion of the team's own
///
/// Makes a further edition. Examinations that were recorded keep theirs.
#[utoipa::path(post, path = "/api/v1/checklists/{kind}/criteria", tag = "checklists",
    params(("kind" = String, Path), ("If-Match" = String, Header)), request_body = CriterionDraft,
    responses((status = 201, body = TeamChecklist, headers(("ETag" = String))), (status = 412, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_add_criterion(
    State(app): State<App>,
    signed: Signed,
    Path(kind): Path<String>,
    IfMatch(given): IfMatch,
    JsonBody(draft): JsonBody<CriterionDraft>,
) -> Result<Response, Problem> {
    let kind = deed::checklist::kind(&app.desk, &signed.actor, &kind).await?;
    let of = (kind, seen(&app, &signed, kind, given).await?);
    let own = deed::checklist::add(&app.desk, &signed.actor, of, &draft).await?;
    Ok(created(&own.revision.to_string(), own))
}

/// Take a criterion of the team's own back
#[utoipa::path(delete, path = "/api/v1/checklists/{kind}/criteria/{key}", tag = "checklists",
    params(("kind" = String, Path), ("key" = String, Path), ("If-Match" = String, Header)),
    responses((status = 200, body = TeamChecklist, headers(("ETag" = String))), (status = 404, body = ProblemJson), (status = 412, body = ProblemJson)))]
pub(in crate::web) async fn api_take_criterion_back(
    State(app): State<App>,
    signed: Signed,
    Path((kind, key)): Path<(String, String)>,
    IfMatch(given): IfMatch,
) -> Result<Response, Problem> {
    let kind = deed::checklist::kind(&app.desk, &signed.actor, &kind).await?;
    let of = (kind, seen(&app, &signed, kind, given).await?);
    let own = deed::checklist::take_back(&app.desk, &signed.actor, of, &key).await?;
    Ok(tagged(&own.revision.to_string(), own))
}
