//! Headings of strengths: a kind of strength, a way of loading, or both, in any order.

use crate::rigging::{LoadingMode, StrengthKind};

use super::field::Field;
use super::synonym::{each, plain_words};

/// The field that the words name, if they name a strength and nothing else.
pub(super) fn recognise(words: &str) -> Option<Field> {
    let (kind, rest) = take(words, KINDS);
    let (mode, rest) = take(&rest, MODES);
    if rest.split(' ').any(|word| !FILLERS.contains(&word)) {
        return None;
    }
    match (kind, mode) {
        (None, None) => None,
        // A way of loading alone is a column of breaking strengths; "body" or "straight" alone say too little.
        (None, Some(mode)) => {
            needs_no_kind(mode).then_some(Field::Strength(StrengthKind::Breaking, Some(mode)))
        }
        (Some(StrengthKind::RatedLoad), None) => Some(Field::RatedLoad),
        (Some(kind), mode) => Some(Field::Strength(kind, mode)),
    }
}

/// The figure-eight knot as one word, however it is written: "figure-8", "fig. 8", "figure of eight".
pub(super) fn with_knot_as_word(text: &str) -> String {
    const WRITTEN: &str = "figure-of-eight, figure of eight, figure-of-8, figure of 8, figure-eight, figure eight, \
         figure-8, figure 8, fig-8, fig. 8, fig 8, fig.8, achterknoten";
    each(WRITTEN).fold(text.to_lowercase(), |text, written| {
        text.replace(written, "figureeight")
    })
}

/// The way of loading that a bracket behind a strength names: "major axis", "cross-loaded", "gate open".
pub(super) fn mode(words: &str) -> Option<LoadingMode> {
    let (mode, rest) = take(&plain_words(words), MODES);
    let is_only = rest.split(' ').all(|word| FILLERS.contains(&word));
    mode.filter(|_| is_only)
}

fn needs_no_kind(mode: LoadingMode) -> bool {
    matches!(
        mode,
        LoadingMode::MajorAxis | LoadingMode::GateOpen | LoadingMode::MinorAxis
    )
}

/// Takes the longest phrase that the words hold, and gives what it means and the words without it.
fn take<T: Copy>(words: &str, phrases: &[(T, &'static str)]) -> (Option<T>, String) {
    let padded = format!(" {words} ");
    let all = phrases
        .iter()
        .flat_map(|(meaning, written)| each(written).map(move |phrase| (*meaning, phrase)));
    let found = all
        .filter(|(_, phrase)| padded.contains(&format!(" {phrase} ")))
        .max_by_key(|(_, phrase)| phrase.len());
    match found {
        Some((meaning, phrase)) => {
            let rest = padded.replacen(&format!(" {phrase} "), " ", 1);
            (Some(meaning), rest.trim().to_owned())
        }
        None => (None, words.to_owned()),
    }
}

const FILLERS: &[&str] = &[
    "", "of", "the", "at", "on", "along", "across", "loaded", "rating", "as", "usual", "strength",
    "min", "minimum",
];

const KINDS: &[(StrengthKind, &str)] = &[
    (
        StrengthKind::Breaking,
        "mbs, mbl, breaking strength, breaking load, breaking force, break strength, break load, \
         minimum breaking strength, minimum breaking load, min breaking strength, min breaking load, \
         minimum breaking force, min break strength, minimum break strength, strength, \
         ultimate strength, rated strength, tensile strength, \
         min break, min break load, min break force, min breaking, min breaking force, min br strength, \
         min br load, min bs, mbf, m b s, m b l, mbs min, min mbs, minimum mbs, breaking str, break str, \
         breaking strength min, breaking load min, min strength, minimum strength, ult strength, \
         ultimate load, ultimate breaking strength, min tensile strength, minimum tensile strength",
    ),
    (
        StrengthKind::WorkingLimit,
        "wll, swl, working limit, working load, working load limit, safe working load, \
         safe working limit, working strength, w l l, s w l, max working load, maximum working load, mwl",
    ),
    (StrengthKind::RatedLoad, "rated load, rated load as a force"),
];

const MODES: &[(LoadingMode, &str)] = &[
    (
        LoadingMode::Straight,
        "straight, straight pull, in a straight line, end to end, straight line",
    ),
    (
        LoadingMode::Terminated,
        "terminated, with terminations, with termination, by its maker s end, with the end that its maker states sewn or tied, \
         sewn end, sewn eye, knot, knots, knotted, \
         knotted end, knotted ends, tied, tied end, tied ends, figureeight, figureeights, figureeight end, \
         figureeight ends, figureeight knot, figureeight knots, figureeight loop, figureeight loops",
    ),
    (
        LoadingMode::MajorAxis,
        "major, major axis, long axis, longitudinal, longitudinally, lengthways, lengthwise, gate closed, closed gate, \
         major axis gate closed",
    ),
    (
        LoadingMode::GateOpen,
        "gate open, open gate, major axis gate open",
    ),
    (
        LoadingMode::MinorAxis,
        "minor, minor axis, short axis, cross load, cross loaded, cross loading, cross axis, x load, x loaded, transverse, \
         across, crossways, crosswise, sideways",
    ),
    (
        LoadingMode::Axle,
        "axle, attachment, attachment point, by its attachment, main eye",
    ),
    (LoadingMode::Becket, "becket, at its becket"),
    (LoadingMode::Basket, "basket, in a basket, basket hitch"),
    (LoadingMode::Choked, "choked, choke, choker, choker hitch"),
    (
        LoadingMode::Body,
        "body, by its body, as it is made to be used, frame",
    ),
];
