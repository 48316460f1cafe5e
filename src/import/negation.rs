//! Whether words say a phrase, or take it back: "with becket", "no becket".

use super::synonym::each;

/// Words that take back what follows them.
const NOT: &str = "no, not, non, without, w o, ohne, kein, keine, keinen, sans";
/// Words that may stand between the two.
const ARTICLES: &str = "a, an, any, the, ein, eine, einen";
/// Words that carry it on to more than the next one, as far as nobody can tell.
const JOINED: [&str; 6] = ["or", "nor", "and", "oder", "und", "noch"];

/// How words say a phrase.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Said<'a> {
    /// They do.
    So {
        /// The next word behind it; empty where it is the last.
        before: &'a str,
    },
    /// They say that it is not so.
    Not,
    /// It stands there, and nobody can tell which of the two.
    Unclear,
}

/// How `words`, with a blank before the first and behind the last, say a phrase, each time that it stands in them.
pub(super) fn said<'a>(words: &'a str, phrase: &str) -> Vec<Said<'a>> {
    let phrase = format!(" {phrase} ");
    let found = words.match_indices(phrase.as_str());
    found
        .map(|(at, _)| {
            let (ahead, behind) = (&words[..at], &words[at + phrase.len()..]);
            let bare = without(ahead, ARTICLES).unwrap_or(ahead);
            if without(bare, NOT).is_some() {
                return Said::Not;
            }
            if is_carried_on(ahead) {
                return Said::Unclear;
            }
            let before = behind.split(' ').next().unwrap_or_default();
            Said::So { before }
        })
        .collect()
}

/// The words before the last, if that is one of these.
fn without<'a>(words: &'a str, list: &str) -> Option<&'a str> {
    each(list).find_map(|one| words.strip_suffix(one)?.strip_suffix(' '))
}

/// Whether something before is taken back and joined to what follows: "without capture or becket".
fn is_carried_on(ahead: &str) -> bool {
    let words: Vec<&str> = ahead.split(' ').collect();
    let is_not = |word: &&str| each(NOT).any(|one| one == *word);
    let not = words.iter().rposition(is_not);
    not.is_some_and(|not| words[not..].iter().any(|word| JOINED.contains(word)))
}

#[cfg(test)]
mod tests {
    use super::{Said, said};

    #[test]
    fn what_takes_a_phrase_back_stands_before_it() {
        let so = |before| vec![Said::So { before }];
        for (words, read) in [
            (" double pulley with becket ", so("")),
            (" pulley becket side ", so("side")),
            (" pulley no becket ", vec![Said::Not]),
            (" pulley without a becket ", vec![Said::Not]),
            (" pulley w o becket ", vec![Said::Not]),
            (" pulley without capture or becket ", vec![Said::Unclear]),
            (" non rotating pulley with becket ", so("")),
            (" pulley ", vec![]),
        ] {
            assert_eq!(said(words, "becket"), read, "{words}");
        }
    }
}
