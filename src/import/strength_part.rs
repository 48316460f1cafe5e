//! One number of a cell of strengths, and what the words beside it say that it is.

use super::field::Field;
use super::load_words::Load;
use super::strength;
use super::synonym::each;
use crate::domain::Kind;
use crate::rigging::{LoadingMode, StrengthKind};

/// Words for a most.
const MOST: &str = "max, maximum, maxi, up to, load, max load, max user, user, höchstens, bis";
/// The mass in kilograms below which a mass under a strength is that of people, and no force at which things break.
const PEOPLE: f64 = 600.0;

/// A number with its unit and the words that stand beside it.
#[derive(Clone, Debug)]
pub(super) struct Part {
    pub(super) number: f64,
    pub(super) unit: Option<Load>,
    pub(super) words: Vec<String>,
    /// Whether the number counts other things: "2 pers".
    pub(super) other: bool,
}

impl Part {
    /// The way of loading that its words name.
    pub(super) fn mode(&self) -> Option<LoadingMode> {
        let words = self.words.join(" ");
        match words.as_str() {
            "open" | "gate" => Some(LoadingMode::GateOpen),
            "closed" => Some(LoadingMode::MajorAxis),
            words => strength::mode(words),
        }
    }

    /// Whether its words say what it is, as far as it has some.
    pub(super) fn is_named(&self) -> bool {
        let words = self.words.join(" ");
        words.is_empty()
            || each(MOST).any(|one| one == words)
            || strength::recognise(&words).is_some()
            || self.mode().is_some()
    }

    /// What its number is under a heading of such strengths, or one that leaves all to the words; none where it is nothing
    /// that this kind of gear has on record.
    pub(super) fn field(&self, kind: Kind, heading: Option<StrengthKind>) -> Option<Field> {
        let unit = self.unit.filter(|_| !self.other && self.number > 0.0)?;
        let words = self.words.join(" ");
        if unit.is_mass() {
            let limit = Field::Strength(StrengthKind::WorkingLimit, None);
            let is_limit = match words.as_str() {
                "" => heading == Some(StrengthKind::WorkingLimit),
                words => strength::recognise(words) == Some(limit),
            };
            if is_limit {
                return Some(limit);
            }
            let breaks = Field::Strength(StrengthKind::Breaking, None);
            let is_heavy = unit.kilograms(self.number) >= PEOPLE;
            if heading == Some(StrengthKind::Breaking) && words.is_empty() && is_heavy {
                return Some(breaks);
            }
            let is_most =
                heading.is_some() && words.is_empty() || each(MOST).any(|one| one == words);
            let of_people = !is_heavy && holds_people(kind);
            return (is_most && of_people).then_some(Field::RatedLoad);
        }
        let field = match words.as_str() {
            "" => Field::Strength(heading?, None),
            words => strength::recognise(words)
                .or_else(|| Some(Field::Strength(StrengthKind::Breaking, Some(self.mode()?))))?,
        };
        let usual = kind.modes().first().copied();
        match field {
            Field::Strength(of, Some(mode)) if Some(mode) == usual && kind != Kind::Connector => {
                Some(Field::Strength(of, None))
            }
            Field::Strength(_, Some(mode)) if !kind.modes().contains(&mode) => None,
            field => Some(field),
        }
    }

    pub(super) fn value(&self, field: Field) -> String {
        self.unit
            .map_or_else(String::new, |unit| unit.written(field, self.number))
    }
}

/// The words behind a number that make of it no force: a share, a ratio, a time, a count.
const NO_FORCE: [&str; 20] = [
    "percent", "pct", "prozent", "to", "zu", "times", "fold", "fach", "year", "years", "jahr",
    "jahre", "h", "hour", "hours", "sheave", "sheaves", "rollen", "wheels", "cycles",
];

/// Whether a number in a text is followed by a word that makes of it no force: "20 percent", "10 to 1", "25 years".
fn has_other_word(text: &str) -> bool {
    let text = text.to_lowercase();
    let ends = text.char_indices().filter(|(at, c)| {
        let before = text[..*at].chars().next_back();
        !c.is_ascii_digit() && before.is_some_and(|c| c.is_ascii_digit())
    });
    let mut words = ends.map(|(at, _)| {
        let behind = text[at..].trim_start_matches([' ', '-']);
        let end = behind.find(|c: char| !c.is_alphabetic());
        &behind[..end.unwrap_or(behind.len())]
    });
    words.any(|word| NO_FORCE.contains(&word))
}

/// Whether a sign or word stands in a text that makes of a number no force: a share or a degree ("20 %", "15°"), a ratio ("10:1"), a
/// force along a length ("22 kN/m"), or a question ("22?").
pub(super) fn has_other_sign(text: &str) -> bool {
    let is_digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
    let at_ratio = |(at, _): (usize, &str)| {
        let before = text[..at].trim_end().chars().next_back();
        let behind = text[at + 1..].trim_start().chars().next();
        is_digit(before) && is_digit(behind)
    };
    let at_length = |(at, _): (usize, &str)| {
        let word: String = text[at + 1..]
            .chars()
            .take_while(|c| c.is_alphabetic())
            .collect();
        ["m", "mm", "cm", "ft"].contains(&word.as_str())
    };
    // "1/5" of what the line before it says.
    let at_part = |(at, _): (usize, &str)| {
        let before: Vec<char> = text[..at].trim_end().chars().rev().take(2).collect();
        let is_one =
            before.first() == Some(&'1') && !before.get(1).is_some_and(char::is_ascii_digit);
        is_one && is_digit(text[at + 1..].trim_start().chars().next())
    };
    has_other_word(text)
        || text.match_indices('/').any(at_part)
        || text.contains(['%', '‰', '°', '?', '#', '€', '$', '£', '²', '³'])
        || text.match_indices(':').any(at_ratio)
        || text.match_indices('/').any(at_length)
}

/// Whether people hang in a kind of gear, or on it, so that a mass is theirs.
fn holds_people(kind: Kind) -> bool {
    matches!(
        kind,
        Kind::Harness
            | Kind::Lanyard
            | Kind::Litter
            | Kind::Descender
            | Kind::BackUpDevice
            | Kind::RopeClamp
            | Kind::AnchorDevice
            | Kind::Tripod
    )
}

/// The lower of the last two of three numbers, where neither has a word beside it.
pub(super) fn lower_of_the_last(parts: &[Part]) -> Option<&Part> {
    let [_, second, third] = parts else {
        return None;
    };
    let is_open = second.words.is_empty() && third.words.is_empty() && second.unit == third.unit;
    let lower = if second.number <= third.number {
        second
    } else {
        third
    };
    is_open.then_some(lower)
}
