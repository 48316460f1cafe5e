//! The function check of a rig before it is loaded: two people look and sign.

use super::{DeedError, Desk, issue::of_job, permit};
use crate::domain::{
    Actor, Change, Deed, FunctionCheck, FunctionCheckDraft, FunctionCheckId, Issue, IssueId,
    IssueState, Job, JobId, NotAllowed, Signer, Signing, Zone,
};

/// The list of an issue with what was signed.
#[derive(Clone, Debug)]
pub struct Checked {
    /// The issue.
    pub issue: Issue,
    /// The job as it stands now.
    pub job: Job,
    /// The signatures, the first first.
    pub checks: Vec<FunctionCheck>,
}

/// The function checks of an issue.
///
/// # Errors
/// [`DeedError::NotFound`] if the job has no such issue.
pub async fn show(
    desk: &Desk,
    actor: &Actor,
    job: JobId,
    issue: IssueId,
) -> Result<Checked, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let issue = tx.issue(issue).await?;
    let issue = of_job(issue.ok_or(DeedError::NotFound("issue"))?, job)?;
    Ok(Checked {
        checks: tx.function_checks(&issue).await?,
        job: tx.job(job).await?.ok_or(DeedError::NotFound("job"))?,
        issue,
    })
}

/// Signs the function check of an issue: everything was looked at and found right. An id that was given before gives
/// the signature that is there. Times without an offset are on the clocks of `zone`.
///
/// # Errors
/// [`DeedError::Invalid`] with every line that is not answered or not right; [`DeedError::NotAllowed`] where the kit is
/// not out.
pub async fn sign(
    desk: &Desk,
    actor: &Actor,
    (job, issue): (JobId, IssueId),
    (id, draft): (FunctionCheckId, &FunctionCheckDraft),
    zone: &Zone,
) -> Result<FunctionCheck, DeedError> {
    permit(actor, Deed::ReportEvent)?;
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    let issue = tx.issue(issue).await?;
    let issue = of_job(issue.ok_or(DeedError::NotFound("issue"))?, job)?;
    if let Some(there) = tx.function_check(id).await? {
        return if there.issue == issue.id {
            Ok(there)
        } else {
            Err(DeedError::NotFound("function check"))
        };
    }
    if issue.state != IssueState::Out {
        return Err(NotAllowed::IssueOver.into());
    }
    let person = tx.person(actor.person).await?;
    let by = Signer::from(&person.ok_or(DeedError::NotFound("person"))?);
    let before = tx.function_checks(&issue).await?;
    let check = draft.check(Signing {
        id,
        issue: &issue,
        before: &before,
        by,
        now,
        zone,
    })?;
    tx.record(actor, now, Change::FunctionCheckSigned(check.clone()))
        .await?;
    tx.commit().await?;
    Ok(check)
}
