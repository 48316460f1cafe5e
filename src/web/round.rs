//! Rounds of examinations: pages, and the same for programs.

use axum::{
    Json,
    extract::State,
    http::StatusCode,
    response::{IntoResponse, Response},
};
use serde::Serialize;
use time::Date;
use utoipa::ToSchema;

use super::{
    App, Done, JsonBody, Page, Path, Problem, Query, Signed,
    api::{PageJson, ProblemJson, Shown, tagged},
    item,
    listed::{FormId, ROWS, address, cursor, has_page, pager},
    page::answer,
    paper::{AskedPaper, paper_of, pdf},
    typed::Typed,
};
use crate::{
    deed::{
        self,
        round::{Choosable, Progress},
    },
    domain::{
        Deed, FieldErrors, InRound, ItemId, Model, Round, RoundClosingDraft, RoundDraft, RoundId,
        date::write_day,
    },
    export::paper::lacking,
    view::{
        Section,
        part::Empty,
        round::{NewRound, Offered, RoundList, RoundRow, ShowRound, StopRow},
        words,
    },
};

/// The list of rounds.
pub(super) async fn page_list(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<Shown>,
) -> Result<Page<RoundList>, Problem> {
    let after = cursor(&asked.after)?;
    let page = deed::round::list(&app.desk, &signed.actor, after.as_ref(), ROWS).await?;
    let rows: Vec<RoundRow> = page.rows.iter().map(RoundRow::new).collect();
    let shown = words::count(rows.len(), "round", "rounds");
    let empty = Empty::new(
        "No round of examinations yet.",
        "Choose on the due board what is to be examined; a round is planned from there.",
    );
    Ok(Page(RoundList {
        shell: signed.shell_in(Section::Due, "Rounds of examinations"),
        pager: pager("/rounds", &[], &asked.after, page.next.as_ref(), shown),
        empty: empty.step("See what falls due", "/due"),
        rows,
    }))
}

fn form(
    signed: &Signed,
    (id, asked): (RoundId, &item::Asked),
    draft: &RoundDraft,
    choosable: &Choosable,
    wrong: &FieldErrors,
) -> NewRound {
    let offered = Offered {
        items: &choosable.items,
        more: choosable.more,
        models: &choosable.models,
        stores: &choosable.stores,
        examiners: &choosable.examiners,
    };
    let shell = signed.shell_in(Section::Due, "Plan a round of examinations");
    let action = address("/rounds", &asked.pairs());
    let joint = if action.contains('?') { '&' } else { '?' };
    NewRound::new(
        shell,
        format!("{action}{joint}id={id}"),
        draft,
        &offered,
        wrong,
    )
}

/// The form of a new round: everything that the list leaves is in it, and each can be left out.
pub(super) async fn page_new(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<item::Asked>,
) -> Result<Page<NewRound>, Problem> {
    let today = signed.today(&app);
    let filter = asked.filter(today)?;
    let choosable = deed::round::choosable(&app.desk, &signed.actor, &filter).await?;
    let ids: Vec<String> = choosable
        .items
        .iter()
        .map(|item| item.id.to_string())
        .collect();
    let last = filter.due_before.and_then(Date::previous_day);
    let draft = RoundDraft {
        name: format!("Round of {}", write_day(today)),
        from: write_day(today),
        to: last
            .filter(|last| *last > today)
            .map(write_day)
            .unwrap_or_default(),
        examiner: String::new(),
        items: ids.join(","),
    };
    let nothing = FieldErrors::default();
    Ok(Page(form(
        &signed,
        (RoundId::new(), &asked),
        &draft,
        &choosable,
        &nothing,
    )))
}

/// Plans a round.
pub(super) async fn page_create(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<item::Asked>,
    Query(given): Query<FormId>,
    typed: Typed,
) -> Result<Response, Problem> {
    let draft: RoundDraft = typed.draft()?;
    let id = RoundId(given.id());
    let done = deed::round::plan(&app.desk, &signed.actor, id, &draft).await;
    answer(
        done,
        |round| Done::to(format!("/rounds/{}", round.id)).saying("The round is planned."),
        async |wrong| {
            let filter = asked.filter(signed.today(&app))?;
            let choosable = deed::round::choosable(&app.desk, &signed.actor, &filter).await?;
            Ok(form(&signed, (id, &asked), &draft, &choosable, &wrong))
        },
    )
    .await
}

async fn shown(
    (app, signed): (&App, &Signed),
    id: RoundId,
    draft: &RoundClosingDraft,
    wrong: &FieldErrors,
) -> Result<ShowRound, Problem> {
    let progress = deed::round::show(&app.desk, &signed.actor, id).await?;
    let round = &progress.round;
    let rows = progress.stops.iter().map(|stop| {
        let item = &stop.item;
        let store = progress.stores.iter().find(|store| store.id == item.store);
        let model = progress.models.get(&item.model);
        StopRow::new(
            (item, model, store),
            (stop.became, stop.looked.as_ref()),
            round,
        )
    });
    let role = signed.actor.role;
    let may = (role.may(Deed::Examine), role.may(Deed::Export));
    let bench = has_page("/bench").then(|| format!("/bench?round={id}"));
    let shell = signed.shell_in(Section::Due, round.name.as_str());
    let rows = (round, rows.collect());
    let mut page = ShowRound::new(shell, rows, may, bench, (draft, wrong));
    page.lacking = may.1.then(|| lacking(&progress, &signed.team)).flatten();
    Ok(page)
}

