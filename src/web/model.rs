//! Models: the doors of the list, of one model and of its form.

use axum::{
    extract::State,
    http::StatusCode,
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{
    App, Done, Page, Path, Problem, Query, Signed,
    export::offered,
    listed::{FormId, ROWS, address, cursor, has_page, of_list, pager},
    page::answer,
    typed::Typed,
    way_back::Back,
};
use crate::{
    deed::{self, DeedError, Seen, model::Revised},
    domain::{
        ApprovalDraft, AttachedTo, Deed, FieldErrors, Kind, LimitDraft, Model, ModelDraft, ModelId,
        RatingDraft, RatingSource, checklist::measured,
    },
    rigging::StrengthKind,
    store::{Direction, ItemFilter, ItemSort, ModelFilter},
    view::{
        Section, Shell,
        attachment::{Gallery, add_href},
        model::{KindPick, ModelForm, ModelList, ModelRow, ModelTarget, ShowModel},
        part::Empty,
        words,
    },
};

/// How many of its items the page of a model shows.
const SOME: u32 = 20;

/// What stands behind the question mark.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct Asked {
    q: String,
    kind: String,
    after: String,
}

fn kind_of(key: &str) -> Result<Kind, Problem> {
    Kind::from_word(key).ok_or_else(|| {
        let key: String = key.chars().take(60).collect();
        Problem::Unreadable(format!(
            "There is no kind of gear \"{key}\". Choose one from the list."
        ))
    })
}

/// The list of models.
pub(super) async fn page_list(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<Asked>,
) -> Result<Page<ModelList>, Problem> {
    let filter = ModelFilter {
        search: asked.q.chars().take(200).collect(),
        kind: match asked.kind.trim() {
            "" => None,
            key => Some(kind_of(key)?),
        },
    };
    let after = cursor(&asked.after)?;
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let page = tx.models(&filter, after.as_ref(), ROWS).await;
    let page = page.map_err(of_list)?;
    let shell = signed.shell_in(Section::Models, "Models");
    let rows = page.rows.iter();
    let rows: Vec<ModelRow> = rows
        .map(|model| ModelRow::new(model, shell.units))
        .collect();
    let pairs = [("q", asked.q.as_str()), ("kind", asked.kind.as_str())];
    let shown = words::count(rows.len(), "model", "models");
    let may_add = signed.actor.role.may(Deed::KeepRegister);
    let narrowed = !asked.q.is_empty() || !asked.kind.is_empty();
    Ok(Page(ModelList {
        shell,
        pager: pager("/models", &pairs, &asked.after, page.next.as_ref(), shown),
        empty: empty(narrowed, may_add),
        file: offered("models", &pairs),
        search: asked.q,
        kind: asked.kind,
        rows,
        may_add,
    }))
}

fn empty(narrowed: bool, may_add: bool) -> Empty {
    if narrowed {
        return Empty::new("No model fits this search.", "Take something out of it.")
            .step("Show all models", "/models");
    }
    let empty = Empty::new(
        "No models yet.",
        "A model is what a maker sells, with its ratings and approvals; all its items share them.",
    );
    match may_add {
        true if has_page("/import") => empty.step("Import a list", "/import"),
        true => empty.step("Add the first model", "/models/new"),
        false => empty,
    }
}

/// A draft with a row for what is to be typed next, where there is none.
fn with_rows(kind: Kind, mut draft: ModelDraft) -> ModelDraft {
    if draft.ratings.is_empty() {
        draft.ratings.push(blank_rating());
    }
    if draft.approvals.is_empty() {
        draft.approvals.push(ApprovalDraft::default());
    }
    if draft.limits.is_empty() && !measured(kind).is_empty() {
        draft.limits.push(LimitDraft::default());
    }
    draft
}

/// A rating that counts as blank until a way of loading or a value is written.
fn blank_rating() -> RatingDraft {
    RatingDraft {
        kind: StrengthKind::Breaking.key().to_owned(),
        source: RatingSource::Marking.key().to_owned(),
        ..RatingDraft::default()
    }
}

fn new_shell(signed: &Signed, kind: Kind) -> Shell {
    signed.shell_in(Section::Models, format!("Add model: {}", kind.word()))
}

fn edit_shell(signed: &Signed, model: &Model, back: &Back) -> Shell {
    Shell {
        back: back.way(),
        ..signed.shell_in(Section::Models, format!("Change {}", model.title()))
    }
}

/// The form of a new model; without a kind, the kinds to choose from.
pub(super) async fn page_new(
    signed: Signed,
    Query(asked): Query<Asked>,
) -> Result<Response, Problem> {
    if asked.kind.is_empty() {
        let shell = signed.shell_in(Section::Models, "Add model");
        return Ok(Page(KindPick { shell }).into_response());
    }
    let kind = kind_of(&asked.kind)?;
    let draft = with_rows(kind, ModelDraft::default());
    let target = ModelTarget::New(ModelId::new());
    let shell = new_shell(&signed, kind);
    let nothing = FieldErrors::default();
    Ok(Page(ModelForm::new(shell, target, kind, &draft, &nothing)).into_response())
}

/// Adds a row of what `more` names, which the button of the form sends.
fn one_more(draft: &mut ModelDraft, more: &str) {
    match more {
        "ratings" => draft.ratings.push(blank_rating()),
        "limits" => draft.limits.push(LimitDraft::default()),
        _ => draft.approvals.push(ApprovalDraft::default()),
    }
}

