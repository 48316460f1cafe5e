//! The ropes that words say a device takes: "rope 10-11.5 mm", "for 8 to 13 mm rope", "für Seil 10–12,5 mm".
//!
//! Common practice, no source: a range is read only where a word for rope stands beside it, and millimetres or a sign
//! for a diameter. A single number is none, and so is what was tried once: "tested with rope 10-11 mm". "Rope up to
//! 13 mm" says the thickest alone, and the thinnest stays open.

use super::number;
use super::rope_said::Said;
use super::synonym::each;
use crate::domain::Kind;

/// Words for rope, and for its diameter in one word.
const ROPE: &str = "rope, ropes, seil, seile, seilen, kernmantelseil, kernmantelseile, corde, cordes, cuerda, cuerdas";
const ROPE_DIAMETER: &str = "seildurchmesser, seildicke, seilstärke";
/// Words and signs for a diameter.
const DIAMETER: &str = "ø, ⌀, dia, diam, diameter, diameters, durchmesser, diamètre, diametre";
/// Words that may stand between rope and numbers.
const BETWEEN: &str = "for, of, from, von, de, size, sizes, range, thickness, takes, fits, clamp, grab, adjuster, \
     kernmantle, kernmantel, static, semi, dynamic, low, stretch, textile, nylon, polyamide, thick, statique, dynamique";
/// Words from the one number to the other.
const TO: &str = "to, bis, à, through, thru";
/// Words behind which the thickest stands alone.
const UP_TO: &str = "up to, upto, max, maximum, maxi, bis zu, bis, höchstens, jusqu à, at most";
/// Words that say that the thinnest stands somewhere too.
const AT_LEAST: &str = "min, minimum, from, mindestens, ab, least";
/// Words that take a range back, or tell what was done once.
const NO: &str = "not, no, never, except, nicht, kein, keine, pas, sauf, tested, test, was, were, slip, slips, slipped, \
     worn, failed, instead";
/// How many words in front may do that.
const BEFORE: usize = 5;
/// The diameters of ropes that devices are made for, in millimetres, with room at both ends.
pub(super) const PLAUSIBLE: std::ops::RangeInclusive<f64> = 3.0..=30.0;

/// Whether a kind of gear takes ropes of some diameters only.
pub(super) fn takes_rope(kind: Kind) -> bool {
    matches!(
        kind,
        Kind::Pulley | Kind::RopeClamp | Kind::Descender | Kind::BackUpDevice
    )
}

#[derive(Clone, Debug, PartialEq)]
pub(super) enum Token {
    Number(f64),
    Word(String),
    Dash,
    /// What parts one statement from the next.
    Break,
}

/// The thinnest and the thickest rope that a text says, each with its unit; none where it says none or two things.
pub(super) fn range(text: &str) -> Option<Said> {
    let tokens = tokens(&text.to_lowercase().replace(['\'', '’'], " "));
    let both = |at| range_at(&tokens, at).map(|(least, most)| (Some(least), most));
    let all = (0..tokens.len()).filter_map(|at| {
        let most = || Some((None, most_at(&tokens, at)?));
        both(at).or_else(most)
    });
    let mut found = all;
    let first = found.next()?;
    if found.any(|other| other != first) {
        return None;
    }
    let (least, most) = first;
    let millimetres = |end| format!("{end} mm");
    Some((least.map(millimetres), Some(millimetres(most))))
}

/// The thickest rope, where it alone is said and its number stands at `at`: "rope up to 13 mm".
fn most_at(tokens: &[Token], at: usize) -> Option<f64> {
    let is = |token: &Token, list: &str| matches!(token, Token::Word(word) if each(list).any(|one| one == word));
    let Token::Number(most) = tokens.get(at)? else {
        return None;
    };
    let from = each(UP_TO).find_map(|phrase| {
        let words: Vec<&str> = phrase.split(' ').collect();
        let from = at.checked_sub(words.len())?;
        let mut pairs = tokens[from..at].iter().zip(&words);
        pairs
            .all(|(token, word)| matches!(token, Token::Word(one) if one == word))
            .then_some(from)
    })?;
    let unit = tokens.get(at + 1).is_some_and(|next| is(next, "mm"));
    let next = at + 1 + usize::from(unit);
    let (before, marked) = beside(tokens, (0..from).rev());
    let (behind, marked_behind) = beside(tokens, next..tokens.len());
    let goes_on = matches!(tokens.get(next), Some(Token::Dash | Token::Number(_)));
    let other_unit = !unit && !behind && matches!(tokens.get(next), Some(Token::Word(_)));
    let open = tokens[..from].iter().rev();
    let open = open.take_while(|token| **token != Token::Break);
    let taken_back = open.clone().take(BEFORE).any(|token| is(token, NO));
    // "8 mm up to 13 mm", "min 8, max 13": the other end is said, and not read here.
    let has_least = tokens.iter().any(|token| is(token, AT_LEAST))
        || open.clone().any(|token| matches!(token, Token::Number(_)));
    let holds = PLAUSIBLE.contains(most)
        && (unit || marked || marked_behind)
        && (before || behind)
        && !(goes_on || other_unit || taken_back || has_least);
    holds.then_some(*most)
}

