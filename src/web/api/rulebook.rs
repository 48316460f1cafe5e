//! Rulebooks, for programs.

use axum::{Json, extract::State, response::Response};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;
use uuid::Uuid;

use super::{ProblemJson, created, tagged};
use crate::{
    deed::{self, rulebook::Found},
    domain::{
        OfferDraft, RulebookId,
        rulebook::{Rulebook, RulebookDraft, TeamRulebook, shipped},
    },
    web::{App, IfMatch, JsonBody, Path, Problem, Query, Signed, listed::FormId, rulebook::newest},
};

/// Every rulebook.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct RulebooksJson {
    /// Those that come with the program: each number with its source and how it is known.
    #[schema(value_type = Vec<Object>)]
    rulebooks: &'static [Rulebook],
    /// The team's own, each in its newest version.
    own: Vec<RulebookJson>,
}

/// A version of a rulebook of the team's own.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct RulebookJson {
    /// The same in every version.
    id: Uuid,
    /// Counts the versions, from 1.
    revision: u32,
    /// What a job names in its `rulebook`: the key with the version.
    reference: String,
    /// Whether it is offered for new jobs no more.
    withdrawn: bool,
    /// What it asks; `looser` says where that is less than what it is based on, and why.
    #[schema(value_type = Object)]
    book: Rulebook,
}

impl RulebookJson {
    fn new(own: TeamRulebook, withdrawn: bool) -> Self {
        Self {
            id: own.id.0,
            revision: own.revision,
            reference: own.edition().to_string(),
            withdrawn,
            book: own.book,
        }
    }
}

/// Rulebooks
#[utoipa::path(get, path = "/api/v1/rulebooks", tag = "rulebooks", responses((status = 200, body = RulebooksJson)))]
pub(in crate::web) async fn api_rulebooks(
    State(app): State<App>,
    signed: Signed,
) -> Result<Json<RulebooksJson>, Problem> {
    let own = deed::rulebook::own(&app.desk, &signed.actor).await?;
    Ok(Json(RulebooksJson {
        rulebooks: shipped(),
        own: own
            .into_iter()
            .map(|kept| RulebookJson::new(kept.rulebook, kept.withdrawn))
            .collect(),
    }))
}

/// One rulebook
///
/// `key` is a key, or the key and version of one of the team's own: `valley` is the newest, `valley@2` its version 2.
#[utoipa::path(get, path = "/api/v1/rulebooks/{key}", tag = "rulebooks", params(("key" = String, Path)), responses(
    (status = 200, body = Object, headers(("ETag" = String))), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_rulebook(
    State(app): State<App>,
    signed: Signed,
    Path(key): Path<String>,
) -> Result<Response, Problem> {
    let found = deed::rulebook::show(&app.desk, &signed.actor, &key).await?;
    let version = match &found {
        Found::Shipped(_) => 1,
        Found::Own(kept, _) => kept.rulebook.revision,
    };
    Ok(tagged(version, found.book().clone()))
}

