//! Errands: what the server does by itself. Any number of servers work them off; each is taken up by one at a time, and
//! what a server leaves lying, since it was stopped in the middle, another takes up when the lease is over.

use std::time::Duration;

use futures::future::join_all;
use tokio::{sync::watch, time::sleep};

use super::{DeedError, Desk, permit};
use crate::{
    domain::{Actor, Deed, Errand, ErrandId, ErrandState, LEASE, MOST_ATTEMPTS, wait_after},
    store::{Cursor, ErrandFilter, Page, StoreError},
};

/// How many are taken up at once.
const AT_ONCE: u32 = 16;
/// How long one may take, so that its lease is not over before it.
const LONGEST: Duration = Duration::from_mins(2);
/// How long a server waits before it looks again, where there was nothing to do.
const PAUSE: Duration = Duration::from_secs(5);

/// Why an errand was not done; for the page that says what did not go out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Failed {
    /// What went wrong, in a sentence.
    pub why: String,
    /// Whether trying again makes no sense.
    pub for_good: bool,
}

impl Failed {
    /// Something that may be better the next time.
    pub fn now(why: impl ToString) -> Self {
        Self {
            why: why.to_string(),
            for_good: false,
        }
    }

    /// Something that stays as it is.
    pub fn for_good(why: impl ToString) -> Self {
        Self {
            why: why.to_string(),
            for_good: true,
        }
    }
}

/// How often in a row another server may have been quicker before this one pauses.
const MOST_RACES: usize = 8;

/// Takes up what is due. Where another server was quicker with the same ones, the next are reached for at once.
async fn take_up(desk: &Desk) -> Result<Vec<Errand>, StoreError> {
    let now = desk.clock.now();
    for _ in 0..MOST_RACES {
        if !desk.database.door().await?.is_errand_due(now).await? {
            break;
        }
        let mut door = desk.database.write_door().await?;
        let taken = door.take_up_errands(now, now + LEASE, AT_ONCE).await?;
        door.commit().await?;
        if !taken.is_empty() {
            return Ok(taken);
        }
    }
    Ok(Vec::new())
}

/// Takes up what is due, does it, and writes down what came of it. Gives how many were taken up.
///
/// `run` does one errand and says in a few words how it ended.
///
/// # Errors
/// What the store says; what was taken up and not ended comes again after its lease.
pub async fn work_off(
    desk: &Desk,
    run: &impl AsyncFn(&Errand) -> Result<String, Failed>,
) -> Result<usize, StoreError> {
    let taken = take_up(desk).await?;
    let done = taken.iter().map(|errand| async move {
        let ended = tokio::time::timeout(LONGEST, run(errand)).await;
        ended.unwrap_or_else(|_| Err(Failed::now("It took more than two minutes.")))
    });
    let done = join_all(done).await;
    for (errand, ended) in taken.iter().zip(done) {
        write_down(desk, errand, ended).await?;
    }
    Ok(taken.len())
}

async fn write_down(
    desk: &Desk,
    errand: &Errand,
    ended: Result<String, Failed>,
) -> Result<(), StoreError> {
    let now = desk.clock.now();
    let mut door = desk.database.write_door().await?;
    let ours = match &ended {
        Ok(told) => {
            door.end_errand(errand, ErrandState::Done, told, now)
                .await?
        }
        Err(failed) if failed.for_good || errand.attempts >= MOST_ATTEMPTS => {
            let state = ErrandState::GivenUp;
            door.end_errand(errand, state, &failed.why, now).await?
        }
        Err(failed) => {
            let due = now + wait_after(errand.attempts, rand::random());
            door.put_errand_off(errand, &failed.why, due).await?
        }
    };
    door.commit().await?;
    let (id, kind, attempts) = (errand.id, errand.kind.key(), errand.attempts);
    match (ours, ended) {
        (true, Ok(_)) => tracing::info!(errand.id = %id, kind, attempts, "Done: errand {id}"),
        (true, Err(_)) => {
            tracing::warn!(errand.id = %id, kind, attempts, "Not done: errand {id}");
        }
        (false, _) => {
            tracing::warn!(errand.id = %id, kind, "Took too long; another server has it: errand {id}");
        }
    }
    Ok(())
}

/// Works errands off until told to stop; then what was taken up is still ended. `prepare` is asked before each look, and
/// asks for what is to be done.
pub async fn keep_working(
    desk: &Desk,
    mut stop: watch::Receiver<bool>,
    prepare: &impl AsyncFn() -> Result<(), DeedError>,
    run: &impl AsyncFn(&Errand) -> Result<String, Failed>,
) {
    while !*stop.borrow() {
        if let Err(error) = prepare().await {
            tracing::warn!(error = %error, "Could not see what is to be done");
        }
        let worked = work_off(desk, run).await;
        let pause = match worked {
            Ok(0) => PAUSE,
            Ok(_) => Duration::ZERO,
            Err(error) => {
                tracing::warn!(error = %error, "Could not work off what is to be done");
                PAUSE
            }
        };
        tokio::select! {
            () = sleep(pause) => {}
            _ = stop.changed() => {}
        }
    }
}

/// A page of what went out and what did not, the newest first.
///
/// # Errors
/// [`DeedError::Forbidden`] to all but administrators.
pub async fn list(
    desk: &Desk,
    actor: &Actor,
    filter: ErrandFilter,
    after: Option<&Cursor>,
    limit: u32,
) -> Result<Page<Errand>, DeedError> {
    permit(actor, Deed::KeepPeople)?;
    let mut tx = desk.database.read(actor.team).await?;
    Ok(tx.errands(filter, after, limit).await?)
}

/// Has an errand that was done or given up done again.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has none of this id that has ended.
pub async fn again(desk: &Desk, actor: &Actor, id: ErrandId) -> Result<(), DeedError> {
    permit(actor, Deed::KeepPeople)?;
    let now = desk.clock.now();
    let mut door = desk.database.write_door().await?;
    if !door.ask_errand_again(actor.team, id, now).await? {
        return Err(DeedError::NotFound("errand"));
    }
    Ok(door.commit().await?)
}
