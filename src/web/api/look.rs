//! Examinations, events and safety notices, for programs.

use axum::{Json, extract::State, response::Response};
use serde::{Deserialize, Serialize};
use time::OffsetDateTime;
use utoipa::ToSchema;

use super::{PageJson, ProblemJson, Shown, created, tagged};
use crate::{
    deed::{self, notice::CourseStep},
    domain::{
        Event, EventDraft, EventId, Examination, ExaminationDraft, ExaminationId, Item, ItemId,
        ModelId, Notice, NoticeClosing, NoticeDraft, NoticeEdit, NoticeId, NoticeStanding,
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
    /// That a little less was measured than the item's length on record, which stays; `null` else.
    length_left: Option<String>,
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
    let beside = deed::examination::said_beside(desk, actor, &examination).await?;
    Ok(created(
        1,
        ExaminedJson {
            examination,
            waits_for: beside.waits_for,
            length_left: beside.length_left,
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

/// A notice with its course and the items that it covers.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct NoticeSheetJson {
    notice: Notice,
    /// How many items it covers, or covered when it was withdrawn.
    all: usize,
    /// For how many of them it is open.
    open: usize,
    /// How many it was closed for and covers no more.
    let_out: usize,
    /// A page of all these, by mark. What is not known about an item never takes it out.
    covers: Vec<CoveredJson>,
    /// `after` of the next page; `null` on the last.
    next: Option<String>,
    /// The models that it leaves out although their maker or name is spelt much like what it names.
    alike: Vec<AlikeJson>,
    /// That it was opened, each correction, and that it was withdrawn; the first first.
    course: Vec<CourseStepJson>,
}

/// An item that a notice covers or covered.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct CoveredJson {
    item: Item,
    /// How it was dealt with for this item; `null` where it was not.
    closing: Option<NoticeClosing>,
    /// How the notice stands for it.
    standing: NoticeStanding,
    /// Why it counts as covered where its lot or serial does not say so plainly: in other words, several of them, or in part.
    counted_as: Vec<String>,
}

/// A model that a notice leaves out although it may be the same under another spelling.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct AlikeJson {
    model: ModelId,
    maker: String,
    name: String,
    /// How many items it would cover if it were the same.
    items: usize,
}

/// A step of a notice's course.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct CourseStepJson {
    /// `opened`, `corrected` or `withdrawn`.
    what: &'static str,
    /// When it was recorded.
    #[serde(with = "time::serde::rfc3339")]
    at: OffsetDateTime,
    /// The name of who did it.
    by: String,
    /// Why; `null` where it was opened.
    reason: Option<String>,
    /// What a correction changed, field by field.
    changed: Vec<NoticeEdit>,
    /// The number of the entry in the ledger.
    entry: u64,
}

impl From<CourseStep> for CourseStepJson {
    fn from(CourseStep { step, by }: CourseStep) -> Self {
        Self {
            what: step.turn.key(),
            at: step.at,
            by,
            reason: step.turn.reason().map(str::to_owned),
            changed: step.turn.edits().to_vec(),
            entry: step.seq,
        }
    }
}

/// One safety notice
///
/// Of one that was withdrawn the list stays as it was, and what it was closed for stays in it when a correction lets it out.
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
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let course = deed::notice::course(&mut tx, id).await?;
    let alike = deed::notice::alike(&mut tx, &covered.notice).await?;
    let alike = alike.into_iter().map(|(model, items)| AlikeJson {
        model: model.id,
        maker: model.maker,
        name: model.name,
        items,
    });
    let rows = covered.page.rows.into_iter();
    let sheet = NoticeSheetJson {
        all: covered.all,
        open: covered.open,
        let_out: covered.let_out,
        alike: alike.collect(),
        course: course.into_iter().map(CourseStepJson::from).collect(),
        covers: rows
            .map(|one| CoveredJson {
                counted_as: covered.notice.counted_as(&one.item),
                item: one.item,
                closing: one.closing,
                standing: one.standing,
            })
            .collect(),
        next: covered.page.next.map(|next| next.to_string()),
        notice: covered.notice,
    };
    Ok(tagged(sheet.notice.corrected, sheet))
}

/// Open a safety notice
///
/// Every item in service that it covers goes to quarantine. A maker or model that the register does not have is refused with
/// what may be meant, unless `anyway` is `yes`; so are lots and serials where none of them is on record of any of its items,
/// and each that none has and that does not read as one ("newer than A7"). Items without a lot or serial count as covered,
/// and so do those of which any reading is ("A100 or A103") or that cannot be read whole ("A1?0"). Models whose maker or name is spelt
/// much like what is named, and that it leaves out, are asked about with the code `alike`; `anyway`: `yes` opens it all the same.
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

/// A notice that was corrected, and what followed.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct CorrectedJson {
    #[serde(flatten)]
    notice: Notice,
    /// How many items more are in quarantine.
    held: usize,
    /// How many that it covers no more are in quarantine, and stay there.
    left: usize,
    /// For how many items that it was closed for it is open again.
    opened_again: usize,
}

/// Correct a safety notice
///
/// The whole draft replaces what the notice says and covers, with the `reason`. What it covers now and is in service goes to
/// quarantine; nothing returns to service by itself. Where `action` is another, the notice is open again for every item that
/// it was closed for. A draft that changes nothing is refused.
#[utoipa::path(put, path = "/api/v1/notices/{id}", tag = "notices", params(("id" = Uuid, Path), ("If-Match" = String, Header)),
    request_body = NoticeDraft, responses((status = 200, body = CorrectedJson, headers(("ETag" = String))), (status = 404, body = ProblemJson),
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
    let answer = CorrectedJson {
        notice: done.notice,
        held: done.held,
        left: done.left,
        opened_again: done.opened_again,
    };
    Ok(tagged(answer.notice.corrected, answer))
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
