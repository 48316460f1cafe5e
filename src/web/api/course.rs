//! What was measured of an item over time, for programs.

use axum::{Json, extract::State};
use serde::Serialize;
use utoipa::ToSchema;

use super::ProblemJson;
use crate::{
    deed,
    domain::{Course, ItemId},
    web::{App, Path, Problem, Signed},
};

/// What was measured of an item.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct CoursesJson {
    /// A course for each criterion that was measured, its readings the oldest first.
    courses: Vec<Course>,
    /// Whether there are older examinations than the 500 that were looked at.
    is_cut_off: bool,
}

/// What was measured of an item
///
/// Every value as entered, examination by examination, with the limit that it was held against on that day. A piece of a
/// rope has what was measured of the rope before it was cut, but for its length. Nothing is extrapolated.
#[utoipa::path(get, path = "/api/v1/items/{id}/measurements", tag = "trends", params(("id" = Uuid, Path)), responses(
    (status = 200, body = CoursesJson), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_courses(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ItemId>,
) -> Result<Json<CoursesJson>, Problem> {
    let found = deed::course::of_item(&app.desk, &signed.actor, id).await?;
    Ok(Json(CoursesJson {
        courses: found.courses,
        is_cut_off: found.is_cut_off,
    }))
}
