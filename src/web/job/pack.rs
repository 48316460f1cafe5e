//! The kit list of a job on paper, and the short address that its code holds.

use axum::{
    extract::State,
    response::{Redirect, Response},
};

use crate::{
    deed,
    domain::{Deed, Issue, JobId, KitList, Store},
    export::paper::lacking,
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

/// What the PDF of a kit list has no letters for, as the kit stands.
pub(super) fn of_kit(list: &KitList, stores: &[Store], team: &str) -> Option<String> {
    let lines = list.entries.iter();
    let lines = lines.map(|entry| {
        let (item, model) = (&entry.item, &entry.model);
        let store = stores.iter().find(|store| store.id == item.store);
        let store = store.map(|store| &store.name);
        (&item.mark, &item.serial, model.title(), store)
    });
    let lines: Vec<_> = lines.collect();
    let positions = list.rig.positions().iter();
    let positions: Vec<&str> = positions.map(|position| position.title()).collect();
    let verdict = (list.sentence(), list.rig_words(), &list.verdict.asked.title);
    lacking::told(&(team, &list.job, verdict, lines, positions))
}

/// The same while the kit is issued, as it was frozen.
pub(super) fn of_issue(issue: &Issue, team: &str) -> Option<String> {
    lacking::told(&(team, issue))
}

/// The kit list as a PDF.
pub(in crate::web) async fn file_pack(
    State(app): State<App>,
    signed: Signed,
    Path(job): Path<JobId>,
    Query(asked): Query<AskedPaper>,
) -> Result<Response, Problem> {
    Box::pin(kit_list(&app, &signed, job, asked.size())).await
}

/// The same for pages and programs, on a paper of this size.
pub(in crate::web) async fn kit_list(
    app: &App,
    signed: &Signed,
    job: JobId,
    size: &str,
) -> Result<Response, Problem> {
    let units = signed.preference.units;
    let paper = (paper_of(signed, size), units, short(app, job));
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
