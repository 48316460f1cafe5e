//! Approvals: the standards that a model is tested to, and what each allows.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::attribute::{THICKNESS, within};
use super::entered::{EnteredLength, EnteredMass};
use super::kind::ROPE_KINDS;
use super::rating::doubt::{self, Doubt};
use super::rating::{Gear, optional};
use super::rulebook::same_class;
use super::standard_line::standards_in;
use super::{FieldErrors, counted};
use crate::rigging::StrengthKind;

/// The diameters of rope that a device takes; both ends are in, and one of them at least is known.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct RopeRange {
    /// The thinnest; none where it is not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub least: Option<EnteredLength>,
    /// The thickest; none where it is not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub most: Option<EnteredLength>,
}

impl RopeRange {
    /// Whether a rope of this diameter is in; both ends are. None where it would be for the end that is not known to
    /// say.
    ///
    /// Compared in millimetres to a millionth of one, so that the same diameter written in inches
    /// is the same. A half-inch rope is 12.7 mm and not in a range that ends at 12.5 mm.
    pub fn takes(self, diameter: EnteredLength) -> Option<bool> {
        let mm = |length: EnteredLength| length.quantity().millimetres();
        let hair = 1e-6;
        let thick = self.least.map(|end| mm(diameter) >= mm(end) - hair);
        let thin = self.most.map(|end| mm(diameter) <= mm(end) + hair);
        match (thick, thin) {
            (Some(false), _) | (_, Some(false)) => Some(false),
            (Some(true), Some(true)) => Some(true),
            _ => None,
        }
    }

    /// The end that is not known, in words; none where both are.
    pub fn lacks(self) -> Option<&'static str> {
        match (self.least, self.most) {
            (Some(_), Some(_)) => None,
            (None, _) => Some("thinnest"),
            (_, None) => Some("thickest"),
        }
    }
}

impl fmt::Display for RopeRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.least, self.most) {
            (Some(least), Some(most)) => write!(f, "{least} to {most}"),
            (None, Some(most)) => write!(f, "up to {most} (the thinnest is not known)"),
            (Some(least), None) => write!(f, "from {least} (the thickest is not known)"),
            (None, None) => f.write_str("not known"),
        }
    }
}

/// What gear is rated for at least, in kilograms; less is a slip. Common practice, no source.
const LEAST_LOAD: f64 = 10.0;

impl Approval {
    /// What is asked of a rated load that such gear hardly ever has, where nobody said that it is so; what needs no word
    /// has none.
    pub(super) fn doubted(&mut self, gear: &Gear) -> Option<String> {
        let load = self.rated_load;
        let Some((load, doubt)) = load.and_then(|load| Some((load, far_out(load, gear)?))) else {
            self.confirmed = false;
            return None;
        };
        (!self.confirmed).then(|| doubt.asked(&load.to_string()))
    }
}

/// One approval of a model. A model may have several, each with its own rope range.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
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
    /// Whether such gear hardly ever has this rated load, and somebody said that it is so.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub confirmed: bool,
    /// The fewest strands of the tackle in which the device may be used.
    pub least_strands: Option<u8>,
    /// The most persons at once.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub most_persons: Option<u8>,
    /// The models that must be on the rig too, where the approval is for a set, each by its name or by
    /// maker and name.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub set_with: Vec<String>,
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

    /// All that it says: "EN 567:2013, rope 8 mm to 13 mm, rope kinds static, rated load 140 kg".
    pub fn words(&self) -> String {
        let mut words = vec![self.title()];
        let mut add = |told: Option<String>| words.extend(told);
        let joined = |all: &[String]| (!all.is_empty()).then(|| all.join(" and "));
        add(self.rope_range.map(|range| format!("rope {range}")));
        add(joined(&self.rope_kinds).map(|kinds| format!("rope kinds {kinds}")));
        add(self.rated_load.map(|load| format!("rated load {load}")));
        let strands = |least| format!("at least {}", counted(least, "strand", "strands"));
        add(self.least_strands.map(strands));
        let persons = |most| format!("at most {}", counted(most, "person", "persons"));
        add(self.most_persons.map(persons));
        add(joined(&self.set_with).map(|set| format!("with {set}")));
        words.join(", ")
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
    /// The thinnest rope with its unit; empty where it is not known.
    pub rope_least: String,
    /// The thickest rope with its unit; empty where it is not known.
    pub rope_most: String,
    /// The kinds of rope allowed, between commas.
    pub rope_kinds: String,
    /// The largest load with its unit.
    pub rated_load: String,
    /// `true` where the rated load is what the maker states though such gear hardly ever has it: as for a rating. Forms send
    /// the load once more.
    #[serde(
        deserialize_with = "doubt::tick",
        skip_serializing_if = "String::is_empty"
    )]
    #[schema(value_type = bool)]
    pub confirmed: String,
    /// The fewest strands.
    pub least_strands: String,
    /// The most persons at once.
    pub most_persons: String,
    /// The other models of the set that it is approved in, between semicolons.
    pub set_with: String,
}

