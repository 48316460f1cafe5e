//! What is wrong with a rulebook's sheet, and where.

use std::collections::BTreeMap;
use std::fmt;

/// One thing that is wrong with a sheet.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Fault {
    /// The line of the sheet, from 1; none where something is missing as a whole.
    pub line: Option<usize>,
    /// The place in the sheet: `minimum 3, at_least`; lists are counted from 1. May be empty.
    pub place: String,
    /// What is wrong and what to do.
    pub sentence: String,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(line) = self.line {
            write!(f, "line {line}, ")?;
        }
        if !self.place.is_empty() {
            write!(f, "{}: ", self.place)?;
        }
        f.write_str(&self.sentence)
    }
}

/// Everything that is wrong with a rulebook's sheet, in the order of its lines.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}", lines(faults))]
pub struct RulebookError {
    /// All faults.
    pub faults: Vec<Fault>,
}

fn lines(faults: &[Fault]) -> String {
    let lines: Vec<String> = faults.iter().map(Fault::to_string).collect();
    lines.join("\n")
}

/// Where things stand in a sheet, and what was found wrong so far.
#[derive(Debug, Default)]
pub(in crate::domain) struct Faults {
    /// The place of each rule by its name.
    rules: BTreeMap<String, String>,
    /// The line of each place.
    lines: BTreeMap<String, usize>,
    found: Vec<Fault>,
}

impl Faults {
    /// Notes the line of a place.
    pub(in crate::domain) fn stands(&mut self, place: &str, line: usize) {
        self.lines.entry(place.to_owned()).or_insert(line);
    }

    /// Notes the place of a rule; a rule that stands twice is a fault of the second.
    pub(in crate::domain) fn named(&mut self, name: String, place: &str) {
        match self.rules.get(&name) {
            None => {
                self.rules.insert(name, place.to_owned());
            }
            Some(first) => {
                let sentence = format!("This rule stands twice, at {first} already: take one out.");
                self.at(place, sentence);
            }
        }
    }

    /// Notes what is wrong at a place.
    pub(in crate::domain) fn at(&mut self, place: &str, sentence: impl Into<String>) {
        self.found.push(Fault {
            line: self.line_of(place),
            place: place.to_owned(),
            sentence: sentence.into(),
        });
    }

    /// The line of a place; what has none of its own stands where the part around it begins.
    fn line_of(&self, mut place: &str) -> Option<usize> {
        loop {
            if let Some(line) = self.lines.get(place) {
                return Some(*line);
            }
            place = &place[..place.rfind(['.', ','])?];
        }
    }

    /// Notes what is wrong with a key of a rule; with the rule as a whole where the key is empty.
    pub(in crate::domain) fn of(&mut self, rule: &str, key: &str, sentence: impl Into<String>) {
        let place = self.rules.get(rule).map_or(rule, String::as_str);
        let place = if key.is_empty() {
            place.to_owned()
        } else {
            format!("{place}, {key}")
        };
        self.at(&place, sentence);
    }

    /// Notes a fault of the text itself.
    pub(in crate::domain) fn of_text(&mut self, line: Option<usize>, sentence: String) {
        self.found.push(Fault {
            line,
            place: String::new(),
            sentence,
        });
    }

    /// Whether nothing is wrong.
    pub(in crate::domain) fn is_empty(&self) -> bool {
        self.found.is_empty()
    }

    /// Whether anything stands at a place.
    pub(in crate::domain) fn knows(&self, place: &str) -> bool {
        self.lines.contains_key(place)
    }

    /// All faults, in the order of their lines.
    pub(in crate::domain) fn into_faults(mut self) -> Vec<Fault> {
        let line = |fault: &Fault| fault.line.unwrap_or(usize::MAX);
        self.found.sort_by_key(line);
        self.found.dedup();
        self.found
    }

    /// The same as what keeps a rulebook from being read.
    pub(super) fn into_error(self) -> RulebookError {
        RulebookError {
            faults: self.into_faults(),
        }
    }
}
