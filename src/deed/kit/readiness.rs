//! How many complete sets for a plan could go out, today and on the days to come.

use std::{
    collections::{BTreeSet, HashMap},
    sync::{Arc, LazyLock, Mutex, PoisonError},
};

use time::{Date, Duration, OffsetDateTime};

use super::{
    bench::{Bench, Surroundings},
    proposal::{Source, offered},
};
use crate::{
    deed::{Chosen, DeedError, Desk, permit},
    domain::{
        Actor, Deed, Hash, ItemId, Job, JobId, JobState, Pin, PinId, TeamId, Which,
        date::add_months,
        proposal::Span,
        read_moment,
        ready::{Counted, MONTHS_AHEAD, PinnedSets, ReadinessDraft, Ready, StandingSets},
    },
    store::{Direction, JobFilter, Tx},
};

/// How many items of each kind are looked at.
const OF_A_KIND: usize = 20_000;
/// How many plans stand in the list of the team.
const PLANS: usize = 12;
/// Among how many jobs their plans are looked for.
const JOBS: u32 = 100;
/// How many answers are kept.
const KEPT: usize = 64;

/// Counts the sets for a plan that could go out at once, on every day of the next two years.
///
/// # Errors
/// [`DeedError::Invalid`] with every field of the plan that does not hold; [`DeedError::NotFound`] if there is no such
/// job, or no such pin.
pub async fn readiness(
    desk: &Desk,
    actor: &Actor,
    draft: &ReadinessDraft,
) -> Result<Ready, DeedError> {
    permit(actor, Deed::Read)?;
    let now = desk.clock.now();
    let mut tx = desk.database.read(actor.team).await?;
    if !draft.job.trim().is_empty() {
        let id = draft.job.trim().parse::<JobId>();
        let id = id.map_err(|_| DeedError::NotFound("job"))?;
        let job = tx.job(id).await?.ok_or(DeedError::NotFound("job"))?;
        return of_job(&mut tx, job, now).await;
    }
    if !draft.pin.trim().is_empty() {
        let id = draft.pin.trim().parse::<PinId>();
        let id = id.map_err(|_| DeedError::NotFound("pinned plan"))?;
        let pin = tx.pin(id).await?;
        let pin = pin.ok_or(DeedError::NotFound("pinned plan"))?;
        return of_pin(&mut tx, &pin, now).await;
    }
    let zone = tx.zone().await?;
    let mut job = draft.check(zone.day(now), &zone)?;
    let chosen = Chosen::settle(&mut tx, &mut job, None).await?;
    counted(&mut tx, Bench::empty(job, chosen, now, zone), None).await
}

/// Counts the sets for the plans that the team works by.
///
/// # Errors
/// Of the store.
pub async fn standing_sets(desk: &Desk, actor: &Actor) -> Result<StandingSets, DeedError> {
    permit(actor, Deed::Read)?;
    let now = desk.clock.now();
    let mut tx = desk.database.read(actor.team).await?;
    let pinned = pinned_sets(&mut tx, now).await?;
    let coming = JobFilter {
        state: Some(JobState::Planned),
        ends_after: Some(now),
        ..JobFilter::default()
    };
    let coming = tx.jobs(coming, Direction::Up, None, JOBS).await?.rows;
    let since = tx.zone().await?.day(now) - Duration::days(2 * 365);
    let ended = JobFilter {
        state: Some(JobState::Closed),
        ends_after: Some(since.midnight().assume_utc()),
        ..JobFilter::default()
    };
    let ended = tx.jobs(ended, Direction::Down, None, JOBS).await?.rows;
    let (mut seen, mut rigs) = (BTreeSet::new(), BTreeSet::new());
    let mut jobs = Vec::new();
    for job in coming {
        rigs.insert(job.rig.clone());
        if seen.insert(plan_words(&job)) {
            jobs.push(job);
        }
    }
    jobs.extend(ended.into_iter().filter(|job| rigs.insert(job.rig.clone())));
    let more = jobs.len() > PLANS;
    let mut plans = Vec::new();
    for job in jobs.into_iter().take(PLANS) {
        match of_job(&mut tx, job, now).await {
            Ok(ready) => plans.push(ready),
            // A rig that is not read any more cannot be counted for; its job says so.
            Err(DeedError::Invalid(_)) => {}
            Err(other) => return Err(other),
        }
    }
    Ok(StandingSets {
        pinned,
        plans,
        more,
    })
}

/// Counts the sets for every plan that is pinned.
async fn pinned_sets(tx: &mut Tx, now: OffsetDateTime) -> Result<Vec<PinnedSets>, DeedError> {
    let mut pinned = Vec::new();
    for pin in tx.pins().await? {
        let ready = match of_pin(tx, &pin, now).await {
            Err(DeedError::Invalid(wrong)) => Err(wrong),
            other => Ok(other?),
        };
        pinned.push(PinnedSets { pin, ready });
    }
    Ok(pinned)
}

/// Counts for a pinned plan, as if it were a job of today.
async fn of_pin(tx: &mut Tx, pin: &Pin, now: OffsetDateTime) -> Result<Ready, DeedError> {
    let zone = tx.zone().await?;
    let plan = pin.plan(zone.day(now), &zone)?;
    let chosen = Chosen::of(tx, &plan).await?;
    let ready = counted(tx, Bench::empty(plan, chosen, now, zone), None).await?;
    Ok(Ready {
        pin: Some(pin.id),
        ..ready
    })
}

