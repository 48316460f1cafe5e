//! Issuing the kit of a job, and the record of an issue.

use axum::{
    extract::State,
    http::StatusCode,
    response::{IntoResponse, Response},
};

use super::shell;
use crate::{
    deed::{self, DeedError, issue::TakeBackDraft},
    domain::{FieldErrors, IssueDraft, IssueId, IssuedVerdict, JobId},
    view::issue::{BeforeIssue, NewIssue, Now, ShowIssue, issue_href},
    web::{App, Done, Form, Page, Path, Problem, Query, Signed, listed::FormId, page::answer},
};

async fn form(
    (app, signed): (&App, &Signed),
    (job, id): (JobId, IssueId),
    draft: &IssueDraft,
    wrong: &FieldErrors,
) -> Result<NewIssue, Problem> {
    let before = deed::issue::before(&app.desk, &signed.actor, job).await?;
    let list = &before.list;
    let shell = shell(signed, &format!("Issue: {}", list.job.title));
    let verdict = IssuedVerdict::of(list, env!("CARGO_PKG_VERSION"));
    let view = BeforeIssue {
        job: &list.job,
        verdict: &verdict,
        held: &before.held,
        reasons: &before.reasons,
        people: &before.people,
        issues: &before.issues,
    };
    Ok(NewIssue::new(shell, id, view, (draft, wrong)))
}

/// What may be issued and why not; where the kit is out, the record of that.
pub(in crate::web) async fn page_issues(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
) -> Result<Response, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let job = tx.job(id).await?.ok_or(Problem::NotFound("job"))?;
    drop(tx);
    if let Some(issue) = job.issued {
        return Ok(Done::to(issue_href(id, issue)).into_response());
    }
    let draft = IssueDraft {
        by: signed.actor.person.to_string(),
        ..IssueDraft::default()
    };
    let nothing = FieldErrors::default();
    let page = form((&app, &signed), (id, IssueId::new()), &draft, &nothing).await?;
    Ok(Page(page).into_response())
}

/// Issues the kit.
pub(in crate::web) async fn page_issue(
    State(app): State<App>,
    signed: Signed,
    Path(job): Path<JobId>,
    Query(new): Query<FormId>,
    Form(draft): Form<IssueDraft>,
) -> Result<Response, Problem> {
    let id = IssueId(new.id());
    let done = deed::issue::issue(&app.desk, &signed.actor, job, id, &draft).await;
    if let Err(DeedError::NotAllowed(_)) = done {
        // Somebody was first: the page says how the job stands and leads to what was issued.
        let nothing = FieldErrors::default();
        let page = form((&app, &signed), (job, id), &draft, &nothing).await?;
        return Ok(Page::again(StatusCode::CONFLICT, page));
    }
    answer(
        done,
        |issue| Done::to(issue_href(job, issue.id)).saying("The kit is issued."),
        async |wrong| form((&app, &signed), (job, id), &draft, &wrong).await,
    )
    .await
}

async fn shown(
    (app, signed): (&App, &Signed),
    (job, id): (JobId, IssueId),
    typed: (&str, &FieldErrors),
) -> Result<ShowIssue, Problem> {
    let issued = deed::issue::show(&app.desk, &signed.actor, job, id).await?;
    let shell = shell(signed, &format!("Issue of {}", issued.issue.job.title));
    let now = Now {
        job: &issued.job,
        out: &issued.out,
        since: &issued.since,
    };
    Ok(ShowIssue::new(shell, &issued.issue, now, typed))
}

/// The frozen record of an issue.
pub(in crate::web) async fn page_issued(
    State(app): State<App>,
    signed: Signed,
    Path((job, id)): Path<(JobId, IssueId)>,
) -> Result<Page<ShowIssue>, Problem> {
    let nothing = FieldErrors::default();
    shown((&app, &signed), (job, id), ("", &nothing))
        .await
        .map(Page)
}

/// Takes an issue back.
pub(in crate::web) async fn page_take_back(
    State(app): State<App>,
    signed: Signed,
    Path((job, id)): Path<(JobId, IssueId)>,
    Form(draft): Form<TakeBackDraft>,
) -> Result<Response, Problem> {
    match deed::issue::take_back(&app.desk, &signed.actor, job, id, &draft).await {
        Ok(_) => Ok(Done::to(format!("/jobs/{job}"))
            .saying("The issue is taken back; plan and kit may change.")
            .into_response()),
        Err(DeedError::Invalid(wrong)) => {
            let typed = (draft.reason.as_str(), &wrong);
            Ok(Page::wrong(shown((&app, &signed), (job, id), typed).await?))
        }
        Err(other) => Err(other.into()),
    }
}
