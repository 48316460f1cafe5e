//! How many complete sets could go out: pages, a file, and for programs.

use axum::{
    Json,
    extract::State,
    response::{IntoResponse, Response},
};
use serde::Serialize;
use time::Date;
use utoipa::ToSchema;

use super::{App, Page, Problem, Query, Signed, api::ProblemJson, export::offered, job::choices};
use crate::{
    deed::{self, DeedError},
    domain::{
        Deed, FieldErrors, JobId, PinId,
        date::iso,
        proposal::Readiness,
        ready::{ReadinessDraft, Ready},
    },
    rigging::CAUTIONS,
    view::{
        Section,
        readiness::{PinForm, ReadinessList, SetsSheet},
    },
};

/// The plans that the team works by, and a form for another.
pub(super) async fn page_list(
    State(app): State<App>,
    signed: Signed,
) -> Result<Page<ReadinessList>, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let team = tx.this_team().await?;
    let draft = ReadinessDraft {
        rulebook: team.map(|(team, _)| team.rulebook).unwrap_or_default(),
        depth: "15 m".to_owned(),
        load: "1 person".to_owned(),
        ..ReadinessDraft::default()
    };
    drop(tx);
    let page = Box::pin(list(&app, &signed, draft, &FieldErrors::default())).await?;
    Ok(Page(page))
}

pub(super) async fn list(
    app: &App,
    signed: &Signed,
    draft: ReadinessDraft,
    wrong: &FieldErrors,
) -> Result<ReadinessList, Problem> {
    let standing = Box::pin(deed::kit::standing_sets(&app.desk, &signed.actor)).await?;
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let choices = choices(&mut tx, &draft.rig, &draft.rulebook).await?;
    let shell = signed.shell_in(Section::Trends, "Complete sets");
    let choices = (choices.rigs, choices.rulebooks);
    Ok(ReadinessList::new(shell, &standing, draft, choices, wrong))
}

/// The sets for one plan.
pub(super) async fn page_show(
    State(app): State<App>,
    signed: Signed,
    Query(draft): Query<ReadinessDraft>,
) -> Result<Response, Problem> {
    match Box::pin(deed::kit::readiness(&app.desk, &signed.actor, &draft)).await {
        Ok(ready) => {
            let title = format!("Complete sets: {}", ready.rig.title());
            let shell = signed.shell_in(Section::Trends, title);
            let file = offered("sets", &asked(&draft));
            let may = signed.actor.role.may(Deed::PlanJob);
            let mut sheet = SetsSheet::new(shell, &ready, file);
            sheet.pin = match (ready.pin, &ready.of) {
                (Some(pin), _) => Some(PinForm::unpin(pin)),
                (None, None) => Some(PinForm::pin(&draft)),
                // The plan of a job stands in the list by itself.
                (None, Some(_)) => None,
            };
            sheet.pin = sheet.pin.filter(|_| may);
            Ok(Page(sheet).into_response())
        }
        Err(DeedError::Invalid(wrong)) => Ok(Page::wrong(
            Box::pin(list(&app, &signed, draft, &wrong)).await?,
        )),
        Err(other) => Err(other.into()),
    }
}

/// The plan as it stands behind the question mark.
fn asked(draft: &ReadinessDraft) -> Vec<(&'static str, &str)> {
    let mut pairs = vec![("job", draft.job.as_str()), ("pin", &draft.pin)];
    pairs.extend(draft.pairs());
    pairs
}

/// How many complete sets could go out.
#[derive(Serialize, ToSchema)]
pub(super) struct SetsJson {
    /// The rig's key.
    rig: String,
    /// The rulebook's key.
    rulebook: String,
    /// The job whose plan it is.
    #[schema(value_type = Option<Uuid>)]
    job: Option<JobId>,
    /// The pin whose plan it is.
    #[schema(value_type = Option<Uuid>)]
    pin: Option<PinId>,
    /// Today.
    #[serde(with = "iso")]
    #[schema(value_type = String, format = Date)]
    today: Date,
    /// The last day that is looked at.
    #[serde(with = "iso")]
    #[schema(value_type = String, format = Date)]
    until: Date,
    /// The answer.
    #[serde(flatten)]
    sets: Readiness,
    /// What the plan lacks to tell how long the ropes must be.
    plan_lacks: Vec<String>,
    /// What no such answer can know, a sentence each.
    cautions: Vec<&'static str>,
}

impl From<Ready> for SetsJson {
    fn from(ready: Ready) -> Self {
        Self {
            rig: ready.job.rig,
            rulebook: ready.job.rulebook,
            job: ready.of.map(|job| job.id),
            pin: ready.pin,
            today: ready.span.0,
            until: ready.span.1,
            sets: ready.readiness.sets.clone(),
            plan_lacks: ready.plan_lacks,
            cautions: CAUTIONS.to_vec(),
        }
    }
}

/// How many complete sets could go out
///
/// Today and on every day of the next 24 months, if nothing is bought or examined: each complete, fit and strong enough,
/// no item in two of them. For the plan of a `job`, for one that is pinned (`pin`), or for the `rig`, `rulebook`, `depth` and `load` that are given.
#[utoipa::path(get, path = "/api/v1/readiness", tag = "jobs", params(ReadinessDraft), responses(
    (status = 200, body = SetsJson), (status = 404, body = ProblemJson), (status = 422, body = ProblemJson)))]
pub(super) async fn api_show(
    State(app): State<App>,
    signed: Signed,
    Query(draft): Query<ReadinessDraft>,
) -> Result<Json<SetsJson>, Problem> {
    let ready = Box::pin(deed::kit::readiness(&app.desk, &signed.actor, &draft)).await?;
    Ok(Json(ready.into()))
}