/// The range that begins with the number at `at`.
fn range_at(tokens: &[Token], at: usize) -> Option<(f64, f64)> {
    let number = |at: usize| match tokens.get(at) {
        Some(Token::Number(number)) => Some(*number),
        _ => None,
    };
    let is_word = |at: usize, list: &str| matches!(tokens.get(at), Some(Token::Word(word)) if each(list).any(|one| one == word));
    let is_to = |at: usize| matches!(tokens.get(at), Some(Token::Dash)) || is_word(at, TO);
    let least = number(at)?;
    let mut next = at + 1;
    let first_unit = is_word(next, "mm");
    next += usize::from(first_unit);
    if !is_to(next) {
        return None;
    }
    let most = number(next + 1)?;
    next += 2;
    let unit = is_word(next, "mm");
    next += usize::from(unit);
    // "8-10-13": nobody can tell what stands in the middle.
    if is_to(next) && number(next + 1).is_some()
        || (at > 0 && is_to(at - 1) && at > 1 && number(at - 2).is_some())
    {
        return None;
    }
    let (before, marked) = beside(tokens, (0..at).rev());
    let (behind, marked_behind) = beside(tokens, next..tokens.len());
    let is_thick = unit || first_unit || marked || marked_behind;
    let taken_back = (0..at)
        .rev()
        .take_while(|at| tokens[*at] != Token::Break)
        .take(BEFORE)
        .any(|at| is_word(at, NO));
    let holds = PLAUSIBLE.contains(&least) && PLAUSIBLE.contains(&most) && least < most;
    let other_unit = !unit && !behind && matches!(tokens.get(next), Some(Token::Word(_)));
    (holds && is_thick && (before || behind) && !taken_back && !other_unit).then_some((least, most))
}

/// Whether a word for rope is the next that counts, and whether one for a diameter stands before it.
fn beside(tokens: &[Token], way: impl Iterator<Item = usize>) -> (bool, bool) {
    let mut marked = false;
    for at in way {
        let Token::Word(word) = &tokens[at] else {
            return (false, marked);
        };
        let is = |list: &str| each(list).any(|one| one == word);
        if is(ROPE_DIAMETER) {
            return (true, true);
        }
        if is(ROPE) {
            return (true, marked);
        }
        if is(DIAMETER) {
            marked = true;
        } else if !is(BETWEEN) {
            return (false, marked);
        }
    }
    (false, marked)
}

/// The numbers and words of a text; of one with a power of ten only the text as a whole, as no number of it stands alone.
pub(super) fn tokens(text: &str) -> Vec<Token> {
    if number::has_more_than_digits(text) {
        return vec![Token::Word(text.to_owned())];
    }
    let mut tokens = Vec::new();
    let mut rest = text;
    let mut before = ' ';
    while let Some(c) = rest.chars().next() {
        let length = if c.is_ascii_digit() {
            let end = number_end(rest);
            let number = rest[..end].replace(',', ".").parse();
            tokens.push(number.map_or(Token::Break, Token::Number));
            end
        } else if c.is_alphabetic() || matches!(c, 'ø' | '⌀') {
            let mut ends = rest.char_indices();
            let is_sign = matches!(c, 'ø' | '⌀');
            let part = |c: char| c.is_alphabetic() && !(is_sign && c != 'ø');
            let end = ends.find(|(at, c)| *at > 0 && (is_sign || !part(*c)));
            let end = end.map_or(rest.len(), |(at, _)| at);
            let word = &rest[..end];
            // "EN12841": a number that is part of a name.
            let digits = rest[end..].len()
                - rest[end..]
                    .trim_start_matches(|c: char| c.is_ascii_digit())
                    .len();
            if digits > 0 && !is_sign {
                tokens.push(Token::Break);
                end + digits
            } else {
                tokens.push(Token::Word(word.to_owned()));
                end
            }
        } else {
            let after = rest[c.len_utf8()..].chars().next().unwrap_or(' ');
            match c {
                '-' if before.is_alphabetic() && after.is_alphabetic() => {}
                '-' | '‐' | '‑' | '‒' | '–' | '—' | '−' | '…' => {
                    tokens.push(Token::Dash);
                }
                '.' if after == '.' => {}
                '.' if before == '.' => tokens.push(Token::Dash),
                // The point of "dia." ends no sentence.
                '.' if matches!(tokens.last(), Some(Token::Word(word)) if word.len() <= 4) => {}
                c if c.is_whitespace() || matches!(c, '(' | ')' | ':' | '=' | '"') => {}
                _ => tokens.push(Token::Break),
            }
            c.len_utf8()
        };
        before = rest[..length].chars().next_back().unwrap_or(' ');
        rest = &rest[length..];
    }
    tokens
}

