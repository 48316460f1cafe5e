//! What a maker, a standard's marking or a test says a thing holds, and what it is approved for.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::FieldErrors;
use super::entered::{EnteredForce, EnteredLength, EnteredMass};
use crate::rigging::{LoadingMode, StrengthKind};

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
}

impl RatingSource {
    /// All sources.
    pub const ALL: [Self; 3] = [Self::Marking, Self::Paper, Self::Test];

    /// The word for programs and people.
    pub fn key(self) -> &'static str {
        match self {
            Self::Marking => "marking",
            Self::Paper => "paper",
            Self::Test => "test",
        }
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
}

/// A rating as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct RatingDraft {
    /// The way of loading, as its key.
    pub mode: String,
    /// The value with its unit, such as `36 kN`.
    pub value: String,
    /// `breaking`, `working-limit` or `rated-load`.
    pub kind: String,
    /// `marking`, `paper` or `test`.
    pub source: String,
}

/// The diameters of rope that a device takes; both ends are in.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct RopeRange {
    /// The thinnest.
    pub least: EnteredLength,
    /// The thickest.
    pub most: EnteredLength,
}

impl RopeRange {
    /// Whether a rope of this diameter is in; both ends are.
    ///
    /// Compared in millimetres to a millionth of one, so that the same diameter written in inches
    /// is the same. A half-inch rope is 12.7 mm and not in a range that ends at 12.5 mm.
    pub fn takes(self, diameter: EnteredLength) -> bool {
        let mm = |length: EnteredLength| length.quantity().millimetres();
        let hair = 1e-6;
        mm(diameter) >= mm(self.least) - hair && mm(diameter) <= mm(self.most) + hair
    }
}

impl fmt::Display for RopeRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} to {}", self.least, self.most)
    }
}

/// One approval of a model. A model may have several, each with its own rope range.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Approval {
    /// The standard, such as `EN 567`.
    pub standard: String,
    /// Its edition, such as `2013`.
    pub edition: Option<String>,
    /// The class, type or grade in that standard.
    pub class: Option<String>,
    /// The diameters of rope.
    pub rope_range: Option<RopeRange>,
    /// The kinds of rope allowed, as the keys of a rope's attribute `rope-kind`; empty is "not said".
    pub rope_kinds: Vec<String>,
    /// The largest load.
    pub rated_load: Option<EnteredMass>,
    /// The fewest strands of the tackle in which the device may be used.
    pub least_strands: Option<u8>,
}

impl Approval {
    /// The standard with its class, in words.
    pub fn title(&self) -> String {
        let mut title = self.standard.clone();
        if let Some(edition) = &self.edition {
            title = format!("{title}:{edition}");
        }
        match &self.class {
            Some(class) => format!("{title} class {class}"),
            None => title,
        }
    }
}

/// An approval as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct ApprovalDraft {
    /// The standard, such as `EN 567`.
    pub standard: String,
    /// Its edition.
    pub edition: String,
    /// The class, type or grade.
    pub class: String,
    /// The thinnest rope with its unit.
    pub rope_least: String,
    /// The thickest rope with its unit.
    pub rope_most: String,
    /// The kinds of rope allowed, between commas.
    pub rope_kinds: String,
    /// The largest load with its unit.
    pub rated_load: String,
    /// The fewest strands.
    pub least_strands: String,
}

