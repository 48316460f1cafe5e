//! Serials of items: what else has or reads the same.

use super::{DeedError, tag};
use crate::{
    domain::{Item, ItemId, Model, ModelId},
    store::{Direction, ItemFilter, ItemSort, Tx},
};

/// Why a serial cannot be written on an item: another of its model has it, or a tag of another reads so.
pub(super) async fn taken(
    tx: &mut Tx,
    model: Option<&Model>,
    serial: &str,
    id: ItemId,
) -> Result<Option<String>, DeedError> {
    if serial.is_empty() {
        return Ok(None);
    }
    if let Some(model) = model
        && let Some(other) = with_serial(tx, model.id, serial).await?
        && other.id != id
    {
        return Ok(Some(format!(
            "The item {} of this model has this serial already.",
            other.mark
        )));
    }
    // What was taken in before stays as it is until it is changed.
    let before = tx.item(id).await?.and_then(|item| item.serial);
    if before.is_some_and(|before| before.to_lowercase() == serial.to_lowercase()) {
        return Ok(None);
    }
    let tagged = tag::item_tagged(tx, serial).await?;
    Ok(tagged.filter(|other| other.id != id).map(|other| {
        format!(
            "The code on a tag of {} reads {serial}: whoever scans it would not know which is meant. If that tag is on \
             the wrong one, take it off there first.",
            other.mark
        )
    }))
}

/// Another item of the model with this serial, whatever its case.
pub(super) async fn with_serial(
    tx: &mut Tx,
    model: ModelId,
    serial: &str,
) -> Result<Option<Item>, DeedError> {
    let filter = ItemFilter {
        search: serial.to_owned(),
        model: Some(model),
        ..ItemFilter::default()
    };
    let page = tx
        .items(&filter, (ItemSort::Mark, Direction::Up), None, 200)
        .await?;
    let same = |item: &Item| {
        item.serial
            .as_ref()
            .is_some_and(|other| other.to_lowercase() == serial.to_lowercase())
    };
    Ok(page.rows.into_iter().find(same))
}
