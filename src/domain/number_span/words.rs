//! Words around serials and lots, none of which is part of a number.

/// A text without the word for what it is before it: "Lot B5" is B5.
pub(super) fn without_name(text: &str) -> &str {
    const NAMES: [&str; 11] = [
        "lot", "lots", "lot no", "lot no.", "batch", "batches", "serial", "serials", "no", "no.",
        "nr",
    ];
    let text = text.trim();
    let rest = |name: &&str| {
        let (front, rest) = text.split_at_checked(name.len())?;
        let rest = rest
            .strip_prefix([' ', ':'])?
            .trim_start_matches([' ', ':']);
        front.eq_ignore_ascii_case(name).then_some(rest)
    };
    let mut found: Vec<&str> = NAMES.iter().filter_map(rest).collect();
    found.retain(|rest| rest.contains(|c: char| c.is_ascii_digit()));
    // The longest name leaves the least.
    found
        .into_iter()
        .min_by_key(|rest| rest.len())
        .unwrap_or(text)
}

/// Both ends, where a text has two.
pub(super) fn ends(text: &str) -> Option<(&str, &str)> {
    const BETWEEN: [&str; 9] = [
        " to ",
        " through ",
        " thru ",
        " until ",
        " till ",
        " bis ",
        "..",
        "–",
        "…",
    ];
    // A letter in lower case takes as many bytes, so that the places are the same.
    let lower = text.to_ascii_lowercase();
    let mut between = BETWEEN.into_iter();
    between.find_map(|sign| {
        let at = lower.find(sign)?;
        Some((&text[..at], &text[at + sign.len()..]))
    })
}

/// Words that stand for several numbers, or for a range without an end, and are part of no number.
pub(super) const OF_SEVERAL: [&str; 23] = [
    "&", "+", "above", "after", "and", "before", "below", "beyond", "earlier", "except", "ff",
    "ff.", "from", "higher", "later", "lower", "onward", "onwards", "or", "since", "up", "upwards",
    "und",
];

/// Words that stand for every number.
pub(super) const ALL: [&str; 5] = ["all", "any", "every", "alle", "tous"];

/// Whether a word or a sign before a number makes a range without another end of it. Between two it parts them.
pub(super) fn is_bound(word: &str) -> bool {
    const BOUNDS: [&str; 9] = [
        "until", "till", "to", "bis", "through", "thru", "von", "dès", "starting",
    ];
    word.starts_with(['<', '>', '≤', '≥']) || BOUNDS.contains(&word.to_lowercase().as_str())
}
