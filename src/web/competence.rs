//! Who is competent to examine what: pages, and the same for programs.

use axum::{
    Json,
    extract::State,
    response::{IntoResponse, Response},
};
use serde::Serialize;
use utoipa::ToSchema;

use super::{
    App, Done, Form, JsonBody, Page, Path, Problem, Query, Signed,
    api::{ProblemJson, tagged},
    listed::FormId,
    page::answer,
    typed::Typed,
};
use crate::{
    deed::qualification::{self, AddressDraft, EndDraft},
    domain::{
        Competence, Deed, FieldErrors, Holder, Qualification, QualificationDraft, QualificationId,
    },
    view::{
        Section,
        competence::{CompetentPeople, ShowQualification},
    },
};

fn may_keep(signed: &Signed) -> bool {
    signed.actor.role.may(Deed::KeepPeople)
}

async fn people(
    (app, signed): (&App, &Signed),
    id: QualificationId,
    draft: &QualificationDraft,
    wrong: &FieldErrors,
) -> Result<CompetentPeople, Problem> {
    let competence = qualification::list(&app.desk, &signed.actor).await?;
    let shell = signed.shell_in(Section::People, "Competent people");
    let of = (&competence, signed.today(app));
    let action = format!("/competence?id={id}");
    Ok(CompetentPeople::new(
        shell,
        of,
        may_keep(signed),
        action,
        (draft, wrong),
    ))
}

/// Everybody who is or was competent.
pub(super) async fn page_list(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<Asked>,
) -> Result<Page<CompetentPeople>, Problem> {
    let draft = QualificationDraft {
        person: asked.person,
        ..QualificationDraft::default()
    };
    let nothing = FieldErrors::default();
    let id = QualificationId::new();
    people((&app, &signed), id, &draft, &nothing)
        .await
        .map(Page)
}

/// Whom the form is opened for.
#[derive(Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct Asked {
    person: String,
}

/// Records a qualification.
pub(super) async fn page_create(
    State(app): State<App>,
    signed: Signed,
    Query(given): Query<FormId>,
    typed: Typed,
) -> Result<Response, Problem> {
    let draft: QualificationDraft = typed.draft()?;
    let id = QualificationId(given.id());
    let done = qualification::record(&app.desk, &signed.actor, id, &draft).await;
    answer(
        done,
        |_| Done::to("/competence").saying("Recorded."),
        async |wrong| people((&app, &signed), id, &draft, &wrong).await,
    )
    .await
}

fn one(competence: &Competence, id: QualificationId) -> Result<&Qualification, Problem> {
    let mut all = competence.qualifications.iter();
    all.find(|one| one.id == id)
        .ok_or(Problem::NotFound("qualification"))
}

async fn shown(
    (app, signed): (&App, &Signed),
    id: QualificationId,
    (draft, address): (&EndDraft, Option<&AddressDraft>),
    wrong: &FieldErrors,
) -> Result<ShowQualification, Problem> {
    let competence = qualification::list(&app.desk, &signed.actor).await?;
    let one = one(&competence, id)?;
    let title = format!("Qualification of {}", competence.name_of(one));
    let shell = signed.shell_in(Section::People, title);
    let of = (one, &competence, signed.today(app));
    let address = address.map_or(&one.address, |typed| &typed.address);
    let typed = (draft.on.as_str(), draft.reason.as_str(), address.as_str());
    Ok(ShowQualification::new(
        shell,
        of,
        may_keep(signed),
        typed,
        wrong,
    ))
}

/// One qualification.
pub(super) async fn page_show(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<QualificationId>,
) -> Result<Page<ShowQualification>, Problem> {
    let (draft, nothing) = (EndDraft::default(), FieldErrors::default());
    shown((&app, &signed), id, (&draft, None), &nothing)
        .await
        .map(Page)
}

/// Ends a qualification.
pub(super) async fn page_end(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<QualificationId>,
    Form(draft): Form<EndDraft>,
) -> Result<Response, Problem> {
    let done = qualification::end(&app.desk, &signed.actor, id, &draft).await;
    answer(
        done,
        |_| Done::to(format!("/competence/{id}")).saying("Ended."),
        async |wrong| shown((&app, &signed), id, (&draft, None), &wrong).await,
    )
    .await
}

