//! What the remarks of an examination say of the markings: "markings legible", "labels ok".
//!
//! EN 365, from memory, has an examination look whether the product marking can be read. Only words that say it
//! plainly are read, common practice, no source; what says it both ways says nothing.

use super::negation::{self, Said};
use super::synonym::{each, plain_words};

/// What is marked.
const MARKINGS: &str = "marking, markings, label, labels, product label, product marking, product markings, \
     kennzeichnung, etikett, etiketten, marquage, marquages, étiquette, étiquettes";
/// What it is when it can be read.
const READABLE: &str = "ok, okay, legible, readable, clear, good, fine, in order, all legible, all readable, lesbar, \
     gut lesbar, lisible, lisibles";
/// What it is when it cannot.
const UNREADABLE: &str = "illegible, unreadable, not legible, not readable, not ok, nicht lesbar, unleserlich, \
     illisible, illisibles, missing, gone, faded away";
/// Words that may stand between the two.
const BETWEEN: [&str; 9] = [
    "are", "is", "all", "and", "still", "was", "were", "sind", "ist",
];

/// Words of what is to be done or was not yet.
const DOUBT: &str = "check, checked, if, whether, should, must, to, needs, partly, almost, hardly, barely, kaum, prüfen";

/// Whether a text says that the markings can be read; none where it says nothing of them, or both.
pub(super) fn readable(text: &str) -> Option<bool> {
    let mut found = None;
    for part in text.split([',', ';', '.', '/', '\n']) {
        let words = format!(" {} ", plain_words(part));
        let is_doubtful =
            part.contains('?') || each(DOUBT).any(|one| words.contains(&format!(" {one} ")));
        let Some(said) = one(&words).filter(|_| !is_doubtful) else {
            continue;
        };
        if found.is_some_and(|before| before != said) {
            return None;
        }
        found = Some(said);
    }
    found
}

/// The statement in a text that says of a label, a number or a date that it can hardly be read, or is not there: "number
/// worn away"; none where nothing is said of them.
pub(super) fn spoilt(text: &str) -> Option<&str> {
    let parts = text.split([',', ';', '.', '/', '\n', ':', '(', ')', '–']);
    let mut said = parts.filter(|part| {
        let words = format!(" {} ", plain_words(part));
        let says = |list: &str| each(list).any(|one| words.contains(&format!(" {one} ")));
        (says(MARKINGS) || says(MARKED)) && (says(UNREADABLE) || says(WORN))
    });
    said.next().map(str::trim)
}

/// Why it is not taken of an item that its markings can be read.
pub(super) fn contradicts(words: &str) -> String {
    format!(
        "the list says of such an item \"{words}\". It comes in as not looked at: whoever looks at it says what can be read."
    )
}

/// What else may be marked on a thing.
const MARKED: &str = "number, numbers, serial, serials, serial number, date, tag, tags, plate, name plate, sticker, \
     engraving, stamp, stamping, printing, writing, lettering, id, nummer, seriennummer, datum, schild, \
     numéro, date de fabrication";
/// What it is when it can hardly be read, or is gone.
const WORN: &str = "faded, fading, worn, rubbed, scratched, unclear, blurred, smudged, smeared, torn off, fell off, fallen \
     off, came off, come off, lost, removed, cannot be read, can not be read, cant be read, can t be read, hard to read, \
     hardly readable, hardly legible, barely readable, barely legible, partly readable, partly legible, not visible, \
     no label, no labels, no serial, no number, no marking, no markings, no tag, abgenutzt, verblasst, unlesbar, fehlt, \
     effacé, effacée, usé, usée";

/// What one statement says.
fn one(words: &str) -> Option<bool> {
    for noun in each(MARKINGS) {
        let phrase = format!(" {noun} ");
        let Some(at) = words.find(&phrase) else {
            continue;
        };
        // "No labels": nobody can tell whether it ever had one.
        if !matches!(negation::said(words, noun).as_slice(), [Said::So { .. }]) {
            return None;
        }
        let mut behind = &words[at + phrase.len() - 1..];
        while let Some(rest) = BETWEEN
            .iter()
            .find_map(|word| behind.strip_prefix(&format!(" {word} ")))
        {
            behind = &words[words.len() - rest.len() - 1..];
        }
        let ahead = &words[..=at];
        let says = |list: &str| {
            each(list).any(|word| {
                let word = format!(" {word} ");
                // The adjective stands behind the noun, or right before it: "legible labels".
                behind.starts_with(&word) || ahead.ends_with(&word)
            })
        };
        if says(UNREADABLE) {
            return Some(false);
        }
        return says(READABLE).then_some(true);
    }
    None
}

#[cfg(test)]
mod tests {
    use super::{readable, spoilt};

    #[test]
    fn what_cannot_be_read_is_seen() {
        for (text, said) in [
            ("label faded, date not readable", "label faded"),
            ("number worn away", "number worn away"),
            ("fine; serial number illegible", "serial number illegible"),
            ("no label", "no label"),
            ("Remarks: label missing", "label missing"),
        ] {
            assert_eq!(spoilt(text), Some(said), "{text}");
        }
        for text in [
            "",
            "edge worn",
            "labels ok",
            "number 4, rope groove worn",
            "missing since March",
            "no wear",
        ] {
            assert_eq!(spoilt(text), None, "{text}");
        }
    }

    #[test]
    fn plain_words_are_read() {
        for text in [
            "markings legible",
            "Labels OK",
            "label: ok; no wear",
            "passed, all markings are legible",
            "Etiketten lesbar",
            "legible labels",
        ] {
            assert_eq!(readable(text), Some(true), "{text}");
        }
        for text in [
            "label illegible",
            "Markings not legible",
            "labels are not readable, otherwise fine",
            "illegible markings",
            "label missing",
        ] {
            assert_eq!(readable(text), Some(false), "{text}");
        }
    }

    #[test]
    fn what_is_not_plain_is_not() {
        for text in [
            "",
            "ok",
            "new label sewn on",
            "labels",
            "no labels",
            "label ok, markings illegible",
            "check that markings are legible?",
            "labels to be checked",
            "markings not looked at",
            "label partly legible",
        ] {
            assert_eq!(readable(text), None, "{text}");
        }
    }
}
