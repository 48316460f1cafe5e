//! The start: how the register stands, what waits, what is coming.

use std::collections::HashSet;

use axum::extract::State;
use time::Date;

use super::{App, Page, Problem, Signed, listed::has_page};
use crate::{
    deed,
    domain::{Deed, Job, JobId, JobState},
    store::{Direction, ItemFilter, ItemSort, JobFilter, ModelFilter, Tx},
    view::home::{Begun, Home, Standing, Today},
};

/// How many days ahead "soon" looks.
const SOON_DAYS: u16 = 30;
/// How many jobs and notices the start shows.
const SOME: u32 = 5;
/// Among how many planned jobs what is recalled is looked for, the last to begin first.
const PLANNED: u32 = 100;

/// The start.
pub(super) async fn page_show(
    State(app): State<App>,
    signed: Signed,
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
        recalled(&mut tx).await?
    };
    let crews = deed::issue::with_crews(&mut tx).await?;
    let out = crews.jobs.iter().take(SOME as usize);
    let near: HashSet<JobId> = jobs.rows.iter().chain(out).map(|job| job.id).collect();
    let refused = deed::kit::refused(&mut tx, near, now).await?;
    let day = signed.zone.day(now);
    let size = |count: u64| usize::try_from(count).unwrap_or(usize::MAX);
    let today = Today {
        standing: Standing {
            overdue: size(counts.overdue),
            due_soon: size(counts.due_soon),
            never_passed: size(counts.never_passed),
            markings_unknown: size(counts.markings_unknown),
            life_over: size(counts.life_over),
            quarantined: size(counts.quarantined),
            missing: size(counts.missing),
            look_asked: size(counts.look_asked),
            days: SOON_DAYS,
        },
        begun: begun(&mut tx, day).await?,
        jobs: &jobs.rows,
        more_jobs: jobs.next.is_some(),
        refused: &refused,
        hooks_off: hooks_off(&mut tx, &signed).await?,
        recalled: &recalled,
        unfit: &crews.unfit,
        out: &crews.jobs,
        now,
        notices: &notices.rows,
        entries: tx.head().await?.map_or(0, |head| head.size),
        day,
        zone: &signed.zone,
        has: has_page,
    };
    let shell = signed.shell("Start");
    Ok(Page(Home::new(shell, signed.actor.role, &today)))
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

/// What an open notice covers on planned jobs: also on those that are over by the clock and were never closed, since
/// nobody said that the kit is back.
async fn recalled(tx: &mut Tx) -> Result<Vec<(String, Job, String)>, Problem> {
    let planned = JobFilter {
        state: Some(JobState::Planned),
        ends_after: None,
        ..JobFilter::default()
    };
    let jobs = tx.jobs(planned, Direction::Down, None, PLANNED).await?;
    let recalled = deed::recall::on_jobs(tx, jobs.rows).await?.into_iter();
    Ok(recalled
        .map(|one| (one.item.mark, one.job, one.notice.title))
        .collect())
}
