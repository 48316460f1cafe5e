//! Examinations, events and safety notices, for programs.

use axum::{Json, extract::State, response::Response};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::{PageJson, ProblemJson, Shown, created, tagged};
use crate::{
    deed,
    domain::{
        Event, EventDraft, EventId, Examination, ExaminationDraft, ExaminationId, Item, ItemId,
        Notice, NoticeClosing, NoticeDraft, NoticeId,
    },
    web::{
        App, IfMatch, JsonBody, Path, Problem, Query, Signed,
        listed::{FormId, ROWS, cursor},
    },
};

/// The most examinations or events that one answer holds.
const MOST: u32 = 500;

/// Examinations of an item.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct ExaminationsJson {
    /// The newest first; the newest 500. Those of a rope that it was cut from are among them.
    examinations: Vec<Examination>,
}

/// Examinations of an item
#[utoipa::path(get, path = "/api/v1/items/{id}/examinations", tag = "examinations", params(("id" = Uuid, Path)), responses(
    (status = 200, body = ExaminationsJson), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_examinations(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ItemId>,
) -> Result<Json<ExaminationsJson>, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let item = tx.item(id).await?.ok_or(Problem::NotFound("item"))?;
    Ok(Json(ExaminationsJson {
        examinations: tx.examinations_in_line(&item, MOST).await?,
    }))
}

/// An examination that was recorded.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct ExaminedJson {
    #[serde(flatten)]
    examination: Examination,
    /// What the item still waits for, where it was found fit and stays in quarantine; `null` where it waits for nothing.
    waits_for: Option<String>,
}

/// Record an examination
///
/// `kind` is intake, pre-use, periodic, after-use or after-event; `verdict` is fit, quarantine or retire
/// and changes the item's state. An empty `next_due_on` takes the longest that the rules allow.
///
/// Intake, periodic and after-event need an examiner who is competent for the kind on that day. Where one of them ends in
/// fit, every criterion of the kind's checklist is answered, in `answers` by its key or with `rest`: `pass` says that
/// all that is not named passes. What is measured is held against the limits of the model.
///
/// `report` is what the report of a thorough examination tells beside (LOLER 1998 (UK), Schedule 1, items 6 and 8), and all
/// of it may be left out: whether it is the first after installation at a new place, the repair that a defect needs,
/// whether a defect is a danger to persons now or could become one by a day, and the tests that were made. A danger now
/// does not go with `fit`, a day by which one could come is the latest next due day, and no danger goes without a word
/// in the findings or on the repair.
///
/// What is kept on a device and sent later brings `?id=`, so that it is recorded once; in `seen` the `state_since` of the
/// item when it was looked at, so that "fit" is refused where the state changed meanwhile; and in the header
/// `Ropeloft-Person` the id of whoever wrote it, so that nobody else sends it under another name.
#[utoipa::path(post, path = "/api/v1/items/{id}/examinations", tag = "examinations",
    params(("id" = Uuid, Path), ("id" = Option<Uuid>, Query)), request_body = ExaminationDraft,
    responses((status = 201, body = ExaminedJson), (status = 409, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_examine(
    State(app): State<App>,
    signed: Signed,
    Path(item): Path<ItemId>,
    Query(given): Query<FormId>,
    JsonBody(draft): JsonBody<ExaminationDraft>,
) -> Result<Response, Problem> {
    let id = ExaminationId(given.id());
    let (desk, actor) = (&app.desk, &signed.actor);
    let examination = deed::examination::record(desk, actor, item, id, &draft).await?;
    let waits_for = deed::examination::still_waits_for(desk, actor, &examination).await?;
    Ok(created(
        1,
        ExaminedJson {
            examination,
            waits_for,
        },
    ))
}

/// Events of an item.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct EventsJson {
    /// The newest first; the newest 500. Those of a rope that it was cut from are among them.
    events: Vec<Event>,
}

/// Events of an item
#[utoipa::path(get, path = "/api/v1/items/{id}/events", tag = "examinations", params(("id" = Uuid, Path)), responses(
    (status = 200, body = EventsJson), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_events(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ItemId>,
) -> Result<Json<EventsJson>, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let item = tx.item(id).await?.ok_or(Problem::NotFound("item"))?;
    Ok(Json(EventsJson {
        events: tx.events_in_line(&item, MOST).await?,
    }))
}

/// Report an event
///
/// `kind` is fall-held, chemical, drop, struck, heat, overload, lost-sight or water. What follows depends on the kind
/// of gear and stands in the answer: the item is held until an after-event examination, or retired for good.
#[utoipa::path(post, path = "/api/v1/items/{id}/events", tag = "examinations",
    params(("id" = Uuid, Path), ("id" = Option<Uuid>, Query)), request_body = EventDraft,
    responses((status = 201, body = Event), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_report_event(
    State(app): State<App>,
    signed: Signed,
    Path(item): Path<ItemId>,
    Query(given): Query<FormId>,
    JsonBody(draft): JsonBody<EventDraft>,
) -> Result<Response, Problem> {
    let id = EventId(given.id());
    let event = deed::examination::report_event(&app.desk, &signed.actor, item, id, &draft).await?;
    Ok(created(1, event))
}

/// List safety notices
#[utoipa::path(get, path = "/api/v1/notices", tag = "notices", params(("after" = Option<String>, Query)), responses(
    (status = 200, body = PageJson<Notice>)))]
