//! A share of one, which may be typed in per cent.

use super::short;
use crate::domain::entered::split_number;

/// The least number without a sign that can only be meant in per cent: what lies between 1 and this may be a slip of a
/// share.
const PER_CENT_FROM: f64 = 10.0;

/// The least that a sheave leaves of a pull; less is a slip of the pen, and no post rubs so much off in half a turn.
pub const LEAST_SHARE: f64 = 0.1;

/// A share of one: from [`LEAST_SHARE`] to 1 it is taken as it stands, from 10 to 100 or with its sign as per cent.
pub(super) fn share(text: &str) -> Result<f64, (&'static str, String)> {
    // The mark is moved as a person moves it: 92 % is 0.92 and no hair more.
    let hundredths = |value: f64| format!("{value}e-2").parse::<f64>().unwrap_or(f64::NAN);
    let share = match split_number(text) {
        Some((value, "%")) => Some(hundredths(value)),
        Some((value, "")) if is_bare_per_cent(value) => Some(hundredths(value)),
        Some((value, "")) => Some(value),
        _ => None,
    };
    share
        .filter(|share| (LEAST_SHARE..=1.0).contains(share))
        .ok_or_else(|| {
            (
                "number",
                format!(
                    "Write a share from {LEAST_SHARE} to 1, such as 0.92, or in per cent, such as 92 %, not \"{}\".",
                    short(text)
                ),
            )
        })
}

/// Whether a number without a sign, where a share is kept, can only be meant in per cent.
pub fn is_bare_per_cent(value: f64) -> bool {
    (PER_CENT_FROM..=100.0).contains(&value)
}
