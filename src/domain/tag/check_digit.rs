//! The check digit at the end of a GS1 key.

/// The digit that belongs behind these digits; nothing if something else stands among them.
///
/// Weights 3 and 1 by turns, 3 at the right; what is missing to the next ten. GS1 General Specifications, section
/// "Check digit calculations" (from memory).
pub(super) fn check_digit(digits: &str) -> Option<char> {
    let mut sum = 0;
    for (at, c) in digits.chars().rev().enumerate() {
        let weight = if at % 2 == 0 { 3 } else { 1 };
        sum += weight * c.to_digit(10)?;
    }
    char::from_digit((10 - sum % 10) % 10, 10)
}

/// Whether the last of these digits is the check digit of those before it.
pub(super) fn checks(digits: &str) -> bool {
    let Some(last) = digits.chars().next_back() else {
        return false;
    };
    check_digit(&digits[..digits.len() - last.len_utf8()]) == Some(last)
}
