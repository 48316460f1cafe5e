//! A job on a day.

use super::{Look, Past, all, begin, day_asked, kit};
use crate::{
    deed::{DeedError, Desk},
    domain::{
        Actor, Change, Entry, Job, JobId,
        then::{JOB_KINDS, JobThen, Reckoning, job_facts, side_by_side},
    },
    store::{EntryFilter, Kept},
};

/// A job as it is, and as it was on a day by both clocks.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has no such job, [`DeedError::Invalid`] for a day that is none, or is to come.
pub async fn job(
    desk: &Desk,
    actor: &Actor,
    id: JobId,
    on: &str,
) -> Result<(Job, Result<Past, DeedError>), DeedError> {
    let Look {
        mut tx,
        zone,
        today,
    } = begin(desk, actor).await?;
    let job = tx.job(id).await?.ok_or(DeedError::NotFound("job"))?;
    let on = match day_asked(on, today) {
        Ok(on) => on,
        Err(wrong) => return Ok((job, Err(wrong.into()))),
    };
    let filter = EntryFilter {
        subject: Some(id.0),
        kinds: JOB_KINDS,
        ..EntryFilter::default()
    };
    let mut kept = all(&mut tx, &filter).await?;
    kept.iter_mut().for_each(slim);
    let names = super::named(&mut tx, &kept).await?;
    let entries: Vec<Entry<Change>> = kept.iter().map(|kept| kept.entry.clone()).collect();
    let fold = |by| JobThen::new(id, on, by, zone.clone());
    let mut pasts = (fold(Reckoning::Then), fold(Reckoning::Now));
    let mut sides = side_by_side(&mut pasts, &entries, (on, &zone), |past| {
        job_facts(past, &names, &zone)
    });
    let state = |past: &JobThen| past.job.as_ref().map(|job| job.state.key());
    let states = (state(&pasts.0), state(&pasts.1));
    let stood = kit::stood(&mut tx, &pasts, (on, &zone)).await?;
    sides.extend(stood.sides);
    kept.extend(stood.kept);
    let mut past = Past::of_facts(&mut tx, (&job.title, on), states, (&sides, &kept)).await?;
    past.why = format!("{}{}", kit::told(&stood.differing), past.why);
    Ok((job, Ok(past)))
}

/// Leaves out the numbers behind a verdict, which are many and no facts of the job.
fn slim(kept: &mut Kept) {
    if let Change::KitIssued(issue) = &mut kept.entry.change {
        issue.verdict.answer.clear();
    }
}
