//! Numbers as people write them: with a comma or a point, with groups of thousands, with fractions.

use super::answer::DecimalMark;

/// How a number is written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Written {
    /// Without any mark.
    Plain(f64),
    /// With a mark that can only be the decimal one.
    Certain(DecimalMark, f64),
    /// With one mark before just three digits: it may part thousands.
    Either {
        mark: DecimalMark,
        as_decimal: f64,
        as_thousands: f64,
    },
}

/// Splits the number off the front of a text; the rest is the unit.
pub(super) fn split(text: &str) -> Option<(Written, &str)> {
    let text = text.trim();
    if let Some(found) = fraction(text) {
        return Some(found);
    }
    let signed = usize::from(text.starts_with(['-', '+']));
    let end = text[signed..]
        .char_indices()
        .map(|(at, c)| (at + signed, c))
        .find(|&(at, c)| !(c.is_ascii_digit() || matches!(c, '.' | ',') || parts(text, at, c)))
        .map_or(text.len(), |(at, _)| at);
    let (number, rest) = text.split_at(end);
    // What is left of a fraction that is none of the exact ones would read as a whole number, and what is left of "2.5E+01"
    // as 2.5.
    let behind = rest.trim_start();
    if behind.starts_with('/') || behind.starts_with(is_fraction) || is_exponent(rest) {
        return None;
    }
    let grouped = number[signed..].contains(|c: char| c.is_whitespace() || c == '\'');
    let bare: String = number
        .chars()
        .filter(|c| !c.is_whitespace() && *c != '\'')
        .collect();
    Some((written(&bare, grouped)?, rest.trim()))
}

/// Whether a letter is a fraction of its own: what stands before it alone is another number.
fn is_fraction(letter: char) -> bool {
    matches!(letter, '\u{bc}'..='\u{be}' | '\u{2150}'..='\u{215f}' | '\u{2189}')
}

/// Whether a text begins with the power of ten of a number, as spreadsheets shorten what is too wide: "E+01".
fn is_exponent(text: &str) -> bool {
    let power = text.strip_prefix(['e', 'E']);
    let digits = power.map(|power| power.strip_prefix(['+', '-']).unwrap_or(power));
    digits.is_some_and(|digits| digits.starts_with(|c: char| c.is_ascii_digit()))
}

/// Whether a number stands in a text of which its digits alone say another: with its power of ten, "2.5E+01 kN", or with a
/// fraction in one letter, "2½ kN".
pub(super) fn has_more_than_digits(text: &str) -> bool {
    let mut ends = text.char_indices().filter(|(_, c)| c.is_ascii_digit());
    ends.any(|(at, _)| {
        let rest = &text[at + 1..];
        is_exponent(rest) || rest.trim_start().starts_with(is_fraction)
    })
}

/// The numbers in a text, each with the word right behind it: "slips at 4 kN" has 4 with "kN".
pub(super) fn with_words(text: &str) -> impl Iterator<Item = (Written, &str)> {
    // Of a text with such a number no part is a number by itself.
    let text = if has_more_than_digits(text) { "" } else { text };
    let before = |at: usize| text[..at].chars().next_back().unwrap_or(' ');
    let starts = text.char_indices().filter(move |(at, c)| {
        let before = before(*at);
        c.is_ascii_digit() && !(before.is_alphanumeric() || ".,/-'".contains(before))
    });
    starts.filter_map(|(at, _)| {
        let (written, rest) = split(&text[at..])?;
        let end = rest.find(|c: char| !(c.is_alphabetic() || c == '"'));
        Some((written, &rest[..end.unwrap_or(rest.len())]))
    })
}

/// Whether the blank or apostrophe at `at` parts thousands: between a digit and just three digits.
fn parts(text: &str, at: usize, c: char) -> bool {
    let after = &text[at + c.len_utf8()..];
    matches!(c, ' ' | '\u{a0}' | '\u{202f}' | '\'')
        && after.chars().take_while(char::is_ascii_digit).count() == 3
        && text[..at].ends_with(|c: char| c.is_ascii_digit())
}

fn written(bare: &str, grouped: bool) -> Option<Written> {
    let value = |text: &str| text.parse::<f64>().ok().filter(|value| value.is_finite());
    if !bare.ends_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let (points, commas) = (bare.matches('.').count(), bare.matches(',').count());
    let (mark, other) = match (points, commas) {
        (0, 0) => return value(bare).map(Written::Plain),
        (1, 0) => (DecimalMark::Point, None),
        (0, 1) => (DecimalMark::Comma, None),
        // Many of one kind part thousands; the other kind, if there is one, must come once and last.
        (_, 0) => (DecimalMark::Comma, Some('.')),
        (0, _) => (DecimalMark::Point, Some(',')),
        (_, 1) if bare.rfind(',') > bare.rfind('.') => (DecimalMark::Comma, Some('.')),
        (1, _) if bare.rfind('.') > bare.rfind(',') => (DecimalMark::Point, Some(',')),
        _ => return None,
    };
    let sign = if mark == DecimalMark::Point { '.' } else { ',' };
    if let Some(thousands) = other {
        let whole = bare.split(sign).next().unwrap_or_default();
        if grouped || !well_grouped(whole, thousands) {
            return None;
        }
        let plain = bare.replace(thousands, "").replace(',', ".");
        return value(&plain).map(|value| Written::Certain(mark, value));
    }
    let as_decimal = value(&bare.replace(',', "."))?;
    let (whole, behind) = bare.split_once(sign)?;
    let digits = whole.trim_start_matches(['-', '+']);
    let may_part = behind.len() == 3 && (1..=3).contains(&digits.len()) && !digits.starts_with('0');
    if may_part && !grouped {
        return Some(Written::Either {
            mark,
            as_decimal,
            as_thousands: value(&bare.replace(sign, ""))?,
        });
    }
    Some(Written::Certain(mark, as_decimal))
}