/// Where the number at the front of a text ends: one mark, with one or two digits behind it.
fn number_end(text: &str) -> usize {
    let digits =
        |text: &str| text.len() - text.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    let whole = digits(text);
    let behind = text[whole..].strip_prefix(['.', ',']).map_or(0, digits);
    if (1..=2).contains(&behind) {
        whole + 1 + behind
    } else {
        whole
    }
}

#[cfg(test)]
mod tests {
    use super::range;

    #[test]
    fn a_range_beside_a_word_for_rope_is_read() {
        for (text, least, most) in [
            ("rope 10-11.5 mm", "10 mm", "11.5 mm"),
            ("Descender, for 8 to 13 mm rope", "8 mm", "13 mm"),
            ("rope Ø 9-12", "9 mm", "12 mm"),
            ("rope Ø9-12", "9 mm", "12 mm"),
            ("für Seil 10–12,5 mm", "10 mm", "12.5 mm"),
            ("corde 9 à 13 mm", "9 mm", "13 mm"),
            ("Takes ropes 8mm - 13mm. Bought 2019-2020", "8 mm", "13 mm"),
            ("Seildurchmesser 8 bis 13", "8 mm", "13 mm"),
            ("rope dia. 8..13", "8 mm", "13 mm"),
            ("Rope-diameter: 8-13", "8 mm", "13 mm"),
            ("EN 12841 B (10-12 mm low stretch rope)", "10 mm", "12 mm"),
            ("Rope clamp 8-13 mm", "8 mm", "13 mm"),
        ] {
            let read = Some((Some(least.to_owned()), Some(most.to_owned())));
            assert_eq!(range(text), read, "{text}");
        }
    }

    #[test]
    fn the_thickest_alone_is_read_and_the_thinnest_stays_open() {
        for text in [
            "rope up to 13 mm",
            "Pulley for up to 13 mm rope",
            "rope max. 13 mm",
            "Seil bis 13 mm",
            "für Seil bis zu 13 mm",
            "corde jusqu'à 13 mm",
            "WLL 6 kN, rope up to 13mm",
        ] {
            assert_eq!(
                range(text),
                Some((None, Some("13 mm".to_owned()))),
                "{text}"
            );
        }
        for text in [
            "up to 13 mm",
            "max 13 kg",
            "rope up to 13 m",
            "rope min 8 mm, rope max 13 mm",
            "not for rope up to 13 mm",
            "tested with rope up to 13 mm",
            "rope up to 13-14 mm",
            "rope up to 130 mm",
            "rope up to 11 mm, rope up to 13 mm",
        ] {
            assert_eq!(range(text), None, "{text}");
        }
        let both = Some((Some("8 mm".to_owned()), Some("13 mm".to_owned())));
        assert_eq!(range("rope 8 bis 13 mm"), both, "the range is one");
    }

    #[test]
    fn what_is_not_plain_is_not() {
        for text in [
            "",
            "rope 11 mm",
            "used with rope 10-11",
            "not for rope 8-9 mm",
            "tested with rope 10-11 mm",
            "slips on 8-9 mm rope",
            "rope 50-60 m",
            "sling 10-12 mm",
            "rope 8-10-13 mm",
            "rope 13-8 mm",
            "rope 8-9 mm, rope 10-11 mm",
            "rope 100-130 mm",
            "drawn 2019-2020; rope",
            "EN12841 ropes",
            "rope of 10,125-11 mm",
        ] {
            assert_eq!(range(text), None, "{text}");
        }
    }
}
