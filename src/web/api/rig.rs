//! Rigs for programs: those that come with the program, the team's own, and what a sheet comes to.

use std::borrow::Cow;

use axum::{Json, extract::State, response::Response};
use serde::{Deserialize, Serialize};
use serde_json::Value;
use utoipa::ToSchema;

use super::{ProblemJson, created, tagged};
use crate::{
    deed,
    domain::{OfferDraft, OwnRig, OwnRigDraft, RigId, fault_fields, read_rig},
    rigging::{Outline, Rig, Sheet, shipped},
    web::{
        App, IfMatch, JsonBody, Path, Problem, Query, Signed,
        listed::FormId,
        rig::{Asked, Own, found},
    },
};

/// A rig of the team's own, in short.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct OwnJson {
    #[schema(value_type = Uuid)]
    id: RigId,
    /// The version; a job that is planned with it names `key@revision`.
    revision: u32,
    key: String,
    title: String,
    /// What is new in this version, and why.
    note: String,
    /// Whether it is not offered any more.
    withdrawn: bool,
}

impl OwnJson {
    fn new(rig: &OwnRig, withdrawn: bool) -> Self {
        Self {
            id: rig.id,
            revision: rig.revision,
            key: rig.key.clone(),
            title: rig.title.clone(),
            note: rig.note.clone(),
            withdrawn,
        }
    }
}

/// Every rig.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct RigsJson {
    /// Those that come with the program, each as its sheet says.
    #[schema(value_type = Vec<Object>)]
    rigs: &'static [Rig],
    /// The team's own in their newest version.
    own: Vec<OwnJson>,
}

/// One rig.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct RigJson {
    /// As its sheet says, names turned into places in its lists.
    #[serde(flatten)]
    #[schema(value_type = Object)]
    rig: Cow<'static, Rig>,
    /// Its sheet, as /schemas/rig.json describes it.
    #[schema(value_type = Object)]
    sheet: Sheet,
    /// Strands, advantage, the pull in each part of rope without friction, what each position needs.
    #[schema(value_type = Object)]
    outline: Outline,
    /// What is known of it beside, if it is the team's own.
    own: Option<OwnJson>,
}

impl RigJson {
    fn new(rig: Cow<'static, Rig>, own: Option<OwnJson>) -> Result<Self, Problem> {
        Ok(Self {
            sheet: rig.sheet(),
            outline: rig.outline().map_err(Problem::internal)?,
            rig,
            own,
        })
    }

    fn of(own: &OwnRig, withdrawn: bool) -> Result<Self, Problem> {
        let rig = own.rig().map_err(Problem::internal)?;
        Self::new(Cow::Owned(rig), Some(OwnJson::new(own, withdrawn)))
    }
}

/// A rig that is sent.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(in crate::web) struct RigBody {
    /// The sheet: an object as /schemas/rig.json describes it, or a text of TOML.
    #[schema(value_type = Object)]
    sheet: Value,
    /// What is new, and why. May be left out.
    #[serde(default)]
    note: String,
}

impl RigBody {
    fn draft(self) -> OwnRigDraft {
        let sheet = match self.sheet {
            Value::String(text) => text,
            other => other.to_string(),
        };
        OwnRigDraft {
            sheet,
            note: self.note,
        }
    }
}

/// Rigs
#[utoipa::path(get, path = "/api/v1/rigs", tag = "rigs", responses((status = 200, body = RigsJson)))]
pub(in crate::web) async fn api_rigs(
    State(app): State<App>,
    signed: Signed,
) -> Result<Json<RigsJson>, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let own = tx.rigs().await?;
    let own = own
        .iter()
        .map(|kept| OwnJson::new(&kept.rig, kept.withdrawn));
    Ok(Json(RigsJson {
        rigs: shipped(),
        own: own.collect(),
    }))
}

/// One rig
///
/// By its key; `version` asks for an older one of the team's own. Its mark is the version.
#[utoipa::path(get, path = "/api/v1/rigs/{key}", tag = "rigs",
    params(("key" = String, Path), ("version" = Option<u32>, Query)), responses(
    (status = 200, body = RigJson, headers(("ETag" = String))), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_rig(
    State(app): State<App>,
    signed: Signed,
    Path(key): Path<String>,
    Query(asked): Query<Asked>,
) -> Result<Response, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let (rig, own) = found(&mut tx, &key, &asked).await?;
    let own = own.map(|Own { kept, shown }| OwnJson::new(&shown, kept.withdrawn));
    let mark = own.as_ref().map_or(0, |own| own.revision);
    Ok(tagged(mark, RigJson::new(rig, own)?))
}

