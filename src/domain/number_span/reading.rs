//! What the lot or serial on an item's record may be read as, and whether it is among those that a notice names.
//!
//! One plain word is compared as it is. What says more than one thing, or one thing in part, counts as each of its readings:
//! what is not known never takes an item out of a notice.

use super::{
    NumberSpan, Parts, ends,
    gap::{ONE, SOME, may_be, with_gaps},
    letters, narrow, without_name,
    word::{PARTING, Word, bare, is_open},
};

/// How an item's lot or serial is among those that a notice names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Among {
    /// It is one of them.
    Itself,
    /// It may be read so, among others.
    ReadAs(String),
    /// It cannot be told from them.
    NotKnown,
}

/// What a lot or serial may be read as.
pub struct Readings {
    whole: String,
    spans: Vec<NumberSpan>,
    gapped: Vec<String>,
    /// Whether it says of itself that there is more than can be read.
    is_open: bool,
}

impl Readings {
    /// Reads what stands on an item's record.
    pub fn of(text: &str) -> Self {
        let whole = narrow(text);
        let mut readings = Self {
            spans: Vec::new(),
            gapped: Vec::new(),
            is_open: false,
            whole: whole.trim().to_owned(),
        };
        let text = with_gaps(&whole).replace(['→', '~', '−'], "-");
        let mut parts = Vec::new();
        for part in text.split(PARTING) {
            let hyphened = || NumberSpan::perhaps_range(without_name(part));
            match range(part).or_else(hyphened) {
                Some(span) => {
                    parts.extend([span.from.clone(), span.to.clone()]);
                    readings.spans.push(span);
                }
                None => parts.push(part.to_owned()),
            }
        }
        let words = parts
            .iter()
            .flat_map(|part| part.split([' ', ':', '°', 'º']));
        let words: Vec<&str> = words.filter(|word| !letters(word).is_empty()).collect();
        readings.is_open = is_open(&whole, &words);
        readings.take(&words);
        readings
    }

    fn take(&mut self, words: &[&str]) {
        let words: Vec<Word<'_>> = words.iter().map(|word| Word::of(word)).collect();
        let numbers = words.iter().filter(|word| matches!(word, Word::Number(_)));
        let are_several =
            numbers.count() > 1 || words.iter().any(|word| matches!(word, Word::Other));
        let mut first = "";
        for (at, word) in words.iter().enumerate() {
            let Word::Number(number) = word else { continue };
            let beside = |at: Option<usize>| match at.and_then(|at| words.get(at)) {
                Some(Word::Letters(letters)) => *letters,
                _ => "",
            };
            let (before, behind) = (beside(at.checked_sub(1)), beside(Some(at + 1)));
            // Of "ID B5" and "B5 ok" nobody knows whether the letters belong to it.
            let is_whole = letters(number).contains(char::is_alphabetic);
            let is_beside = |letters: &str| !letters.is_empty() && (is_whole || letters.len() > 1);
            let stands_alone = are_several || is_beside(before) || is_beside(behind);
            if stands_alone {
                self.one(number);
            }
            for joined in [
                format!("{before}{number}"),
                format!("{number}{behind}"),
                format!("{before}{number}{behind}"),
            ] {
                if stands_alone && joined != *number {
                    self.one(&joined);
                }
            }
            if number.bytes().all(|byte| byte.is_ascii_digit()) {
                // Of "A100/105" the letters stand once.
                if !first.is_empty() {
                    self.one(&format!("{first}{number}"));
                }
            } else if first.is_empty() {
                first = number.trim_end_matches(|c: char| c.is_ascii_digit());
            }
            for bare in bare(number) {
                self.one(&bare);
            }
            if number.contains([ONE, SOME]) {
                self.gapped.push((*number).to_owned());
            }
        }
        if words.iter().all(|word| !matches!(word, Word::Number(_)))
            && self.whole.contains([ONE, SOME, '_'])
        {
            self.gapped.push(with_gaps(&self.whole));
        }
    }

    fn one(&mut self, number: &str) {
        let number = number.trim_matches(|c: char| !c.is_alphanumeric() && c != ONE && c != SOME);
        if !number.contains([ONE, SOME]) {
            self.spans.push(NumberSpan::alone(number));
        }
    }

    /// How it is among what a notice names, if it is; as itself before any other reading.
    pub fn among<'a>(&self, named: impl IntoIterator<Item = &'a NumberSpan>) -> Option<Among> {
        let mut found = None;
        for span in named {
            match self.against(span) {
                Some(Among::Itself) => return Some(Among::Itself),
                Some(Among::ReadAs(text)) => found = Some(Among::ReadAs(text)),
                Some(Among::NotKnown) if found.is_none() => found = Some(Among::NotKnown),
                _ => {}
            }
        }
        found
    }

    fn against(&self, named: &NumberSpan) -> Option<Among> {
        if named.is(&self.whole) {
            return Some(Among::Itself);
        }
        if let Some(span) = self.spans.iter().find(|span| named.meets(span)) {
            return Some(Among::ReadAs(span.to_string()));
        }
        let has_number = |text: &str| Parts::of(text).is_some();
        let says_nothing = !has_number(&self.whole)
            && (has_number(&named.from) || letters(&self.whole).is_empty());
        let is_gapped = self.gapped.iter().any(|text| may_be(text, named));
        (self.is_open || says_nothing || is_gapped).then_some(Among::NotKnown)
    }
}

