//! The text of a cell of strengths as its numbers and words.

use super::load_words::Load;
use super::rope_words::{self, Token};
use super::{number, size, strength};
use crate::domain::is_standards_body;

/// The lowest number of a standard that stands beside strengths: below it, it may be a strength.
const LEAST_STANDARD: f64 = 100.0;

/// The numbers and words of a text.
pub(super) fn tokens(text: &str) -> Vec<Token> {
    rope_words::tokens(&strength::with_knot_as_word(&with_signs_as_words(text)))
}

/// The same without the standards that stand there; none where a sign makes of a number something else than it says.
pub(super) fn plain(text: &str) -> Option<Vec<Token>> {
    let is_other = has_group(text)
        || number::has_more_than_digits(text)
        || has_other_sign(&with_signs_as_words(text));
    (!is_other).then(|| without_standards(&tokens(text)))
}

/// The signs of a connector's marking as the words for what they mean.
fn with_signs_as_words(text: &str) -> String {
    let signs = [
        ("<->", " major "),
        ("<-->", " major "),
        ("↔", " major "),
        ("⟷", " major "),
        ("↕", " minor "),
        ("⇕", " minor "),
        ("+", " / "),
    ];
    let mut words = size::spaced(text);
    for (sign, word) in signs {
        words = words.replace(sign, word);
    }
    words
}

/// Whether a number may be one with a sign between its thousands: "1,200 lbf".
fn has_group(text: &str) -> bool {
    let bytes = text.as_bytes();
    bytes.windows(5).enumerate().any(|(at, window)| {
        window[0].is_ascii_digit()
            && matches!(window[1], b'.' | b',')
            && window[2..].iter().all(u8::is_ascii_digit)
            && !bytes.get(at + 5).is_some_and(u8::is_ascii_digit)
    })
}

/// Whether a sign stands in a text that is none of those between numbers and words, or stands where none of them does: "20 %",
/// "15°", "<22", "22?", "22 kN/m", ".22".
fn has_other_sign(text: &str) -> bool {
    const KNOWN: &str = ".,;:/|()[]-‐‑‒–—−…=\"'’&>≥ø⌀";
    let is_known =
        |c: char| c.is_alphabetic() || c.is_ascii_digit() || c.is_whitespace() || KNOWN.contains(c);
    // Behind a stroke stands another number, or a dash in its place.
    let is_per = |piece: &str| {
        !piece.contains(|c: char| c.is_ascii_digit()) && piece.contains(char::is_alphabetic)
    };
    let opens = |(at, mark): (usize, &str)| {
        let before = text[..at].chars().next_back();
        let behind = text[at + mark.len()..].chars().next();
        behind.is_some_and(|c| c.is_ascii_digit()) && !before.is_some_and(char::is_alphanumeric)
    };
    !text.chars().all(is_known)
        || text.split('/').any(is_per)
        || text.match_indices(['.', ',']).any(opens)
}

/// The same with a break in the place of each standard: its number is that of no strength, "30 kN EN 1891 A".
fn without_standards(tokens: &[Token]) -> Vec<Token> {
    let is_body = |token: &Token| matches!(token, Token::Word(word) if is_standards_body(word));
    let is_load = |token: Option<&Token>| matches!(token, Some(Token::Word(word)) if Load::of(word).is_some());
    let mut kept: Vec<Token> = Vec::with_capacity(tokens.len());
    for (at, token) in tokens.iter().enumerate() {
        let is_number = matches!(token, Token::Number(number) if *number >= LEAST_STANDARD);
        if is_number && kept.last().is_some_and(is_body) && !is_load(tokens.get(at + 1)) {
            while kept.last().is_some_and(is_body) {
                kept.pop();
            }
            kept.push(Token::Break);
        } else {
            kept.push(token.clone());
        }
    }
    kept
}
