//! What a column of sizes says of each kind of gear: "11 mm x 100 m" of a rope, "8-13 mm" of what runs on one, "1.2 m"
//! of a sling.
//!
//! Common practice, no source: a text is read only where every word of it is understood; "size L" of a harness is none
//! of these. Numbers of a rope or a sling need their units. A range alone, under the size of a device that runs on rope,
//! is that of the rope, in millimetres where no unit is written.

use super::field::Field;
use super::number;
use super::rope_length::{self, has_range};
use super::rope_said;
use super::rope_uses;
use super::rope_words::{PLAUSIBLE, Token, takes_rope, tokens};
use super::stated::{diameters, ropes};
use super::synonym::{each, plain_words};
use crate::domain::Kind;
use crate::domain::entered::{EnteredLength, LengthUnit};

/// The field as which a column of sizes is read: what harnesses and helmets have of their own.
pub(super) const FIELD: Field = Field::Attribute("size");

/// What a column of sizes is, where it is offered: each kind of gear has its own.
pub(super) const OFFERED: &str = "Size or length, by the kind of gear: of a harness or a helmet its size; of other gear \
     the diameter, the length or the ropes it takes, as each cell says";

/// A size without the word for it: "size M" is M.
pub(super) fn bare(text: &str) -> &str {
    let text = text.trim();
    match text.split_once([' ', ':']) {
        Some((word, size))
            if each("size, größe, grösse, taille").any(|one| one == word.to_lowercase()) =>
        {
            size.trim_start_matches([' ', ':'])
        }
        _ => text,
    }
}

/// Headings above sizes, beside the field's own.
const HEADINGS: &str = "size, sizes, dimension, dimensions, dims, größe, grösse, abmessung, abmessungen, maße, masse, \
     taille, tailles";
/// The words that a size is written with.
const WORDS: &str = "mm, cm, m, mtr, mtrs, metre, metres, meter, meters, ft, foot, feet, in, inch, x, ø, ⌀, dia, diameter, \
     long, length, rope, sling";

/// Whether a heading stands above sizes.
pub(super) fn is_heading(heading: &str) -> bool {
    let words = plain_words(heading);
    each(HEADINGS).any(|one| one == words)
}

/// What a size states of a kind of gear.
pub(super) fn stated(kind: Kind, text: &str) -> Vec<(Field, String)> {
    if takes_rope(kind) {
        // More than one range is taken apart elsewhere; none of them alone is what such a text says.
        if rope_uses::read(text).is_some() || rope_uses::names_several(text) {
            return Vec::new();
        }
        let text = &text.replace("<=", "≤").replace('≤', " max ");
        let first = || alone(before_sign(text));
        return rope_said::fields(ropes(kind, text).or_else(|| alone(text)).or_else(first));
    }
    let text = spaced(text);
    let is_known = |token: &Token| match token {
        Token::Word(word) => each(WORDS).any(|one| one == word),
        _ => true,
    };
    if !tokens(&text.to_lowercase()).iter().all(is_known) {
        return Vec::new();
    }
    let mut found = Vec::new();
    let is_rope = matches!(kind, Kind::Rope | Kind::Cord);
    if is_rope && let [diameter] = diameters(&text).as_slice() {
        found.push((Field::Attribute("diameter"), diameter.clone()));
    }
    let length = if is_rope {
        rope_length::stated(kind, &text)
    } else {
        length(&text)
    };
    let key = if kind == Kind::Tripod {
        "height"
    } else {
        "length"
    };
    if let Some(length) = length.filter(|_| kind.attribute(key).is_some()) {
        found.push((Field::Attribute(key), length));
    }
    found
}

/// The range that stands alone under the size of a device; none where it is no range, or no ropes are so thick.
fn alone(text: &str) -> Option<rope_said::Said> {
    let said = rope_said::typed(text).filter(|(least, most)| least != most)?;
    let is_plausible = |end: &String| {
        let read = EnteredLength::read(end, None);
        read.is_ok_and(|end| PLAUSIBLE.contains(&end.quantity().millimetres()))
    };
    let holds = [&said.0, &said.1].into_iter().flatten().all(is_plausible);
    holds.then_some(said)
}

/// What stands before the first sign that parts two things; a comma between digits is a decimal one.
fn before_sign(text: &str) -> &str {
    let digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
    let parts = |(at, c): (usize, char)| match c {
        ';' | '/' | '(' => true,
        ',' => !(digit(text[..at].chars().next_back()) && digit(text[at + 1..].chars().next())),
        _ => false,
    };
    let at = text.char_indices().find(|one| parts(*one));
    at.map_or(text, |(at, _)| &text[..at])
}

