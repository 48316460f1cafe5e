//! The efficiency of a sheave with the range in which it lies, typed in one line: "0.85 (0.75-0.9)", "85 % (75-90 %)".

use super::answer::ReadIn;
use super::field::attributes_named;

/// The likely value, the low end and the high end, as shares of one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Efficiency {
    pub(super) likely: f64,
    /// Its range, where one was typed.
    pub(super) range: Option<(f64, f64)>,
}

/// The keys of the attributes beside the likely value that such a line fills.
pub(super) const LOW: &str = "efficiency-low";
/// The high end.
pub(super) const HIGH: &str = "efficiency-high";
/// How it is known.
pub(super) const KNOWN: &str = "efficiency-source";

/// Reads a line.
///
/// # Errors
/// A stable word for programs and a sentence where it is no share, or not within its range.
pub(super) fn read(text: &str) -> Result<Efficiency, (&'static str, String)> {
    let text = text.trim();
    let Some((likely, rest)) = text.split_once('(') else {
        let likely = share(text)?;
        return Ok(Efficiency {
            likely,
            range: None,
        });
    };
    let wrong = || {
        let message = format!(
            "Write the likely value and its range, such as 0.85 (0.75-0.9); \"{text}\" cannot be read as both."
        );
        ("number", message)
    };
    let inner = rest.strip_suffix(')').ok_or_else(wrong)?;
    let inner = inner.replace(" to ", "-").replace('–', "-");
    let (low, high) = inner.split_once('-').ok_or_else(wrong)?;
    let (likely, low, high) = (share(likely)?, share(low)?, share(high)?);
    if low <= likely && likely <= high {
        let range = Some((low, high));
        Ok(Efficiency { likely, range })
    } else {
        let message = format!("{likely} does not lie between {low} and {high}.");
        Err(("range", message))
    }
}

fn share(text: &str) -> Result<f64, (&'static str, String)> {
    let Some(attribute) = attributes_named("efficiency").next() else {
        return Err(("number", String::new()));
    };
    let read = attribute.read(text.trim())?;
    let share = read.to_string().parse();
    share.map_err(|_| ("number", format!("\"{text}\" is no share.")))
}

/// How an efficiency is known that was read there, in the word of the record; none where nobody can tell.
pub(super) fn known(read: ReadIn) -> Option<&'static str> {
    match read {
        ReadIn::Assumed => Some("assumed"),
        ReadIn::Paper => Some("maker"),
        ReadIn::Test => Some("measured"),
        ReadIn::Marking | ReadIn::Note | ReadIn::NotKnown => None,
    }
}

#[cfg(test)]
mod tests {
    use super::{Efficiency, read};

    #[test]
    fn a_value_is_read_with_its_range_or_alone() {
        let range = Some((0.75, 0.9));
        for (text, range) in [
            ("0.85 (0.75-0.9)", range),
            ("85 % (75-90 %)", range),
            ("0,85 (0,75 to 0,9)", range),
            ("0.85 (75–90)", range),
            ("0.85", None),
        ] {
            let likely = 0.85;
            assert_eq!(read(text), Ok(Efficiency { likely, range }), "{text}");
        }
    }

    #[test]
    fn what_is_out_of_its_range_or_no_share_is_refused() {
        for text in [
            "0.95 (0.75-0.9)",
            "0.85 (0.9-0.75)",
            "0.85 (0.9)",
            "0.85 (",
            "2000",
            "good",
            "",
        ] {
            assert!(read(text).is_err(), "{text}");
        }
    }
}
