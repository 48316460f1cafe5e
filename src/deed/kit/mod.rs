//! The kit list of a job: what may go on, what is refused and why, and the verdict on it all.

mod bench;
mod candidate;
mod course;
mod filled;
mod proposal;
mod readiness;
mod stays;
mod swap;

pub(super) use self::bench::{with_crews, with_models};
pub use self::candidate::{Candidates, Look, Near, alternatives, candidates};
pub use self::filled::{Filled, FilledRigs, Unfilled, filled_rigs};
pub use self::proposal::{Proposed, Source, propose};
pub use self::readiness::{readiness, standing_sets};
pub use self::swap::{place_for, swap};
use self::{
    bench::{Bench, Surroundings},
    course::{Before, Course},
};
use super::{Chosen, DeedError, Desk, permit, tag::item_coded};
use crate::{
    domain::{
        Actor, Change, Deed, FieldErrors, Item, ItemId, ItemRefused, JobId, KitLine, KitLineDraft,
        KitLineId, KitLineRemoved, KitList, VerdictKept, Zone,
        fitness::KitItem,
        kit_strength::{self, Extent, Otherwise, WhatIf},
    },
    store::{Tx, WriteTx},
};
use std::collections::HashMap;
use time::OffsetDateTime;

/// The job with its kit list, every line judged anew.
///
/// # Errors
/// [`DeedError::NotFound`] if there is no such job.
pub async fn show(
    desk: &Desk,
    actor: &Actor,
    id: JobId,
    extent: Extent,
) -> Result<KitList, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let bench = Bench::load(&mut tx, id, desk.clock.now()).await?;
    bench.judged(&mut tx, extent).await
}

/// The same for another deed, with what it was judged by.
pub(super) async fn judged(
    tx: &mut Tx,
    id: JobId,
    now: OffsetDateTime,
    extent: Extent,
) -> Result<(KitList, Chosen), DeedError> {
    let bench = Bench::load(tx, id, now).await?;
    let chosen = bench.chosen.clone();
    Ok((bench.judged(tx, extent).await?, chosen))
}

/// The marks of what is on the lists of these jobs and may not go, for the start; a job without such is left out.
///
/// # Errors
/// The store's.
pub async fn refused(
    tx: &mut Tx,
    jobs: impl IntoIterator<Item = JobId>,
    now: OffsetDateTime,
) -> Result<HashMap<JobId, Vec<String>>, DeedError> {
    let mut all = HashMap::new();
    for job in jobs {
        let bench = Bench::load(tx, job, now).await?;
        let entries = bench.entries(tx).await?.into_iter();
        let refused = entries.filter(|entry| !entry.refusals.is_empty());
        let marks: Vec<String> = refused.map(|entry| entry.named()).collect();
        if !marks.is_empty() {
            all.insert(job, marks);
        }
    }
    Ok(all)
}

/// What of some items on a job's list is not fit any more by its own record, with every reason in a sentence.
pub(super) async fn own_faults(
    tx: &mut Tx,
    job: JobId,
    now: OffsetDateTime,
    items: &[ItemId],
) -> Result<Vec<(ItemId, Vec<String>)>, DeedError> {
    if items.is_empty() {
        return Ok(Vec::new());
    }
    let bench = Bench::load(tx, job, now).await?;
    let entries = bench.entries(tx).await?.into_iter();
    let entries = entries.filter(|entry| items.contains(&entry.item.id));
    let faults = entries.map(|entry| (entry.item.id, entry.own_faults()));
    Ok(faults.filter(|(_, faults)| !faults.is_empty()).collect())
}

/// What a kit list that was just shown comes to with its job planned otherwise: every item and the whole judged as the
/// list of a job is. Times without an offset are on the clocks of `zone`.
///
/// # Errors
/// [`DeedError::Invalid`] with every field of the changes that does not hold.
pub async fn otherwise(
    desk: &Desk,
    actor: &Actor,
    list: &KitList,
    (changes, zone): (&WhatIf, &Zone),
    extent: Extent,
) -> Result<Otherwise, DeedError> {
    permit(actor, Deed::Read)?;
    let mut job = changes.job(&list.job, zone)?;
    let mut tx = desk.database.read(actor.team).await?;
    let chosen = Chosen::settle(&mut tx, &mut job, Some(&list.job)).await?;
    let places = kit_strength::places(list, &chosen.rig);
    let clocks = tx.zone().await?;
    let mut bench = Bench::empty(job, chosen, desk.clock.now(), clocks);
    for (entry, position) in list.entries.iter().zip(places) {
        let line = KitLine {
            position,
            ..entry.line.clone()
        };
        bench.put(line, entry.item.clone(), entry.model.clone());
    }
    let then = bench.judged(&mut tx, extent).await?;
    Ok(Otherwise::new(list, then))
}

