//! The load of a job as typed in: a mass, a count of people, or a case that says how many they are.

use super::JobDraft;
use crate::domain::entered::{EnteredError, EnteredForce, EnteredMass};
use crate::domain::rulebook::Rulebook;
use crate::domain::{FieldErrors, Job, Load, LoadCase, read_weight};

impl JobDraft {
    /// Whether the load that was typed in is a count of people.
    pub(in crate::domain) fn counts_people(&self) -> bool {
        people(&self.load).is_some()
    }

    pub(super) fn case(&self, wrong: &mut FieldErrors) -> Option<LoadCase> {
        let typed = self.case.trim();
        let case = LoadCase::from_key(typed);
        if case.is_none() && !typed.is_empty() {
            let given: String = typed.chars().take(40).collect();
            let keys = LoadCase::ALL.map(LoadCase::key).join(", ");
            wrong.add(
                "case",
                "choice",
                format!("Choose one of {keys}, or leave it empty, not \"{given}\"."),
            );
        }
        case
    }

    /// The load that was typed in, or that of the case where none was.
    pub(super) fn load(&self, case: Option<LoadCase>, wrong: &mut FieldErrors) -> Option<Load> {
        if let Some(case) = case.filter(|_| self.load.trim().is_empty()) {
            return Some(case.load());
        }
        if self.load.trim().is_empty() {
            let words = "Choose for whom it is planned, or write the load: a mass such as 120 kg, or 2 persons. Empty is only enough where \"Planned for\" says how many people hang on the rope.";
            wrong.add("load", "required", words);
            return None;
        }
        let load = self.typed_load(wrong)?;
        if let Some(case) = case {
            case.goes_with(load, wrong);
        }
        Some(load)
    }

    fn typed_load(&self, wrong: &mut FieldErrors) -> Option<Load> {
        if let Some(people) = people(&self.load) {
            let count = count_of(&people);
            if !(1..=4).contains(&count.unwrap_or(0)) {
                wrong.add(
                    "load",
                    "range",
                    format!("Write 1 to 4 persons, not \"{}\".", self.load.trim()),
                );
            }
            return count.map(Load::Persons);
        }
        let load = wrong.keep("load", "unit", weighed(&self.load))?;
        let kilograms = match load {
            Load::Force(weight) => weight.quantity().kilograms_force(),
            Load::Mass(mass) => mass.quantity().kilograms(),
            Load::Persons(_) => return Some(load),
        };
        if !(1.0..=2000.0).contains(&kilograms) {
            let is = load.counted_mass();
            let is = is.map_or_else(String::new, |is| format!(", {is}"));
            wrong.add(
                "load",
                "range",
                format!("The load must be between 1 and 2000 kg, not {load}{is}."),
            );
        }
        Some(load)
    }
}

/// A mass, or the weight that somebody plans with.
fn weighed(text: &str) -> Result<Load, EnteredError> {
    if let Ok(weight) = EnteredForce::read(text, None) {
        return Ok(Load::Force(weight));
    }
    // What is neither is told with the units of both.
    read_weight(text)?;
    EnteredMass::read_load(text).map(Load::Mass)
}

/// The least share of what a rulebook counts for people that is taken for their mass. Between it and the whole the verdict
/// says it; below it a digit is missing, or a unit is wrong.
const LEAST_SHARE: f64 = 0.5;

impl Job {
    /// Refuses a load that cannot be that of the people for whom the job is planned.
    ///
    /// # Errors
    /// Under `load`, with both masses.
    pub fn likely_load(&self, rulebook: &Rulebook) -> Result<(), FieldErrors> {
        let Some(case) = self.case else {
            return Ok(());
        };
        let counted = rulebook.mass(case.load()).kilograms();
        let least = counted * LEAST_SHARE;
        if rulebook.mass(self.load).kilograms() >= least * (1.0 - 1e-9) {
            return Ok(());
        }
        let why = format!(
            "Planned for {}, which the rulebook counts with {counted:.0} kg: {} is less than half of that. Write the mass with \
             all kit, at least {least:.0} kg, or plan for what the load alone says.",
            case.word(),
            self.load
        );
        Err(FieldErrors::one("load", "range", why))
    }

    /// The load as it would be typed: nothing where the case says all of it.
    pub(super) fn typed_load(&self) -> String {
        match self.case {
            Some(case) if case.load() == self.load => String::new(),
            _ => self.load.to_string(),
        }
    }
}

/// What stands before the word where a load is written as people: "2" of "2 persons", "one" of "one
/// person".
fn people(text: &str) -> Option<String> {
    let text = text.trim().to_lowercase();
    let endings = ["persons", "person", "people"];
    let count = endings
        .iter()
        .find_map(|ending| text.strip_suffix(ending))?;
    Some(count.trim().to_owned())
}

/// A count in digits or, up to four, in a word.
fn count_of(text: &str) -> Option<u8> {
    match text {
        "a" | "one" => Some(1),
        "two" => Some(2),
        "three" => Some(3),
        "four" => Some(4),
        digits => digits.parse().ok(),
    }
}
