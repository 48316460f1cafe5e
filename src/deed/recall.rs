//! Who has, and who had, what a safety notice covers.

use time::{Duration, OffsetDateTime};

use super::{
    DeedError, Desk,
    notice::{self, Covered, covered_in},
    permit,
};
use crate::{
    domain::{
        Actor, Change, Deed, Item, ItemId, Job, JobId, Made, Model, ModelId, Notice, NoticeId,
        NoticeItem, Person, Zone,
    },
    store::{Cursor, Direction, EntryFilter, Page, StoreError, Tx},
};

/// An item on a planned job that an open notice covers.
#[derive(Clone, Debug)]
pub struct Recalled {
    /// The job.
    pub job: Job,
    /// The item.
    pub item: Item,
    /// The notice.
    pub notice: Notice,
    /// Whether the item is with the crew of the job now.
    pub is_out: bool,
}

/// The most planned jobs that are looked at.
const MOST_JOBS: u32 = 1_000;

/// What an open notice covers on planned jobs, what is with a crew now first, then what is on the nearest job: also on those
/// that are over by the clock and were never closed, since nobody said that the kit is back.
///
/// # Errors
/// The store's.
pub async fn on_planned_jobs(
    tx: &mut Tx,
    now: OffsetDateTime,
) -> Result<Vec<Recalled>, StoreError> {
    let jobs = tx.jobs_under_notice(MOST_JOBS).await?;
    let mut recalled = on_jobs(tx, jobs).await?;
    let ids: Vec<ItemId> = recalled.iter().map(|one| one.item.id).collect();
    let out = tx.out_of(&ids).await?;
    for one in &mut recalled {
        let out = out.get(&one.item.id);
        one.is_out = out.is_some_and(|out| out.job == one.job.id);
    }
    // A job that goes on now is the nearest.
    let far = |job: &Job| {
        (job.starts_at - now)
            .max(now - job.ends_at)
            .max(Duration::ZERO)
    };
    recalled.sort_by_key(|one| (!one.is_out, far(&one.job)));
    Ok(recalled)
}

/// For what on these jobs a notice is open.
async fn on_jobs(tx: &mut Tx, jobs: Vec<Job>) -> Result<Vec<Recalled>, StoreError> {
    let ids: Vec<JobId> = jobs.iter().map(|job| job.id).collect();
    let kits = tx.kits(&ids).await?;
    let ids: Vec<ItemId> = kits.values().flatten().map(|line| line.item).collect();
    let items = tx.items_of(&ids).await?;
    let models: Vec<ModelId> = items.values().map(|item| item.model).collect();
    let models = tx.models_of(&models).await?;
    let pairs = items.values();
    let pairs = pairs.filter_map(|item| Some((item, models.get(&item.model)?)));
    let about = notice::about(tx, pairs).await?;
    let mut recalled = Vec::new();
    for job in jobs {
        for line in kits.get(&job.id).into_iter().flatten() {
            let Some(item) = items.get(&line.item) else {
                continue;
            };
            let Some(model) = models.get(&item.model) else {
                continue;
            };
            recalled.extend(about.open_for(item, model).map(|notice| Recalled {
                job: job.clone(),
                item: item.clone(),
                notice: notice.clone(),
                is_out: false,
            }));
        }
    }
    Ok(recalled)
}

/// An item that a notice covers or covered, with every job it was on since it was made.
#[derive(Clone, Debug)]
pub struct Held {
    /// The item, with its closing if the notice was closed for it.
    pub of: NoticeItem,
    /// Its model.
    pub model: Model,
    /// The jobs, the first first; those of the rope that it was part of are among them.
    pub on: Vec<HeldOn>,
}

/// That an item was on a job.
#[derive(Clone, Debug)]
pub struct HeldOn {
    /// The job.
    pub job: Job,
    /// The name of who put it on the job.
    pub by: String,
    /// When it was put on.
    pub at: OffsetDateTime,
    /// Whether it was taken off again.
    pub taken_off: bool,
}