/// Counts for the plan of a job, as if it were today.
async fn of_job(tx: &mut Tx, job: Job, now: OffsetDateTime) -> Result<Ready, DeedError> {
    let zone = tx.zone().await?;
    let today = zone.day(now);
    let chosen = Chosen::of(tx, &job).await?;
    let at = |hour: u8, fallback: OffsetDateTime| {
        read_moment(&format!("{today}T{hour}:00"), &zone, Which::First).unwrap_or(fallback)
    };
    let plan = Job {
        id: JobId::new(),
        starts_at: at(12, now),
        ends_at: at(13, now + Duration::HOUR),
        state: JobState::Planned,
        ..job.clone()
    };
    counted(tx, Bench::empty(plan, chosen, now, zone), Some(job)).await
}

async fn counted(tx: &mut Tx, bench: Bench, of: Option<Job>) -> Result<Ready, DeedError> {
    let today = bench.today();
    let until = add_months(today, MONTHS_AHEAD);
    let head = tx.head().await?;
    let key = Key {
        team: tx.team(),
        ledger: head.map(|head| (head.size, head.root)),
        today,
        plan: plan_words(&bench.job),
    };
    let plan_lacks = bench.plan_lacks();
    let (job, chosen) = (bench.job.clone(), bench.chosen.clone());
    let readiness = if let Some(known) = known(&key) {
        known
    } else {
        let counted = Arc::new(count(tx, bench, until).await?);
        keep(key, &counted);
        counted
    };
    Ok(Ready {
        job,
        of,
        pin: None,
        rulebook: chosen.rulebook.title().to_owned(),
        rig: chosen.rig,
        readiness,
        plan_lacks,
        span: (today, until),
    })
}

async fn count(tx: &mut Tx, bench: Bench, until: Date) -> Result<Counted, DeedError> {
    let (pairs, cut_off) = offered(tx, &bench, &Source::default(), OF_A_KIND).await?;
    let ids: Vec<ItemId> = pairs.iter().map(|(item, _)| item.id).collect();
    let records = pairs.iter().map(|(item, model)| (item, model));
    let around = Surroundings::of(tx, (&bench.job, bench.now), records).await?;
    let busy = busy(tx, (&bench, &around), &ids, until).await?;
    let out = pairs
        .iter()
        .filter(|(item, _)| around.with_crew(item.id).is_some());
    let out = out.count();
    let around = around.alone();
    // Work for a processor, not for the thread that answers everybody.
    let (sets, pairs) = tokio::task::spawn_blocking(move || {
        let sets = bench.readiness(&around, &pairs, &busy, until);
        (sets, pairs)
    })
    .await
    .map_err(|error| DeedError::Internal(Box::new(error)))?;
    let sets =
        sets.ok_or_else(|| DeedError::Internal("the solver gave no answer that holds".into()))?;
    let ended = sets.steps.iter().flat_map(|step| &step.ended);
    let named: BTreeSet<ItemId> = ended
        .map(|ended| ended.item)
        .chain(sets.today.iter().flatten().copied())
        .collect();
    let items = pairs.into_iter();
    let items = items.filter(|(item, _)| named.contains(&item.id));
    Ok(Counted {
        items: items.map(|pair| (pair.0.id, pair)).collect(),
        sets,
        out,
        cut_off,
    })
}

/// From and to which day planned jobs hold each item, and crews have it out: that from its issue until its job ends, and
/// while nobody counted it back today at least.
async fn busy(
    tx: &mut Tx,
    (bench, around): (&Bench, &Surroundings),
    items: &[ItemId],
    until: Date,
) -> Result<Vec<Vec<Span>>, DeedError> {
    let from = bench.today().midnight().assume_utc() - Duration::days(1);
    let end = until.midnight().assume_utc() + Duration::days(2);
    let mut held: HashMap<ItemId, Vec<Span>> = HashMap::new();
    for booking in tx.bookings(items, from, end).await? {
        // A job that ends at midnight leaves the day that begins then.
        let last = booking.ends_at - Duration::NANOSECOND;
        let days = (
            bench.zone.day(booking.starts_at),
            bench.zone.day(last.max(booking.starts_at)),
        );
        held.entry(booking.item).or_default().push(days);
    }
    let each = items.iter().map(|item| {
        let mut days = held.remove(item).unwrap_or_default();
        let with = around.with_crew(*item);
        days.extend(with.map(|with| with.days_away(bench.now, &bench.zone)));
        days
    });
    Ok(each.collect())
}

/// Everything of a job's plan that a set is held against, as text to tell plans apart.
fn plan_words(job: &Job) -> String {
    let load = (job.load, job.case);
    let plan = (&job.rig, &job.rulebook, job.depth, load, job.setup);
    serde_json::to_string(&plan).unwrap_or_default()
}

/// What an answer rests on: every record of the team stands in its ledger.
#[derive(PartialEq, Eq, Hash)]
struct Key {
    team: TeamId,
    ledger: Option<(u64, Hash)>,
    today: Date,
    plan: String,
}

/// The answers that were given last.
static ANSWERS: LazyLock<Mutex<HashMap<Key, Arc<Counted>>>> = LazyLock::new(Mutex::default);

fn known(key: &Key) -> Option<Arc<Counted>> {
    let answers = ANSWERS.lock().unwrap_or_else(PoisonError::into_inner);
    answers.get(key).cloned()
}

fn keep(key: Key, counted: &Arc<Counted>) {
    let mut answers = ANSWERS.lock().unwrap_or_else(PoisonError::into_inner);
    // What is of an older ledger will not be asked for again.
    answers.retain(|old, _| old.team != key.team || old.ledger == key.ledger);
    if answers.len() >= KEPT {
        answers.clear();
    }
    answers.insert(key, Arc::clone(counted));
}
