//! Items and stores, for programs; models beside them.

pub(in crate::web) mod model;

mod revised;

use axum::{Json, extract::State, response::Response};
use serde::Serialize;
use time::Date;
use utoipa::ToSchema;

use super::{PageJson, ProblemJson, created, tagged};
use crate::{
    deed::{self, item::StepDraft},
    domain::{
        Answer, Criterion, Item, ItemDraft, ItemId, Life, Model, NoticeId, Reach, Store,
        StoreDraft, StoreId,
        fitness::{self, Due},
        life,
        rulebook::Rulebook,
        used,
    },
    store::Page,
    web::{
        App, IfMatch, JsonBody, Path, Problem, Query, Signed,
        item::Asked,
        listed::{FormId, ROWS, cursor},
    },
};
use revised::RevisedJson;

/// List items
///
/// Search, filters and order as on the page of the list; `next` begins the page after this one.
#[utoipa::path(get, path = "/api/v1/items", tag = "register", params(
    ("q" = Option<String>, Query, description = "Words of mark, serial, lot or model"),
    ("kind" = Option<String>, Query), ("state" = Option<String>, Query, description = "A state, or `all`"),
    ("store" = Option<Uuid>, Query), ("model" = Option<Uuid>, Query),
    ("due" = Option<String>, Query, description = "`overdue`, `never`, a number of days, or days such as `2026-03-01..2026-03-31`"),
    ("life" = Option<String>, Query, description = "When their life ends: `over`, `open` where no day is set, or days"),
    ("sort" = Option<String>, Query, description = "mark, due, kind or made"), ("down" = Option<String>, Query, description = "`yes` turns the order round"),
    ("after" = Option<String>, Query, description = "The `next` of the page before"),
), responses((status = 200, body = PageJson<ItemJson>), (status = 400, body = ProblemJson)))]
pub(in crate::web) async fn api_items(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<Asked>,
) -> Result<Json<PageJson<ItemJson>>, Problem> {
    let filter = asked.filter(signed.today(&app))?;
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let after = cursor(asked.after())?;
    let page = tx
        .items(&filter, asked.order()?, after.as_ref(), ROWS)
        .await?;
    let mut models: Vec<_> = page.rows.iter().map(|item| item.model).collect();
    models.sort_unstable();
    models.dedup();
    let models = tx.models_of(&models).await?;
    let rulebook = deed::rulebook::home(&mut tx).await?;
    let row = |item: Item| {
        let model = models.get(&item.model);
        ItemJson::new(item, model, &rulebook)
    };
    let page = Page {
        rows: page.rows.into_iter().map(row).collect(),
        cursors: page.cursors,
        next: page.next,
    };
    Ok(Json(page.into()))
}

/// An item, with the day that binds in place of the one that its last examination set.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct ItemJson {
    /// The record; its `next_due_on` is the day that binds under the team's rulebook, as the register shows it.
    #[serde(flatten)]
    item: Item,
    /// The rule that sets it; `null` where it never passed an examination.
    next_due_by: Option<String>,
    /// The day that its last examination set.
    #[serde(with = "crate::domain::date::iso::option")]
    #[schema(value_type = Option<String>)]
    next_due_recorded: Option<Date>,
}

impl ItemJson {
    fn new(mut item: Item, model: Option<&Model>, rulebook: &Rulebook) -> Self {
        let binding = model.and_then(|model| fitness::due_on(&item, model, rulebook));
        let (due, rule) = binding.unzip();
        let next_due_recorded = std::mem::replace(&mut item.next_due_on, due);
        Self {
            item,
            next_due_by: rule.map(|rule| rule.to_string()),
            next_due_recorded,
        }
    }
}

/// An item with what follows from its record.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct ItemSheetJson {
    /// The record.
    item: ItemJson,
    /// Its model's record.
    model: Model,
    /// When its life ends, and which rule says so.
    life: Life,
    /// How much of the maker's limits of use is behind it, where nothing is left of one: no job takes it. `null` else.
    used_up: Option<String>,
    /// Where it stands with its examination under the team's rulebook.
    #[schema(value_type = Object)]
    due: Due,
    /// What is to be watched at the next examination.
    watching: Vec<WatchingJson>,
    /// That the notice which put it in quarantine was withdrawn or corrected and covers it no more, in one sentence; `null`
    /// else.
    let_go: Option<String>,
    /// The notices that are open for it: those that cover it, and those that did until its record was corrected.
    open_notices: Vec<OpenNoticeJson>,
}

/// A notice that is open for an item.
#[derive(Serialize, ToSchema)]
struct OpenNoticeJson {
    /// Its id.
    id: NoticeId,
    /// What it is about.
    title: String,
    /// What is to be done.
    action: String,
}

/// A criterion that was answered with "watch".
#[derive(Serialize, ToSchema)]
struct WatchingJson {
    /// The criterion.
    criterion: Criterion,
    /// The day of the examination that says so.
    #[serde(with = "crate::domain::date::iso")]
    #[schema(value_type = String)]
    since: Date,
    /// What was answered.
    answer: Answer,
}

