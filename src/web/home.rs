//! The start: how the register stands, what waits, what is coming.

use std::collections::HashSet;

use axum::extract::State;
use serde::Deserialize;
use time::{Date, OffsetDateTime};

use super::{App, Page, Problem, Query, Signed, listed::has_page};
use crate::{
    deed,
    domain::{Deed, Job, JobId, JobState, date::write_day},
    store::{Counts, Direction, ItemFilter, ItemSort, JobFilter, ModelFilter, Tx},
    view::home::{Begun, Home, OnJob, Standing, Today},
};

/// How many days ahead "soon" looks.
const SOON_DAYS: u16 = 30;
/// How many jobs and notices the start shows.
const SOME: u32 = 5;

/// What of the start is shown whole.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(super) struct Whole {
    /// `recalled`: everything that is recalled while it is on a job.
    all: String,
}

/// The start.
pub(super) async fn page_show(
    State(app): State<App>,
    signed: Signed,
    Query(whole): Query<Whole>,
) -> Result<Page<Home>, Problem> {
    let now = app.desk.clock.now();
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let counts = tx.counts(now, SOON_DAYS).await?;
    let coming = JobFilter {
        state: Some(JobState::Planned),
        ends_after: Some(now),
        ..JobFilter::default()
    };
    let jobs = tx.jobs(coming, Direction::Up, None, SOME).await?;
    let notices = tx.notices(None, SOME).await?;
    let recalled = if notices.rows.is_empty() {
        Vec::new()
    } else {
        recalled(&mut tx, now).await?
    };
    let crews = deed::issue::with_crews(&mut tx).await?;
    let with_crews = crews.jobs.iter().take(SOME as usize);
    let near: HashSet<JobId> = jobs
        .rows
        .iter()
        .chain(with_crews)
        .map(|job| job.id)
        .collect();
    let refused = deed::kit::refused(&mut tx, near, now).await?;
    let unfit: Vec<OnJob> = crews.unfit.into_iter().map(out).collect();
    let day = signed.zone.day(now);
    let today = Today {
        standing: standing(&counts),
        begun: begun(&mut tx, day).await?,
        jobs: &jobs.rows,
        more_jobs: jobs.next.is_some(),
        refused: &refused,
        hooks_off: hooks_off(&mut tx, &signed).await?,
        recalled: &recalled,
        all_recalled: whole.all == "recalled",
        unfit: &unfit,
        out: &crews.jobs,
        now,
        notices: &notices.rows,
        all_notices: usize::try_from(counts.notices).unwrap_or(usize::MAX),
        entries: tx.head().await?.map_or(0, |head| head.size),
        day,
        zone: &signed.zone,
        has: has_page,
    };
    let shell = signed.shell("Start");
    Ok(Page(Home::new(shell, signed.actor.role, &today)))
}

/// How the register stands.
fn standing(counts: &Counts) -> Standing {
    let size = |count: u64| usize::try_from(count).unwrap_or(usize::MAX);
    Standing {
        overdue: size(counts.overdue),
        due_soon: size(counts.due_soon),
        never_passed: size(counts.never_passed),
        markings_unknown: size(counts.markings_unknown),
        life_over: size(counts.life_over),
        quarantined: size(counts.quarantined),
        missing: size(counts.missing),
        look_asked: size(counts.look_asked),
        days: SOON_DAYS,
    }
}

/// What is with a crew and not in service any more.
fn out((mark, job, why): (String, Job, String)) -> OnJob {
    OnJob {
        mark,
        job,
        why,
        is_out: true,
    }
}

/// How far the team has come.
async fn begun(tx: &mut Tx, day: Date) -> Result<Begun, Problem> {
    let by_mark = (ItemSort::Mark, Direction::Up);
    let item = tx.items(&ItemFilter::default(), by_mark, None, 1).await?;
    let model = tx.models(&ModelFilter::default(), None, 1).await?;
    let job = tx
        .jobs(JobFilter::default(), Direction::Up, None, 1)
        .await?;
    let qualifications = tx.qualifications().await?;
    Ok(Begun {
        competent: qualifications.iter().any(|one| one.holds_on(day)),
        store: !tx.stores().await?.is_empty(),
        model: !model.rows.is_empty(),
        item: !item.rows.is_empty(),
        job: !job.rows.is_empty(),
    })
}

/// How many webhooks were switched off since they failed too long, for whoever can do something about it.
async fn hooks_off(tx: &mut Tx, signed: &Signed) -> Result<usize, Problem> {
    if !signed.actor.role.may(Deed::KeepPeople) {
        return Ok(0);
    }
    let hooks = tx.hooks().await?;
    Ok(hooks.iter().filter(|hook| hook.off_at.is_some()).count())
}

/// What an open notice covers on planned jobs, the nearest first.
async fn recalled(tx: &mut Tx, now: OffsetDateTime) -> Result<Vec<OnJob>, Problem> {
    let recalled = deed::recall::on_planned_jobs(tx, now).await?.into_iter();
    let on_job = recalled.map(|one| OnJob {
        mark: one.item.mark,
        job: one.job,
        why: format!(
            "{}, issued {}",
            one.notice.title,
            write_day(one.notice.issued_on)
        ),
        is_out: one.is_out,
    });
    Ok(on_job.collect())
}
