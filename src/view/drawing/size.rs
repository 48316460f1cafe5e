//! How large things are in a picture, and which positions it shows.

use super::symbol::Sign;
use crate::rigging::{Carried, Rig};

/// For what a picture is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fit {
    /// A page of a desk or of paper: every position is named beside the drawing.
    Wide,
    /// A phone: positions are numbered, and the table below has their names.
    Narrow,
    /// A small picture in a list, without a word.
    Small,
}

/// The measures of one picture, in units of the picture.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Size {
    pub fit: Fit,
    /// Between two strands of one rope.
    pub pitch: f64,
    /// The least free strand between two bodies.
    pub gap: f64,
    /// The height of letters.
    pub text: f64,
    /// The length of a leg of a bridle.
    pub leg: f64,
    /// How wide the drawing may become beside its strands.
    pub room: f64,
    /// Which positions are there; an optional one may stay empty.
    pub shown: Vec<bool>,
}

/// The width of a narrow picture; a phone shows it at least in its own size.
pub(super) const NARROW: f64 = 320.0;

impl Size {
    /// The measures for a rig with so many columns of strands.
    pub fn new(fit: Fit, columns: f64, shown: Vec<bool>) -> Self {
        let (pitch, gap, text, leg) = match fit {
            Fit::Wide => (52.0, 94.0, 14.0, 170.0),
            Fit::Narrow => {
                let pitch = (NARROW - 72.0) / columns.max(1.0);
                (pitch.clamp(34.0, 48.0), 90.0, 13.0, 128.0)
            }
            Fit::Small => (38.0, 34.0, 0.0, 110.0),
        };
        Self {
            fit,
            pitch,
            gap,
            text,
            leg,
            room: if fit == Fit::Wide { 560.0 } else { NARROW },
            shown,
        }
    }

    /// Whether the picture has words and numbers.
    pub fn is_told(&self) -> bool {
        self.fit != Fit::Small
    }

    /// The positions in line that carry something, from the top down, without those that stay empty.
    pub fn links(&self, rig: &Rig, carried: Carried) -> Vec<usize> {
        let chains = rig.chains().iter();
        let links = chains.filter(|chain| chain.carries() == carried);
        links
            .flat_map(|chain| chain.positions())
            .copied()
            .filter(|&position| self.shows(rig, position))
            .collect()
    }

    /// Whether a link is drawn: a small picture has none but what stands on legs of its own.
    pub fn shows(&self, rig: &Rig, position: usize) -> bool {
        let is_tripod = |position| Sign::of(&rig.positions()[position]) == Sign::Tripod;
        self.shown[position] && (self.is_told() || is_tripod(position))
    }

    /// How wide a word is, at most.
    pub fn wide(&self, word: &str) -> f64 {
        wide(word, self.text)
    }
}

/// How wide a word is in letters of this height, at most.
pub(in crate::view) fn wide(word: &str, text: f64) -> f64 {
    word.chars().map(letter).sum::<f64>() * text
}

/// The width of a letter over the height of letters, a little more than common sans-serif letters take.
fn letter(c: char) -> f64 {
    match c {
        'i' | 'l' | 'j' | '.' | ',' | ':' | ';' | '|' | '\'' | ' ' => 0.34,
        'f' | 't' | 'r' | '(' | ')' | '-' | '/' => 0.44,
        'm' | 'w' | 'M' | 'W' | '@' | '%' => 0.96,
        'A'..='Z' => 0.74,
        '0'..='9' | 'a'..='z' => 0.62,
        c if c.is_ascii() || ('\u{a0}'..'\u{24f}').contains(&c) => 0.7,
        _ => 1.05,
    }
}
