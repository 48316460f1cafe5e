//! Places and bags: what is in one, its list, looking through it, moving items; pages, and the same for programs.

use axum::{
    Json,
    extract::State,
    http::StatusCode,
    response::{IntoResponse, Response},
};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::{
    App, Done, Form, IfMatch, JsonBody, Page, Path, Problem, Query, Signed,
    api::{ProblemJson, tagged},
    listed::FormId,
    page::answer,
    paper::{AskedPaper, paper_of, pdf},
    typed::Typed,
};
use crate::{
    deed::{
        self, DeedError, Seen,
        bag::{self, Moved},
    },
    domain::{
        Bag, BagCheck, BagCheckDraft, BagCheckId, BagDraft, Deed, FieldErrors, InPlace, Item,
        ItemId, MoveDraft, Refusal, StoreId,
    },
    export::paper::lacking,
    view::{
        Section,
        bag::{Allowed, BagForm, CheckForm, PlaceSheet},
        words,
    },
    web::way_back::way_to,
};

/// What is in a place.
pub(super) async fn page_show(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<StoreId>,
) -> Result<Page<PlaceSheet>, Problem> {
    let place = bag::show(&app.desk, &signed.actor, id).await?;
    Ok(Page(sheet(&signed, &place, ("", &FieldErrors::default()))))
}

fn sheet(signed: &Signed, place: &InPlace, typed: (&str, &FieldErrors)) -> PlaceSheet {
    let role = signed.actor.role;
    let may = Allowed {
        keep: role.may(Deed::KeepRegister),
        handle: role.may(Deed::ReportEvent),
        export: role.may(Deed::Export),
    };
    let mut shell = signed.shell_in(Section::Stores, place.store.name.as_str());
    shell.here = Some(way_to(&format!("/stores/{}", place.store.id)));
    let mut page = PlaceSheet::new(shell, place, may, typed);
    page.lacking = may.export.then(|| lacking(place, &signed.team)).flatten();
    page
}

/// What the PDF of its list has no letters for.
fn lacking(place: &InPlace, team: &str) -> Option<String> {
    let items = place.items.iter();
    let items = items.map(|one| (&one.item.mark, &one.item.serial, one.model.title()));
    let items: Vec<_> = items.collect();
    lacking::told(&(team, &place.store.name, &place.words, items))
}

/// The form of the list.
pub(super) async fn page_edit(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<StoreId>,
) -> Result<Page<BagForm>, Problem> {
    let place = bag::show(&app.desk, &signed.actor, id).await?;
    let draft = place.draft();
    Ok(Page(form(&signed, &place, &draft, &FieldErrors::default())))
}

fn form(signed: &Signed, place: &InPlace, draft: &BagDraft, wrong: &FieldErrors) -> BagForm {
    let title = format!("What belongs in {}", place.store.name);
    let shell = signed.shell_in(Section::Stores, title);
    BagForm::new(shell, place, draft, wrong)
}

/// Writes the list.
pub(super) async fn page_list(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<StoreId>,
    mut typed: Typed,
) -> Result<Response, Problem> {
    let seen = Seen::Version(typed.take_revision()?);
    let draft: BagDraft = typed.draft()?;
    match bag::list(&app.desk, &signed.actor, id, seen, &draft).await {
        Ok(_) => Ok(Done::to(format!("/stores/{id}"))
            .saying("The list was saved.")
            .into_response()),
        Err(DeedError::Invalid(wrong)) => {
            let place = bag::show(&app.desk, &signed.actor, id).await?;
            Ok(Page::wrong(form(&signed, &place, &draft, &wrong)))
        }
        Err(DeedError::Stale(wrong)) => {
            let place = bag::show(&app.desk, &signed.actor, id).await?;
            let view = form(&signed, &place, &draft, &wrong).beside(&place.draft());
            Ok(Page::again(StatusCode::CONFLICT, view))
        }
        Err(other) => Err(other.into()),
    }
}