/// Add a rig of the team's own
///
/// Its key must be none of a rig that comes with the program. Every fault of the sheet is a field:
/// `rope[0][path][2][position]`.
#[utoipa::path(post, path = "/api/v1/rigs", tag = "rigs", params(("id" = Option<Uuid>, Query)), request_body = RigBody,
    responses((status = 201, body = RigJson, headers(("ETag" = String))), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_add_rig(
    State(app): State<App>,
    signed: Signed,
    Query(given): Query<FormId>,
    JsonBody(body): JsonBody<RigBody>,
) -> Result<Response, Problem> {
    let id = RigId(given.id());
    let rig = deed::rig::add(&app.desk, &signed.actor, id, &body.draft()).await?;
    Ok(created(rig.revision, RigJson::of(&rig, false)?))
}

/// Write the next version of a rig
///
/// Jobs that were planned with an older version keep it.
#[utoipa::path(put, path = "/api/v1/rigs/{key}", tag = "rigs", params(("key" = String, Path), ("If-Match" = String, Header)),
    request_body = RigBody, responses((status = 200, body = RigJson, headers(("ETag" = String))),
    (status = 404, body = ProblemJson), (status = 409, body = ProblemJson), (status = 412, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_revise_rig(
    State(app): State<App>,
    signed: Signed,
    Path(key): Path<String>,
    seen: IfMatch,
    JsonBody(body): JsonBody<RigBody>,
) -> Result<Response, Problem> {
    let now = own(&app, &signed, &key).await?;
    let (desk, actor) = (&app.desk, &signed.actor);
    let rig = deed::rig::revise(desk, actor, now.id, seen.version()?, &body.draft()).await?;
    Ok(tagged(rig.revision, RigJson::of(&rig, false)?))
}

async fn own(app: &App, signed: &Signed, key: &str) -> Result<OwnRig, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let kept = tx.rig_of_key(key).await?;
    Ok(kept.ok_or(Problem::NotFound("rig"))?.rig)
}

/// Withdraw a rig of the team's own
///
/// It is not offered any more; jobs that were planned with it keep it.
#[utoipa::path(post, path = "/api/v1/rigs/{key}/withdraw", tag = "rigs", params(("key" = String, Path)),
    request_body = OfferDraft, responses((status = 200, body = RigJson), (status = 404, body = ProblemJson),
    (status = 409, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_withdraw_rig(
    State(app): State<App>,
    signed: Signed,
    Path(key): Path<String>,
    JsonBody(draft): JsonBody<OfferDraft>,
) -> Result<Response, Problem> {
    let now = own(&app, &signed, &key).await?;
    let rig = deed::rig::withdraw(&app.desk, &signed.actor, now.id, &draft).await?;
    Ok(tagged(rig.revision, RigJson::of(&rig, true)?))
}

/// Take a rig up again that was withdrawn
#[utoipa::path(post, path = "/api/v1/rigs/{key}/take-up", tag = "rigs", params(("key" = String, Path)),
    request_body = OfferDraft, responses((status = 200, body = RigJson), (status = 404, body = ProblemJson),
    (status = 409, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_take_up_rig(
    State(app): State<App>,
    signed: Signed,
    Path(key): Path<String>,
    JsonBody(draft): JsonBody<OfferDraft>,
) -> Result<Response, Problem> {
    let now = own(&app, &signed, &key).await?;
    let rig = deed::rig::take_up(&app.desk, &signed.actor, now.id, &draft).await?;
    Ok(tagged(rig.revision, RigJson::of(&rig, false)?))
}

/// What a sheet comes to
///
/// Nothing is stored. A sheet that is no rig is answered with 422 and every fault as a field.
#[utoipa::path(post, path = "/api/v1/rigs/preview", tag = "rigs", request_body = RigBody,
    responses((status = 200, body = RigJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_look_at_rig(
    _: Signed,
    JsonBody(body): JsonBody<RigBody>,
) -> Result<Json<RigJson>, Problem> {
    let draft = body.draft();
    let file = read_rig(draft.sheet.as_bytes());
    let file = file.map_err(|faults| Problem::Invalid(fault_fields(&faults)))?;
    Ok(Json(RigJson::new(Cow::Owned(file.rig), None)?))
}
