//! Until when a record has to be kept at least, for programs.

use axum::{Json, extract::State};
use serde::Serialize;
use utoipa::ToSchema;

use super::ProblemJson;
use crate::{
    deed::retention::{self, Asked, Keeping},
    domain::{Cited, ExaminationId, ItemId, JobId, date::write_day, retention::Kept},
    web::{App, Path, Problem, Signed},
};

/// A rule that binds a record.
#[derive(Serialize, ToSchema)]
struct KeptJson {
    /// Which paper the rule is on.
    of: String,
    /// The last day; `null` while something has to happen first.
    day: Option<String>,
    /// Until when, in words.
    until: String,
    /// Where the rule is from, and how that is known.
    from: Cited,
}

impl From<Kept> for KeptJson {
    fn from(kept: Kept) -> Self {
        Self {
            of: kept.rule.of,
            day: kept.until.day().map(write_day),
            until: kept.until.words(),
            from: kept.rule.from,
        }
    }
}

/// Until when a record has to be kept at least. Nothing is removed by it: the register keeps everything.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct KeepingJson {
    /// The rulebook.
    rulebook: String,
    /// The rules that bind the record, the longest first; empty where the rulebook says nothing of it.
    kept: Vec<KeptJson>,
}

impl From<Keeping> for KeepingJson {
    fn from(keeping: Keeping) -> Self {
        Self {
            rulebook: keeping.rulebook,
            kept: keeping.kept.into_iter().map(KeptJson::from).collect(),
        }
    }
}

async fn shown(app: &App, signed: &Signed, asked: Asked) -> Result<Json<KeepingJson>, Problem> {
    let keeping = retention::show(&app.desk, &signed.actor, asked).await?;
    Ok(Json(keeping.into()))
}

/// How long what came with an item is kept at least
#[utoipa::path(get, path = "/api/v1/items/{id}/retention", tag = "register", params(("id" = Uuid, Path)), responses(
    (status = 200, body = KeepingJson), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_item_retention(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ItemId>,
) -> Result<Json<KeepingJson>, Problem> {
    shown(&app, &signed, Asked::Item(id)).await
}

/// How long an examination is kept at least
#[utoipa::path(get, path = "/api/v1/examinations/{examination}/retention", tag = "examinations",
    params(("examination" = Uuid, Path)), responses((status = 200, body = KeepingJson), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_examination_retention(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ExaminationId>,
) -> Result<Json<KeepingJson>, Problem> {
    shown(&app, &signed, Asked::Examination(id)).await
}

/// How long what is written for a job is kept at least
#[utoipa::path(get, path = "/api/v1/jobs/{id}/retention", tag = "jobs", params(("id" = Uuid, Path)), responses(
    (status = 200, body = KeepingJson), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_job_retention(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
) -> Result<Json<KeepingJson>, Problem> {
    shown(&app, &signed, Asked::Job(id)).await
}