/// Reads the key of a serde word; the words are the ones that the records are written in.
fn word<T: serde::de::DeserializeOwned>(text: &str) -> Option<T> {
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

    /// The rating that was typed in.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn check(&self, modes: &[LoadingMode]) -> Result<Rating, FieldErrors> {
        let mut wrong = FieldErrors::default();
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
        let value = wrong.keep("value", "unit", EnteredForce::read(&self.value, None));
        if value.is_some_and(|value| value.value() <= 0.0) {
            wrong.add(
                "value",
                "range",
                format!("A rating must be above 0, not {}.", self.value.trim()),
            );
        }
        let kind = word::<StrengthKind>(self.kind.trim().trim_end_matches("-strength"));
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
        let source = word::<RatingSource>(&self.source);
        if source.is_none() {
            wrong.add(
                "source",
                "choice",
                format!(
                    "Choose marking, paper or test, not \"{}\".",
                    self.source.trim()
                ),
            );
        }
        match (mode, value, kind, source) {
            (Some(mode), Some(value), Some(kind), Some(source)) if wrong.is_empty() => Ok(Rating {
                mode,
                value,
                kind,
                source,
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
        }
    }
}

impl ApprovalDraft {
    /// Whether nothing was typed.
    pub fn is_blank(&self) -> bool {
        *self == Self::default()
    }

    /// The approval that was typed in.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn check(&self) -> Result<Approval, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let standard = wrong.line("standard", &self.standard);
        let edition = wrong.optional_line("edition", &self.edition);
        let class = wrong.optional_line("class", &self.class);
        let rope_range = self.rope_range(&mut wrong);
        let rope_kinds = self
            .rope_kinds
            .split([',', ';'])
            .map(str::trim)
            .filter(|kind| !kind.is_empty())
            .map(str::to_lowercase)
            .collect::<Vec<_>>();
        for kind in &rope_kinds {
            if !super::kind::ROPE_KINDS.contains(&kind.as_str()) {
                wrong.add(
                    "rope_kinds",
                    "choice",
                    format!(
                        "Choose from {}, not \"{kind}\".",
                        super::kind::ROPE_KINDS.join(", ")
                    ),
                );
            }
        }
        let rated_load = optional(&self.rated_load, |text| {
            wrong.keep("rated_load", "unit", EnteredMass::read(text, None))
        });
        let least_strands = optional(&self.least_strands, |text| {
            match text.trim().parse::<u8>() {
                Ok(strands) if (1..=20).contains(&strands) => Some(strands),
                _ => {
                    wrong.add(
                        "least_strands",
                        "range",
                        format!(
                            "Write a whole number from 1 to 20, not \"{}\".",
                            text.trim()
                        ),
                    );
                    None
                }
            }
        });
        wrong.or(|| Approval {
            standard,
            edition,
            class,
            rope_range,
            rope_kinds,
            rated_load,
            least_strands,
        })
    }

    fn rope_range(&self, wrong: &mut FieldErrors) -> Option<RopeRange> {
        match (self.rope_least.trim(), self.rope_most.trim()) {
            ("", "") => None,
            ("", _) => {
                wrong.add(
                    "rope_least",
                    "required",
                    "Write the thinnest rope too, or leave both empty.",
                );
                None
            }
            (_, "") => {
                wrong.add(
                    "rope_most",
                    "required",
                    "Write the thickest rope too, or leave both empty.",
                );
                None
            }
            (least, most) => {
                let least = wrong.keep("rope_least", "unit", EnteredLength::read(least, None));
                let most = wrong.keep("rope_most", "unit", EnteredLength::read(most, None));
                let (least, most) = (least?, most?);
                if least.quantity() > most.quantity() {
                    wrong.add("rope_most", "range", format!("The thickest rope must not be thinner than the thinnest ({least}), as {most} is."));
                }
                Some(RopeRange { least, most })
            }
        }
    }
}

impl From<&Approval> for ApprovalDraft {
    fn from(approval: &Approval) -> Self {
        let text = |value: &Option<String>| value.clone().unwrap_or_default();
        Self {
            standard: approval.standard.clone(),
            edition: text(&approval.edition),
            class: text(&approval.class),
            rope_least: approval
                .rope_range
                .map(|range| range.least.to_string())
                .unwrap_or_default(),
            rope_most: approval
                .rope_range
                .map(|range| range.most.to_string())
                .unwrap_or_default(),
            rope_kinds: approval.rope_kinds.join(", "),
            rated_load: approval
                .rated_load
                .map(|load| load.to_string())
                .unwrap_or_default(),
            least_strands: approval
                .least_strands
                .map(|strands| strands.to_string())
                .unwrap_or_default(),
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
