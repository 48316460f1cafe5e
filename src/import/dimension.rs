//! Words behind a length that say which length it is: "25 wide", "8 wire", "11 mm thick".
//!
//! Common practice, no source: such a word is no unit, and leaves the number to the unit of the cell or the heading. What
//! is wide is a tape, and its width is no diameter.

use super::field::Field;
use super::synonym::each;
use super::unit;

/// Words for how wide something flat is, or for what is flat.
const WIDTH: &str = "wide, width, broad, tape, tapes, webbing, web, strap, flat, breit, breite, bandbreite, large, largeur";
/// Words for any other length, or for what is round.
const OTHER: &str = "thick, thickness, dia, diam, diameter, ø, ⌀, round, wire, cable, steel, rope, ropes, cord, cords, line, \
     bar, stock, rod, long, length, high, height, tall, overall, nominal, nom, approx, ca, about, own, sheath, dick, \
     dicke, lang, länge, hoch, höhe, seil, draht, durchmesser, durchm, épaisseur, diamètre, long, longueur, câble, corde";

/// The words of what stands behind a number.
fn words(rest: &str) -> impl Iterator<Item = &str> {
    let sign = |c: char| c.is_whitespace() || matches!(c, ',' | ';' | '.' | '(' | ')' | ':');
    rest.split(sign).filter(|word| !word.is_empty())
}

fn is_of(word: &str, list: &str) -> bool {
    let word = word.to_lowercase();
    each(list).any(|one| one == word)
}

/// What stands behind a number of a field without the words that say which length it is; as it is where another word
/// stands there.
pub(super) fn unit_of(field: Field, rest: &str) -> &str {
    if !unit::is_length(field) {
        return rest;
    }
    let mut units = words(rest).filter(|word| !is_of(word, WIDTH) && !is_of(word, OTHER));
    match (units.next(), units.next()) {
        (None, _) => "",
        (Some(one), None) => one,
        _ => rest,
    }
}

/// Whether a text says of a number that something is so wide, or is flat.
pub(super) fn is_width(text: &str) -> bool {
    words(text).any(|word| is_of(word, WIDTH))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_for_a_length_are_no_unit() {
        let diameter = Field::Attribute("diameter");
        for (rest, unit) in [
            ("wide", ""),
            ("mm wide", "mm"),
            ("mm wire", "mm"),
            ("mm, round", "mm"),
            ("thick", ""),
            ("mm", "mm"),
            ("stone", "stone"),
            ("mm x 60 m", "mm x 60 m"),
        ] {
            assert_eq!(unit_of(diameter, rest), unit, "{rest}");
        }
        assert_eq!(unit_of(Field::RatedLoad, "kg wide"), "kg wide");
        assert!(is_width("25 wide") && is_width("16 mm tape") && !is_width("8 wire"));
    }
}