/// Adds a model, or gives the form back with one row more.
pub(super) async fn page_create(
    State(app): State<App>,
    signed: Signed,
    Query(form): Query<FormId>,
    mut typed: Typed,
) -> Result<Response, Problem> {
    let more = typed.take("more");
    let mut draft: ModelDraft = typed.draft()?;
    let id = ModelId(form.id());
    let kind = kind_of(&draft.kind)?;
    let target = ModelTarget::New(id);
    if let Some(more) = more {
        one_more(&mut draft, &more);
        let shell = new_shell(&signed, kind);
        let nothing = FieldErrors::default();
        return Ok(Page(ModelForm::new(shell, target, kind, &draft, &nothing)).into_response());
    }
    let done = deed::model::add(&app.desk, &signed.actor, id, &draft).await;
    answer(
        done,
        |model| {
            Done::to(format!("/models/{}", model.id))
                .saying(format!("{} was added.", model.title()))
        },
        async |wrong| {
            let shell = new_shell(&signed, kind);
            Ok(ModelForm::new(
                shell,
                target,
                kind,
                &with_rows(kind, draft),
                &wrong,
            ))
        },
    )
    .await
}

async fn model_of(app: &App, signed: &Signed, id: ModelId) -> Result<Model, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    tx.model(id).await?.ok_or(Problem::NotFound("model"))
}

/// The form of a model that is there.
pub(super) async fn page_edit(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ModelId>,
    Query(back): Query<Back>,
) -> Result<Page<ModelForm>, Problem> {
    let model = model_of(&app, &signed, id).await?;
    let target = ModelTarget::There(id, model.revision);
    let draft = with_rows(model.kind, model.draft());
    let shell = edit_shell(&signed, &model, &back);
    let nothing = FieldErrors::default();
    Ok(Page(ModelForm::new(
        shell, target, model.kind, &draft, &nothing,
    )))
}

/// Changes the record of a model, or gives the form back with one row more.
pub(super) async fn page_revise(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ModelId>,
    Query(back): Query<Back>,
    mut typed: Typed,
) -> Result<Response, Problem> {
    let revision = typed.take_revision()?;
    let more = typed.take("more");
    let mut draft: ModelDraft = typed.draft()?;
    let there = model_of(&app, &signed, id).await?;
    let form = |target, draft: &ModelDraft, wrong: &FieldErrors, there: &Model| {
        let shell = edit_shell(&signed, there, &back);
        ModelForm::new(shell, target, there.kind, draft, wrong)
    };
    let opened = ModelTarget::There(id, revision);
    let nothing = FieldErrors::default();
    if let Some(more) = more {
        one_more(&mut draft, &more);
        return Ok(Page(form(opened, &draft, &nothing, &there)).into_response());
    }
    match deed::model::revise(
        &app.desk,
        &signed.actor,
        id,
        Seen::Version(revision),
        &draft,
    )
    .await
    {
        Ok(revised) => Ok(Done::to(back.or(format!("/models/{id}")))
            .saying(said(&revised))
            .into_response()),
        Err(DeedError::Invalid(wrong)) => {
            let draft = with_rows(there.kind, draft);
            Ok(Page::wrong(form(opened, &draft, &wrong, &there)))
        }
        Err(DeedError::Stale(wrong)) => {
            let there = model_of(&app, &signed, id).await?;
            let target = ModelTarget::There(id, there.revision);
            let draft = with_rows(there.kind, draft);
            let view = form(target, &draft, &wrong, &there);
            let view = view.beside(&draft, &there.draft());
            Ok(Page::again(StatusCode::CONFLICT, view))
        }
        Err(other) => Err(other.into()),
    }
}

/// That it was changed, and what went to quarantine by it.
fn said(Revised { model, beyond }: &Revised) -> String {
    let changed = format!("The record of {} was changed.", model.title());
    if beyond.is_empty() {
        return changed;
    }
    format!(
        "{changed} In quarantine now, since more was measured of them than it allows: {}.",
        beyond.join(", ")
    )
}

/// One model with the first of its items.
pub(super) async fn page_show(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ModelId>,
) -> Result<Page<ShowModel>, Problem> {
    let today = signed.today(&app);
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let model = tx.model(id).await?.ok_or(Problem::NotFound("model"))?;
    let filter = ItemFilter {
        model: Some(id),
        without_retired: true,
        ..ItemFilter::default()
    };
    let order = (ItemSort::Mark, Direction::Up);
    let page = tx.items(&filter, order, None, SOME).await?;
    let rulebook = deed::rulebook::home(&mut tx).await?;
    let shell = signed.shell_in(Section::Models, model.title());
    let items = (page.rows.as_slice(), page.next.is_some());
    let about = [("maker", model.maker.as_str()), ("model", &model.name)];
    let notice = address("/notices/new", &about);
    let to = AttachedTo::Model { model: id };
    let may_add = signed.actor.role.may(to.deed(None));
    let gallery = Gallery::of_record(&tx.attachments(to).await?, may_add.then(|| add_href(to)));
    Ok(Page(ShowModel::new(
        shell,
        &model,
        items,
        (&rulebook, today),
        (notice, gallery),
    )))
}
