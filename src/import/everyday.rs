//! Headings in everyday words: "Big check done", "Out on the van since", "Standing at (place)". Common practice, no source.

use super::field::Field;
use super::synonym::{each, plain_words, without_units};

/// Words that may stand in any heading, and tell none from another.
pub(super) const SAYS_NOTHING: &str = "the, its, with, out, for, and, are, was, has, may, this, that, these, item, held, \
     made, back, one, not, what, which, when, where, who, how, does, from, into, back, all, own, other";

/// Words that say which of the examinations it is, or who calls it so.
const WHICH: &str = "big, yearly, annual, annually, full, main, detailed, thorough, regular, periodic, periodical, formal, \
     official, monthly, six, twelve, half, 6, 12, month, months, routine, statutory, major, proper, independent, outside, \
     external, competent, professional";

/// Words of a bracket that explains a heading and changes nothing of it.
const EXPLAINS: &str = "from, the, marking, marked, markings, mark, label, plate, paper, papers, manual, leaflet, maker, \
     makers, s, of, on, it, if, known, as, printed, stamped, written, approx, about, place, day, date, month, year, who, \
     name, names, where, when, and, or, see, in, at, by, to, ours, our, own";

/// A heading without a bracket that only explains it: "Standing at (place)", "Strength (kN, from the marking)".
pub(super) fn without_comment(heading: &str) -> Option<String> {
    let (front, behind) = heading.split_once(['(', '['])?;
    let (inside, rest) = behind.split_once([')', ']'])?;
    let inside = without_units(&plain_words(inside));
    let explains = inside
        .split(' ')
        .all(|word| word.is_empty() || each(EXPLAINS).any(|one| one == word));
    let words = without_units(&plain_words(&format!("{front} {rest}")));
    (explains && !words.is_empty()).then_some(words)
}

/// The field that the words name, where `known` gives that of a heading in the words of the trade.
pub(super) fn field(words: &str, known: impl Fn(&str) -> Option<Field>) -> Option<Field> {
    if let Some(front) = words.strip_suffix(" since") {
        return out_since(front).then_some(Field::FirstUsed);
    }
    let is_which = |word: &&str| !each(WHICH).any(|one| one == *word);
    let core: Vec<&str> = words.split(' ').filter(is_which).collect();
    let field = known(&core.join(" "))?;
    let of_examinations = matches!(
        field,
        Field::LastExamined | Field::NextDue | Field::Examiner | Field::Verdict
    );
    of_examinations.then_some(field)
}

/// Whether words before "since" say that something went into use, and not into a store.
fn out_since(front: &str) -> bool {
    let mut words = front.split(' ');
    let is_out = words.next().is_some_and(|first| {
        matches!(
            first,
            "out" | "on" | "used" | "issued" | "carried" | "running" | "working"
        )
    });
    let stored = |word: &str| {
        matches!(
            word,
            "stock" | "store" | "stores" | "shelf" | "loan" | "order" | "list" | "hold" | "of"
        )
    };
    is_out && !front.split(' ').any(stored)
}

#[cfg(test)]
mod tests {
    use super::super::synonym::recognise;
    use super::*;

    #[test]
    fn headings_in_everyday_words_are_known() {
        for (heading, field) in [
            ("Our no.", Field::Mark),
            ("Number stamped on it", Field::Serial),
            ("Standing at (place)", Field::Store),
            ("Name on it", Field::Model),
            ("Made by", Field::Maker),
            ("Month made", Field::Made),
            ("Invoice date", Field::Bought),
            ("Out on the van since", Field::FirstUsed),
            ("EN marking", Field::Standard),
            ("Big check done", Field::LastExamined),
            ("Big check by", Field::Examiner),
            ("Next big check before", Field::NextDue),
            ("Yearly inspection done", Field::LastExamined),
            ("Next annual inspection before", Field::NextDue),
        ] {
            assert_eq!(
                recognise(heading).map(|one| one.field),
                Some(field),
                "{heading}"
            );
        }
        for heading in [
            "In stock since",
            "Out of service since",
            "Holds (kN, from the marking)",
            "Big bag",
            "Standing at (who knows)",
            "Strength (of the gate)",
        ] {
            assert!(recognise(heading).is_none(), "{heading}");
        }
    }
}