/// Writes down the address of whoever holds a qualification.
pub(super) async fn page_address(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<QualificationId>,
    Form(draft): Form<AddressDraft>,
) -> Result<Response, Problem> {
    let done = qualification::address(&app.desk, &signed.actor, id, &draft).await;
    let end = EndDraft::default();
    answer(
        done,
        |_| Done::to(format!("/competence/{id}")).saying("The address is on record."),
        async |wrong| shown((&app, &signed), id, (&end, Some(&draft)), &wrong).await,
    )
    .await
}

/// Every qualification.
#[derive(Serialize, ToSchema)]
pub(super) struct QualificationsJson {
    /// In the order in which they were recorded, those that are over among them.
    qualifications: Vec<QualificationJson>,
}

/// A qualification with the name of whoever holds it.
#[derive(Serialize, ToSchema)]
pub(super) struct QualificationJson {
    /// The name that stands under an examination.
    name: String,
    /// The body or firm of somebody from outside.
    body: Option<String>,
    /// The last day on which it holds, ended or not; `null` is until it is ended.
    last_day: Option<String>,
    /// The record.
    record: Qualification,
}

fn json(one: &Qualification, competence: &Competence) -> QualificationJson {
    QualificationJson {
        name: competence.name_of(one).to_owned(),
        body: match &one.holder {
            Holder::Outside { body, .. } => Some(body.clone()),
            Holder::Person(_) => None,
        },
        last_day: one.last_day().map(crate::domain::date::write_day),
        record: one.clone(),
    }
}

/// Competent people
#[utoipa::path(get, path = "/api/v1/qualifications", tag = "people", responses((status = 200, body = QualificationsJson)))]
pub(super) async fn api_list(
    State(app): State<App>,
    signed: Signed,
) -> Result<Json<QualificationsJson>, Problem> {
    let competence = qualification::list(&app.desk, &signed.actor).await?;
    let all = competence.qualifications.iter();
    Ok(Json(QualificationsJson {
        qualifications: all.map(|one| json(one, &competence)).collect(),
    }))
}

/// Record a qualification
///
/// `person` is the id of a person of the team; somebody from outside has `name` and `body` instead. `kinds` are keys
/// with commas between; empty is every kind. `address` is what reports of thorough examinations name: several lines of
/// together at most 500 characters, removed with the name where somebody's name is removed.
#[utoipa::path(post, path = "/api/v1/qualifications", tag = "people", params(("id" = Option<Uuid>, Query)),
    request_body = QualificationDraft, responses((status = 201, body = Qualification), (status = 422, body = ProblemJson)))]
pub(super) async fn api_record(
    State(app): State<App>,
    signed: Signed,
    Query(given): Query<FormId>,
    JsonBody(draft): JsonBody<QualificationDraft>,
) -> Result<Response, Problem> {
    let id = QualificationId(given.id());
    let made = qualification::record(&app.desk, &signed.actor, id, &draft).await?;
    Ok((axum::http::StatusCode::CREATED, tagged("1", made)).into_response())
}

/// End a qualification
#[utoipa::path(post, path = "/api/v1/qualifications/{id}/end", tag = "people", params(("id" = Uuid, Path)),
    request_body = EndDraft, responses((status = 200, body = Qualification), (status = 404, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(super) async fn api_end(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<QualificationId>,
    JsonBody(draft): JsonBody<EndDraft>,
) -> Result<Response, Problem> {
    let ended = qualification::end(&app.desk, &signed.actor, id, &draft).await?;
    Ok(tagged("2", ended))
}

/// Write down the address of whoever holds a qualification
///
/// Reports of thorough examinations that were done by it name this address from then on, those of before among them. It is
/// removed with the name, where somebody's name is removed.
#[utoipa::path(put, path = "/api/v1/qualifications/{id}/address", tag = "people", params(("id" = Uuid, Path)),
    request_body = AddressDraft, responses((status = 200, body = Qualification), (status = 404, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(super) async fn api_address(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<QualificationId>,
    JsonBody(draft): JsonBody<AddressDraft>,
) -> Result<Json<Qualification>, Problem> {
    let one = qualification::address(&app.desk, &signed.actor, id, &draft).await?;
    Ok(Json(one))
}
