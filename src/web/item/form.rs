//! Adding an item and changing its record.

use axum::{
    extract::State,
    http::StatusCode,
    response::{IntoResponse, Response},
};
use serde::Deserialize;
use time::Date;

use crate::{
    deed::{self, DeedError, Seen},
    domain::{FieldErrors, Item, ItemDraft, ItemId, Kind, Model, ModelId, Store, tag::Scan},
    store::{ModelFilter, Tx},
    view::{
        Section, Shell,
        item::{ItemForm, ItemTyped, ModelPick, PickRow, Target},
        part::Empty,
        words,
    },
    web::{
        App, Done, Page, Path, Problem, Query, Signed,
        listed::{FormId, ROWS, address, cursor, of_list, pager},
        page::answer,
        typed::Typed,
        way_back::Back,
    },
};

/// The most models that one list of choices holds.
const MOST_MODELS: u32 = 200;

/// Which model the new item is of, or what is looked for among the models.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct Asked {
    model: String,
    tag: String,
    q: String,
    kind: String,
    after: String,
}

/// What a form offers: the models of one kind, and the stores.
struct Offer {
    model: Option<Model>,
    models: Vec<Model>,
    stores: Vec<Store>,
}

impl Offer {
    /// What is offered beside the model of this id.
    async fn read(tx: &mut Tx, model: &str) -> Result<Self, Problem> {
        let model = match model.trim().parse::<ModelId>() {
            Ok(id) => tx.model(id).await?,
            Err(_) => None,
        };
        let filter = ModelFilter {
            kind: model.as_ref().map(|model| model.kind),
            ..ModelFilter::default()
        };
        let page = tx.models(&filter, None, MOST_MODELS).await?;
        let mut models = if page.next.is_some() {
            // Too many to choose from in one list: a new item's model is looked for before.
            Vec::new()
        } else {
            page.rows
        };
        if let Some(model) = &model
            && !models.iter().any(|other| other.id == model.id)
        {
            models.push(model.clone());
        }
        Ok(Self {
            model,
            models,
            stores: tx.stores().await?,
        })
    }

    fn typed<'a>(&'a self, draft: &'a ItemDraft, wrong: &'a FieldErrors) -> ItemTyped<'a> {
        ItemTyped {
            draft,
            wrong,
            model: self.model.as_ref(),
            models: &self.models,
            stores: &self.stores,
        }
    }
}

fn new_shell(signed: &Signed, offer: &Offer) -> Shell {
    let kind = offer
        .model
        .as_ref()
        .map_or("item", |model| model.kind.word());
    signed.shell_in(Section::Items, format!("Add {kind}"))
}

fn edit_shell(signed: &Signed, mark: &str, back: &Back) -> Shell {
    Shell {
        back: back.way(),
        ..signed.shell_in(Section::Items, format!("Change {mark}"))
    }
}

/// The form of a new item; without a model, the models to choose from.
pub(in crate::web) async fn page_new(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<Asked>,
) -> Result<Response, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    if asked.model.is_empty() {
        return pick(&mut tx, &signed, &asked)
            .await
            .map(IntoResponse::into_response);
    }
    let offer = Offer::read(&mut tx, &asked.model).await?;
    if offer.model.is_none() {
        return Err(Problem::NotFound("model"));
    }
    let only = match offer.stores.as_slice() {
        [store] => store.id.to_string(),
        _ => String::new(),
    };
    let draft = ItemDraft {
        model: asked.model,
        store: only,
        ..said(&asked.tag, signed.today(&app))
    };
    let shell = new_shell(&signed, &offer);
    let nothing = FieldErrors::default();
    let target = Target::New(ItemId::new());
    let form = ItemForm::new(shell, target, &offer.typed(&draft, &nothing));
    Ok(Page(form.tagged(&asked.tag)).into_response())
}

/// What a code on the item says of it; one that cannot be read is told when it is put on.
fn said(code: &str, today: Date) -> ItemDraft {
    let Ok(scan) = Scan::read(code) else {
        return ItemDraft::default();
    };
    let text = |text: Option<&str>| text.unwrap_or_default().to_owned();
    ItemDraft {
        serial: text(scan.serial()),
        lot: text(scan.lot()),
        made: scan
            .made(today)
            .map(|made| made.to_string())
            .unwrap_or_default(),
        ..ItemDraft::default()
    }
}

