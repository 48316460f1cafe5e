//! What a remark says of the rope that it stands beside: "low stretch, elongation 3.2 %".
//!
//! Common practice, no source: an elongation is read only as one number in per cent in the same statement as a word for
//! it; a bound ("max 5 %") and the elongation at break are none. "3.1 % (50-150 kg)" says how it was measured too, as
//! EN 1891 does it; what says no more is asked.

use super::field::Field;
use super::number;
use super::stated;
use super::synonym::{each, plain_words};
use crate::domain::Kind;

/// Words for elongation.
const ELONGATION: &str = "elongation, elong, dehnung, gebrauchsdehnung, allongement";
/// Words beside which the number is none of use: a bound, or of a rope that breaks.
const NO: &str = "max, maximum, maxi, min, under, below, less, than, up, over, about, break, breaking, bruch, bruchdehnung, \
     rupture, dynamic, dynamische, dynamique, not, unter, bis, über, tested, was";
/// Signs of a bound.
const BOUNDS: [char; 6] = ['<', '>', '≤', '≥', '~', '±'];

/// What a remark states of a rope.
pub(super) fn stated(kind: Kind, text: &str) -> Vec<(Field, String)> {
    if kind != Kind::Rope {
        return Vec::new();
    }
    let rope_kind = Field::Attribute("rope-kind");
    let mut found = stated::stated(kind, text);
    found.retain(|(field, value)| *field == rope_kind && (value != "dynamic" || is_dynamic(text)));
    if let Some(elongation) = elongation(text) {
        found.push((Field::Attribute("elongation"), elongation));
        if let Some(test) = test(text) {
            found.push((Field::Attribute("elongation-test"), test.to_owned()));
        }
    }
    found
}

/// How a text says that an elongation was measured: between the weights of 50 and 150 kg.
fn test(text: &str) -> Option<&'static str> {
    let bare: String = text.chars().filter(|c| !c.is_whitespace()).collect();
    let bare = bare
        .to_lowercase()
        .replace(['–', '—', '/', '→'], "-")
        .replace("kg-", "-");
    let bare = bare.replace("to", "-").replace("bis", "-");
    bare.contains("50-150kg").then_some("50-to-150-kg")
}

/// Whether a remark calls the rope itself dynamic: it speaks of dynamic loads and uses too.
fn is_dynamic(text: &str) -> bool {
    let mut statements = text.split([',', ';', '.', '\n']).map(plain_words);
    statements.any(|words| words == "dynamic" || words == "dynamic rope")
}

/// The one elongation in per cent that a text says.
fn elongation(text: &str) -> Option<String> {
    let mut found = None;
    for (at, _) in text.match_indices('%') {
        let before = text[..at].trim_end();
        let is_number = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',');
        let from = before.trim_end_matches(is_number).len();
        let number = before[from..].trim_start_matches(['.', ',']);
        let ahead = &before[..before.len() - number.len()];
        // The comma that parts statements is followed by a blank; the decimal one is not.
        let statement = ahead.rsplit([';', '\n', '(']).next().unwrap_or_default();
        let statement = statement.rsplit(", ").next().unwrap_or_default();
        let words = plain_words(statement);
        let is_any = |list: &str| {
            words
                .split(' ')
                .any(|word| each(list).any(|one| one == word))
        };
        if !is_any(ELONGATION) {
            continue;
        }
        let is_range = ahead.trim_end().ends_with(['-', '–', '—', '/']);
        if is_any(NO) || is_range || statement.contains(BOUNDS) || found.is_some() {
            return None;
        }
        let (written, rest) = number::split(number)?;
        let value = written.value(None, None).ok()?;
        let is_share = value > 0.0 && value <= 50.0;
        if !rest.is_empty() || !is_share {
            return None;
        }
        found = Some(value.to_string());
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_remark_says_of_its_rope_is_read() {
        let told = |text: &str| {
            let stated = stated(Kind::Rope, text).into_iter();
            let told = stated.map(|(field, value)| format!("{} {value}", field.key()));
            told.collect::<Vec<_>>()
        };
        let (low, elongation) = (
            "attribute-rope-kind low-stretch",
            "attribute-elongation 3.2",
        );
        let how = "attribute-elongation-test 50-to-150-kg";
        for (text, read) in [
            ("low stretch, elongation 3.2 %", &[low, elongation][..]),
            ("low stretch", &[low]),
            ("Elongation: 3,2%", &[elongation]),
            ("elongation 50-150 kg 3.2 %; bag 4", &[elongation, how]),
            ("elong. 3.2 % (50 - 150 kg)", &[elongation, how]),
            ("elongation 3.2 % at 150 kg", &[elongation]),
            ("Dehnung 3,2 %", &[elongation]),
            ("dynamic, red", &["attribute-rope-kind dynamic"]),
            ("not for dynamic use", &[]),
            ("no dynamic loads", &[]),
            ("not low stretch", &[]),
            ("elongation max 5 %", &[]),
            ("elongation < 5 %", &[]),
            ("elongation at break 30 %", &[]),
            ("elongation 3-4 %", &[]),
            ("elongation 3 % or elongation 4 %", &[]),
            ("elongation unknown, 20 % worn", &[]),
            ("sheath 20 % worn", &[]),
            ("60 m", &[]),
        ] {
            assert_eq!(told(text), read, "{text}");
        }
        assert!(stated(Kind::Pulley, "low stretch, elongation 3.2 %").is_empty());
    }
}
