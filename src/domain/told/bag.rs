//! What was done with bags, in words.

use super::{Names, Told};
use crate::domain::{Bag, BagCheck, Change, counted};

/// The list of a bag, a look through it, or an item that went to another place.
pub(super) fn told(change: &Change, names: &Names) -> Told {
    match change {
        Change::BagListed(bag) => listed(bag, names),
        Change::BagChecked(check) => checked(check),
        Change::ItemMoved(moved) => Told::new(format!(
            "{} moved from {} to {}",
            names.of(moved.item.0),
            names.of(moved.from.0),
            names.of(moved.to.0)
        )),
        other => Told::new(other.kind()),
    }
}

fn listed(bag: &Bag, names: &Names) -> Told {
    let pieces: usize = bag.parts.iter().map(|part| usize::from(part.count)).sum();
    let within = bag
        .within
        .map(|store| format!("; it lies in {}", names.of(store.0)));
    Told::new(format!(
        "List of {} written (version {}): {} in {}{}",
        names.of(bag.store.0),
        bag.revision,
        counted(pieces, "piece", "pieces"),
        counted(bag.parts.len(), "line", "lines"),
        within.unwrap_or_default()
    ))
}

fn checked(check: &BagCheck) -> Told {
    let mut found = vec![format!("{} present", check.present.len())];
    let more = [
        (check.missing.len(), "missing"),
        (check.others.len(), "that live elsewhere"),
    ];
    let more = more.into_iter().filter(|(count, _)| *count > 0);
    found.extend(more.map(|(count, words)| format!("{count} {words}")));
    if let Some(lacking) = check.lacking.filter(|lacking| *lacking > 0) {
        found.push(format!("{lacking} of its list not there"));
    }
    Told::new(format!(
        "{} looked through: {}",
        check.name,
        found.join(", ")
    ))
    .why(check.note.as_str())
    .on(check.on)
}