/// The one length of a sling, a lanyard or what else is long; what is in millimetres is its width.
fn length(text: &str) -> Option<String> {
    let mut found = None;
    for (written, word) in number::with_words(text) {
        let unit = LengthUnit::from_symbol(word)?;
        if unit == LengthUnit::Millimetre {
            continue;
        }
        let value = written.value(None, None).ok()?;
        if found
            .replace(format!("{value} {}", unit.symbol()))
            .is_some()
        {
            return None;
        }
    }
    found.filter(|_| !has_range(text))
}

/// A text with blanks around each sign of "by": "11mmx100m", "11 mm×100 m".
pub(super) fn spaced(text: &str) -> String {
    let mut spaced = String::with_capacity(text.len());
    for (at, c) in text.char_indices() {
        let next = text[at + c.len_utf8()..].trim_start();
        // The letter of "max 13 mm" parts no two numbers.
        let is_behind = |c: char| c.is_ascii_digit() || matches!(c, 'm' | 'M' | '"');
        let is_by = matches!(c, 'x' | 'X')
            && next.starts_with(|c: char| c.is_ascii_digit())
            && text[..at].trim_end().ends_with(is_behind);
        if is_by || matches!(c, '×' | '*') {
            spaced.push_str(" x ");
        } else {
            spaced.push(c);
        }
    }
    spaced
}

#[cfg(test)]
mod tests {
    use super::super::stated::told;
    use super::*;

    #[test]
    fn a_size_is_read_as_its_kind_of_gear_has_it() {
        let rope = &["attribute-diameter 11 mm", "attribute-length 100 m"][..];
        for (kind, text, read) in [
            (Kind::Rope, "11 mm x 100 m", rope),
            (Kind::Rope, "11mmx100m", rope),
            (Kind::Rope, "100 m × 11 mm", rope),
            (Kind::Rope, "11 mm", &["attribute-diameter 11 mm"]),
            (
                Kind::Rope,
                "10,5 mm x 50 m",
                &["attribute-diameter 10.5 mm", "attribute-length 50 m"],
            ),
            (
                Kind::RopeClamp,
                "8-13 mm",
                &["rope-least 8 mm", "rope-most 13 mm"],
            ),
            (
                Kind::Descender,
                "10.5 - 11.5",
                &["rope-least 10.5 mm", "rope-most 11.5 mm"],
            ),
            (
                Kind::Pulley,
                "rope 10.5-11.5",
                &["rope-least 10.5 mm", "rope-most 11.5 mm"],
            ),
            (Kind::Pulley, "rope up to 13 mm", &["rope-most 13 mm"]),
            (Kind::Pulley, "max 13 mm", &["rope-most 13 mm"]),
            (Kind::Pulley, "≤ 13 mm, knot passes", &["rope-most 13 mm"]),
            (Kind::Pulley, "<= 13 mm / wire ≤ 12", &["rope-most 13 mm"]),
            (Kind::Sling, "1.2 m", &["attribute-length 1.2 m"]),
            (Kind::Sling, "120 cm x 16 mm", &["attribute-length 120 cm"]),
            (Kind::Lanyard, "1.8 m", &["attribute-length 1.8 m"]),
            (Kind::AnchorDevice, "1 m", &["attribute-length 1 m"]),
            (Kind::Tripod, "2.3 m", &["attribute-height 2.3 m"]),
        ] {
            assert_eq!(told(stated(kind, text)), read, "{text}");
        }
    }

    #[test]
    fn what_is_not_plain_is_not() {
        for (kind, text) in [
            (Kind::Rope, "2 x 60 m"),
            (Kind::Rope, "11 x 100"),
            (Kind::Rope, "L"),
            (Kind::Rope, "cut from 100 m"),
            (Kind::Pulley, "13 mm"),
            (Kind::Pulley, "38 mm sheave"),
            (Kind::Pulley, "50-60 mm"),
            (Kind::RopeClamp, "M"),
            (Kind::Sling, "0.5-2 m"),
            (Kind::Sling, "up to 2 m"),
            (Kind::Sling, "16 mm"),
            (Kind::Sling, "120"),
            (Kind::Connector, "110 mm"),
        ] {
            let told = told(stated(kind, text));
            assert!(told.is_empty(), "{text}: {told:?}");
        }
        assert!(is_heading("Size") && is_heading("Dimensions") && !is_heading("Class"));
    }
}
