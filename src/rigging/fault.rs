//! What is wrong with a sheet, and where it stands.

mod json;

use std::fmt;

use toml::de::{DeTable, DeValue};

use super::{Rig, RigError};

/// The most faults that are told of one sheet.
const MOST_FAULTS: usize = 60;

/// A way into a sheet: the names of its lists and fields, each with the number of the entry.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Place(Vec<(&'static str, Option<usize>)>);

impl Place {
    /// An entry of a list of the sheet, counted from 0.
    pub(super) fn entry(list: &'static str, index: usize) -> Self {
        Self(vec![(list, Some(index))])
    }

    /// A field of the sheet as a whole.
    pub(super) fn whole(field: &'static str) -> Self {
        Self(vec![(field, None)])
    }

    /// A field of what stands here.
    pub(super) fn field(&self, field: &'static str) -> Self {
        let mut steps = self.0.clone();
        steps.push((field, None));
        Self(steps)
    }

    /// An entry of a list of what stands here.
    pub(super) fn under(&self, list: &'static str, index: usize) -> Self {
        let mut steps = self.0.clone();
        steps.push((list, Some(index)));
        Self(steps)
    }

    /// The steps of the way: a name, and the number of the entry from 0 where it is that of a list.
    pub fn steps(&self) -> &[(&'static str, Option<usize>)] {
        &self.0
    }
}

impl fmt::Display for Place {
    /// In words, counted from 1: "rope 1, path 3, position".
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (at, (name, entry)) in self.0.iter().enumerate() {
            let between = if at > 0 { ", " } else { "" };
            write!(f, "{between}{name}")?;
            if let Some(entry) = entry {
                write!(f, " {}", entry + 1)?;
            }
        }
        Ok(())
    }
}

/// A spot in a text, counted from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Mark {
    /// The line.
    pub line: usize,
    /// The character in the line.
    pub column: usize,
}

impl Mark {
    /// The spot of a byte of a text.
    pub fn of(text: &str, byte: usize) -> Self {
        let before = text.get(..byte).unwrap_or(text);
        let start = before.rfind('\n').map_or(0, |at| at + 1);
        Self {
            line: before.matches('\n').count() + 1,
            column: before[start..].chars().count() + 1,
        }
    }

    /// Where a place stands in a sheet of JSON; the nearest part around it where it is left out.
    fn in_json(text: &str, place: &Place) -> Option<Self> {
        json::spot(text, place).map(|byte| Self::of(text, byte))
    }

    /// Where a place stands in a sheet of TOML; the nearest part around it where it is left out.
    pub(super) fn in_toml(text: &str, place: &Place) -> Option<Self> {
        let whole = DeTable::parse(text).ok()?;
        let mut table = whole.get_ref();
        let mut found = None;
        for (name, entry) in place.steps() {
            let Some((key, value)) = table.get_key_value(*name) else {
                break;
            };
            found = Some(key.span());
            let (DeValue::Array(list), Some(entry)) = (value.get_ref(), entry) else {
                break;
            };
            let Some(value) = list.get(*entry) else {
                break;
            };
            found = Some(value.span());
            let DeValue::Table(inner) = value.get_ref() else {
                break;
            };
            table = inner;
        }
        found.map(|span| Self::of(text, span.start))
    }
}

/// One thing that is wrong with a sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// Where; nowhere if it is about the rig as a whole.
    pub place: Place,
    /// Where that stands in the text, if it is known.
    pub mark: Option<Mark>,
    /// What is wrong and what to do.
    pub error: RigError,
}

impl fmt::Display for Fault {
    /// Its spot in the text, or its place in the sheet where that is not known, then the sentence.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(Mark { line, column }) = self.mark {
            write!(f, "line {line}, column {column}: ")?;
        } else if !self.place.steps().is_empty() {
            write!(f, "{}: ", self.place)?;
        }
        self.error.fmt(f)
    }
}

/// Everything that is wrong with a sheet, at least one thing.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("{}", lines(.0))]
pub struct Faults(Vec<Fault>);

fn lines(faults: &[Fault]) -> String {
    let lines: Vec<String> = faults.iter().map(Fault::to_string).collect();
    lines.join("\n")
}

