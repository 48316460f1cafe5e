//! A step between the states of an item.

use axum::{extract::State, response::Response};
use serde::Deserialize;

use crate::{
    deed::{
        self,
        item::{StepDraft, deed_of},
    },
    domain::{FieldErrors, Item, ItemId, ItemStep},
    view::{
        Section,
        item::{StepForm, TypedStep},
    },
    web::{App, Done, Form, Page, Path, Problem, Query, Signed, admit::forbidden, page::answer},
};

/// Which step is meant.
#[derive(Deserialize)]
#[serde(default)]
#[derive(Default)]
pub(in crate::web) struct Which {
    step: String,
}

fn step_of(key: &str) -> Result<ItemStep, Problem> {
    ItemStep::from_key(key.trim()).ok_or(Problem::NotFound("step"))
}

async fn item_of(app: &App, signed: &Signed, id: ItemId) -> Result<Item, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    tx.item(id).await?.ok_or(Problem::NotFound("item"))
}

fn form(
    signed: &Signed,
    item: &Item,
    step: ItemStep,
    typed: TypedStep<'_>,
    wrong: &FieldErrors,
) -> StepForm {
    let shell = signed.shell_in(Section::Items, step.word());
    StepForm::new(shell, item, step, typed, wrong)
}

/// Asks for the reason. Where the step is not open it says so at once.
pub(in crate::web) async fn page_step_new(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ItemId>,
    Query(which): Query<Which>,
) -> Result<Page<StepForm>, Problem> {
    let step = step_of(&which.step)?;
    let item = item_of(&app, &signed, id).await?;
    if !signed.actor.role.may(deed_of(step)) {
        return Err(forbidden(signed.actor.role));
    }
    let open = item.may(step);
    open.map_err(|why| Problem::NotAllowed(why.to_string()))?;
    let nothing = FieldErrors::default();
    let blank = TypedStep::default();
    Ok(Page(form(&signed, &item, step, blank, &nothing)))
}

fn said(item: &Item) -> String {
    let (mark, state) = (&item.mark, item.state.word());
    match item.return_asked {
        Some(_) => format!(
            "The return of {mark} is asked for; it stays in quarantine until another competent person confirms it."
        ),
        None => format!("{mark} is {state} now."),
    }
}

/// Takes the step.
pub(in crate::web) async fn page_step_create(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ItemId>,
    Form(draft): Form<StepDraft>,
) -> Result<Response, Problem> {
    let done = deed::item::step(&app.desk, &signed.actor, id, &draft).await;
    answer(
        done,
        |item| Done::to(format!("/items/{id}")).saying(said(&item)),
        async |wrong| {
            let step = step_of(&draft.step)?;
            let item = item_of(&app, &signed, id).await?;
            let typed = TypedStep {
                reason: &draft.reason,
                on: &draft.on,
                retired_for: &draft.retired_for,
            };
            Ok(form(&signed, &item, step, typed, &wrong))
        },
    )
    .await
}
