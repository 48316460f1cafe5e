//! What a maker, a standard's marking or a test says a thing holds.

pub mod beside;
pub mod doubt;
mod gear;

pub use gear::Gear;

use serde::{Deserialize, Serialize};

use super::entered::EnteredForce;
use super::{FieldErrors, Kind};
use crate::rigging::{LoadingMode, StrengthKind};

/// The thinnest cord in use holds more than this, in kilonewtons: what is said to break below it is a slip, or a unit is wrong.
/// Common practice, no source.
const LEAST_BREAKING: f64 = 0.1;

/// Where a rating was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum RatingSource {
    /// On the thing itself.
    Marking,
    /// In the maker's paper.
    Paper,
    /// From a test.
    Test,
    /// Somewhere that nobody noted.
    NotKnown,
}

impl RatingSource {
    /// All sources.
    pub const ALL: [Self; 4] = [Self::Marking, Self::Paper, Self::Test, Self::NotKnown];

    /// The word for programs and people.
    pub fn key(self) -> &'static str {
        match self {
            Self::Marking => "marking",
            Self::Paper => "paper",
            Self::Test => "test",
            Self::NotKnown => "not-known",
        }
    }

    /// Where it was read, in words that may be chosen.
    pub fn words(self) -> &'static str {
        match self {
            Self::NotKnown => "not known where",
            Self::Marking => "on the gear itself",
            Self::Paper => "in the maker's paper",
            Self::Test => "from a test",
        }
    }

    /// The same as what was done: "read on the gear itself".
    pub fn read_words(self) -> String {
        match self {
            Self::NotKnown => "where it was read is not known".to_owned(),
            source => format!("read {}", source.words()),
        }
    }

    /// Reads the word for programs.
    ///
    /// # Errors
    /// A sentence that names the words.
    pub fn read(text: &str) -> Result<Self, String> {
        word(text).ok_or_else(|| {
            let given: String = text.trim().chars().take(60).collect();
            format!("Choose marking, paper, test or not-known, not \"{given}\".")
        })
    }
}

/// One rating: a force in one way of loading, of one kind, from one source.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Rating {
    /// The way of loading.
    #[schema(value_type = String)]
    pub mode: LoadingMode,
    /// The value as entered.
    pub value: EnteredForce,
    /// Breaking strength, working limit or rated load; never mixed.
    #[schema(value_type = String)]
    pub kind: StrengthKind,
    /// Where it was read.
    pub source: RatingSource,
    /// Whether such gear hardly ever has it, and somebody said that it is so.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub confirmed: bool,
}

/// A rating as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct RatingDraft {
    /// The way of loading, as its key.
    pub mode: String,
    /// The value with its unit, such as `36 kN`; of a rated load or a working limit a mass counts as its weight: `140 kg` is 140 kgf.
    pub value: String,
    /// `breaking`, `working-limit` or `rated-load`.
    pub kind: String,
    /// `marking`, `paper`, `test` or `not-known`.
    pub source: String,
    /// `true` where the value is what the maker states though such gear hardly ever has it; without, it is refused: a
    /// breaking strength of more than 100 kN (80 kN of tripods and anchor devices; 30 kN of rope clamps; 1.2 kN for each
    /// square millimetre of the diameter squared of rope and cord), a working limit or a rated load of more than 20 kN (10 kN
    /// of tripods and anchor devices; 8 kN of litters, descenders, back-up devices and rope clamps; 5 kN of harnesses and
    /// lanyards) or of more than a third of what breaks it so loaded (a half of tripods and anchor devices). Common practice,
    /// no source. Forms send the value once more.
    #[serde(
        deserialize_with = "doubt::tick",
        skip_serializing_if = "String::is_empty"
    )]
    #[schema(value_type = bool)]
    pub confirmed: String,
}

