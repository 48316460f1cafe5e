//! Marks, serials and lots that a spreadsheet took for numbers, and of which it kept no more than a number's first digits.

use super::heading::shortened;
use super::table::Cell;

/// From here on a spreadsheet keeps a nought in the place of each digit behind the fifteenth.
const BEYOND_DIGITS: f64 = 1e15;

/// Whether digits of what stood in a cell are lost: "1,23457E+13", or a number with more than fifteen digits.
pub(super) fn is_one(cell: &Cell) -> bool {
    match cell {
        Cell::Number(number) => number.abs() >= BEYOND_DIGITS,
        Cell::Text(text) => is_shortened(text.trim()),
        _ => false,
    }
}

/// Whether a text is a number as spreadsheets shorten it: one digit, others behind the mark, and a power of ten with its sign.
fn is_shortened(text: &str) -> bool {
    let Some((digits, power)) = text.split_once(['E', 'e']) else {
        return false;
    };
    let is_digits = |text: &str| !text.is_empty() && text.bytes().all(|c| c.is_ascii_digit());
    let (whole, behind) = match digits.split_once(['.', ',']) {
        Some((whole, behind)) => (whole, Some(behind)),
        None => (digits, None),
    };
    let power = power.strip_prefix(['+', '-']).unwrap_or_default();
    whole.len() == 1 && is_digits(whole) && behind.is_none_or(is_digits) && is_digits(power)
}

/// That digits are lost.
pub(super) fn sentence(text: &str) -> String {
    format!(
        "The spreadsheet took this for a number and kept only its first digits: \"{}\". The others are lost. Set the cell to text, and write what stands on the item, or leave it empty.",
        shortened(text)
    )
}

#[cfg(test)]
mod tests {
    use super::{Cell, is_one, is_shortened};

    #[test]
    fn a_number_of_which_digits_are_lost_is_told() {
        for text in ["1,23457E+13", "1.2346E+10", "1E+12", "9.9e+15"] {
            assert!(is_shortened(text), "{text}");
        }
        for text in [
            "12E4", "1E12", "E+12", "A1E+12", "1.2E", "12.5E+3", "1907", "",
        ] {
            assert!(!is_shortened(text), "{text}");
        }
        assert!(is_one(&Cell::Number(1_234_567_890_123_450.0)));
        assert!(!is_one(&Cell::Number(123_456_789_012_345.0)));
    }
}