async fn item_sheet(
    app: &App,
    signed: &Signed,
    id: ItemId,
) -> Result<(Item, ItemSheetJson), Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let item = tx.item(id).await?.ok_or(Problem::NotFound("item"))?;
    let model = tx
        .model(item.model)
        .await?
        .ok_or(Problem::NotFound("model"))?;
    let rulebook = deed::rulebook::home(&mut tx).await?;
    let last = tx
        .examinations_in_line(&item, deed::checklist::LOOKED_BACK)
        .await?;
    let watching = deed::checklist::watching(&mut tx, &last).await?;
    let watching = watching
        .into_iter()
        .map(|(criterion, watched)| WatchingJson {
            criterion,
            since: watched.on,
            answer: watched.answer,
        });
    let watching = watching.collect();
    let history = deed::history::of_item(&mut tx, &item).await?;
    let let_go = deed::notice::let_go(&mut tx, (&item, &model), &history.beside.notices).await?;
    let open = deed::notice::open_for(&mut tx, &item, &model).await?;
    let open_notices = open.into_iter().map(|notice| OpenNoticeJson {
        id: notice.id,
        title: notice.title,
        action: notice.action,
    });
    let due = fitness::due(&item, &model, &rulebook, signed.today(app));
    let life = life(&item, &model, &rulebook);
    let spent = used(item.usage, &model).into_iter();
    let spent: Vec<String> = spent
        .filter(|used| used.reach == Reach::UsedUp)
        .map(|used| used.words)
        .collect();
    Ok((
        item.clone(),
        ItemSheetJson {
            item: ItemJson::new(item, Some(&model), &rulebook),
            model,
            life,
            used_up: (!spent.is_empty()).then(|| spent.join(", ")),
            due,
            watching,
            let_go: let_go.map(|gone| gone.in_words(&signed.zone)),
            open_notices: open_notices.collect(),
        },
    ))
}

/// One item
#[utoipa::path(get, path = "/api/v1/items/{id}", tag = "register", params(("id" = Uuid, Path)), responses(
    (status = 200, body = ItemSheetJson, headers(("ETag" = String))), (status = 404, body = ProblemJson)))]
pub(in crate::web) async fn api_item(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ItemId>,
) -> Result<Response, Problem> {
    let (item, sheet) = item_sheet(&app, &signed, id).await?;
    Ok(tagged(item.revision, sheet))
}

/// Add an item
///
/// Quantities are texts with their unit, such as `70 m`. `?id=` may bring a UUID of version 7 of your own:
/// sent twice, the item is added once.
#[utoipa::path(post, path = "/api/v1/items", tag = "register", params(("id" = Option<Uuid>, Query)),
    request_body = ItemDraft, responses((status = 201, body = Item, headers(("ETag" = String))), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_add_item(
    State(app): State<App>,
    signed: Signed,
    Query(given): Query<FormId>,
    JsonBody(draft): JsonBody<ItemDraft>,
) -> Result<Response, Problem> {
    let item = deed::item::add(&app.desk, &signed.actor, ItemId(given.id()), &draft).await?;
    Ok(created(item.revision, item))
}

/// Change an item's details
///
/// The whole draft replaces the details; state and dates of examination stay, unless the model is of another kind: what it
/// passed before does not count then. What the pieces of a rope that was cut inherited is corrected with it.
#[utoipa::path(put, path = "/api/v1/items/{id}", tag = "register", params(("id" = Uuid, Path), ("If-Match" = String, Header)),
    request_body = ItemDraft, responses((status = 200, body = RevisedJson, headers(("ETag" = String))),
    (status = 404, body = ProblemJson), (status = 412, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_revise_item(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ItemId>,
    seen: IfMatch,
    JsonBody(draft): JsonBody<ItemDraft>,
) -> Result<Response, Problem> {
    let (desk, actor) = (&app.desk, &signed.actor);
    let done = deed::item::revise(desk, actor, id, seen.version()?, &draft).await?;
    Ok(tagged(done.item.revision, RevisedJson::from(done)))
}

/// Take an item from one state to another
///
/// `step` is quarantine, return-to-service, report-missing or retire; a reason must be given.
#[utoipa::path(post, path = "/api/v1/items/{id}/steps", tag = "register", params(("id" = Uuid, Path)),
    request_body = StepDraft, responses((status = 200, body = Item), (status = 409, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_step_item(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ItemId>,
    JsonBody(draft): JsonBody<StepDraft>,
) -> Result<Response, Problem> {
    let item = deed::item::step(&app.desk, &signed.actor, id, &draft).await?;
    Ok(tagged(item.revision, item))
}

/// Every store of the team.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct StoresJson {
    stores: Vec<Store>,
}

/// List stores
#[utoipa::path(get, path = "/api/v1/stores", tag = "register", responses((status = 200, body = StoresJson)))]
pub(in crate::web) async fn api_stores(
    State(app): State<App>,
    signed: Signed,
) -> Result<Json<StoresJson>, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    Ok(Json(StoresJson {
        stores: tx.stores().await?,
    }))
}

/// Add a store
#[utoipa::path(post, path = "/api/v1/stores", tag = "register", params(("id" = Option<Uuid>, Query)), request_body = StoreDraft,
    responses((status = 201, body = Store, headers(("ETag" = String))), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_add_store(
    State(app): State<App>,
    signed: Signed,
    Query(given): Query<FormId>,
    JsonBody(draft): JsonBody<StoreDraft>,
) -> Result<Response, Problem> {
    let store = deed::place::add(&app.desk, &signed.actor, StoreId(given.id()), &draft).await?;
    Ok(created(store.revision, store))
}

/// Change a store
#[utoipa::path(put, path = "/api/v1/stores/{id}", tag = "register", params(("id" = Uuid, Path), ("If-Match" = String, Header)),
    request_body = StoreDraft, responses((status = 200, body = Store, headers(("ETag" = String))),
    (status = 404, body = ProblemJson), (status = 412, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(in crate::web) async fn api_revise_store(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<StoreId>,
    seen: IfMatch,
    JsonBody(draft): JsonBody<StoreDraft>,
) -> Result<Response, Problem> {
    let (desk, actor) = (&app.desk, &signed.actor);
    let store = deed::place::revise(desk, actor, id, seen.version()?, &draft).await?;
    Ok(tagged(store.revision, store))
}
