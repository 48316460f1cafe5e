//! The way of loading in a bracket behind a strength: "25 kN (major axis)".

use super::field::Field;
use super::heading::shortened;
use super::strength;
use super::table::Cell;

/// The cell without its bracket and the strength that both name; none where there is no strength with a bracket.
///
/// # Errors
/// A stable word for programs and a sentence where the bracket names no way of loading, or another than the heading. The
/// sentence is the same for all numbers, so that many rows can be told in one line.
pub(super) fn read(
    cell: &Cell,
    field: Field,
) -> Result<Option<(Cell, Field)>, (&'static str, String)> {
    let (Field::Strength(kind, of), Cell::Text(text)) = (field, cell) else {
        return Ok(None);
    };
    let Some((front, said)) = parted(text) else {
        return Ok(None);
    };
    match strength::mode(said) {
        Some(mode) if of.is_none_or(|of| of == mode) => {
            let bare = Cell::Text(front.to_owned());
            Ok(Some((bare, Field::Strength(kind, Some(mode)))))
        }
        Some(_) => {
            let message = format!(
                "The bracket says \"{}\", but the heading names another way of loading. Put the number into a column of its own, or mend one of them.",
                shortened(said)
            );
            Err(("choice", message))
        }
        None => {
            let message = format!(
                "Behind a strength a bracket is read where it names a way of loading, such as (major axis), (minor axis) or (gate open); \"({})\" does not. Put it into the remarks.",
                shortened(said)
            );
            Err(("text", message))
        }
    }
}

/// What stands before and in the bracket that ends a text.
fn parted(text: &str) -> Option<(&str, &str)> {
    let (front, said) = text.trim().strip_suffix(')')?.rsplit_once('(')?;
    let (front, said) = (front.trim(), said.trim());
    (front.starts_with(|c: char| c.is_ascii_digit()) && !said.is_empty()).then_some((front, said))
}