/// What the PDF of its list has no letters for.
fn lacking(progress: &Progress, team: &str) -> Option<String> {
    let items = progress.stops.iter().map(|stop| &stop.item);
    let items: Vec<_> = items.map(|item| (&item.mark, &item.serial)).collect();
    let models: Vec<_> = progress.models.values().map(Model::title).collect();
    lacking::told(&(team, &progress.round, items, models, &progress.stores))
}

/// A round with what became of its items.
pub(super) async fn page_show(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<RoundId>,
) -> Result<Page<ShowRound>, Problem> {
    let (draft, nothing) = (RoundClosingDraft::default(), FieldErrors::default());
    shown((&app, &signed), id, &draft, &nothing).await.map(Page)
}

/// Closes a round.
pub(super) async fn page_close(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<RoundId>,
    typed: Typed,
) -> Result<Response, Problem> {
    let draft: RoundClosingDraft = typed.draft()?;
    let done = deed::round::close(&app.desk, &signed.actor, id, &draft).await;
    answer(
        done,
        |_| Done::to(format!("/rounds/{id}")).saying("The round is closed."),
        async |wrong| shown((&app, &signed), id, &draft, &wrong).await,
    )
    .await
}

/// The list of a round, to take along.
pub(super) async fn file_list(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<RoundId>,
    Query(asked): Query<AskedPaper>,
) -> Result<Response, Problem> {
    let paper = paper_of(&signed, asked.size());
    let bytes = deed::round::file(&app.desk, &signed.actor, id, paper).await?;
    Ok(pdf(&format!("round-{id}"), bytes))
}

/// A round with what became of its items.
#[derive(Serialize, ToSchema)]
pub(super) struct RoundJson {
    /// The record.
    round: Round,
    /// How many are left, not found, out and done.
    left: usize,
    not_found: usize,
    out: usize,
    done: usize,
    /// Its items, those that wait for somebody first.
    items: Vec<StopJson>,
}

/// An item of a round.
#[derive(Serialize, ToSchema)]
pub(super) struct StopJson {
    item: ItemId,
    mark: String,
    /// `left`, `not-found`, `out` or `done`.
    became: &'static str,
    /// The day of its last thorough examination in the round.
    looked_on: Option<String>,
    /// What that ended in.
    verdict: Option<&'static str>,
}

impl From<Progress> for RoundJson {
    fn from(progress: Progress) -> Self {
        let count = |what| progress.count(what);
        Self {
            left: count(InRound::Left),
            not_found: count(InRound::NotFound),
            out: count(InRound::Out),
            done: count(InRound::Done),
            items: progress
                .stops
                .iter()
                .map(|stop| StopJson {
                    item: stop.item.id,
                    mark: stop.item.mark.clone(),
                    became: stop.became.key(),
                    looked_on: stop.looked.as_ref().map(|looked| write_day(looked.on)),
                    verdict: stop.looked.as_ref().map(|looked| looked.verdict.key()),
                })
                .collect(),
            round: progress.round,
        }
    }
}

/// List rounds of examinations
#[utoipa::path(get, path = "/api/v1/rounds", tag = "examinations", params(("after" = Option<String>, Query)),
    responses((status = 200, body = PageJson<Round>)))]
pub(super) async fn api_list(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<Shown>,
) -> Result<Json<PageJson<Round>>, Problem> {
    let after = cursor(&asked.after)?;
    let page = deed::round::list(&app.desk, &signed.actor, after.as_ref(), ROWS).await?;
    Ok(Json(page.into()))
}

/// A round of examinations
///
/// What became of an item is worked out from its examinations since the round began, and from its state.
#[utoipa::path(get, path = "/api/v1/rounds/{id}", tag = "examinations", params(("id" = Uuid, Path)),
    responses((status = 200, body = RoundJson), (status = 404, body = ProblemJson)))]
pub(super) async fn api_show(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<RoundId>,
) -> Result<Json<RoundJson>, Problem> {
    let progress = deed::round::show(&app.desk, &signed.actor, id).await?;
    Ok(Json(progress.into()))
}

/// Plan a round of examinations
#[utoipa::path(post, path = "/api/v1/rounds", tag = "examinations", params(("id" = Option<Uuid>, Query)), request_body = RoundDraft,
    responses((status = 201, body = Round), (status = 422, body = ProblemJson)))]
pub(super) async fn api_plan(
    State(app): State<App>,
    signed: Signed,
    Query(given): Query<FormId>,
    JsonBody(draft): JsonBody<RoundDraft>,
) -> Result<Response, Problem> {
    let id = RoundId(given.id());
    let round = deed::round::plan(&app.desk, &signed.actor, id, &draft).await?;
    Ok((StatusCode::CREATED, tagged("1", round)).into_response())
}

/// Close a round of examinations
///
/// What was not examined needs a reason: `reason` for all, or one each in `reasons`, by the id of the item.
#[utoipa::path(post, path = "/api/v1/rounds/{id}/close", tag = "examinations", params(("id" = Uuid, Path)), request_body = RoundClosingDraft,
    responses((status = 200, body = Round), (status = 404, body = ProblemJson), (status = 409, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(super) async fn api_close(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<RoundId>,
    JsonBody(draft): JsonBody<RoundClosingDraft>,
) -> Result<Response, Problem> {
    let round = deed::round::close(&app.desk, &signed.actor, id, &draft).await?;
    Ok(tagged("2", round))
}
