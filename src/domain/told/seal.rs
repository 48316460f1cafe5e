//! Who signs how far the ledger has grown, and whose name it no longer tells, in words.

use super::Told;
use crate::domain::Change;

/// A key for checkpoints, a witness, or a name that was removed.
pub(super) fn told(change: &Change) -> Told {
    match change {
        Change::LedgerKeyTaken(key) => Told::new(format!(
            "Key {} signs checkpoints of this record from here on: {}",
            key.number, key.verifier
        ))
        .why(key.reason.as_str()),
        Change::WitnessNamed(witness) => Told::new(format!(
            "{} is asked to sign checkpoints of this record too: {}",
            witness.who, witness.verifier
        )),
        Change::WitnessEnded(end) => Told::new(format!(
            "{} is no longer asked to sign checkpoints of this record",
            end.name
        ))
        .why(end.reason.as_str()),
        Change::NamesRemoved(removal) => Told::new(format!(
            "Removed from the records on request; in its place stands {}{}",
            removal.instead().join(", "),
            removal
                .stays_in()
                .map_or_else(String::new, |stays| format!("; {stays}"))
        ))
        .why(removal.reason.as_str()),
        other => Told::new(other.kind()),
    }
}

/// Who a witness is, and what stands for a name; a key is about nothing else.
pub(super) fn about(change: &Change) -> Vec<String> {
    match change {
        Change::WitnessNamed(witness) => vec![witness.who.clone()],
        Change::WitnessEnded(end) => vec![end.name.clone()],
        Change::NamesRemoved(removal) if removal.person.is_some() => {
            removal.instead().into_iter().take(1).collect()
        }
        _ => Vec::new(),
    }
}
