//! A job on a day.

use super::{FACTS, Look, Past, all, begin, day_asked, how_many, item::sentence, rows};
use crate::{
    deed::{DeedError, Desk},
    domain::{
        Actor, Change, Entry, Job, JobId,
        date::write_day,
        then::{Fold, JOB_KINDS, JobThen, Reckoning, job_facts, side_by_side},
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
    let names = super::names(&mut tx, &kept).await?;
    let entries: Vec<Entry<Change>> = kept.iter().map(|kept| kept.entry.clone()).collect();
    let fold = |by| JobThen::new(id, on, by, zone.clone());
    let pasts = (fold(Reckoning::Then), fold(Reckoning::Now));
    let sides = side_by_side(pasts, &entries, (on, &zone), |past| {
        job_facts(past, &names, &zone)
    });
    let state = |by| {
        let mut past = fold(by);
        for entry in &entries {
            past.apply(entry);
        }
        past.job.map(|job| job.state.key())
    };
    let answer = sentence(
        &job.title,
        &write_day(on),
        (state(Reckoning::Then), state(Reckoning::Now)),
    );
    let rows = rows(&mut tx, &sides, &kept).await?;
    let past = Past {
        on,
        answer,
        why: how_many(&sides),
        is_same: !sides.iter().any(super::Side::differs),
        columns: FACTS,
        rows,
        next: None,
    };
    Ok((job, Ok(past)))
}

/// Leaves out the numbers behind a verdict, which are many and no facts of the job.
fn slim(kept: &mut Kept) {
    if let Change::KitIssued(issue) = &mut kept.entry.change {
        issue.verdict.answer.clear();
    }
}
