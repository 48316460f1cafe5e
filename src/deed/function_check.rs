//! The function check of a rig before it is loaded: two people look and sign.

use time::OffsetDateTime;

use super::{
    DeedError, Desk,
    issue::of_job,
    kit,
    kit_return::still_out,
    permit,
    session::{self, Given},
};
use crate::domain::{
    Actor, Change, Deed, FieldErrors, FunctionCheck, FunctionCheckDraft, FunctionCheckId, Issue,
    IssueId, IssueState, ItemId, Job, JobId, NotAllowed, Signer, Signing, Zone, half_signed,
};
use crate::store::Tx;

/// The list of an issue with what was signed.
#[derive(Clone, Debug)]
pub struct Checked {
    /// The issue.
    pub issue: Issue,
    /// The job as it stands now.
    pub job: Job,
    /// The signatures, the first first.
    pub checks: Vec<FunctionCheck>,
    /// What of what is out is not fit any more by its own record, with the reasons.
    pub since: Vec<(ItemId, Vec<String>)>,
    /// Who brought it in, and when; none while it is out.
    pub over: Option<(String, OffsetDateTime)>,
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
        over: over(&mut tx, &issue).await?,
        since: since(&mut tx, &issue, desk.clock.now()).await?,
        checks: tx.function_checks(&issue).await?,
        job: tx.job(job).await?.ok_or(DeedError::NotFound("job"))?,
        issue,
    })
}

/// Who took an issue back, or counted the last of it, and when.
async fn over(tx: &mut Tx, issue: &Issue) -> Result<Option<(String, OffsetDateTime)>, DeedError> {
    match issue.state {
        IssueState::Out => Ok(None),
        IssueState::Returned => {
            let counts = tx.kit_returns(issue).await?.into_iter();
            let last = counts.max_by_key(|count| count.at);
            Ok(last.map(|count| (count.by.name, count.at)))
        }
        IssueState::TakenBack { .. } => {
            let kept = tx
                .entries_about(&[issue.job.id.0], &["issue-taken-back"])
                .await?;
            let mut entries = kept.into_iter().map(|kept| kept.entry);
            let back = entries.find(|entry| {
                matches!(&entry.change, Change::IssueTakenBack(back) if back.issue == issue.id)
            });
            let Some(back) = back else { return Ok(None) };
            let who = tx.person(back.actor).await?;
            Ok(who.map(|who| (who.name, back.recorded_at)))
        }
    }
}

/// What of what is out with an issue is not fit any more by its own record.
async fn since(
    tx: &mut Tx,
    issue: &Issue,
    now: OffsetDateTime,
) -> Result<Vec<(ItemId, Vec<String>)>, DeedError> {
    let out = still_out(tx, issue).await?;
    kit::own_faults(tx, issue.job.id, now, &out).await
}

/// Signs the function check of an issue: everything was looked at and found right. An id that was given before gives
/// the signature that is there. Times without an offset are on the clocks of `zone`.
///
/// # Errors
/// [`DeedError::Invalid`] with every line that is not answered or not right, and under `kit` with what of the kit is not
/// fit any more; [`DeedError::NotAllowed`] where the kit is not out.
pub async fn sign(
    desk: &Desk,
    actor: &Actor,
    (job, issue): (JobId, IssueId),
    (id, draft): (FunctionCheckId, &FunctionCheckDraft),
    zone: &Zone,
) -> Result<FunctionCheck, DeedError> {
    permit(actor, Deed::ReportEvent)?;
    signed(desk, (actor, None), (job, issue), (id, draft), zone).await
}

/// The same as the second signature of a list, by somebody else on the device of `actor`. They are known by what they
/// give, and every line is theirs.
///
/// # Errors
/// [`DeedError::Invalid`] as for signing, with what does not hold of the sign-in name and the password, and where no list
/// waits for a second signature.
pub async fn sign_beside(
    desk: &Desk,
    actor: &Actor,
    of: (JobId, IssueId),
    (id, draft): (FunctionCheckId, &FunctionCheckDraft),
    (given, zone): (Given<'_>, &Zone),
) -> Result<FunctionCheck, DeedError> {
    permit(actor, Deed::ReportEvent)?;
    match session::beside(desk, actor, given).await {
        Ok(second) => signed(desk, (&second, Some(actor)), of, (id, draft), zone).await,
        Err(DeedError::Invalid(mut wrong)) => {
            // What does not hold of the list is told at once, though nobody signs it.
            let there = show(desk, actor, of.0, of.1).await?;
            let nobody = Signing {
                id,
                issue: &there.issue,
                before: &[],
                since: &there.since,
                by: there.issue.by.clone(),
                on_device_of: None,
                now: desk.clock.now(),
                zone,
            };
            wrong
                .0
                .extend(draft.check(nobody).err().unwrap_or_default().0);
            Err(wrong.into())
        }
        Err(other) => Err(other),
    }
}

/// Keeps the signature of `actor`, on the device of `host` where that is somebody else's.
async fn signed(
    desk: &Desk,
    (actor, host): (&Actor, Option<&Actor>),
    (job, issue): (JobId, IssueId),
    (id, draft): (FunctionCheckId, &FunctionCheckDraft),
    zone: &Zone,
) -> Result<FunctionCheck, DeedError> {
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
    let by = signer(&mut tx, actor).await?;
    let on_device_of = match host {
        Some(host) => Some(signer(&mut tx, host).await?),
        None => None,
    };
    let before = tx.function_checks(&issue).await?;
    if host.is_some() && half_signed(&before).is_none() {
        let sentence = "No list waits for a second signature any more. Open this page again.";
        return Err(FieldErrors::one("answers", "stale", sentence).into());
    }
    let since = since(&mut tx, &issue, now).await?;
    let check = draft.check(Signing {
        id,
        issue: &issue,
        before: &before,
        since: &since,
        by,
        on_device_of,
        now,
        zone,
    })?;
    tx.record(actor, now, Change::FunctionCheckSigned(check.clone()))
        .await?;
    tx.commit().await?;
    Ok(check)
}

async fn signer(tx: &mut Tx, actor: &Actor) -> Result<Signer, DeedError> {
    let person = tx.person(actor.person).await?;
    Ok(Signer::from(&person.ok_or(DeedError::NotFound("person"))?))
}