/// Why a breaking strength is none, where it is next to nothing.
fn next_to_nothing(kind: Option<StrengthKind>, value: EnteredForce) -> Option<String> {
    let is_slip = kind == Some(StrengthKind::Breaking)
        && value.value() > 0.0
        && value.quantity().kilonewtons() < LEAST_BREAKING;
    is_slip.then(|| format!("A breaking strength is at least {LEAST_BREAKING} kN, not {value}."))
}

/// Reads the key of a serde word; the words are the ones that the records are written in.
pub(super) fn word<T: serde::de::DeserializeOwned>(text: &str) -> Option<T> {
    let text = text.trim().to_lowercase().replace([' ', '_'], "-");
    serde_json::from_value(serde_json::Value::String(text)).ok()
}

/// The key of a value that is written as one word.
pub fn key_of<T: Serialize>(value: T) -> String {
    match serde_json::to_value(value) {
        Ok(serde_json::Value::String(key)) => key,
        _ => String::new(),
    }
}

impl RatingDraft {
    /// Whether nothing was typed.
    pub fn is_blank(&self) -> bool {
        [&self.mode, &self.value]
            .iter()
            .all(|text| text.trim().is_empty())
    }

    /// Which of the three it is, if it says one.
    fn strength_kind(&self) -> Option<StrengthKind> {
        word(self.kind.trim().trim_end_matches("-strength"))
    }

    /// The rating that was typed in.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn check(&self, of: Kind, gear: &Gear) -> Result<Rating, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let modes = of.modes();
        let mode = word::<LoadingMode>(&self.mode).filter(|mode| modes.contains(mode));
        if mode.is_none() {
            let offered: Vec<_> = modes.iter().map(key_of).collect();
            wrong.add(
                "mode",
                "choice",
                format!(
                    "Choose {}, not \"{}\".",
                    offered.join(", "),
                    self.mode.trim()
                ),
            );
        }
        let kind = self.strength_kind();
        // What breaks it is a force; "22 kg" there is more likely a slip of the pen.
        let read = match kind {
            Some(StrengthKind::Breaking) => EnteredForce::read(&self.value, None),
            _ => EnteredForce::read_with_weight(&self.value),
        };
        let value = wrong.keep("value", "unit", read);
        if value.is_some_and(|value| value.value() <= 0.0) {
            wrong.add(
                "value",
                "range",
                format!("A rating must be above 0, not {}.", self.value.trim()),
            );
        }
        if let Some(why) = value.and_then(|value| next_to_nothing(kind, value)) {
            wrong.add("value", "range", why);
        } else if let Some(question) = value.and_then(|_| self.doubted(gear)) {
            wrong.ask("value", question, doubt::CONFIRMED);
        }
        if kind.is_none() {
            wrong.add(
                "kind",
                "choice",
                format!(
                    "Choose breaking, working-limit or rated-load, not \"{}\".",
                    self.kind.trim()
                ),
            );
        }
        let source = wrong.keep("source", "choice", RatingSource::read(&self.source));
        match (mode, value, kind, source) {
            (Some(mode), Some(value), Some(kind), Some(source)) if wrong.is_empty() => Ok(Rating {
                mode,
                value,
                kind,
                source,
                confirmed: self.far_out(gear).is_some(),
            }),
            _ => Err(wrong),
        }
    }
}

impl From<&Rating> for RatingDraft {
    fn from(rating: &Rating) -> Self {
        Self {
            mode: key_of(rating.mode),
            value: rating.value.to_string(),
            kind: key_of(rating.kind),
            source: key_of(rating.source),
            // Only of this value was it said: what is written in its place is asked about again.
            confirmed: if rating.confirmed {
                rating.value.to_string()
            } else {
                String::new()
            },
        }
    }
}

/// `read` of the text, or nothing where it is empty.
pub(super) fn optional<T>(text: &str, read: impl FnOnce(&str) -> Option<T>) -> Option<T> {
    if text.trim().is_empty() {
        None
    } else {
        read(text)
    }
}
