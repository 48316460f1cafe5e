//! Numbers as people read them.

/// `value` with `count` digits that count, and no noughts behind the point that say nothing. Whole
/// digits are never cut: 1234.6 with three is 1235.
pub fn digits(value: f64, count: usize) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    // The exponent as written after rounding, so that 9.999 counts as 10.0.
    let written = format!("{value:.*e}", count.saturating_sub(1));
    let exponent: i32 = written
        .rsplit_once('e')
        .and_then(|(_, exponent)| exponent.parse().ok())
        .unwrap_or(0);
    let places = i32::try_from(count).unwrap_or(i32::MAX) - 1 - exponent;
    let text = format!("{value:.*}", usize::try_from(places).unwrap_or(0));
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}