pub(in crate::web) async fn api_notices(
    State(app): State<App>,
    signed: Signed,
    Query(shown): Query<Shown>,
) -> Result<Json<PageJson<Notice>>, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let page = tx.notices(cursor(&shown.after)?.as_ref(), ROWS).await?;
    Ok(Json(page.into()))
}

/// A notice with the items that it covers.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct NoticeSheetJson {
    notice: Notice,
    /// How many items it covers.
    all: usize,
    /// For how many of them it is open.
    open: usize,
    /// A page of them, by mark. What is not known about an item never takes it out.
    covers: Vec<CoveredJson>,
    /// `after` of the next page; `null` on the last.
    next: Option<String>,
}

/// An item that a notice covers.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct CoveredJson {
    item: Item,
    /// How it was dealt with for this item; `null` while it is open.
    closing: Option<NoticeClosing>,
}

/// One safety notice
#[utoipa::path(get, path = "/api/v1/notices/{id}", tag = "notices", params(("id" = Uuid, Path), ("after" = Option<String>, Query)), responses(
    (status = 200, body = NoticeSheetJson, headers(("ETag" = String))), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_notice(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<NoticeId>,
    Query(shown): Query<Shown>,
) -> Result<Response, Problem> {
    let from = cursor(&shown.after)?;
    let covered = deed::notice::covered(&app.desk, &signed.actor, id, from.as_ref(), ROWS).await?;
    let rows = covered.page.rows.into_iter();
    let sheet = NoticeSheetJson {
        all: covered.all,
        open: covered.open,
        covers: rows
            .map(|(item, closing)| CoveredJson { item, closing })
            .collect(),
        next: covered.page.next.map(|next| next.to_string()),
        notice: covered.notice,
    };
    Ok(tagged(sheet.notice.corrected, sheet))
}

/// Open a safety notice
///
/// Every item in service that it covers goes to quarantine. A maker or model that the register does not have is refused with
/// what may be meant, unless `anyway` is `yes`.
#[utoipa::path(post, path = "/api/v1/notices", tag = "notices", params(("id" = Option<Uuid>, Query)), request_body = NoticeDraft,
    responses((status = 201, body = Notice), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_open_notice(
    State(app): State<App>,
    signed: Signed,
    Query(given): Query<FormId>,
    JsonBody(draft): JsonBody<NoticeDraft>,
) -> Result<Response, Problem> {
    let notice = deed::notice::open(&app.desk, &signed.actor, NoticeId(given.id()), &draft).await?;
    Ok(created(notice.corrected, notice))
}

/// Correct a safety notice
///
/// The whole draft replaces what the notice says and covers, with the `reason`. What it covers now and is in service goes to
/// quarantine; nothing returns to service by itself.
#[utoipa::path(put, path = "/api/v1/notices/{id}", tag = "notices", params(("id" = Uuid, Path), ("If-Match" = String, Header)),
    request_body = NoticeDraft, responses((status = 200, body = Notice, headers(("ETag" = String))), (status = 404, body = ProblemJson),
    (status = 409, body = ProblemJson), (status = 412, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_correct_notice(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<NoticeId>,
    seen: IfMatch,
    JsonBody(draft): JsonBody<NoticeDraft>,
) -> Result<Response, Problem> {
    let of = (id, seen.version()?);
    let done = deed::notice::correct(&app.desk, &signed.actor, of, &draft).await?;
    Ok(tagged(done.notice.corrected, done.notice))
}

/// Why a notice is withdrawn.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(in crate::web) struct WithdrawalJson {
    /// Why; it is kept in the history.
    reason: String,
}

/// Withdraw a safety notice
///
/// It covers nothing any more. What it held stays in quarantine until somebody competent returns it.
#[utoipa::path(post, path = "/api/v1/notices/{id}/withdrawal", tag = "notices", params(("id" = Uuid, Path)),
    request_body = WithdrawalJson, responses((status = 201, body = Notice), (status = 404, body = ProblemJson),
    (status = 409, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_withdraw_notice(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<NoticeId>,
    JsonBody(end): JsonBody<WithdrawalJson>,
) -> Result<Response, Problem> {
    let done = deed::notice::withdraw(&app.desk, &signed.actor, id, &end.reason).await?;
    Ok(created(done.0.corrected, done.0))
}

/// How a notice was dealt with for an item.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub(in crate::web) struct ResultJson {
    /// What was found and done.
    result: String,
}

/// Close a safety notice for one item
#[utoipa::path(post, path = "/api/v1/notices/{id}/items/{item}", tag = "notices", params(("id" = Uuid, Path), ("item" = Uuid, Path)),
    request_body = ResultJson, responses((status = 201, body = NoticeClosing), (status = 409, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_close_notice(
    State(app): State<App>,
    signed: Signed,
    Path((notice, item)): Path<(NoticeId, ItemId)>,
    JsonBody(closing): JsonBody<ResultJson>,
) -> Result<Response, Problem> {
    let closing =
        deed::notice::close(&app.desk, &signed.actor, notice, item, &closing.result).await?;
    Ok(created(1, closing))
}
