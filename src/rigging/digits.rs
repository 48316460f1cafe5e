//! Numbers as people read them.

/// `value` with `count` digits that count, and no noughts behind the point that say nothing. Whole
/// digits are never cut: 1234.6 with three is 1235.
pub fn digits(value: f64, count: usize) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let text = format!("{value:.*}", places(value, count));
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// The same rounded up, so that what is written down as enough is enough.
pub fn digits_up(value: f64, count: usize) -> String {
    // The small step lets 26.1, stored a hair above it, stay 26.1.
    rounded(value * (1.0 - 1e-12), count, f64::ceil)
}

/// The same rounded down, so that what is written down as little enough is so.
pub fn digits_down(value: f64, count: usize) -> String {
    rounded(value * (1.0 + 1e-12), count, f64::floor)
}

fn rounded(value: f64, count: usize, round: fn(f64) -> f64) -> String {
    let places = places(value, count);
    let scale = 10_f64.powi(i32::try_from(places).unwrap_or(0));
    digits(round(value * scale) / scale, count)
}

/// How many digits are written behind the point.
fn places(value: f64, count: usize) -> usize {
    // The exponent as written after rounding, so that 9.999 counts as 10.0.
    let written = format!("{value:.*e}", count.saturating_sub(1));
    let exponent: i32 = written
        .rsplit_once('e')
        .and_then(|(_, exponent)| exponent.parse().ok())
        .unwrap_or(0);
    let places = i32::try_from(count).unwrap_or(i32::MAX) - 1 - exponent;
    usize::try_from(places).unwrap_or(0)
}