/// Puts an item on the list, at a position or as a spare. A refused attempt is kept in the history.
///
/// # Errors
/// [`DeedError::Refused`] with every reason; [`DeedError::Invalid`] where there is no such item;
/// [`DeedError::NotAllowed`] once the job has ended.
pub async fn add(
    desk: &Desk,
    actor: &Actor,
    id: JobId,
    line: KitLineId,
    draft: &KitLineDraft,
) -> Result<KitLine, DeedError> {
    let put = Put {
        line,
        draft: draft.clone(),
        instead_of: None,
    };
    add_one(desk, actor, id, put).await
}

/// Puts one item on the list, or says why it may not go.
async fn add_one(desk: &Desk, actor: &Actor, id: JobId, put: Put) -> Result<KitLine, DeedError> {
    match add_all(desk, actor, id, &[put]).await? {
        Added::All(lines) => lines
            .into_iter()
            .next()
            .ok_or(DeedError::NotFound("kit line")),
        Added::Refused(refused) => {
            let refusals = refused.into_iter().flat_map(|one| one.refusals);
            Err(DeedError::Refused(refusals.collect()))
        }
    }
}

/// An item that is put on a list.
#[derive(Clone, Debug)]
pub struct Put {
    /// The id that its line gets.
    pub line: KitLineId,
    /// The item, and where it goes.
    pub draft: KitLineDraft,
    /// The line whose item it takes the place of.
    pub instead_of: Option<KitLineId>,
}

impl Put {
    /// The position, unless it is a spare.
    fn place(&self) -> Option<&str> {
        Some(self.draft.position.trim()).filter(|key| !key.is_empty())
    }
}

/// What came of putting several items on the list.
#[derive(Clone, Debug)]
pub enum Added {
    /// All are on it.
    All(Vec<KitLine>),
    /// These may not go, and none of them all was put on.
    Refused(Vec<ItemRefused>),
}

/// Puts several items on the list, all or none: what one takes the place of goes off first, then each is judged beside those
/// before it. Refused attempts are kept in the history. What the same person put on before, in the same way and by its
/// line's id, stays, so that a request may be sent twice.
///
/// # Errors
/// [`DeedError::Invalid`] where there is no such item; [`DeedError::NotFound`] where there never was such a line to take the
/// place of; [`DeedError::Overtaken`] where it is off the list by now, or where a line's id was used for something else;
/// [`DeedError::NotAllowed`] once the job has ended.
pub async fn add_all(
    desk: &Desk,
    actor: &Actor,
    id: JobId,
    lines: &[Put],
) -> Result<Added, DeedError> {
    permit(actor, Deed::PlanJob)?;
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    let mut bench = Bench::load(&mut tx, id, now).await?;
    let before = Before::of(&mut tx, actor, &bench, lines).await?;
    if !before.otherwise.is_empty() {
        return Err(DeedError::Overtaken(before.otherwise));
    }
    let (mut all, open) = (before.there, before.open);
    if !open.is_empty() {
        bench.job.may_change()?;
    }
    let (mut new, mut refused) = (Vec::new(), Vec::new());
    for line in open.iter().filter_map(|put| put.instead_of) {
        new.push(Change::KitLineRemoved(taken_out(&mut bench, line)?));
    }
    for put in open {
        match judge(&mut tx, &mut bench, put).await? {
            Ok(line) => {
                new.push(Change::KitLineAdded(line.clone()));
                all.push(line);
            }
            Err(one) => refused.push(one),
        }
    }
    if refused.is_empty() {
        tx.record_all(actor, now, new).await?;
        tx.commit().await?;
        return Ok(Added::All(all));
    }
    let told = refused.iter().cloned().map(Change::ItemRefused);
    tx.record_all(actor, now, told).await?;
    tx.commit().await?;
    Ok(Added::Refused(refused))
}

