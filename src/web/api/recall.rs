//! Who had what a safety notice covers, for programs.

use axum::{Json, extract::State};
use serde::Serialize;
use time::OffsetDateTime;
use utoipa::ToSchema;

use super::{ProblemJson, Shown};
use crate::{
    deed::{
        self,
        recall::{Held, HeldOn},
    },
    domain::{Item, Job, NoticeClosing, NoticeId, NoticeStanding},
    web::{
        App, Path, Problem, Query, Signed,
        listed::{ROWS, cursor},
    },
};

/// A page of what a notice covers, with its jobs.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct HoldersJson {
    /// How many items it covers in all, or covered when it was withdrawn, with those that it was closed for before it was
    /// corrected.
    all: usize,
    /// A page of them, by mark.
    rows: Vec<HeldJson>,
    /// `after` of the next page; `null` on the last.
    next: Option<String>,
}

/// An item with the jobs it was on since it was made.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct HeldJson {
    item: Item,
    /// How the notice was closed for it; `null` where it was not.
    closing: Option<NoticeClosing>,
    /// How it stands for it.
    standing: NoticeStanding,
    jobs: Vec<HeldOnJson>,
}

/// That it was on a job.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct HeldOnJson {
    job: Job,
    /// Who put it on the job.
    put_on_by: String,
    /// When.
    #[serde(with = "time::serde::rfc3339")]
    put_on_at: OffsetDateTime,
    /// Whether it was taken off again.
    taken_off: bool,
}

impl From<HeldOn> for HeldOnJson {
    fn from(on: HeldOn) -> Self {
        Self {
            job: on.job,
            put_on_by: on.by,
            put_on_at: on.at,
            taken_off: on.taken_off,
        }
    }
}

impl From<Held> for HeldJson {
    fn from(held: Held) -> Self {
        Self {
            item: held.of.item,
            closing: held.of.closing,
            standing: held.of.standing,
            jobs: held.on.into_iter().map(HeldOnJson::from).collect(),
        }
    }
}

/// Who had what a notice covers
///
/// Every item that it covers, or covered, with every job it was put on since it was made; the jobs of a rope count for the pieces
/// it was cut into.
#[utoipa::path(get, path = "/api/v1/notices/{id}/holders", tag = "notices", params(("id" = Uuid, Path), ("after" = Option<String>, Query)),
    responses((status = 200, body = HoldersJson), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_holders(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<NoticeId>,
    Query(shown): Query<Shown>,
) -> Result<Json<HoldersJson>, Problem> {
    let from = cursor(&shown.after)?;
    let found = deed::recall::holders(&app.desk, &signed.actor, id, from.as_ref(), ROWS).await?;
    Ok(Json(HoldersJson {
        all: found.all,
        rows: found.page.rows.into_iter().map(HeldJson::from).collect(),
        next: found.page.next.map(|next| next.to_string()),
    }))
}