/// The form in which a bag is looked through.
pub(super) async fn page_check(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<StoreId>,
) -> Result<Page<CheckForm>, Problem> {
    let draft = BagCheckDraft::default();
    let look = look(&app, &signed, id, (BagCheckId::new(), &draft)).await?;
    Ok(Page(look(&FieldErrors::default())))
}

async fn look<'a>(
    app: &App,
    signed: &'a Signed,
    id: StoreId,
    (check, draft): (BagCheckId, &'a BagCheckDraft),
) -> Result<impl Fn(&FieldErrors) -> CheckForm + 'a, Problem> {
    let place = bag::show(&app.desk, &signed.actor, id).await?;
    let title = format!("Look through {}", place.store.name);
    Ok(move |wrong: &FieldErrors| {
        let shell = signed.shell_in(Section::Stores, title.as_str());
        CheckForm::new(shell, &place, check, draft, wrong)
    })
}

/// What was ticked and scanned.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(super) struct Seens {
    seen: Vec<String>,
    codes: String,
    empty: String,
    note: String,
}

/// Keeps what was found.
pub(super) async fn page_checked(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<StoreId>,
    Query(given): Query<FormId>,
    Form(seens): Form<Seens>,
) -> Result<Response, Problem> {
    let check = BagCheckId(given.id());
    let draft = BagCheckDraft {
        seen: seens.seen.join(","),
        codes: seens.codes,
        empty: seens.empty,
        note: seens.note,
    };
    let done = bag::check(&app.desk, &signed.actor, (check, id), &draft).await;
    answer(
        done,
        |check| {
            let words = if check.is_whole() {
                "Everything is there."
            } else {
                "Kept. Not everything is as it should be: see below."
            };
            Done::to(format!("/stores/{id}")).saying(words)
        },
        async |wrong| Ok(look(&app, &signed, id, (check, &draft)).await?(&wrong)),
    )
    .await
}

/// Moves items here.
pub(super) async fn page_move(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<StoreId>,
    typed: Typed,
) -> Result<Response, Problem> {
    let draft: MoveDraft = typed.draft()?;
    let done = bag::move_into(&app.desk, &signed.actor, id, &draft).await;
    answer(
        done,
        |moved| {
            let count = words::count(moved.len(), "item", "items");
            let out: Vec<String> = moved.iter().filter_map(not_here).collect();
            let words = format!("Moved here: {count}.{}", out.concat());
            Done::to(format!("/stores/{id}")).saying(words)
        },
        async |wrong| {
            let place = bag::show(&app.desk, &signed.actor, id).await?;
            Ok(sheet(&signed, &place, (&draft.codes, &wrong)))
        },
    )
    .await
}

/// That an item that was moved does not lie there, since a crew has it; a blank before it.
fn not_here(moved: &Moved) -> Option<String> {
    let with = moved.with_crew.as_ref()?;
    Some(format!(
        " {} is with the crew of \"{}\", taken by {}: it lives here now, and lies here once it is counted back and put here.",
        moved.item.mark, with.title, with.taken_by
    ))
}

/// The list, to lie in the bag.
pub(super) async fn file_list(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<StoreId>,
    Query(asked): Query<AskedPaper>,
) -> Result<Response, Problem> {
    let paper = paper_of(&signed, asked.size());
    let bytes = bag::file(&app.desk, &signed.actor, id, paper).await?;
    Ok(pdf(&format!("bag-{id}"), bytes))
}

/// What is in a place.
#[derive(Serialize, ToSchema)]
pub(super) struct ContentsJson {
    /// The place.
    #[schema(value_type = Uuid)]
    store: StoreId,
    /// Its list; `null` where it has none.
    list: Option<Bag>,
    /// For each line of the list the items that fill it.
    #[schema(value_type = Vec<Vec<Uuid>>)]
    filled: Vec<Vec<ItemId>>,
    /// How many pieces of the list are not there.
    lacking: usize,
    /// What lives there, with what speaks against each wherever it goes.
    items: Vec<InsideJson>,
    /// Whether there is more than is told.
    more: bool,
    /// How it was looked through last.
    checked: Option<BagCheck>,
}

