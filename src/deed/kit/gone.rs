//! What something was to take the place of, and is off the list already.

use super::{super::DeedError, Put, bench::Bench};
use crate::{domain::Change, store::Tx};

/// A sentence for each line that one of these was to take the place of and that was taken off the list meanwhile: what it was,
/// who took it off, and what is there now.
///
/// # Errors
/// [`DeedError::NotFound`] where there never was such a line on this list.
pub(super) async fn gone(
    tx: &mut Tx,
    bench: &Bench,
    lines: &[&Put],
) -> Result<Vec<String>, DeedError> {
    let places = lines.iter().filter_map(|put| {
        let line = put.instead_of.filter(|line| !bench.has(*line))?;
        Some((line, put.draft.position.trim()))
    });
    let places: Vec<_> = places.collect();
    if places.is_empty() {
        return Ok(Vec::new());
    }
    let kinds = &["kit-line-removed"];
    let taken_off = tx.entries_about(&[bench.job.id.0], kinds).await?;
    let mut sentences = Vec::new();
    for (line, place) in places {
        let mut entries = taken_off.iter().map(|kept| &kept.entry);
        let off = entries.find_map(|entry| match &entry.change {
            Change::KitLineRemoved(removed) if removed.line == line => Some((entry, removed)),
            _ => None,
        });
        let (entry, removed) = off.ok_or(DeedError::NotFound("kit line"))?;
        let item = tx.item(removed.item).await?;
        let who = tx.person(entry.actor).await?;
        sentences.push(format!(
            "{}: {} is off the list. {} took it off at {}{}. {}",
            title(bench, place),
            item.map(|item| item.mark).unwrap_or_default(),
            who.map(|person| person.name).unwrap_or_default(),
            bench.zone.words(entry.recorded_at),
            why(&removed.reason),
            there(bench, place),
        ));
    }
    Ok(sentences)
}

fn title(bench: &Bench, place: &str) -> String {
    let plan = bench.plan();
    let position = plan.rig.position(place);
    position.map_or_else(
        || "Spare".to_owned(),
        |position| position.title().to_owned(),
    )
}

fn why(reason: &str) -> String {
    if reason.is_empty() {
        return String::new();
    }
    format!(" ({reason})")
}

fn there(bench: &Bench, place: &str) -> String {
    bench.item_at(place).map_or_else(
        || "Nothing is there now.".to_owned(),
        |item| format!("{} is there now.", item.mark),
    )
}
