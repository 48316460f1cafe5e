//! The function check of an issue.

use axum::{extract::State, response::Response};

use super::shell;
use crate::{
    deed::{self, session::Given},
    domain::{FieldErrors, FunctionCheckDraft, FunctionCheckId, IssueId, JobId},
    view::{
        function_check::{Checking, ShowFunctionCheck},
        issue::issue_href,
    },
    web::{
        App, Done, Page, Path, Problem, Query, Signed, listed::FormId, page::answer,
        session::Address, typed::Typed,
    },
};

async fn form(
    (app, signed): (&App, &Signed),
    (job, issue): (JobId, IssueId),
    id: FunctionCheckId,
    typed: (&FunctionCheckDraft, &str, &FieldErrors),
) -> Result<ShowFunctionCheck, Problem> {
    let checked = deed::function_check::show(&app.desk, &signed.actor, job, issue).await?;
    let shell = shell(
        signed,
        &format!("Function check: {}", checked.issue.job.title),
    );
    let checking = Checking {
        issue: &checked.issue,
        job: &checked.job,
        checks: &checked.checks,
        since: &checked.since,
        over: checked.over.as_ref(),
    };
    Ok(ShowFunctionCheck::new(shell, id, checking, typed))
}

/// What is asked, and who has signed.
pub(in crate::web) async fn page_check(
    State(app): State<App>,
    signed: Signed,
    Path(of): Path<(JobId, IssueId)>,
) -> Result<Page<ShowFunctionCheck>, Problem> {
    let (draft, nothing) = (FunctionCheckDraft::default(), FieldErrors::default());
    let id = FunctionCheckId::new();
    form((&app, &signed), of, id, (&draft, "", &nothing))
        .await
        .map(Page)
}

/// Signs.
pub(in crate::web) async fn page_sign(
    State(app): State<App>,
    signed: Signed,
    Path(of): Path<(JobId, IssueId)>,
    Query(new): Query<FormId>,
    typed: Typed,
) -> Result<Response, Problem> {
    let draft: FunctionCheckDraft = typed.draft()?;
    let id = FunctionCheckId(new.id());
    let (desk, actor) = (&app.desk, &signed.actor);
    let done = deed::function_check::sign(desk, actor, of, (id, &draft), &signed.zone).await;
    answer(
        done,
        |_| Done::to(format!("{}/check", issue_href(of.0, of.1))).saying("Signed."),
        async |wrong| form((&app, &signed), of, id, (&draft, "", &wrong)).await,
    )
    .await
}

/// Signs as the second person, on the device of the first.
pub(in crate::web) async fn page_sign_beside(
    State(app): State<App>,
    signed: Signed,
    Path(of): Path<(JobId, IssueId)>,
    Query(new): Query<FormId>,
    Address(address): Address,
    mut typed: Typed,
) -> Result<Response, Problem> {
    let sign_in = typed.take("sign_in").unwrap_or_default();
    let password = typed.take("password").unwrap_or_default();
    let draft: FunctionCheckDraft = typed.draft()?;
    let id = FunctionCheckId(new.id());
    let given = Given {
        sign_in: &sign_in,
        password: &password,
        address: &address,
    };
    let (desk, actor) = (&app.desk, &signed.actor);
    let by = (given, &signed.zone);
    let done = deed::function_check::sign_beside(desk, actor, of, (id, &draft), by).await;
    answer(
        done,
        |check| {
            let words = format!("Signed by {}.", check.by.name);
            Done::to(format!("{}/check", issue_href(of.0, of.1))).saying(words)
        },
        async |wrong| form((&app, &signed), of, id, (&draft, &sign_in, &wrong)).await,
    )
    .await
}
