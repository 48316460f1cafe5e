//! Of a rope and a device on a list that do not take each other one stays, where a whole kit can be put together around it.

use super::bench::{Bench, Surroundings};
use crate::domain::{
    Item, Kind, KitEntry, KitLineId, Model, Refusal, RefusalCode, fitness::KitItem,
    proposal::Proposal,
};

/// A kit for what is open, and the lines of those of `refused` that stay. They are off the bench when it is asked; what
/// stays is on it afterwards.
pub(super) fn proposed(
    bench: &mut Bench,
    around: &Surroundings,
    offered: &[(Item, Model)],
    refused: &[KitEntry],
) -> (Proposal, Vec<KitLineId>) {
    for ropes_first in [true, false] {
        let stays = keep(bench, around, refused, ropes_first);
        if stays.is_empty() {
            break;
        }
        let proposal = bench.proposal(around, offered);
        if proposal.missing.is_empty() {
            return (proposal, stays);
        }
        for line in stays {
            bench.take(line);
        }
    }
    (bench.proposal(around, offered), Vec::new())
}

/// Puts back what nothing speaks against but what it was reeved with, as long as nothing on the bench does.
fn keep(
    bench: &mut Bench,
    around: &Surroundings,
    refused: &[KitEntry],
    ropes_first: bool,
) -> Vec<KitLineId> {
    let mut entries: Vec<&KitEntry> = refused.iter().collect();
    entries.retain(|entry| entry.refusals.iter().all(is_of_rope));
    entries.sort_by_key(|entry| (entry.model.kind == Kind::Rope) != ropes_first);
    let mut stays = Vec::new();
    for entry in entries {
        let candidate = KitItem::new(&entry.line, &entry.item, &entry.model);
        let refusals = bench.refusals(&bench.plan(), around, candidate, None);
        if refusals.is_empty() {
            bench.put(entry.line.clone(), entry.item.clone(), entry.model.clone());
            stays.push(entry.line.id);
        }
    }
    stays
}

/// Whether a reason is that a rope and a device do not take each other.
fn is_of_rope(refusal: &Refusal) -> bool {
    refusal.lacks.is_none()
        && matches!(
            refusal.code,
            RefusalCode::RopeDiameter | RefusalCode::RopeKind
        )
}
