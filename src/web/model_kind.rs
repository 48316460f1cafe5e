//! The door of a model's kind: what a change of it does, and the change.

use axum::{
    extract::State,
    http::StatusCode,
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{App, Done, Page, Path, Problem, Query, Signed, typed::Typed};
use crate::{
    deed::{
        self, DeedError, Seen,
        model_kind::{Forecast, against},
    },
    domain::{FieldErrors, Kind, ModelId, ModelKindDraft},
    view::{
        Section,
        model::{KindChange, KindTold},
    },
};

/// What stands behind the question mark.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct Asked {
    kind: String,
}

/// What it would do.
pub(super) async fn page_ask(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ModelId>,
    Query(asked): Query<Asked>,
) -> Result<Page<KindChange>, Problem> {
    let draft = ModelKindDraft {
        kind: asked.kind,
        ..ModelKindDraft::default()
    };
    let nothing = FieldErrors::default();
    Ok(Page(sheet(&app, &signed, id, draft, &nothing).await?))
}

/// Changes the kind.
pub(super) async fn page_change(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ModelId>,
    mut typed: Typed,
) -> Result<Response, Problem> {
    let seen = Seen::Version(typed.take_revision()?);
    let draft: ModelKindDraft = typed.draft()?;
    match deed::model_kind::change(&app.desk, &signed.actor, id, seen, &draft).await {
        Ok(model) => Ok(Done::to(format!("/models/{id}"))
            .saying(format!("{} is {} now.", model.title(), model.kind.one()))
            .into_response()),
        Err(DeedError::Invalid(wrong)) => {
            Ok(Page::wrong(sheet(&app, &signed, id, draft, &wrong).await?))
        }
        Err(DeedError::Stale(mut wrong)) => {
            let sentence = "The record of this model was changed since this page was opened. What stands here is told of the record as it is now.";
            wrong.add("kind", "stale", sentence);
            let sheet = sheet(&app, &signed, id, draft, &wrong).await?;
            Ok(Page::again(StatusCode::CONFLICT, sheet))
        }
        Err(other) => Err(other.into()),
    }
}

async fn sheet(
    app: &App,
    signed: &Signed,
    id: ModelId,
    draft: ModelKindDraft,
    wrong: &FieldErrors,
) -> Result<KindChange, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let model = tx.model(id).await?.ok_or(Problem::NotFound("model"))?;
    drop(tx);
    let kind = Kind::from_word(&draft.kind).filter(|kind| *kind != model.kind);
    let told = match kind {
        None => None,
        Some(kind) => {
            let forecast = deed::model_kind::forecast(&app.desk, &signed.actor, id, kind).await?;
            Some(told(forecast))
        }
    };
    let title = format!("Change the kind of {}", model.title());
    let shell = signed.shell_in(Section::Models, title);
    Ok(KindChange::new(shell, &model, draft, wrong, told))
}

fn told(forecast: Forecast) -> KindTold {
    let of_job = forecast.on_jobs.iter().map(|(mark, job)| {
        let sentence = format!(
            "{mark} is on the kit list of \"{}\", where it was judged as what it is: take it off there first.",
            job.title
        );
        (sentence, Some(format!("/jobs/{}", job.id)))
    });
    let mut reasons: Vec<(String, Option<String>)> = of_job.collect();
    if !forecast.wrong.is_empty() {
        let record = format!("/models/{}/edit", forecast.model.id);
        reasons.push((against(forecast.to, &forecast.wrong), Some(record)));
    }
    KindTold::new((&forecast.model, forecast.to), forecast.effects, reasons)
}
