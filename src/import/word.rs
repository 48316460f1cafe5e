//! Words in cells: kinds of gear, states and verdicts, as inventories write them.

use crate::domain::{ItemState, Kind, Verdict};

use super::synonym::{each, plain_words};

/// A kind of gear that was read from a word, and whether the word was it or only ended in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct ReadKind {
    pub(super) kind: Kind,
    pub(super) exact: bool,
}

/// The kind that a word names: "Pulleys", "Double pulley", "Carabiner, steel".
///
/// In English the noun stands last, or before a comma or a size: a rescue pulley is a pulley, a rope bag
/// is no rope, and a "rope 11 mm" is one. What is not exact is shown to the person before anything is taken in.
pub(super) fn kind(text: &str) -> Option<ReadKind> {
    let whole = plain_words(text);
    if let Some(kind) = one_kind(&whole) {
        return Some(ReadKind { kind, exact: true });
    }
    let head = text.split([',', '(', ';', ':']).next().unwrap_or_default();
    let words = plain_words(head);
    let words = without_qualifiers(&words);
    let words: Vec<&str> = words.split(' ').collect();
    let is_size = |word: &&str| {
        word.starts_with(|c: char| c.is_ascii_digit()) || matches!(*word, "size" | "length")
    };
    let noun = words.iter().position(|word| !is_size(word)).unwrap_or(0);
    let size = words[noun..].iter().position(is_size);
    let before = size.map_or(words.len(), |size| noun + size);
    [words.len(), before]
        .into_iter()
        .find_map(|to| (0..to).find_map(|from| one_kind(&words[from..to].join(" "))))
        .map(|kind| ReadKind { kind, exact: false })
}

/// The words without those behind the noun that say which one it is: "carabiner triple lock", "harness kids".
fn without_qualifiers<'a>(words: &'a str) -> &'a str {
    let mut words = words;
    let before = |words: &'a str, phrase: &str| words.strip_suffix(phrase)?.strip_suffix(' ');
    while let Some(front) = each(QUALIFIERS).find_map(|phrase| before(words, phrase)) {
        words = front;
    }
    words
}

/// Words that stand behind the name of a thing and name none themselves.
const QUALIFIERS: &str = "auto lock, autolock, triple lock, triple action, twist lock, screw lock, screw gate, screwgate, \
     locking, non locking, single, double, triple, steel, stainless, alloy, aluminium, aluminum, left, \
     right, left hand, right hand, kids, adult, small, medium, large, spare, new, old, red, blue, green, \
     yellow, black, white, orange";

fn one_kind(words: &str) -> Option<Kind> {
    let known = |words: &str| {
        Kind::from_word(words).or_else(|| {
            let also = ALSO
                .iter()
                .find(|(_, others)| each(others).any(|other| other == words));
            also.map(|(kind, _)| *kind)
        })
    };
    let without = |ending: &str| words.strip_suffix(ending).and_then(known);
    known(words)
        .or_else(|| without("s"))
        .or_else(|| without("es"))
}

/// Words of the trade beside those that the kinds know themselves.
const ALSO: &[(Kind, &str)] = &[
    (Kind::Rope, "rope, line, kernmantle rope"),
    (Kind::Cord, "prusik, prusik loop, prusik cord"),
    (Kind::Pulley, "pulley block"),
    (
        Kind::RopeClamp,
        "rope clamp, rope grab, hand ascender, jammer",
    ),
    (
        Kind::Connector,
        "krab, biner, quick link, screw link, screwed link, snap hook, hook",
    ),
    (
        Kind::Descender,
        "descent device, descent control device, friction device, figure eight, figure 8, rack, \
         abseil device, rappel device",
    ),
    (
        Kind::BackUpDevice,
        "back up device, backup device, backup, fall arrester, fall arrestor, fall arrest device",
    ),
    (
        Kind::Sling,
        "tape sling, web sling, runner, wire sling, tape",
    ),
    (
        Kind::Lanyard,
        "energy absorber, shock absorber, cow s tail, cowstail",
    ),
    (
        Kind::AnchorDevice,
        "anchor device, anchor strap, anchor sling, anchor plate, beam clamp",
    ),
    (Kind::Tripod, "davit arm"),
    (Kind::RiggingPlate, "rigging plate, anchor rigging plate"),
    (Kind::Swivel, "swivel connector"),
];

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
         unserviceable, failed, fail, to be checked, not in use",
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
