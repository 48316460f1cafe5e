//! A step between the states of an item.

use axum::{extract::State, response::Response};
use serde::Deserialize;

use crate::{
    deed::{
        self,
        item::{StepDraft, deed_of},
    },
    domain::{FieldErrors, Item, ItemId, ItemStep, Unanswered},
    view::{
        Section,
        item::{StepForm, TypedStep},
    },
    web::{App, Done, Form, Page, Path, Problem, Query, Signed, admit::forbidden, page::answer},
};

use super::show::asked_by;

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

/// An item, and what whoever returns it has to know.
struct Asked {
    item: Item,
    unanswered: Unanswered,
    by: String,
}

impl Asked {
    async fn read(app: &App, signed: &Signed, id: ItemId) -> Result<Self, Problem> {
        let mut tx = app.desk.database.read(signed.actor.team).await?;
        let item = tx.item(id).await?.ok_or(Problem::NotFound("item"))?;
        Ok(Self {
            unanswered: deed::item::unanswered(&mut tx, &item).await?,
            by: asked_by(&mut tx, &item).await?,
            item,
        })
    }

    /// Why the step is not open.
    fn refused(&self, step: ItemStep) -> Option<String> {
        let closed = self.item.may(step).err().map(|why| why.to_string());
        closed.or_else(|| match step {
            ItemStep::ReturnToService => self.unanswered.refusal(),
            _ => None,
        })
    }

    fn form(
        &self,
        signed: &Signed,
        step: ItemStep,
        typed: TypedStep<'_>,
        wrong: &FieldErrors,
    ) -> StepForm {
        let shell = signed.shell_in(Section::Items, step.word());
        let form = StepForm::new(shell, &self.item, step, typed, wrong);
        form.beside(&self.item, &self.unanswered, &self.by)
    }
}

/// Asks for the reason. Where the step is not open it says so at once.
pub(in crate::web) async fn page_step_new(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ItemId>,
    Query(which): Query<Which>,
) -> Result<Page<StepForm>, Problem> {
    let step = step_of(&which.step)?;
    let asked = Asked::read(&app, &signed, id).await?;
    if !signed.actor.role.may(deed_of(step)) {
        return Err(forbidden(signed.actor.role));
    }
    if let Some(why) = asked.refused(step) {
        return Err(Problem::NotAllowed(why));
    }
    let nothing = FieldErrors::default();
    let blank = TypedStep::default();
    Ok(Page(asked.form(&signed, step, blank, &nothing)))
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
            let asked = Asked::read(&app, &signed, id).await?;
            let typed = TypedStep {
                reason: &draft.reason,
                on: &draft.on,
                retired_for: &draft.retired_for,
            };
            Ok(asked.form(&signed, step, typed, &wrong))
        },
    )
    .await
}
