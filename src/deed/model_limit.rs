//! What was measured on the items of a model beyond what its maker allows by its record as it is now.

use time::{Date, OffsetDateTime};

use super::{DeedError, course::LOOKED_AT, hold::put_aside, notice::items_of_model};
use crate::{
    domain::{
        Actor, Change, Examination, FieldErrors, Item, ItemState, Kind, Model, ModelLimit,
        checklist::measured, date::write_day,
    },
    store::{Tx, WriteTx},
};

/// Puts into quarantine what is in service and was measured last beyond a limit that the model's record had otherwise
/// before, or not at all. Gives the marks.
pub(super) async fn hold_beyond(
    tx: &mut WriteTx,
    (actor, now): (&Actor, OffsetDateTime),
    (before, model): (&Model, &Model),
) -> Result<Vec<String>, DeedError> {
    let limits = model.limits.iter();
    let changed = limits.filter(|limit| !before.limits.iter().any(|was| allows_alike(was, limit)));
    let changed: Vec<&ModelLimit> = changed.collect();
    let mut held = Vec::new();
    if changed.is_empty() {
        return Ok(held);
    }
    for item in items_of_model(tx, model.id).await? {
        let why = beyond(tx, &item, (&changed, model.kind)).await?;
        if hold(tx, (actor, now), &item, why).await? {
            held.push(item.mark);
        }
    }
    Ok(held)
}

/// The same for one item whose record names another model now. Gives what is to be told of it.
pub(super) async fn hold_if_beyond(
    tx: &mut WriteTx,
    (actor, now): (&Actor, OffsetDateTime),
    item: &Item,
) -> Result<Option<String>, DeedError> {
    let why = beyond_its_model(tx, item).await?;
    let told = format!("{} is in quarantine now. {why}", item.mark);
    let is_held = hold(tx, (actor, now), item, why).await?;
    Ok(is_held.then_some(told))
}

/// Refuses to lift by a reason that more was measured of an item than its maker allows.
pub(super) async fn must_be_within(tx: &mut Tx, item: &Item) -> Result<(), DeedError> {
    let why = beyond_its_model(tx, item).await?;
    if why.is_empty() {
        return Ok(());
    }
    let sentence = format!(
        "{why} No reason lifts that: have {} measured anew by a thorough examination that finds it fit.",
        item.mark
    );
    Err(FieldErrors::one("reason", "measured", sentence).into())
}

async fn beyond_its_model(tx: &mut Tx, item: &Item) -> Result<String, DeedError> {
    let model = tx.model(item.model).await?;
    let model = model.ok_or(DeedError::NotFound("model"))?;
    let limits: Vec<&ModelLimit> = model.limits.iter().collect();
    beyond(tx, item, (&limits, model.kind)).await
}

/// Puts an item into quarantine that is in service, and of which something was measured beyond a limit.
async fn hold(
    tx: &mut WriteTx,
    (actor, now): (&Actor, OffsetDateTime),
    item: &Item,
    why: String,
) -> Result<bool, DeedError> {
    if why.is_empty() || item.state != ItemState::InService {
        return Ok(false);
    }
    let step = put_aside(item.id, why, tx.day(now).await?);
    tx.record(actor, now, Change::ItemStepped(step)).await?;
    Ok(true)
}

/// Why what was measured last of an item is beyond limits, a sentence each; empty where it is not.
async fn beyond(
    tx: &mut Tx,
    item: &Item,
    (limits, kind): (&[&ModelLimit], Kind),
) -> Result<String, DeedError> {
    if limits.is_empty() {
        return Ok(String::new());
    }
    let looked = tx.examinations_in_line(item, LOOKED_AT).await?;
    let reasons = limits
        .iter()
        .filter_map(|limit| exceeds(&looked, limit, kind));
    Ok(reasons.collect::<Vec<_>>().join(" "))
}

/// Whether two limits allow the same of the same; where it was read is another matter.
fn allows_alike(was: &ModelLimit, limit: &ModelLimit) -> bool {
    (&was.criterion, was.least, was.most) == (&limit.criterion, limit.least, limit.most)
}

/// Why what was measured last of a criterion is beyond a limit; the examinations are the last first.
fn exceeds(looked: &[Examination], limit: &ModelLimit, kind: Kind) -> Option<String> {
    let mut thorough = looked.iter().filter(|one| one.kind.is_thorough());
    let last = thorough.find_map(|one| {
        let mut answers = one.answers.iter();
        let answer = answers.find(|answer| answer.criterion == limit.criterion);
        let answer = answer.filter(|answer| !answer.values.is_empty())?;
        Some((one.on, answer))
    });
    let (on, answer): (Date, _) = last?;
    let mut values = answer.values.iter();
    let value = values.find(|value| limit.excludes(**value))?;
    let criteria = measured(kind);
    let criterion = criteria.iter().find(|one| one.key == limit.criterion);
    let measure = criterion.and_then(|one| one.measure.as_ref());
    Some(format!(
        "{}: {value} was measured on {}, and by the model's record the maker allows {limit} now.",
        measure.map_or(limit.criterion.as_str(), |measure| measure.of.as_str()),
        write_day(on),
    ))
}