/// An item of a place.
#[derive(Serialize, ToSchema)]
struct InsideJson {
    #[schema(value_type = Uuid)]
    item: ItemId,
    mark: String,
    refusals: Vec<Refusal>,
}

/// See what is in a store or a bag
///
/// Beside its list, if it has one, and whether each item is fit wherever it goes.
#[utoipa::path(get, path = "/api/v1/stores/{id}/contents", tag = "register", params(("id" = Uuid, Path)),
    responses((status = 200, body = ContentsJson), (status = 404, body = ProblemJson)))]
pub(super) async fn api_show(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<StoreId>,
) -> Result<Json<ContentsJson>, Problem> {
    let place = bag::show(&app.desk, &signed.actor, id).await?;
    let lacking = place.lacking();
    let items = place.items.into_iter().map(|one| InsideJson {
        item: one.item.id,
        mark: one.item.mark,
        refusals: one.refusals,
    });
    Ok(Json(ContentsJson {
        store: id,
        filled: place.contents.filled,
        lacking,
        items: items.collect(),
        more: place.more,
        checked: place.checked,
        list: place.bag,
    }))
}

/// Write what belongs in a bag
///
/// `If-Match` is the version of the list that is there, `0` where there is none.
#[utoipa::path(put, path = "/api/v1/stores/{id}/bag", tag = "register", params(("id" = Uuid, Path), ("If-Match" = String, Header)),
    request_body = BagDraft, responses((status = 200, body = Bag, headers(("ETag" = String))), (status = 404, body = ProblemJson),
    (status = 412, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(super) async fn api_list(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<StoreId>,
    seen: IfMatch,
    JsonBody(draft): JsonBody<BagDraft>,
) -> Result<Response, Problem> {
    let bag = bag::list(&app.desk, &signed.actor, id, seen.version()?, &draft).await?;
    Ok(tagged(bag.revision, bag))
}

/// Keep what was found in a bag
#[utoipa::path(post, path = "/api/v1/stores/{id}/checks", tag = "register",
    params(("id" = Uuid, Path)), request_body = BagCheckDraft,
    responses((status = 201, body = BagCheck), (status = 404, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(super) async fn api_check(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<StoreId>,
    JsonBody(draft): JsonBody<BagCheckDraft>,
) -> Result<(StatusCode, Json<BagCheck>), Problem> {
    let ids = (BagCheckId::new(), id);
    let check = deed::bag::check(&app.desk, &signed.actor, ids, &draft).await?;
    Ok((StatusCode::CREATED, Json(check)))
}

/// The items that were moved.
#[derive(Serialize, ToSchema)]
pub(super) struct MovedJson {
    items: Vec<Item>,
    /// Of these what is with a crew, so that it does not lie here before it is counted back and put here.
    #[schema(value_type = Vec<Uuid>)]
    out: Vec<ItemId>,
}

/// Move items into a store or a bag
#[utoipa::path(post, path = "/api/v1/stores/{id}/moves", tag = "register", params(("id" = Uuid, Path)), request_body = MoveDraft,
    responses((status = 200, body = MovedJson), (status = 404, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(super) async fn api_move(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<StoreId>,
    JsonBody(draft): JsonBody<MoveDraft>,
) -> Result<Json<MovedJson>, Problem> {
    let moved = bag::move_into(&app.desk, &signed.actor, id, &draft).await?;
    let out = moved.iter().filter(|one| one.with_crew.is_some());
    Ok(Json(MovedJson {
        out: out.map(|one| one.item.id).collect(),
        items: moved.into_iter().map(|one| one.item).collect(),
    }))
}
