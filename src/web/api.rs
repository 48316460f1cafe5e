//! What all of the API has in common: its description, made from the code; the marks of records; the
//! shape of a problem.

use std::sync::Arc;

use axum::{
    Json,
    http::{HeaderValue, header},
    response::{IntoResponse, Response},
};
use serde::Serialize;
use utoipa::{
    Modify, OpenApi, ToSchema,
    openapi::{
        OpenApi as Description,
        security::{HttpAuthScheme, HttpBuilder, SecurityRequirement, SecurityScheme},
    },
};

use super::{Path, Problem, person, team};
use crate::domain::{FieldError, Refusal};

/// The description of the API. A new `api_…` handler is named here; a test compares it with the table.
#[derive(OpenApi)]
#[openapi(
    info(
        title = "Ropeloft",
        description = "Rope-rescue gear: the register, jobs and their kit, whether it is strong enough, and the history. \
            Errors are `application/problem+json` (RFC 9457). A POST may carry an `Idempotency-Key`: sent twice, it is \
            done once. Results are arithmetic on what people entered and approve no rig."
    ),
    paths(
        person::api::api_me,
        person::api::api_list,
        person::api::api_show,
        person::api::api_create,
        person::api::api_revise,
        team::api_show,
        team::api_revise,
    ),
    components(schemas(ProblemJson)),
    modifiers(&Bearer),
    tags((name = "people", description = "Who may sign in, and what they may do"))
)]
struct Api;

/// Says that a token is shown as a bearer.
struct Bearer;

impl Modify for Bearer {
    fn modify(&self, description: &mut Description) {
        let scheme = HttpBuilder::new().scheme(HttpAuthScheme::Bearer).build();
        description
            .components
            .get_or_insert_default()
            .add_security_scheme("token", SecurityScheme::Http(scheme));
        let empty: [&str; 0] = [];
        description.security = Some(vec![SecurityRequirement::new("token", empty)]);
    }
}

/// The description of the whole API, as `OpenAPI` 3.1 writes it.
pub fn description() -> Description {
    Api::openapi()
}

/// The description.
pub(super) async fn show() -> Json<Description> {
    Json(description())
}

/// What the viewer needs beyond our own pages: it sets styles itself and holds small images in its text.
const VIEWER_CONTENT: &str = "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; \
     img-src 'self' data:; connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/// The viewer's front page.
pub(super) async fn viewer() -> Result<Response, Problem> {
    viewer_file(Path("index.html".to_owned())).await
}

/// A file of the viewer, which is built into the program and asks nobody else.
pub(super) async fn viewer_file(Path(path): Path<String>) -> Result<Response, Problem> {
    let config = utoipa_swagger_ui::Config::from("/api/v1/openapi.json")
        .use_base_layout()
        .validator_url("none");
    let file = utoipa_swagger_ui::serve(&path, Arc::new(config))
        .map_err(|error| Problem::internal(error.to_string()))?
        .ok_or(Problem::NotFound("file"))?;
    Ok((
        [
            (header::CONTENT_TYPE, file.content_type.as_str()),
            (header::CONTENT_SECURITY_POLICY, VIEWER_CONTENT),
        ],
        file.bytes.into_owned(),
    )
        .into_response())
}

/// A body with the mark of the record it shows, for `If-Match` on the way back.
pub(super) fn tagged<T: Serialize>(mark: &str, body: T) -> Response {
    let mut response = Json(body).into_response();
    if let Ok(tag) = HeaderValue::from_str(&format!("\"{mark}\"")) {
        response.headers_mut().insert(header::ETAG, tag);
    }
    response
}

/// What could not be done and why, as RFC 9457 describes; our own members stand after `instance`.
#[derive(Serialize, ToSchema)]
pub(super) struct ProblemJson<'a> {
    /// The kind of problem; stable.
    pub r#type: String,
    /// The kind in a few words.
    pub title: &'a str,
    /// The status of the answer.
    pub status: u16,
    /// What is wrong and what to do.
    pub detail: String,
    /// The address that was asked.
    pub instance: &'a str,
    /// Every field that does not hold.
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    #[schema(value_type = Vec<FieldErrorJson>, required = false)]
    pub fields: &'a [FieldError],
    /// Every reason why an item may not go on a job.
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    #[schema(value_type = Vec<RefusalJson>, required = false)]
    pub refusals: &'a [Refusal],
    /// The number under which the server's log has the rest.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub incident: Option<&'a str>,
}

/// One field that does not hold.
#[derive(ToSchema)]
#[expect(
    dead_code,
    reason = "only described; what is sent is the domain's own type"
)]
struct FieldErrorJson {
    /// The field; parts of lists as `ratings[0].value`.
    field: String,
    /// A stable word: required, number, range, taken, choice, date, long, unit.
    code: String,
    /// A sentence that says what is wrong and what to do.
    message: String,
}

/// One reason why an item may not go on a job.
#[derive(ToSchema)]
#[expect(
    dead_code,
    reason = "only described; what is sent is the domain's own type"
)]
struct RefusalJson {
    /// A stable word.
    code: String,
    /// What is wrong and what would mend it.
    sentence: String,
    /// The rule that refuses, with its source.
    rule: serde_json::Value,
    /// What was looked at.
    evidence: String,
}