impl Faults {
    /// One fault alone.
    pub(super) fn one(place: Place, error: RigError) -> Self {
        let mark = None;
        Self(vec![Fault { place, mark, error }])
    }

    /// A text that is no sheet, and where reading stopped.
    pub fn unreadable(why: impl Into<String>, mark: Option<Mark>) -> Self {
        let why = why.into();
        Self(vec![Fault {
            place: Place::default(),
            mark,
            error: RigError::Unreadable { why },
        }])
    }

    /// The fault of a finished rig, at the place that it names.
    pub(super) fn of_rig(rig: &Rig, error: RigError) -> Self {
        Self::one(located(rig, &error), error)
    }

    /// The same faults with the spots of their places in a sheet of TOML.
    pub(super) fn marked(mut self, text: &str) -> Self {
        for fault in &mut self.0 {
            fault.mark = fault.mark.or_else(|| Mark::in_toml(text, &fault.place));
        }
        self
    }

    /// The same faults with the spots of their places in a sheet of JSON.
    #[must_use]
    pub fn marked_in_json(mut self, text: &str) -> Self {
        for fault in &mut self.0 {
            fault.mark = fault.mark.or_else(|| Mark::in_json(text, &fault.place));
        }
        self
    }

    /// Each of them.
    pub fn iter(&self) -> impl Iterator<Item = &Fault> {
        self.0.iter()
    }

    /// The first of them.
    ///
    /// # Panics
    /// Never: there is at least one.
    pub fn into_first(self) -> RigError {
        let first = self.0.into_iter().next();
        first.expect("faults are made with at least one").error
    }
}

/// What is found wrong while a sheet is read.
#[derive(Default)]
pub(super) struct Notes(Vec<Fault>);

impl Notes {
    /// Keeps what holds, or notes at a place what does not.
    pub(super) fn keep<T>(&mut self, place: Place, result: Result<T, RigError>) -> Option<T> {
        match result {
            Ok(value) => Some(value),
            Err(error) => {
                if self.0.len() < MOST_FAULTS {
                    let mark = None;
                    self.0.push(Fault { place, mark, error });
                }
                None
            }
        }
    }

    /// Goes on if nothing was found wrong.
    pub(super) fn done(self) -> Result<(), Faults> {
        if self.0.is_empty() {
            Ok(())
        } else {
            Err(Faults(self.0))
        }
    }
}

/// The place that an error of a finished rig is about.
fn located(rig: &Rig, error: &RigError) -> Place {
    let position = |key: &String| rig.positions.iter().position(|found| found.key == *key);
    let rope = |key: &String| {
        let position = position(key);
        let found = rig
            .ropes
            .iter()
            .position(|rope| Some(rope.position) == position);
        found.map_or_else(Place::default, |rope| Place::entry("rope", rope))
    };
    // Bridles stand in the sheet apart from lines, which the rig keeps behind them.
    let legs = |index: usize| {
        let bridles = rig.bridles.iter().filter(|bridle| bridle.span.is_none());
        match index.checked_sub(bridles.count()) {
            None => Place::entry("bridle", index),
            Some(line) => Place::entry("line", line),
        }
    };
    match error {
        RigError::Unconnected { rope: key } => rope(key),
        RigError::OutOfLine {
            rope: key, element, ..
        }
        | RigError::Pushes {
            rope: key, element, ..
        }
        | RigError::Slack {
            rope: key, element, ..
        } => rope(key).under("path", element - 1),
        RigError::LegSlack { bridle, .. } | RigError::LegsAside { bridle, .. } => legs(*bridle),
        RigError::Tips { position: key, .. } => {
            let at = position(key);
            let found = rig
                .tripods
                .iter()
                .position(|found| Some(found.position) == at);
            found.map_or_else(Place::default, |index| Place::entry("tripod", index))
        }
        RigError::Loads { .. } => Place::whole("body"),
        RigError::Hands { .. } | RigError::Captures { .. } | RigError::Twins { .. } => {
            Place::whole("rope")
        }
        RigError::SheaveMissing { position: key, .. }
        | RigError::NothingLoads { position: key }
        | RigError::TwoUses { position: key } => {
            position(key).map_or_else(Place::default, |index| Place::entry("position", index))
        }
        _ => Place::default(),
    }
}