/// The range that a part of a text is, written in whichever order.
fn range(part: &str) -> Option<NumberSpan> {
    let bare = without_name(part);
    let (from, to) = ends(bare)?;
    let (from, to) = (from.trim().to_owned(), to.trim().to_owned());
    let (first, mut last) = (Parts::of(&from)?, Parts::of(&to)?);
    let mut to = to;
    if last.before.is_empty() && last.behind.is_empty() && !first.before.is_empty() {
        // Of "A98 to 103" the letters stand once.
        to = format!(
            "{}{to}",
            from.trim_end_matches(|c: char| c.is_ascii_digit())
        );
        last = Parts::of(&to)?;
    }
    if !first.same_letters(&last) {
        return None;
    }
    Some(if first.compare(&last).is_gt() {
        NumberSpan { from: to, to: from }
    } else {
        NumberSpan { from, to }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn among(number: &str, from: &str, to: &str) -> Option<Among> {
        let (from, to) = (from.to_owned(), to.to_owned());
        Readings::of(number).among(&[NumberSpan { from, to }])
    }

    #[test]
    fn one_plain_word_is_itself_however_it_is_spelt() {
        for number in [
            "A100",
            "a100",
            "A-100",
            "A 100",
            "A.100",
            "A/100",
            "#A100",
            "A0100",
            "A_100",
            "Ａ100",
            "Ａ１００",
            " A100 ",
            "A\u{2011}100",
        ] {
            assert_eq!(
                among(number, "A100", "A100"),
                Some(Among::Itself),
                "{number}"
            );
            assert_eq!(
                among(number, "A100", "A102"),
                Some(Among::Itself),
                "{number}"
            );
            assert_eq!(among(number, "A101", "A102"), None, "{number}");
            assert_eq!(among(number, "A101", "A101"), None, "{number}");
            assert_eq!(among(number, "B100", "B102"), None, "{number}");
        }
        assert_eq!(
            among("VX190041", "VX19-0001", "VX19-0100"),
            Some(Among::Itself)
        );
        assert_eq!(among("02/2019", "2/2019", "2/2019"), Some(Among::Itself));
        assert_eq!(among("blue", "Blue", "Blue"), Some(Among::Itself));
        assert_eq!(among("green", "Blue", "Blue"), None);
        assert_eq!(among("A 100", "100", "102"), None, "A belongs to it");
    }

    /// Each of them may be A100.
    const IN_OTHER_WORDS: [&str; 35] = [
        "lot A100",
        "Lot: A100",
        "LotA100",
        "Batch A100",
        "batch no. A 100",
        "A100 (worn)",
        "A100 or A103",
        "A99, A100",
        "A100 & A103",
        "A100/A105",
        "A100/5",
        "A99;A100",
        "A98-A103",
        "A98 - A103",
        "A98 to A103",
        "A98–A103",
        "A98..A103",
        "A103 to A98",
        "A98 to 103",
        "A99/100",
        "two of A100",
        "partida A100",
        "Nr.A100",
        "LotNr.A100",
        "Ch-Nr.A100",
        "L:A100",
        "L A100",
        "ID A100",
        "PO A100",
        "ca. A100",
        "A100 ok",
        "A100 DE",
        "A98→A103",
        "A98~A103",
        "A98 − A103",
    ];

    #[test]
    fn what_says_it_in_other_words_is_read() {
        for number in IN_OTHER_WORDS {
            for to in ["A100", "A102"] {
                let found = among(number, "A100", to);
                assert!(
                    matches!(found, Some(Among::ReadAs(_))),
                    "{number}: {found:?}"
                );
            }
            assert_eq!(among(number, "A200", "A202"), None, "{number}");
            assert_eq!(among(number, "A200", "A200"), None, "{number}");
        }
        for number in [
            "SN 105",
            "S/N 105",
            "SN105",
            "No. 105",
            "N° 105",
            "serial 105",
            "105 (worn)",
            "105 or 106",
            "105/106",
        ] {
            let found = among(number, "100", "110");
            assert!(
                matches!(found, Some(Among::ReadAs(_))),
                "{number}: {found:?}"
            );
            assert_eq!(among(number, "200", "210"), None, "{number}");
        }
    }

    #[test]
    fn what_cannot_be_read_whole_is_taken_out_only_by_what_can() {
        for number in [
            "A100?",
            "A1?0",
            "A10_",
            "?100",
            "A10…",
            "A1..",
            "A1*",
            "A??0",
            "A7 and later",
            "A7 or others",
            "illegible",
            "n/a",
            "?",
            "-",
            "various",
            "tbc",
            "lot ?",
            "A1xx",
            "A1x0",
            "A1##",
            "A1--",
            "A7+",
            "> A7",
            ">=A7",
            "≤A900",
            "A7 and up",
            "bis A900",
            "max A900",
            "A7 usw.",
        ] {
            for to in ["A100", "A102"] {
                let found = among(number, "A100", to);
                assert!(
                    matches!(found, Some(Among::NotKnown | Among::Itself)),
                    "{number}: {found:?}"
                );
            }
        }
        assert_eq!(among("1?5", "100", "110"), Some(Among::NotKnown));
        for (number, from, to) in [
            ("A1?0", "A200", "A202"),
            ("A1?0", "A101", "A101"),
            ("B1?0", "A100", "A102"),
            ("B10…", "A100", "A102"),
            ("B1..", "A100", "A100"),
            ("2?5", "100", "110"),
            ("A100?", "A200", "A300"),
            ("A100", "Blue", "Blue"),
            ("A1xx", "A200", "A202"),
            ("A1--", "A200", "A202"),
            ("L A100", "A101", "A102"),
        ] {
            assert_eq!(among(number, from, to), None, "{number} {from} {to}");
        }
        assert_eq!(among("?", "Blue", "Blue"), Some(Among::NotKnown));
        assert_eq!(among("unknown", "Blue", "Blue"), Some(Among::NotKnown));
    }
}