/// Add a rulebook of the team's own
///
/// `sheet` is a whole sheet; or `based_on`, `key` and `title` with the `numbers` that the team sets otherwise, each by
/// the name of its rule. Where a number asks less than the base, `reasons` must say why; law is never asked less of.
#[utoipa::path(post, path = "/api/v1/rulebooks", tag = "rulebooks", params(("id" = Option<Uuid>, Query)), request_body = RulebookDraft,
    responses((status = 201, body = RulebookJson, headers(("ETag" = String))), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_add_rulebook(
    State(app): State<App>,
    signed: Signed,
    Query(given): Query<FormId>,
    JsonBody(draft): JsonBody<RulebookDraft>,
) -> Result<Response, Problem> {
    let id = RulebookId(given.id());
    let own = deed::rulebook::add(&app.desk, &signed.actor, id, &draft).await?;
    Ok(created(own.revision, RulebookJson::new(own, false)))
}

/// Keep a further version of a rulebook of the team's own
///
/// Jobs that are planned keep the version that they were planned under.
#[utoipa::path(put, path = "/api/v1/rulebooks/{key}", tag = "rulebooks", params(("key" = String, Path), ("If-Match" = String, Header)),
    request_body = RulebookDraft, responses((status = 200, body = RulebookJson, headers(("ETag" = String))), (status = 409, body = ProblemJson),
    (status = 412, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_revise_rulebook(
    State(app): State<App>,
    signed: Signed,
    Path(key): Path<String>,
    seen: IfMatch,
    JsonBody(draft): JsonBody<RulebookDraft>,
) -> Result<Response, Problem> {
    let (desk, actor) = (&app.desk, &signed.actor);
    let id = id_of(&app, &signed, &key).await?;
    let own = deed::rulebook::revise(desk, actor, id, seen.version()?, &draft).await?;
    Ok(tagged(own.revision, RulebookJson::new(own, false)))
}

async fn id_of(app: &App, signed: &Signed, key: &str) -> Result<RulebookId, Problem> {
    Ok(newest(app, signed, key).await?.0.rulebook.id)
}

/// Withdraw a rulebook of the team's own
///
/// No new job may name it; jobs that were planned under it keep it. The one that the team works by stays.
#[utoipa::path(post, path = "/api/v1/rulebooks/{key}/withdraw", tag = "rulebooks", params(("key" = String, Path)),
    request_body = OfferDraft, responses((status = 200, body = RulebookJson), (status = 404, body = ProblemJson),
    (status = 409, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_withdraw_rulebook(
    State(app): State<App>,
    signed: Signed,
    Path(key): Path<String>,
    JsonBody(draft): JsonBody<OfferDraft>,
) -> Result<Response, Problem> {
    let id = id_of(&app, &signed, &key).await?;
    let own = deed::rulebook::withdraw(&app.desk, &signed.actor, id, &draft).await?;
    Ok(tagged(own.revision, RulebookJson::new(own, true)))
}

/// Take a rulebook up again that was withdrawn
#[utoipa::path(post, path = "/api/v1/rulebooks/{key}/take-up", tag = "rulebooks", params(("key" = String, Path)),
    request_body = OfferDraft, responses((status = 200, body = RulebookJson), (status = 404, body = ProblemJson),
    (status = 409, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_take_up_rulebook(
    State(app): State<App>,
    signed: Signed,
    Path(key): Path<String>,
    JsonBody(draft): JsonBody<OfferDraft>,
) -> Result<Response, Problem> {
    let id = id_of(&app, &signed, &key).await?;
    let own = deed::rulebook::take_up(&app.desk, &signed.actor, id, &draft).await?;
    Ok(tagged(own.revision, RulebookJson::new(own, false)))
}

/// A sheet to be checked.
#[derive(Deserialize, ToSchema)]
pub(in crate::web) struct SheetJson {
    /// The whole sheet.
    sheet: String,
}

/// What is wrong with a sheet.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct FaultsJson {
    /// Every fault, in the order of the lines; none if the sheet holds.
    faults: Vec<FaultJson>,
}

/// One fault of a sheet.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct FaultJson {
    /// The line, from 1; `null` where something is missing as a whole.
    line: Option<usize>,
    /// The place, such as `minimum 3, at_least`; lists are counted from 1.
    place: String,
    /// What is wrong and what to do.
    sentence: String,
}

/// Check the sheet of a rulebook
///
/// Nothing is stored. Every fault is named with its line, as far as the sheet parses.
#[utoipa::path(post, path = "/api/v1/rulebooks/check", tag = "rulebooks", request_body = SheetJson,
    responses((status = 200, body = FaultsJson)))]
pub(in crate::web) async fn api_check_rulebook(
    _: Signed,
    JsonBody(sent): JsonBody<SheetJson>,
) -> Json<FaultsJson> {
    let faults = Rulebook::parse_own(&sent.sheet).err();
    let faults = faults.into_iter().flat_map(|error| error.faults);
    Json(FaultsJson {
        faults: faults
            .map(|fault| FaultJson {
                line: fault.line,
                place: fault.place,
                sentence: fault.sentence,
            })
            .collect(),
    })
}
