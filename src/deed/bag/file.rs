//! The list of a bag as a paper.

use super::show;
use crate::{
    deed::{
        DeedError, Desk,
        paper::{imprint, laid_out, stamp},
        permit,
    },
    domain::{Actor, Deed, InPlace, ItemId, PaperSize, StoreId},
    export::paper::bag::{ListedItem, ListedLine, bag_list},
};

/// What belongs in a bag and what is in it, as a PDF.
///
/// # Errors
/// [`DeedError::NotFound`] if there is no such place.
pub async fn file(
    desk: &Desk,
    actor: &Actor,
    id: StoreId,
    paper: PaperSize,
) -> Result<Vec<u8>, DeedError> {
    permit(actor, Deed::Export)?;
    let place = show(desk, actor, id).await?;
    let mut tx = desk.database.read(actor.team).await?;
    let stamp = stamp(&mut tx, actor).await?;
    let at = desk.clock.now();
    let done = laid_out(move || {
        let imprint = imprint(&stamp, at, paper);
        bag_list(&imprint, &place.store.name, &lines(&place), &items(&place))
    });
    Ok(done.await??)
}

fn lines(place: &InPlace) -> Vec<ListedLine> {
    let mark = |id: &ItemId| {
        let mut items = place.items.iter();
        items
            .find(|one| one.item.id == *id)
            .map_or_else(String::new, |one| one.item.mark.clone())
    };
    let parts = place.bag.iter().flat_map(|bag| &bag.parts);
    parts
        .zip(&place.words)
        .zip(&place.contents.filled)
        .map(|((part, words), filled)| ListedLine {
            count: part.count,
            words: words.clone(),
            there: filled.iter().map(mark).collect(),
        })
        .collect()
}

fn items(place: &InPlace) -> Vec<ListedItem> {
    let items = place.items.iter();
    items
        .map(|one| ListedItem {
            mark: one.item.mark.clone(),
            model: one.model.title(),
            serial: one.item.serial.clone(),
            fit: match one.refusals.len() {
                0 => "fit".to_owned(),
                1 => "not fit: 1 reason".to_owned(),
                n => format!("not fit: {n} reasons"),
            },
        })
        .collect()
}
