//! The people of a team, for programs.

use axum::{Json, extract::State, http::StatusCode, response::IntoResponse};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use uuid::Uuid;

use crate::{
    deed::person::{self, PersonRevision},
    domain::{Person, PersonDraft, PersonId},
    web::{App, IfMatch, JsonBody, Path, Problem, Signed, api::ProblemJson, api::tagged},
};

/// A person of the team.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct PersonJson {
    id: Uuid,
    /// As it stands in the history.
    name: String,
    /// Unique on the server, lower case.
    sign_in: String,
    /// officer, crew, auditor or admin.
    role: &'static str,
    /// Whether the person may sign in.
    active: bool,
}

impl From<&Person> for PersonJson {
    fn from(person: &Person) -> Self {
        Self {
            id: person.id.0,
            name: person.name.clone(),
            sign_in: person.sign_in.clone(),
            role: person.role.key(),
            active: person.active,
        }
    }
}

/// A new person.
#[derive(Deserialize, ToSchema)]
pub(in crate::web) struct NewPersonJson {
    name: String,
    sign_in: String,
    /// officer, crew, auditor or admin.
    role: String,
    /// The first password, 12 to 200 characters.
    password: String,
}

/// A person as they are to be from now on.
#[derive(Deserialize, ToSchema)]
pub(in crate::web) struct PersonRevisionJson {
    name: String,
    /// officer, crew, auditor or admin.
    role: String,
    active: bool,
}

/// All people of a team.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct PeopleJson {
    people: Vec<PersonJson>,
}

/// Who you are
///
/// The person behind the token or session, in the role in which they act now. An outside auditor has the id of their
/// link and no sign-in name.
#[utoipa::path(get, path = "/api/v1/me", tag = "people", responses(
    (status = 200, body = PersonJson),
    (status = 401, body = ProblemJson),
))]
pub(in crate::web) async fn api_me(signed: Signed) -> Json<PersonJson> {
    let person = signed.person();
    Json(PersonJson {
        id: signed.actor.person.0,
        name: signed.name().to_owned(),
        sign_in: person.map_or_else(String::new, |person| person.sign_in.clone()),
        role: signed.actor.role.key(),
        active: true,
    })
}

/// The people of the team
///
/// Everyone, by name.
#[utoipa::path(get, path = "/api/v1/people", tag = "people", responses(
    (status = 200, body = PeopleJson),
    (status = 401, body = ProblemJson),
    (status = 403, body = ProblemJson),
))]
pub(in crate::web) async fn api_list(
    State(app): State<App>,
    signed: Signed,
) -> Result<Json<PeopleJson>, Problem> {
    let people = person::list(&app.desk, &signed.actor).await?;
    Ok(Json(PeopleJson {
        people: people.iter().map(PersonJson::from).collect(),
    }))
}

/// One person
#[utoipa::path(get, path = "/api/v1/people/{id}", tag = "people", params(("id" = Uuid, Path)), responses(
    (status = 200, body = PersonJson, headers(("ETag" = String))),
    (status = 404, body = ProblemJson),
))]
pub(in crate::web) async fn api_show(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<PersonId>,
) -> Result<impl IntoResponse, Problem> {
    let person = person::show(&app.desk, &signed.actor, id).await?;
    Ok(tagged(person::mark(&person), PersonJson::from(&person)))
}

/// Add a person
#[utoipa::path(post, path = "/api/v1/people", tag = "people", request_body = NewPersonJson, responses(
    (status = 201, body = PersonJson, headers(("ETag" = String))),
    (status = 422, body = ProblemJson),
))]
pub(in crate::web) async fn api_create(
    State(app): State<App>,
    signed: Signed,
    JsonBody(new): JsonBody<NewPersonJson>,
) -> Result<impl IntoResponse, Problem> {
    let draft = PersonDraft {
        name: new.name,
        sign_in: new.sign_in,
        role: new.role,
        password: new.password,
    };
    let id = person::add(&app.desk, &signed.actor, &draft).await?;
    let person = person::show(&app.desk, &signed.actor, id).await?;
    let body = tagged(person::mark(&person), PersonJson::from(&person));
    Ok((StatusCode::CREATED, body))
}

/// Change a person
///
/// Whoever may no longer sign in is signed out everywhere.
#[utoipa::path(put, path = "/api/v1/people/{id}", tag = "people",
    params(("id" = Uuid, Path), ("If-Match" = String, Header, description = "The ETag of the record that is changed")),
    request_body = PersonRevisionJson,
    responses(
        (status = 200, body = PersonJson, headers(("ETag" = String))),
        (status = 404, body = ProblemJson),
        (status = 409, body = ProblemJson),
        (status = 412, body = ProblemJson),
        (status = 422, body = ProblemJson),
    ))]
pub(in crate::web) async fn api_revise(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<PersonId>,
    IfMatch(seen): IfMatch,
    JsonBody(new): JsonBody<PersonRevisionJson>,
) -> Result<impl IntoResponse, Problem> {
    let draft = PersonRevision {
        name: new.name,
        role: new.role,
        active: if new.active { "yes" } else { "" }.to_owned(),
        seen: seen.unwrap_or_default(),
    };
    person::revise(&app.desk, &signed.actor, id, &draft).await?;
    let person = person::show(&app.desk, &signed.actor, id).await?;
    Ok(tagged(person::mark(&person), PersonJson::from(&person)))
}
