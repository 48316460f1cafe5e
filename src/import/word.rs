//! Words in cells: states and verdicts, as inventories write them.

use crate::domain::{ItemState, Verdict};

use super::synonym::{each, plain_words};

/// The state that a word names.
pub(super) fn state(text: &str) -> Option<ItemState> {
    let words = plain_words(text);
    STATES
        .iter()
        .find(|(_, written)| each(written).any(|one| one == words))
        .map(|(state, _)| *state)
}

const STATES: &[(ItemState, &str)] = &[
    (
        ItemState::InService,
        "in service, in use, active, ok, okay, available, serviceable, good, fit, fit for use, new, \
         operational, ready, usable, pass, passed, live, good condition",
    ),
    (
        ItemState::Quarantined,
        "quarantined, quarantine, in quarantine, on hold, held, hold, out of service, defective, \
         damaged, in repair, repair, awaiting inspection, awaiting examination, suspended, \
         unserviceable, failed, fail, to be checked, not in use, held back, kept back, set aside, blocked, do not use",
    ),
    (ItemState::Missing, "missing, lost, not found"),
    (
        ItemState::Retired,
        "retired, scrapped, disposed, disposed of, destroyed, withdrawn, condemned, decommissioned, \
         discarded, written off, out for good, scrap",
    ),
];

/// The verdict that a word names. A failed examination holds an item back; only a word for good retires it.
pub(super) fn verdict(text: &str) -> Option<Verdict> {
    let words = plain_words(text);
    let words = words.as_str();
    if [
        "fit",
        "pass",
        "passed",
        "ok",
        "okay",
        "good",
        "satisfactory",
        "accepted",
        "fit for use",
        "serviceable",
        "yes",
    ]
    .contains(&words)
    {
        return Some(Verdict::Fit);
    }
    if [
        "unfit",
        "fail",
        "failed",
        "not ok",
        "rejected",
        "reject",
        "unsatisfactory",
        "no",
    ]
    .contains(&words)
    {
        return Some(Verdict::Quarantine);
    }
    match state(text)? {
        ItemState::Quarantined => Some(Verdict::Quarantine),
        ItemState::Retired => Some(Verdict::Retire),
        ItemState::InService | ItemState::Missing => None,
    }
}

/// Whether a cell says that nothing is known, as lists do where a cell should not stay blank.
pub(super) fn says_unknown(text: &str) -> bool {
    let text = text.trim().to_lowercase();
    matches!(
        text.as_str(),
        "-" | "--"
            | "–"
            | "—"
            | "?"
            | "??"
            | "n/a"
            | "n.a."
            | "na"
            | "#n/a"
            | "unknown"
            | "not known"
            | "nil"
            | "tbc"
            | "tbd"
    )
}