/// A page of the items that a notice covers, each with the jobs it was on.
#[derive(Clone, Debug)]
pub struct Holders {
    /// The notice.
    pub notice: Notice,
    /// The items by mark.
    pub page: Page<Held>,
    /// How many items it covers in all, and covered.
    pub all: usize,
}

/// The most times that one item was put on jobs that are told.
const MOST: u32 = 500;

/// A page of who had what a notice covers, by the mark of the item, after `after`.
///
/// # Errors
/// [`DeedError::NotFound`] if there is no such notice; [`StoreError::Cursor`] if the cursor belongs to another list.
pub async fn holders(
    desk: &Desk,
    actor: &Actor,
    id: NoticeId,
    after: Option<&Cursor>,
    limit: u32,
) -> Result<Holders, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    holders_in(&mut tx, id, after, limit).await
}

pub(super) async fn holders_in(
    tx: &mut Tx,
    id: NoticeId,
    after: Option<&Cursor>,
    limit: u32,
) -> Result<Holders, DeedError> {
    let covered: Covered = covered_in(tx, id, after, limit).await?;
    let models: Vec<ModelId> = covered.page.rows.iter().map(|one| one.item.model).collect();
    let models = tx.models_of(&models).await?;
    let (zone, people) = (tx.zone().await?, tx.people().await?);
    let (mut rows, mut cursors) = (Vec::new(), Vec::new());
    for (of, cursor) in covered.page.rows.into_iter().zip(covered.page.cursors) {
        let Some(model) = models.get(&of.item.model).cloned() else {
            continue;
        };
        rows.push(Held {
            on: held_on(tx, &of.item, &people, &zone).await?,
            of,
            model,
        });
        cursors.push(cursor);
    }
    Ok(Holders {
        notice: covered.notice,
        page: Page {
            rows,
            cursors,
            next: covered.page.next,
        },
        all: covered.all + covered.let_out,
    })
}

/// Every job that an item, or a rope that it was part of, was put on; those that ended before it was made are none of it.
async fn held_on(
    tx: &mut Tx,
    item: &Item,
    people: &[Person],
    zone: &Zone,
) -> Result<Vec<HeldOn>, StoreError> {
    let mut lines = Vec::new();
    for kind in ["kit-line-added", "kit-line-removed"] {
        let filter = EntryFilter {
            subject: Some(item.id.0),
            whole_ropes: item.whole_ropes().to_vec(),
            kind: Some(kind),
            ..EntryFilter::default()
        };
        let span = tx.entry_span(&filter).await?;
        let kept = tx.entries(&filter, span, Direction::Up, MOST).await?;
        lines.extend(kept.into_iter().map(|kept| kept.entry));
    }
    let off = |line| {
        let mut lines = lines.iter();
        lines.any(|entry| matches!(&entry.change, Change::KitLineRemoved(removed) if removed.line == line))
    };
    let added: Vec<_> = lines
        .iter()
        .filter_map(|entry| match &entry.change {
            Change::KitLineAdded(line) => Some((line, entry.actor, entry.recorded_at)),
            _ => None,
        })
        .collect();
    let jobs: Vec<JobId> = added.iter().map(|(line, ..)| line.job).collect();
    let jobs = tx.jobs_of(&jobs).await?;
    let made = item.made.map(Made::cautious_day);
    let rows = added.into_iter().filter_map(|(line, actor, at)| {
        let job = jobs.get(&line.job)?.clone();
        let since = made.is_none_or(|made| zone.day(job.ends_at) >= made);
        let who = people.iter().find(|person| person.id == actor);
        since.then(|| HeldOn {
            by: who.map(|person| person.name.clone()).unwrap_or_default(),
            taken_off: off(line.id),
            job,
            at,
        })
    });
    Ok(rows.collect())
}
