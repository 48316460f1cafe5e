//! Counting the kit of a job back.

use axum::{extract::State, response::Response};

use super::shell;
use crate::{
    deed,
    domain::{FieldErrors, IssueId, JobId, KitReturnDraft, ReturnId},
    view::{
        issue::issue_href,
        kit_return::{Count, ShowKitReturn},
        words,
    },
    web::{
        App, Done, Page, Path, Problem, Query, Signed, listed::FormId, page::answer, typed::Typed,
    },
};

async fn form(
    (app, signed): (&App, &Signed),
    (job, issue): (JobId, IssueId),
    id: ReturnId,
    typed: (&KitReturnDraft, &FieldErrors),
) -> Result<ShowKitReturn, Problem> {
    let counted = deed::kit_return::show(&app.desk, &signed.actor, job, issue).await?;
    let shell = shell(signed, &format!("Count back: {}", counted.issue.job.title));
    let count = Count {
        issue: &counted.issue,
        job: &counted.job,
        out: &counted.out,
        counts: &counted.counts,
        since: &counted.since,
    };
    Ok(ShowKitReturn::new(shell, id, count, typed))
}

/// What is still to be counted, and what was.
pub(in crate::web) async fn page_return(
    State(app): State<App>,
    signed: Signed,
    Path(of): Path<(JobId, IssueId)>,
) -> Result<Page<ShowKitReturn>, Problem> {
    let (draft, nothing) = (KitReturnDraft::default(), FieldErrors::default());
    let id = ReturnId::new();
    form((&app, &signed), of, id, (&draft, &nothing))
        .await
        .map(Page)
}

/// Counts.
pub(in crate::web) async fn page_count(
    State(app): State<App>,
    signed: Signed,
    Path(of): Path<(JobId, IssueId)>,
    Query(new): Query<FormId>,
    typed: Typed,
) -> Result<Response, Problem> {
    let draft: KitReturnDraft = typed.draft()?;
    let id = ReturnId(new.id());
    let done = deed::kit_return::count(&app.desk, &signed.actor, of, (id, &draft)).await;
    answer(
        done,
        |count| {
            let items = words::count(count.lines.len(), "item is", "items are");
            Done::to(format!("{}/return", issue_href(of.0, of.1)))
                .saying(format!("{items} counted."))
        },
        async |wrong| form((&app, &signed), of, id, (&draft, &wrong)).await,
    )
    .await
}
