//! The verdict on a job's kit.

use axum::extract::State;
use serde::Deserialize;

use super::{may_plan, shell_at};
use crate::{
    deed,
    domain::{JobId, JobState, KitList, kit_strength::Extent},
    rigging::Phase,
    view::job::VerdictSheet,
    web::{App, Done, Page, Path, Problem, Query, Signed},
};

/// The verdict, worked out anew from what stands in the records now.
pub(in crate::web) async fn page_verdict(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
    Query(asked): Query<Asked>,
) -> Result<Page<VerdictSheet>, Problem> {
    let list = deed::kit::show(&app.desk, &signed.actor, id, Extent::WithSwings).await?;
    Ok(Page(sheet(&signed, &list, asked.phase)?))
}

/// What the address asks for.
#[derive(Deserialize)]
pub(in crate::web) struct Asked {
    /// The phase that is drawn; that of the weakest link if left out.
    phase: Option<Phase>,
}

fn sheet(signed: &Signed, list: &KitList, asked: Option<Phase>) -> Result<VerdictSheet, Problem> {
    let may_keep = may_plan(signed) && list.job.state == JobState::Planned;
    let here = format!("/jobs/{}/verdict", list.job.id);
    let shell = shell_at(signed, &format!("Verdict: {}", list.job.title), &here);
    let sheet = VerdictSheet::new(shell, list, may_keep);
    let Some(assessment) = &list.verdict.assessment else {
        return Ok(sheet);
    };
    let weakest = assessment.weakest.as_ref().map(|weakest| weakest.phase);
    let phase = asked.or(weakest).unwrap_or(Phase::Frictionless);
    if assessment.forces(phase).is_none() {
        let all = assessment.phases.iter().map(|forces| forces.phase.key());
        let all: Vec<&str> = all.collect();
        return Err(Problem::Unreadable(format!(
            "This job has no phase \"{}\": ask for one of {}.",
            phase.key(),
            all.join(", ")
        )));
    }
    Ok(sheet.drawn(list, phase))
}

/// Keeps the verdict in the history.
pub(in crate::web) async fn page_keep(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
) -> Result<Done, Problem> {
    deed::kit::keep_verdict(&app.desk, &signed.actor, id).await?;
    Ok(Done::to(format!("/jobs/{id}/verdict")).saying("The verdict is kept in the job's history."))
}
