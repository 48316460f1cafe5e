//! The ropes that a device takes as a person says them: both ends, or the one that is known.

use super::field::Field;
use super::number;
use super::rope_range::ends;
use super::synonym::each;
use crate::domain::entered::EnteredLength;

/// The thinnest and the thickest rope, each with its unit and none where it is not said.
pub(super) type Said = (Option<String>, Option<String>);

/// The ends that are said, each as its field.
pub(super) fn fields(said: Option<Said>) -> Vec<(Field, String)> {
    let (least, most) = said.unwrap_or_default();
    let ends = [(Field::RopeLeast, least), (Field::RopeMost, most)];
    let said = ends.into_iter();
    said.filter_map(|(field, end)| Some((field, end?)))
        .collect()
}

/// The ends of a range that a person typed, each with its unit, millimetres where none is written; one number alone is
/// both, and "up to 13 mm" is the thicker one alone. None where nothing can be read, or the thicker one comes first.
pub(super) fn typed(text: &str) -> Option<Said> {
    let found = ends(without_rope(text.trim()))?;
    let read = |text: &str, other: &str| {
        let (number, unit) = number::split(text)?;
        let unit = if unit.is_empty() { other } else { unit };
        let value = number.value(None, None).ok()?;
        EnteredLength::read(&format!("{value} {unit}"), None).ok()
    };
    let (_, unit) = number::split(found.most.or(found.least)?)?;
    let unit = if unit.is_empty() { "mm" } else { unit };
    // An end that is written and cannot be read is not left out.
    let end = |text: Option<&str>| match text {
        Some(text) => read(text, unit).map(Some),
        None => Some(None),
    };
    let (least, most) = (end(found.least)?, end(found.most)?);
    let order = |length: EnteredLength| length.quantity().millimetres();
    let ends = [least, most].into_iter().flatten();
    let holds = ends.map(order).all(|end| end > 0.0)
        && least
            .zip(most)
            .is_none_or(|(least, most)| order(least) <= order(most));
    let text = |end: Option<EnteredLength>| end.map(|end| end.to_string());
    holds.then(|| (text(least), text(most)))
}

/// A range without the word for what it is of: "rope 10.5-11.5", "8-13 mm rope".
pub(super) fn without_rope(text: &str) -> &str {
    const ROPE: &str = "for ropes, for rope, ropes, rope, seile, seil, cordes, corde";
    let cut = |text: &str, from: usize, to: usize| text.get(from..to).map(str::to_lowercase);
    let mut rest = text;
    for word in each(ROPE) {
        let (all, long) = (rest.len(), word.len());
        if cut(rest, 0, long).as_deref() == Some(word)
            && !rest[long..].starts_with(char::is_alphabetic)
        {
            rest = rest[long..].trim_start_matches([' ', ':']);
        } else if all > long
            && cut(rest, all - long, all).as_deref() == Some(word)
            && !rest[..all - long].ends_with(char::is_alphabetic)
        {
            rest = rest[..all - long].trim_end();
        }
    }
    rest
}

#[cfg(test)]
mod tests {
    use super::typed;

    #[test]
    fn a_person_may_type_one_end_alone() {
        let said = |least: Option<&str>, most: Option<&str>| {
            Some((least.map(str::to_owned), most.map(str::to_owned)))
        };
        for text in [
            "up to 13 mm",
            "max 13",
            "bis 13 mm",
            "jusqu'à 13 mm",
            "rope up to 13 mm",
        ] {
            assert_eq!(typed(text), said(None, Some("13 mm")), "{text}");
        }
        assert_eq!(typed("min 8 mm"), said(Some("8 mm"), None));
        assert_eq!(typed("8-13"), said(Some("8 mm"), Some("13 mm")));
        assert_eq!(
            typed("Rope 10.5-11.5"),
            said(Some("10.5 mm"), Some("11.5 mm"))
        );
        assert_eq!(typed("11 mm"), said(Some("11 mm"), Some("11 mm")));
        for text in [
            "thin",
            "up to",
            "max 0 mm",
            "13-8 mm",
            "thin to 13 mm",
            "max 13 kg",
        ] {
            assert_eq!(typed(text), None, "{text}");
        }
    }
}
