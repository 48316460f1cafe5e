//! Issuing a kit: the verdict and the kit frozen together, two people named; and taking an issue back.

use std::collections::HashMap;

use time::OffsetDateTime;

use super::{DeedError, Desk, kit, permit};
use crate::{
    domain::{
        Actor, Change, Deed, FieldErrors, HeldBefore, Issue, IssueDraft, IssueId, IssueState,
        IssueTakenBack, ItemId, ItemOut, Job, JobId, KitList, NotAllowed, Person,
        kit_strength::Extent,
    },
    store::Tx,
};

/// What stands before an issue: the kit as it is, and every reason against handing it out.
#[derive(Clone, Debug)]
pub struct Before {
    /// The kit with its verdict.
    pub list: KitList,
    /// Why it is not handed out; none means that it may be.
    pub reasons: Vec<String>,
    /// The team.
    pub people: Vec<Person>,
    /// The issues of the job, the last first.
    pub issues: Vec<Issue>,
    /// The other planned jobs that hold items of the kit until its own job is over, the first to begin first.
    pub held: Vec<HeldBefore>,
}

/// What stands before an issue of the job's kit.
///
/// # Errors
/// [`DeedError::NotFound`] if there is no such job.
pub async fn before(desk: &Desk, actor: &Actor, id: JobId) -> Result<Before, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let now = desk.clock.now();
    let (list, _) = kit::judged(&mut tx, id, now, Extent::Answer).await?;
    let mut issues = tx.issues(id).await?;
    issues.reverse();
    Ok(Before {
        reasons: reasons(&list, now),
        held: held_before(&mut tx, &list, now).await?,
        people: tx.people().await?,
        issues,
        list,
    })
}

/// The other planned jobs that hold items of a kit from now until its own job is over.
async fn held_before(
    tx: &mut Tx,
    list: &KitList,
    now: OffsetDateTime,
) -> Result<Vec<HeldBefore>, DeedError> {
    let entries = list.in_order();
    let ids: Vec<ItemId> = entries.iter().map(|entry| entry.item.id).collect();
    let bookings = tx.bookings(&ids, now, list.job.ends_at).await?;
    let of: Vec<JobId> = bookings.iter().map(|booking| booking.job).collect();
    let jobs = tx.jobs_of(&of).await?;
    let mut held: Vec<HeldBefore> = Vec::new();
    for booking in bookings.iter().filter(|booking| booking.job != list.job.id) {
        let Some(job) = jobs.get(&booking.job) else {
            continue;
        };
        if !held.iter().any(|one| one.job == job.id) {
            let items = bookings.iter().filter(|other| other.job == job.id);
            let items: Vec<ItemId> = items.map(|other| other.item).collect();
            let own = entries
                .iter()
                .filter(|entry| items.contains(&entry.item.id));
            held.push(HeldBefore {
                job: job.id,
                title: job.title.clone(),
                starts_at: job.starts_at,
                ends_at: job.ends_at,
                marks: own.map(|entry| entry.item.mark.clone()).collect(),
            });
        }
    }
    Ok(held)
}

/// Every reason against handing a kit out: its verdict, what may not go, what is out with another crew.
fn reasons(list: &KitList, now: OffsetDateTime) -> Vec<String> {
    let mut reasons = Vec::new();
    if list.entries.is_empty() {
        reasons.push("Nothing is on the kit list.".to_owned());
    } else if !list.verdict.passes {
        reasons.push(format!("The verdict is no pass. {}", list.verdict.sentence));
    }
    for entry in list.in_order() {
        let mark = &entry.item.mark;
        reasons.extend(
            entry
                .refusals
                .iter()
                .map(|refusal| format!("{mark}: {}", refusal.sentence)),
        );
        let with = entry.with_crew.as_ref();
        // What keeps it from a job that has begun is told among the refusals.
        if let Some(with) = with.filter(|with| with.keeps_from(&list.job, now).is_none()) {
            reasons.push(format!(
                "{mark}: It is out with the crew of \"{}\", taken by {}, and was not counted back.",
                with.title, with.taken_by
            ));
        }
    }
    reasons
}

/// Hands out the kit of a job. An id that was given before gives the issue that is there.
///
/// # Errors
/// [`DeedError::Invalid`] with every reason under `kit`, and the two people under `by` and `to`;
/// [`DeedError::NotAllowed`] while the kit is out already and once the job has ended.
pub async fn issue(
    desk: &Desk,
    actor: &Actor,
    job: JobId,
    id: IssueId,
    draft: &IssueDraft,
) -> Result<Issue, DeedError> {
    permit(actor, Deed::PlanJob)?;
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    if let Some(there) = tx.issue(id).await? {
        return of_job(there, job);
    }
    let (list, chosen) = kit::judged(&mut tx, job, now, Extent::Answer).await?;
    list.job.may_change()?;
    let mut wrong = FieldErrors::default();
    for reason in reasons(&list, now) {
        wrong.add("kit", "refused", reason);
    }
    let hands = match draft.check(actor.person, &tx.people().await?) {
        Ok(hands) => hands,
        Err(fields) => {
            wrong.0.extend(fields.0);
            return Err(wrong.into());
        }
    };
    wrong.or(|| ())?;
    let stores = tx.stores().await?;
    let version = env!("CARGO_PKG_VERSION");
    let issue = Issue::new(id, (&list, &chosen.days()), &stores, (hands, now), version);
    tx.record(actor, now, Change::KitIssued(Box::new(issue.clone())))
        .await?;
    tx.commit().await?;
    Ok(issue)
}

