//! Models, for programs.

use axum::{Json, extract::State, response::Response};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::{
    deed::{self, model::Revised},
    domain::{Kind, Model, ModelDraft, ModelId, ModelKindDraft},
    store::ModelFilter,
    web::{
        App, IfMatch, JsonBody, Path, Problem, Query, Signed,
        api::{PageJson, ProblemJson, created, tagged},
        listed::{FormId, ROWS, cursor},
    },
};

/// What stands behind the question mark of the models.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct AskedModels {
    q: String,
    kind: String,
    after: String,
}

/// List models
#[utoipa::path(get, path = "/api/v1/models", tag = "register", params(("q" = Option<String>, Query),
    ("kind" = Option<String>, Query), ("after" = Option<String>, Query)), responses((status = 200, body = PageJson<Model>)))]
pub(in crate::web) async fn api_models(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<AskedModels>,
) -> Result<Json<PageJson<Model>>, Problem> {
    let filter = ModelFilter {
        search: asked.q.chars().take(200).collect(),
        kind: Kind::from_word(&asked.kind),
    };
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let page = tx
        .models(&filter, cursor(&asked.after)?.as_ref(), ROWS)
        .await?;
    Ok(Json(page.into()))
}

async fn model(app: &App, signed: &Signed, id: ModelId) -> Result<Model, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    tx.model(id).await?.ok_or(Problem::NotFound("model"))
}

/// One model
#[utoipa::path(get, path = "/api/v1/models/{id}", tag = "register", params(("id" = Uuid, Path)), responses(
    (status = 200, body = Model, headers(("ETag" = String))), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_model(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ModelId>,
) -> Result<Response, Problem> {
    let model = model(&app, &signed, id).await?;
    Ok(tagged(model.revision, model))
}

/// Add a model
#[utoipa::path(post, path = "/api/v1/models", tag = "register", params(("id" = Option<Uuid>, Query)), request_body = ModelDraft,
    responses((status = 201, body = Model, headers(("ETag" = String))), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_add_model(
    State(app): State<App>,
    signed: Signed,
    Query(given): Query<FormId>,
    JsonBody(draft): JsonBody<ModelDraft>,
) -> Result<Response, Problem> {
    let model = deed::model::add(&app.desk, &signed.actor, ModelId(given.id()), &draft).await?;
    Ok(created(model.revision, model))
}

/// A model as it was changed, and what followed.
#[derive(Serialize, ToSchema)]
struct RevisedModelJson {
    #[serde(flatten)]
    model: Model,
    /// The marks of its items that went to quarantine: what was measured of them last is beyond what the maker allows now.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    beyond: Vec<String>,
}

/// Change a model
///
/// What is in service and was measured beyond a limit that the model has now goes to quarantine; `beyond` has the marks.
#[utoipa::path(put, path = "/api/v1/models/{id}", tag = "register", params(("id" = Uuid, Path), ("If-Match" = String, Header)),
    request_body = ModelDraft, responses((status = 200, body = RevisedModelJson, headers(("ETag" = String))),
    (status = 404, body = ProblemJson), (status = 412, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_revise_model(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ModelId>,
    seen: IfMatch,
    JsonBody(draft): JsonBody<ModelDraft>,
) -> Result<Response, Problem> {
    let (desk, actor) = (&app.desk, &signed.actor);
    let Revised { model, beyond } =
        deed::model::revise(desk, actor, id, seen.version()?, &draft).await?;
    Ok(tagged(model.revision, RevisedModelJson { model, beyond }))
}

/// Change the kind of a model
///
/// All its items change with it, in one entry with the reason; their examinations and events stay. What the new kind has no
/// place for stands in the model's note. Refused while an item of it is on the kit list of a planned job.
#[utoipa::path(post, path = "/api/v1/models/{id}/kind", tag = "register", params(("id" = Uuid, Path), ("If-Match" = String, Header)),
    request_body = ModelKindDraft, responses((status = 200, body = Model, headers(("ETag" = String))),
    (status = 404, body = ProblemJson), (status = 412, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_change_kind(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ModelId>,
    seen: IfMatch,
    JsonBody(draft): JsonBody<ModelKindDraft>,
) -> Result<Response, Problem> {
    let (desk, actor) = (&app.desk, &signed.actor);
    let model = deed::model_kind::change(desk, actor, id, seen.version()?, &draft).await?;
    Ok(tagged(model.revision, model))
}