/// Whether every group behind the first has three digits.
fn well_grouped(whole: &str, thousands: char) -> bool {
    let whole = whole.trim_start_matches(['-', '+']);
    let mut groups = whole.split(thousands);
    let first = groups.next().unwrap_or_default();
    (1..=3).contains(&first.len()) && groups.all(|group| group.len() == 3)
}

/// Fractions as on inch gear: `7/16`, `1 1/4`. Only halves of halves, which are exact.
fn fraction(text: &str) -> Option<(Written, &str)> {
    let end = text
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '/' | ' ' | '-')))
        .unwrap_or(text.len());
    let (number, rest) = text.split_at(end);
    let (front, below) = number.trim().split_once('/')?;
    let below: u32 = below.trim().parse().ok()?;
    let (whole, above) = match front.trim().rsplit_once([' ', '-']) {
        Some((whole, above)) => (whole.trim().parse::<u32>().ok()?, above),
        None => (0, front.trim()),
    };
    let above: u32 = above.parse().ok()?;
    let exact = below.is_power_of_two() && below <= 64 && above < below;
    (exact && whole <= 1000).then(|| {
        let value = f64::from(whole) + f64::from(above) / f64::from(below);
        (Written::Plain(value), rest.trim())
    })
}

/// What stands in the way of a number's value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Doubt {
    /// It can be read in two ways, and nobody said which.
    Ask,
    /// It can only be read with the mark that was said not to be used.
    Against(DecimalMark),
    /// It can be read in two ways, and the numbers around it have this mark, which is not the one that was said.
    Torn(DecimalMark),
}

impl Written {
    /// The value, by what was said. What the column shows holds of numbers that can be read in one way only: between "60,5 m"
    /// and "8,25 m" may stand "1,200 ft".
    pub(super) fn value(
        self,
        said: Option<DecimalMark>,
        shown: Option<DecimalMark>,
    ) -> Result<f64, Doubt> {
        match self {
            Self::Plain(value) => Ok(value),
            // What was said is about the columns that do not show it.
            Self::Certain(mark, value) => match said {
                Some(said) if said != mark && shown != Some(mark) => Err(Doubt::Against(mark)),
                _ => Ok(value),
            },
            Self::Either {
                mark,
                as_decimal,
                as_thousands,
            } => match (said, shown) {
                (None, _) => Err(Doubt::Ask),
                (Some(said), Some(shown)) if said != shown => Err(Doubt::Torn(shown)),
                (Some(said), _) if said == mark => Ok(as_decimal),
                _ => Ok(as_thousands),
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_mark_before_three_digits_is_in_doubt() {
        let (written, unit) = split("1,234 kN").unwrap();
        assert_eq!(unit, "kN");
        assert_eq!(written.value(None, None), Err(Doubt::Ask));
        assert_eq!(written.value(Some(DecimalMark::Comma), None), Ok(1.234));
        assert_eq!(written.value(Some(DecimalMark::Point), None), Ok(1234.0));
        let shown = Some(DecimalMark::Comma);
        assert_eq!(written.value(None, shown), Err(Doubt::Ask));
        assert_eq!(written.value(shown, shown), Ok(1.234));
        let torn = Err(Doubt::Torn(DecimalMark::Comma));
        assert_eq!(written.value(Some(DecimalMark::Point), shown), torn);
        let (certain, _) = split("60,5 m").unwrap();
        let against = Err(Doubt::Against(DecimalMark::Comma));
        assert_eq!(certain.value(Some(DecimalMark::Point), None), against);
        assert_eq!(certain.value(Some(DecimalMark::Point), shown), Ok(60.5));
    }

    #[test]
    fn what_can_only_be_read_one_way_is_read() {
        let certain = |text: &str, number: f64| {
            let (written, _) = split(text).unwrap();
            assert_eq!(written.value(None, None), Ok(number), "{text}");
        };
        certain("22,5", 22.5);
        certain("22.5mm", 22.5);
        certain("0,123", 0.123);
        certain("1.234,5", 1234.5);
        certain("1,234,567", 1_234_567.0);
        certain("5 000 lbf", 5000.0);
        certain("5'000", 5000.0);
        certain("1 234,567", 1234.567);
        certain("7/16 in", 0.4375);
        certain("1 1/4\"", 1.25);
        certain("-3", -3.0);
        certain(".5", 0.5);
    }

    #[test]
    fn a_power_of_ten_is_no_number_and_leaves_none_behind() {
        for text in ["2E+40", "2.5E+01 kN", "MBS 1,5e2", "5.0E-01", "WLL 2E3 kN"] {
            assert!(
                has_more_than_digits(text) && with_words(text).next().is_none(),
                "{text}"
            );
        }
        for text in ["25 kN", "8 each", "EN 362", "2 e 4", "7E"] {
            assert!(!has_more_than_digits(text), "{text}");
        }
    }

    #[test]
    fn what_is_no_number_is_none() {
        for text in [
            "",
            "kN",
            "1,2,3",
            "1.2,3.4",
            "12.",
            "-",
            "1/3 in",
            "1,23.456,7",
            "--4",
        ] {
            assert!(split(text).is_none(), "{text}");
        }
    }
}
