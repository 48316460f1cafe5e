//! Stores: the doors of the list and of the form.

use axum::{
    extract::State,
    http::StatusCode,
    response::{IntoResponse, Response},
};

use super::{
    App, Done, Page, Path, Problem, Query, Signed, listed::FormId, page::answer, typed::Typed,
};
use crate::{
    deed::{self, DeedError, Seen},
    domain::{Deed, FieldErrors, Store, StoreDraft, StoreId},
    view::{
        Section,
        part::Empty,
        place::{PlaceForm, PlaceList, PlaceRow, PlaceTarget},
    },
};

/// The list of stores.
pub(super) async fn page_list(
    State(app): State<App>,
    signed: Signed,
) -> Result<Page<PlaceList>, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let stores = tx.stores().await?;
    let counts = tx.items_in_stores().await?;
    let bags = tx.bags().await?;
    let within = |id: StoreId| {
        let bag = bags.iter().find(|bag| bag.store == id)?;
        stores.iter().find(|store| Some(store.id) == bag.within)
    };
    let rows = stores.iter();
    let may_keep = signed.actor.role.may(Deed::KeepRegister);
    let empty = Empty::new(
        "No stores yet.",
        "A store is a place where items live: a bay, a vehicle, a bag.",
    );
    Ok(Page(PlaceList {
        shell: signed.shell_in(Section::Stores, "Stores"),
        rows: rows
            .map(|store| {
                let items = counts.get(&store.id).copied().unwrap_or(0);
                PlaceRow::new(store, items, within(store.id))
            })
            .collect(),
        empty: if may_keep {
            empty.step("Add the first store", "/stores/new")
        } else {
            empty
        },
        may_keep,
    }))
}

fn form(
    signed: &Signed,
    target: PlaceTarget,
    draft: &StoreDraft,
    wrong: &FieldErrors,
) -> PlaceForm {
    let title = match target {
        PlaceTarget::New(_) => "Add store",
        PlaceTarget::There(..) => "Change store",
    };
    PlaceForm::new(
        signed.shell_in(Section::Stores, title),
        target,
        draft,
        wrong,
    )
}

/// The form of a new store.
pub(super) async fn page_new(signed: Signed) -> Page<PlaceForm> {
    let target = PlaceTarget::New(StoreId::new());
    let nothing = FieldErrors::default();
    Page(form(&signed, target, &StoreDraft::default(), &nothing))
}

/// Adds a store.
pub(super) async fn page_create(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<FormId>,
    typed: Typed,
) -> Result<Response, Problem> {
    let draft: StoreDraft = typed.draft()?;
    let id = StoreId(asked.id());
    let done = deed::place::add(&app.desk, &signed.actor, id, &draft).await;
    answer(
        done,
        |store| Done::to("/stores").saying(format!("The store {} was added.", store.name)),
        async |wrong| Ok(form(&signed, PlaceTarget::New(id), &draft, &wrong)),
    )
    .await
}

async fn store_of(app: &App, signed: &Signed, id: StoreId) -> Result<Store, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    tx.store(id).await?.ok_or(Problem::NotFound("store"))
}

/// The form of a store that is there.
pub(super) async fn page_edit(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<StoreId>,
) -> Result<Page<PlaceForm>, Problem> {
    let store = store_of(&app, &signed, id).await?;
    let draft = StoreDraft {
        name: store.name,
        note: store.note,
    };
    let target = PlaceTarget::There(id, store.revision);
    Ok(Page(form(&signed, target, &draft, &FieldErrors::default())))
}

/// Changes a store.
pub(super) async fn page_revise(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<StoreId>,
    mut typed: Typed,
) -> Result<Response, Problem> {
    let revision = typed.take_revision()?;
    let draft: StoreDraft = typed.draft()?;
    match deed::place::revise(
        &app.desk,
        &signed.actor,
        id,
        Seen::Version(revision),
        &draft,
    )
    .await
    {
        Ok(store) => Ok(Done::to("/stores")
            .saying(format!("The store {} was changed.", store.name))
            .into_response()),
        Err(DeedError::Invalid(wrong)) => {
            // An id of nobody's is refused before its fields are looked at.
            store_of(&app, &signed, id).await?;
            let target = PlaceTarget::There(id, revision);
            Ok(Page::wrong(form(&signed, target, &draft, &wrong)))
        }
        Err(DeedError::Stale(wrong)) => {
            let there = store_of(&app, &signed, id).await?;
            let target = PlaceTarget::There(id, there.revision);
            let stored = StoreDraft {
                name: there.name,
                note: there.note,
            };
            let view = form(&signed, target, &draft, &wrong).beside(&stored);
            Ok(Page::again(StatusCode::CONFLICT, view))
        }
        Err(other) => Err(other.into()),
    }
}