/// The issue, if it is of this job.
pub(super) fn of_job(issue: Issue, job: JobId) -> Result<Issue, DeedError> {
    if issue.job.id == job {
        Ok(issue)
    } else {
        Err(DeedError::NotFound("issue"))
    }
}

/// An issue with what became of it.
#[derive(Clone, Debug)]
pub struct Issued {
    /// The frozen record.
    pub issue: Issue,
    /// The job as it stands now.
    pub job: Job,
    /// What of it is with the crew still.
    pub out: Vec<ItemId>,
    /// What of it is not fit any more, with the reasons; nothing where it is not out.
    pub since: Vec<(ItemId, Vec<String>)>,
}

/// An issue of a job.
///
/// # Errors
/// [`DeedError::NotFound`] if the job has no such issue.
pub async fn show(
    desk: &Desk,
    actor: &Actor,
    job: JobId,
    id: IssueId,
) -> Result<Issued, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let issue = tx.issue(id).await?.ok_or(DeedError::NotFound("issue"))?;
    let issue = of_job(issue, job)?;
    let there = tx.job(job).await?.ok_or(DeedError::NotFound("job"))?;
    if issue.state != IssueState::Out {
        return Ok(Issued {
            issue,
            job: there,
            out: Vec::new(),
            since: Vec::new(),
        });
    }
    let out = tx.out_on(job).await?;
    let (list, _) = kit::judged(&mut tx, job, desk.clock.now(), Extent::Answer).await?;
    Ok(Issued {
        since: list.unfit(),
        issue,
        job: there,
        out,
    })
}

/// Why an issue is taken back, as typed in.
#[derive(
    Clone, Debug, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize, utoipa::ToSchema,
)]
#[serde(default, deny_unknown_fields)]
pub struct TakeBackDraft {
    /// Why.
    pub reason: String,
}

/// Takes an issue back, so that plan and kit may change again. One that was taken back stays so.
///
/// # Errors
/// [`DeedError::Invalid`] without a reason; [`DeedError::NotAllowed`] once something of it was counted back.
pub async fn take_back(
    desk: &Desk,
    actor: &Actor,
    job: JobId,
    id: IssueId,
    draft: &TakeBackDraft,
) -> Result<Issue, DeedError> {
    permit(actor, Deed::PlanJob)?;
    let mut wrong = FieldErrors::default();
    let reason = wrong.reason("reason", &draft.reason);
    wrong.or(|| ())?;
    let mut tx = desk.database.write(actor.team).await?;
    let issue = tx.issue(id).await?.ok_or(DeedError::NotFound("issue"))?;
    let issue = of_job(issue, job)?;
    match issue.state {
        IssueState::TakenBack { .. } => return Ok(issue),
        IssueState::Returned => return Err(NotAllowed::IssueOver.into()),
        IssueState::Out => {}
    }
    if tx.out_on(job).await?.len() < issue.lines.len() {
        return Err(NotAllowed::CountBegun.into());
    }
    let back = IssueTakenBack {
        issue: id,
        job,
        reason,
    };
    tx.record(actor, desk.clock.now(), Change::IssueTakenBack(back))
        .await?;
    let issue = tx.issue(id).await?.ok_or(DeedError::NotFound("issue"))?;
    tx.commit().await?;
    Ok(issue)
}

/// The most jobs and items that the start tells.
const MOST: u32 = 50;

/// What is with crews, for the start.
#[derive(Clone, Debug, Default)]
pub struct WithCrews {
    /// The jobs whose kit is out, the first to end first.
    pub jobs: Vec<Job>,
    /// What is out and not in service any more: the mark, the job, why.
    pub unfit: Vec<(String, Job, String)>,
}

/// What is with crews, and what of it is not in service any more.
///
/// # Errors
/// The store's.
pub async fn with_crews(tx: &mut Tx) -> Result<WithCrews, DeedError> {
    let jobs = tx.jobs_out(MOST).await?;
    let unfit = tx.unfit_out(MOST).await?;
    let of: Vec<JobId> = unfit.iter().map(|(out, _)| out.job).collect();
    let of: HashMap<JobId, Job> = tx.jobs_of(&of).await?;
    let unfit = unfit.into_iter().filter_map(|(out, item)| {
        let why = format!("{}: {}", item.state.word(), item.state_reason);
        Some((item.mark, of.get(&out.job)?.clone(), why))
    });
    Ok(WithCrews {
        jobs,
        unfit: unfit.collect(),
    })
}

/// With which job's crew an item is, and who took it.
///
/// # Errors
/// The store's.
pub async fn whereabouts(tx: &mut Tx, item: ItemId) -> Result<Option<Issue>, DeedError> {
    let out: Option<ItemOut> = tx.out_of(&[item]).await?.remove(&item);
    match out {
        Some(out) => Ok(tx.issue(out.issue).await?),
        None => Ok(None),
    }
}
