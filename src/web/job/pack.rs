//! The kit list of a job on paper, and the short address that its code holds.

use axum::{
    extract::State,
    response::{Redirect, Response},
};

use crate::{
    deed,
    domain::{Deed, JobId, KitList},
    view::figure::on_paper,
    web::{
        App, Path, Problem, Query, Signed,
        paper::{AskedPaper, paper_of, pdf},
    },
};

/// The short address of a job.
fn short(app: &App, job: JobId) -> String {
    let address = app.config.public_url.as_deref().unwrap_or_default();
    format!("{address}/j/{}", job.0.simple())
}

/// The kit list as a PDF.
pub(in crate::web) async fn file_pack(
    State(app): State<App>,
    signed: Signed,
    Path(job): Path<JobId>,
    Query(asked): Query<AskedPaper>,
) -> Result<Response, Problem> {
    kit_list(&app, &signed, job, asked.size()).await
}

/// The same for pages and programs, on a paper of this size.
pub(in crate::web) async fn kit_list(
    app: &App,
    signed: &Signed,
    job: JobId,
    size: &str,
) -> Result<Response, Problem> {
    let paper = (paper_of(signed, size), short(app, job));
    let units = signed.preference.units;
    let draw = |list: &KitList| on_paper(list, units);
    let bytes = deed::pack::file(&app.desk, &signed.actor, job, paper, draw).await?;
    Ok(pdf(&format!("kit-{job}"), bytes))
}

/// The short address of a job: goes on to where the crew works on it, which is the count while its kit is out.
pub(in crate::web) async fn page_short(
    State(app): State<App>,
    signed: Signed,
    Path(job): Path<JobId>,
) -> Result<Redirect, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let job = tx.job(job).await?.ok_or(Problem::NotFound("job"))?;
    let page = format!("/jobs/{}", job.id);
    Ok(match job.issued {
        Some(issue) if signed.actor.role.may(Deed::ReportEvent) => {
            Redirect::to(&format!("{page}/issues/{issue}/return"))
        }
        _ => Redirect::to(&page),
    })
}
