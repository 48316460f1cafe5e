//! What was measured on the items of a model beyond what its maker allows by its record as it is now.

use time::{Date, OffsetDateTime};

use super::{DeedError, course::LOOKED_AT, notice::items_of_model};
use crate::{
    domain::{
        Actor, Change, Examination, ItemState, ItemStep, ItemStepped, Kind, Model, ModelLimit,
        checklist::measured, date::write_day,
    },
    store::WriteTx,
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
    let on = tx.day(now).await?;
    for item in items_of_model(tx, model.id).await? {
        if item.state != ItemState::InService {
            continue;
        }
        let looked = tx.examinations_in_line(&item, LOOKED_AT).await?;
        let reasons = changed
            .iter()
            .filter_map(|limit| beyond(&looked, limit, model.kind));
        let reasons: Vec<String> = reasons.collect();
        if reasons.is_empty() {
            continue;
        }
        let step = ItemStepped {
            item: item.id,
            step: ItemStep::Quarantine,
            reason: reasons.join(" "),
            on,
            retired_for: None,
        };
        tx.record(actor, now, Change::ItemStepped(step)).await?;
        held.push(item.mark);
    }
    Ok(held)
}

/// Whether two limits allow the same of the same; where it was read is another matter.
fn allows_alike(was: &ModelLimit, limit: &ModelLimit) -> bool {
    (&was.criterion, was.least, was.most) == (&limit.criterion, limit.least, limit.most)
}

/// Why what was measured last of a criterion is beyond a limit; the examinations are the last first.
fn beyond(looked: &[Examination], limit: &ModelLimit, kind: Kind) -> Option<String> {
    let last = looked.iter().find_map(|one| {
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
