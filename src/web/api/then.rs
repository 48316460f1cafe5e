//! What an item, a job or a store was on a day in the past, for programs.

use axum::{Json, extract::State};
use serde::Serialize;
use serde_json::{Map, Value};
use time::Date;
use utoipa::ToSchema;

use super::{ProblemJson, question::row};
use crate::{
    deed::then::{self, Past},
    domain::{ItemId, JobId, StoreId, date::iso},
    web::{
        App, Path, Problem, Query, Signed,
        listed::{ROWS, cursor},
        question::of_deed,
        then::AskedDay,
    },
};

/// What a record was on a day.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct PastJson {
    /// The day.
    #[serde(with = "iso")]
    #[schema(value_type = String, format = Date)]
    on: Date,
    /// What it was, by both clocks, in a sentence.
    answer: String,
    /// Whether both clocks tell the same.
    same: bool,
    /// A row a fact, or of a store a row an item: `then` is as it was known then, by what was recorded up to the end of the
    /// day; `now` is as it is known now, by all that says it was done up to the day; where they differ, `entry` is the
    /// number of the entry that made it so. `null` is what was not known.
    rows: Vec<Map<String, Value>>,
    /// `after` of the next page; `null` on the last.
    next: Option<String>,
}

impl From<Past> for PastJson {
    fn from(past: Past) -> Self {
        Self {
            on: past.on,
            answer: past.answer,
            same: past.is_same,
            rows: past.rows.iter().map(|one| row(past.columns, one)).collect(),
            next: past.next.map(|next| next.to_string()),
        }
    }
}

/// An item as it was on a day
///
/// By two clocks: as it was known then, and as it is known now that it was. Empty `on` is today.
#[utoipa::path(get, path = "/api/v1/items/{id}/then", tag = "history", params(("id" = Uuid, Path), ("on" = Option<String>, Query)),
    responses((status = 200, body = PastJson), (status = 404, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_item_then(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ItemId>,
    Query(asked): Query<AskedDay>,
) -> Result<Json<PastJson>, Problem> {
    let found = Box::pin(then::item(&app.desk, &signed.actor, id, &asked.on));
    let (_, past) = found.await?;
    Ok(Json(past?.into()))
}

/// A job as it was on a day
///
/// As of an item.
#[utoipa::path(get, path = "/api/v1/jobs/{id}/then", tag = "history", params(("id" = Uuid, Path), ("on" = Option<String>, Query)),
    responses((status = 200, body = PastJson), (status = 404, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_job_then(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
    Query(asked): Query<AskedDay>,
) -> Result<Json<PastJson>, Problem> {
    let found = Box::pin(then::job(&app.desk, &signed.actor, id, &asked.on));
    let (_, past) = found.await?;
    Ok(Json(past?.into()))
}

/// What lived in a store on a day
///
/// A row an item that lived there by one of the two clocks. All are counted; rows come a page at a time.
#[utoipa::path(get, path = "/api/v1/stores/{id}/then", tag = "history",
    params(("id" = Uuid, Path), ("on" = Option<String>, Query), ("after" = Option<String>, Query)),
    responses((status = 200, body = PastJson), (status = 404, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_store_then(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<StoreId>,
    Query(asked): Query<AskedDay>,
) -> Result<Json<PastJson>, Problem> {
    let after = cursor(&asked.after)?;
    let found = then::place(
        &app.desk,
        &signed.actor,
        (id, &asked.on),
        after.as_ref(),
        ROWS,
    );
    let (_, past) = Box::pin(found).await.map_err(of_deed)?;
    Ok(Json(past?.into()))
}