/// Takes a line off the list, since another item goes in its place.
fn taken_out(bench: &mut Bench, line: KitLineId) -> Result<KitLineRemoved, DeedError> {
    let gone = bench.take(line).ok_or(DeedError::NotFound("kit line"))?;
    Ok(KitLineRemoved {
        line,
        job: gone.job,
        item: gone.item,
        reason: "another item was put in its place".to_owned(),
    })
}

/// One item for the list, held against what is on it, or why it may not go.
async fn judge(
    tx: &mut WriteTx,
    bench: &mut Bench,
    put: &Put,
) -> Result<Result<KitLine, ItemRefused>, DeedError> {
    let item = wanted(tx, &put.draft.item).await?;
    let model = tx
        .model(item.model)
        .await?
        .ok_or(DeedError::NotFound("model"))?;
    let position = put.place().map(str::to_owned);
    let around = Surroundings::of(tx, (&bench.job, bench.now), [(&item, &model)]).await?;
    let candidate = KitItem {
        item: &item,
        model: &model,
        position: position.as_deref(),
    };
    let refusals = bench.refusals(&bench.plan(), &around, candidate, None);
    let job = bench.job.id;
    if !refusals.is_empty() {
        return Ok(Err(ItemRefused {
            job,
            item: item.id,
            position,
            refusals,
        }));
    }
    let line = KitLine {
        id: put.line,
        job,
        item: item.id,
        position,
    };
    bench.put(line.clone(), item, model);
    Ok(Ok(line))
}

/// Takes an item off the list.
///
/// # Errors
/// [`DeedError::NotFound`] where there never was such a line; [`DeedError::Overtaken`] where it is off the list already;
/// [`DeedError::NotAllowed`] once the job has ended.
pub async fn remove(
    desk: &Desk,
    actor: &Actor,
    id: JobId,
    line: KitLineId,
    reason: &str,
) -> Result<KitLine, DeedError> {
    permit(actor, Deed::PlanJob)?;
    let mut wrong = FieldErrors::default();
    let reason = wrong.note("reason", reason);
    wrong.or(|| ())?;
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    let job = tx.job(id).await?.ok_or(DeedError::NotFound("job"))?;
    job.may_change()?;
    let there = tx.kit_line(line).await?.filter(|line| line.job == id);
    let Some(there) = there else {
        let bench = Bench::load(&mut tx, id, now).await?;
        let course = Course::of(&mut tx, id).await?;
        let gone = course.gone(&mut tx, &bench, line).await?;
        return Err(DeedError::Overtaken(vec![gone]));
    };
    let removed = KitLineRemoved {
        line,
        job: id,
        item: there.item,
        reason,
    };
    tx.record(actor, now, Change::KitLineRemoved(removed))
        .await?;
    tx.commit().await?;
    Ok(there)
}

/// Keeps the verdict in the history, as it stands at this moment, with all it was worked out from.
///
/// # Errors
/// [`DeedError::NotAllowed`] once the job has ended.
pub async fn keep_verdict(desk: &Desk, actor: &Actor, id: JobId) -> Result<KitList, DeedError> {
    permit(actor, Deed::PlanJob)?;
    let now = desk.clock.now();
    let mut tx = desk.database.write(actor.team).await?;
    let bench = Bench::load(&mut tx, id, now).await?;
    bench.job.state.must_be_planned()?;
    let list = bench.judged(&mut tx, Extent::WithSwings).await?;
    let kept = VerdictKept {
        job: id,
        version: env!("CARGO_PKG_VERSION").to_owned(),
        passes: list.passes(),
        sentence: list.sentence(),
        answer: serde_json::to_value(&list.verdict)
            .map_err(|error| DeedError::Internal(Box::new(error)))?,
    };
    tx.record(actor, now, Change::VerdictKept(kept)).await?;
    tx.commit().await?;
    Ok(list)
}

/// The item that was meant: by its id, by a code that is on it however a scanner gives it, or by its mark.
async fn wanted(tx: &mut Tx, text: &str) -> Result<Item, DeedError> {
    let text = text.trim();
    let item = match text.parse::<ItemId>() {
        Ok(id) => tx.item(id).await?,
        Err(_) => item_coded(tx, ("item", text)).await?,
    };
    item.ok_or_else(|| {
        let given: String = text.chars().take(60).collect();
        let sentence = match given.as_str() {
            "" => "Write the mark of an item, or scan it.".to_owned(),
            given => format!("No item of your team is marked \"{given}\" or has this code. Check the mark, or search the register."),
        };
        FieldErrors::one("item", "choice", sentence).into()
    })
}