async fn pick(tx: &mut Tx, signed: &Signed, asked: &Asked) -> Result<Page<ModelPick>, Problem> {
    let filter = ModelFilter {
        search: asked.q.chars().take(200).collect(),
        kind: Kind::from_word(&asked.kind),
    };
    let after = cursor(&asked.after)?;
    let page = tx.models(&filter, after.as_ref(), ROWS).await;
    let page = page.map_err(of_list)?;
    let rows = page.rows.iter().map(|model| PickRow {
        href: address(
            "/items/new",
            &[("model", &model.id.to_string()), ("tag", &asked.tag)],
        ),
        title: model.title(),
        kind: model.kind.word(),
    });
    let rows: Vec<PickRow> = rows.collect();
    let pairs = [
        ("q", asked.q.as_str()),
        ("kind", asked.kind.as_str()),
        ("tag", asked.tag.as_str()),
    ];
    let shown = words::count(rows.len(), "model", "models");
    Ok(Page(ModelPick {
        shell: signed.shell_in(Section::Items, "Add item"),
        search: asked.q.clone(),
        kind: asked.kind.clone(),
        tag: asked.tag.clone(),
        pager: pager(
            "/items/new",
            &pairs,
            &asked.after,
            page.next.as_ref(),
            shown,
        ),
        empty: Empty::new(
            "No such model.",
            "An item is of a model: what a maker sells, with its ratings and approvals.",
        )
        .step("Add a model", "/models/new"),
        rows,
    }))
}

/// Adds an item.
pub(in crate::web) async fn page_create(
    State(app): State<App>,
    signed: Signed,
    Query(form): Query<FormId>,
    mut typed: Typed,
) -> Result<Response, Problem> {
    let tag = typed.take("tag").unwrap_or_default();
    let draft: ItemDraft = typed.draft()?;
    let id = ItemId(form.id());
    let done = if tag.is_empty() {
        deed::item::add(&app.desk, &signed.actor, id, &draft).await
    } else {
        deed::tag::add_item(&app.desk, &signed.actor, id, &draft, &tag).await
    };
    answer(
        done,
        |item| Done::to(format!("/items/{}", item.id)).saying(format!("{} was added.", item.mark)),
        async |wrong| {
            let mut tx = app.desk.database.read(signed.actor.team).await?;
            let offer = Offer::read(&mut tx, &draft.model).await?;
            let shell = new_shell(&signed, &offer);
            let typed = offer.typed(&draft, &wrong);
            Ok(ItemForm::new(shell, Target::New(id), &typed).tagged(&tag))
        },
    )
    .await
}

async fn item_of(tx: &mut Tx, id: ItemId) -> Result<Item, Problem> {
    tx.item(id).await?.ok_or(Problem::NotFound("item"))
}

/// The form of an item that is there.
pub(in crate::web) async fn page_edit(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ItemId>,
    Query(back): Query<Back>,
) -> Result<Page<ItemForm>, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let item = item_of(&mut tx, id).await?;
    let draft = item.draft();
    let offer = Offer::read(&mut tx, &draft.model).await?;
    let nothing = FieldErrors::default();
    let target = Target::There(id, item.revision);
    let shell = edit_shell(&signed, &item.mark, &back);
    Ok(Page(ItemForm::new(
        shell,
        target,
        &offer.typed(&draft, &nothing),
    )))
}

/// Changes the record of an item.
pub(in crate::web) async fn page_revise(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ItemId>,
    Query(back): Query<Back>,
    mut typed: Typed,
) -> Result<Response, Problem> {
    let revision = typed.take_revision()?;
    let draft: ItemDraft = typed.draft()?;
    let done = deed::item::revise(
        &app.desk,
        &signed.actor,
        id,
        Seen::Version(revision),
        &draft,
    )
    .await;
    let (wrong, stale) = match done {
        Ok(revised) => {
            let mut said = vec![format!("The record of {} was changed.", revised.item.mark)];
            said.extend(revised.told);
            return Ok(Done::to(back.or(format!("/items/{id}")))
                .saying(said.join(" "))
                .into_response());
        }
        Err(DeedError::Invalid(wrong)) => (wrong, false),
        Err(DeedError::Stale(wrong)) => (wrong, true),
        Err(other) => return Err(other.into()),
    };
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let item = item_of(&mut tx, id).await?;
    let offer = Offer::read(&mut tx, &draft.model).await?;
    let offered = offer.typed(&draft, &wrong);
    let shell = edit_shell(&signed, &item.mark, &back);
    if !stale {
        return Ok(Page::wrong(ItemForm::new(
            shell,
            Target::There(id, revision),
            &offered,
        )));
    }
    let target = Target::There(id, item.revision);
    let view = ItemForm::new(shell, target, &offered).beside(&item.draft(), &offered);
    Ok(Page::again(StatusCode::CONFLICT, view))
}