/// The most other models that an approval for a set may name.
const MOST_IN_SET: usize = 6;

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
        let (standard, edition, class) = self.standard(&mut wrong);
        let rope_range = self.rope_range(&mut wrong);
        let rope_kinds = self
            .rope_kinds
            .split([',', ';'])
            .map(str::trim)
            .filter(|kind| !kind.is_empty())
            .map(str::to_lowercase)
            .collect::<Vec<_>>();
        for kind in &rope_kinds {
            if !ROPE_KINDS.contains(&kind.as_str()) {
                wrong.add(
                    "rope_kinds",
                    "choice",
                    format!("Choose from {}, not \"{kind}\".", ROPE_KINDS.join(", ")),
                );
            }
        }
        let rated_load = optional(&self.rated_load, |text| {
            let load = wrong.keep("rated_load", "unit", EnteredMass::read(text, None))?;
            if load.quantity().kilograms() < LEAST_LOAD {
                let why = format!("A rated load is at least {LEAST_LOAD} kg, not {load}.");
                wrong.add("rated_load", "range", why);
            }
            Some(load)
        });
        let mut count = |field: &'static str, text: &str, most: u8| {
            optional(text, |text| match text.trim().parse::<u8>() {
                Ok(count) if (1..=most).contains(&count) => Some(count),
                _ => {
                    let text = text.trim();
                    let why = format!("Write a whole number from 1 to {most}, not \"{text}\".");
                    wrong.add(field, "range", why);
                    None
                }
            })
        };
        let least_strands = count("least_strands", &self.least_strands, 20);
        let most_persons = count("most_persons", &self.most_persons, 4);
        let set_with = self.set_with(&mut wrong);
        wrong.or(|| Approval {
            standard,
            edition,
            class,
            rope_range,
            rope_kinds,
            rated_load,
            confirmed: self.is_confirmed(),
            least_strands,
            most_persons,
            set_with,
        })
    }

    /// Whether it is said that this very rated load is what the maker states.
    pub fn is_confirmed(&self) -> bool {
        doubt::confirms(&self.confirmed, &self.rated_load)
    }

    /// Why the rated load is one of which it is asked whether such gear really has it; none where it is not.
    pub fn far_out(&self, gear: &Gear) -> Option<Doubt> {
        far_out(EnteredMass::read(&self.rated_load, None).ok()?, gear)
    }

    /// The standard, its edition and its class; what stands behind the number goes to its own place.
    fn standard(&self, wrong: &mut FieldErrors) -> (String, Option<String>, Option<String>) {
        let (mut typed, mut edition) = (self.standard.clone(), self.edition.clone());
        let mut class = self.class.clone();
        let read = standards_in(&self.standard);
        if let [first, second, ..] = read.as_slice()
            && first.is_numbered()
        {
            let (first, second) = (first.title(), second.title());
            let why =
                format!("Write one standard in each approval: {first} here, {second} in the next.");
            wrong.add("standard", "line", why);
        }
        if let [one] = read.as_slice()
            && one.is_numbered()
            && one.rest.is_empty()
        {
            typed.clone_from(&one.standard);
            let same_edition = edition.trim() == one.edition;
            let same_class = same_class(Some(&class), Some(&one.class));
            for (field, typed, said, same) in [
                ("edition", &mut edition, &one.edition, same_edition),
                ("class", &mut class, &one.class, same_class),
            ] {
                if typed.trim().is_empty() {
                    typed.clone_from(said);
                } else if !said.is_empty() && !same {
                    let why = format!(
                        "Beside the standard stands {said}. Write the {field} here alone, not \"{}\" here and {said} there.",
                        typed.trim()
                    );
                    wrong.add(field, "choice", why);
                }
            }
        }
        (
            wrong.line("standard", &typed),
            wrong.optional_line("edition", &edition),
            wrong.optional_line("class", &class),
        )
    }

    fn set_with(&self, wrong: &mut FieldErrors) -> Vec<String> {
        let names = self.set_with.split(';').map(str::trim);
        let names: Vec<&str> = names.filter(|name| !name.is_empty()).collect();
        if names.len() > MOST_IN_SET {
            let why = format!(
                "A set has at most {MOST_IN_SET} other models, not {}.",
                names.len()
            );
            wrong.add("set_with", "range", why);
        }
        names
            .into_iter()
            .map(|name| wrong.line("set_with", name))
            .collect()
    }

    fn rope_range(&self, wrong: &mut FieldErrors) -> Option<RopeRange> {
        let least = optional(&self.rope_least, |text| {
            thickness("rope_least", text, wrong)
        });
        let most = optional(&self.rope_most, |text| thickness("rope_most", text, wrong));
        if let (Some(least), Some(most)) = (least, most)
            && least.quantity() > most.quantity()
        {
            wrong.add("rope_most", "range", format!("The thickest rope must not be thinner than the thinnest ({least}), as {most} is."));
        }
        (least.is_some() || most.is_some()).then_some(RopeRange { least, most })
    }
}

fn far_out(load: EnteredMass, gear: &Gear) -> Option<Doubt> {
    gear.doubt(StrengthKind::RatedLoad, None, load.quantity().weight())
}

/// How thick a rope is.
fn thickness(field: &str, text: &str, wrong: &mut FieldErrors) -> Option<EnteredLength> {
    let length = wrong.keep(field, "unit", EnteredLength::read(text, None))?;
    wrong.keep(field, "range", within(length, THICKNESS))
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
                .and_then(|range| Some(range.least?.to_string()))
                .unwrap_or_default(),
            rope_most: approval
                .rope_range
                .and_then(|range| Some(range.most?.to_string()))
                .unwrap_or_default(),
            rope_kinds: approval.rope_kinds.join(", "),
            rated_load: approval
                .rated_load
                .map(|load| load.to_string())
                .unwrap_or_default(),
            // Only of this load was it said, as of a rating.
            confirmed: approval
                .rated_load
                .filter(|_| approval.confirmed)
                .map(|load| load.to_string())
                .unwrap_or_default(),
            least_strands: approval
                .least_strands
                .map(|strands| strands.to_string())
                .unwrap_or_default(),
            most_persons: approval
                .most_persons
                .map(|persons| persons.to_string())
                .unwrap_or_default(),
            set_with: approval.set_with.join("; "),
        }
    }
}
