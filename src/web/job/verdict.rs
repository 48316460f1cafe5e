//! The verdict on a job's kit.

use axum::extract::State;

use super::{may_plan, shell};
use crate::{
    deed,
    domain::{JobId, JobState, KitList},
    view::job::VerdictSheet,
    web::{App, Done, Page, Path, Problem, Signed},
};

/// The verdict, worked out anew from what stands in the records now.
pub(in crate::web) async fn page_verdict(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
) -> Result<Page<VerdictSheet>, Problem> {
    let list = deed::kit::show(&app.desk, &signed.actor, id).await?;
    Ok(Page(sheet(&signed, &list)))
}

fn sheet(signed: &Signed, list: &KitList) -> VerdictSheet {
    let may_keep = may_plan(signed) && list.job.state == JobState::Planned;
    let shell = shell(signed, &format!("Verdict: {}", list.job.title));
    VerdictSheet::new(shell, list, may_keep)
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
