//! Jobs: planning one, changing the plan, ending it.

use super::{Chosen, DeedError, Desk, Seen, permit, same_revision};
use crate::{
    domain::{
        Actor, Change, Deed, FieldErrors, ItemId, Job, JobDraft, JobEnd, JobId, JobState, Zone,
        counted,
    },
    store::Tx,
};

/// Plans a job. Times without an offset are on the clocks of `zone`.
///
/// # Errors
/// [`DeedError::Invalid`] with every field that does not hold, a rulebook or rig that is not there
/// among them.
pub async fn plan(
    desk: &Desk,
    actor: &Actor,
    id: JobId,
    draft: &JobDraft,
    zone: &Zone,
) -> Result<Job, DeedError> {
    permit(actor, Deed::PlanJob)?;
    let mut job = draft.check(id, 1, zone)?;
    let mut tx = desk.database.write(actor.team).await?;
    if let Some(there) = tx.job(id).await? {
        return Ok(there);
    }
    let chosen = Chosen::settle(&mut tx, &mut job, None).await?;
    job.likely_load(&chosen.rulebook)?;
    tx.record(actor, desk.clock.now(), Change::JobPlanned(job.clone()))
        .await?;
    tx.commit().await?;
    Ok(job)
}

/// Changes the plan of a job; times are read as for planning. Its kit stays; what the new plan refuses shows on the kit list.
///
/// # Errors
/// [`DeedError::Stale`] if it was changed since it was seen; [`DeedError::NotAllowed`] once it has
/// ended, and where the new time would take an item from another job.
pub async fn revise(
    desk: &Desk,
    actor: &Actor,
    id: JobId,
    seen: Seen,
    draft: &JobDraft,
    zone: &Zone,
) -> Result<Job, DeedError> {
    permit(actor, Deed::PlanJob)?;
    let mut tx = desk.database.write(actor.team).await?;
    let before = tx.job(id).await?.ok_or(DeedError::NotFound("job"))?;
    // To issue or to end a job makes a revision too: who came second is told that, not to save once more.
    before.may_change()?;
    let typed = draft.check(id, before.revision + 1, zone);
    let mut job = same_revision(before.revision, seen, typed)?;
    let chosen = Chosen::settle(&mut tx, &mut job, Some(&before)).await?;
    job.likely_load(&chosen.rulebook)?;
    let items: Vec<ItemId> = tx
        .kit(id)
        .await?
        .into_iter()
        .map(|line| line.item)
        .collect();
    let bookings = tx.bookings(&items, job.starts_at, job.ends_at).await?;
    if let Some(booking) = bookings.into_iter().find(|booking| booking.job != id) {
        let item = tx
            .item(booking.item)
            .await?
            .ok_or(DeedError::NotFound("item"))?;
        let other = tx
            .job(booking.job)
            .await?
            .ok_or(DeedError::NotFound("job"))?;
        let sentence = format!(
            "At that time {} is on the job \"{}\". Choose another time or take it off this job.",
            item.mark, other.title
        );
        return Err(FieldErrors::one("starts_at", "taken", sentence).into());
    }
    tx.record(actor, desk.clock.now(), Change::JobRevised(job.clone()))
        .await?;
    tx.commit().await?;
    Ok(job)
}

/// How a job ends, as typed in.
#[derive(
    Clone, Debug, Default, PartialEq, Eq, serde::Serialize, serde::Deserialize, utoipa::ToSchema,
)]
#[serde(default, deny_unknown_fields)]
pub struct JobEndDraft {
    /// `closed` or `cancelled`.
    pub state: String,
    /// Why or how.
    pub reason: String,
}

/// How many items a sentence names one by one.
const NAMED: usize = 20;

/// Refuses to end a job whose kit is not all accounted for, and names what is not.
async fn all_accounted_for(tx: &mut Tx, job: &Job) -> Result<(), DeedError> {
    let out = tx.out_on(job.id).await?;
    let items = tx.items_of(&out).await?;
    let mut marks: Vec<&str> = items.values().map(|item| item.mark.as_str()).collect();
    if marks.is_empty() {
        return Ok(());
    }
    marks.sort_unstable();
    let more = match marks.len().saturating_sub(NAMED) {
        0 => String::new(),
        n => format!(" and {n} more"),
    };
    let sentence = format!(
        "{} not accounted for: {}{more}. Count the kit back first; what is nowhere is counted as missing.",
        counted(marks.len(), "item is", "items are"),
        marks[..marks.len().min(NAMED)].join(", ")
    );
    Err(FieldErrors::one("reason", "unaccounted", sentence).into())
}

/// Closes or cancels a job; its items are free from then on.
///
/// # Errors
/// [`DeedError::Invalid`] while items of it are with the crew, each named; [`DeedError::NotAllowed`] if it has ended
/// already.
pub async fn end(
    desk: &Desk,
    actor: &Actor,
    id: JobId,
    draft: &JobEndDraft,
) -> Result<Job, DeedError> {
    permit(actor, Deed::PlanJob)?;
    let mut wrong = FieldErrors::default();
    let state = JobState::from_key(draft.state.trim()).filter(|state| *state != JobState::Planned);
    if state.is_none() {
        wrong.add(
            "state",
            "choice",
            format!(
                "Choose closed or cancelled, not \"{}\".",
                draft.state.trim()
            ),
        );
    }
    let reason = wrong.reason("reason", &draft.reason);
    let state = match state {
        Some(state) if wrong.is_empty() => state,
        _ => return Err(wrong.into()),
    };
    let mut tx = desk.database.write(actor.team).await?;
    let job = tx.job(id).await?.ok_or(DeedError::NotFound("job"))?;
    job.state.must_be_planned()?;
    all_accounted_for(&mut tx, &job).await?;
    let end = JobEnd {
        job: id,
        state,
        reason,
    };
    tx.record(actor, desk.clock.now(), Change::JobEnded(end))
        .await?;
    let job = tx.job(id).await?.ok_or(DeedError::NotFound("job"))?;
    tx.commit().await?;
    Ok(job)
}
