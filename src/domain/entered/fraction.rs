//! Fractions in front of a unit.

/// A fraction as inches are stamped, in halves down to sixty-fourths, perhaps behind whole inches.
pub(super) fn split_fraction(text: &str) -> Option<(f64, &str)> {
    let (before, after) = text.split_once('/')?;
    let end = after.find(|c: char| !c.is_ascii_digit());
    let (below, rest) = after.split_at(end.unwrap_or(after.len()));
    let (whole, above) = before.rsplit_once([' ', '-']).unwrap_or(("0", before));
    let whole: u32 = whole.trim().parse().ok()?;
    let (above, below): (u32, u32) = (above.parse().ok()?, below.parse().ok()?);
    let is_one = matches!(below, 2 | 4 | 8 | 16 | 32 | 64) && above < below && above > 0;
    is_one.then(|| {
        (
            f64::from(whole) + f64::from(above) / f64::from(below),
            rest.trim(),
        )
    })
}

/// A fraction in one letter, as keyboards have it, perhaps behind a whole number: "2½ in".
pub(super) fn split_letter(text: &str) -> Option<(f64, &str)> {
    const LETTERS: [(char, f64); 7] = [
        ('½', 0.5),
        ('¼', 0.25),
        ('¾', 0.75),
        ('⅛', 0.125),
        ('⅜', 0.375),
        ('⅝', 0.625),
        ('⅞', 0.875),
    ];
    let mut letters = LETTERS.into_iter();
    let (before, share, rest) = letters.find_map(|(letter, share)| {
        let (before, rest) = text.split_once(letter)?;
        Some((before.trim(), share, rest.trim()))
    })?;
    let whole: u32 = match before {
        "" => 0,
        digits if digits.bytes().all(|byte| byte.is_ascii_digit()) => digits.parse().ok()?,
        _ => return None,
    };
    // Behind a fraction stands a unit, and no other number.
    let is_unit = !rest.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '/'));
    is_unit.then(|| (f64::from(whole) + share, rest))
}
