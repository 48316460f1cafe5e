//! Reads the sheet of a list; each fault names its place.

use std::fmt;

use super::{By, Criterion, Measurement, Out};
use crate::domain::entered::LengthUnit;
use crate::domain::rulebook::fault::{Fault, Faults};
use crate::domain::rulebook::part::{Lines, Part, parsed, read_whole};
use crate::domain::{Cited, Kind, Known, key_of};

/// What stands in a sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// The kind; none is every kind.
    pub kind: Option<Kind>,
    /// Its edition.
    pub edition: u32,
    /// The edition of what is looked at on every kind, which stands behind it.
    pub common: Option<u32>,
    /// What is looked at.
    pub criteria: Vec<Criterion>,
}

/// Everything that is wrong with a sheet, in the order of its lines.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChecklistError(pub Vec<Fault>);

impl fmt::Display for ChecklistError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let lines: Vec<String> = self.0.iter().map(Fault::to_string).collect();
        f.write_str(&lines.join("\n"))
    }
}

impl std::error::Error for ChecklistError {}

/// The most points at which one thing is measured.
pub(super) const MOST_POINTS: u16 = 12;

/// Reads a sheet.
///
/// # Errors
/// Every fault with its line and place.
pub fn read(text: &str) -> Result<Sheet, ChecklistError> {
    let mut faults = Faults::default();
    let lines = Lines::of(text);
    let table = parsed(text, &lines, &mut faults);
    let part = Part::new(table.get_ref(), "", &lines, &mut faults);
    let sheet = read_whole(part, sheet);
    match sheet {
        Some(sheet) if faults.is_empty() => Ok(sheet),
        _ => Err(ChecklistError(faults.into_faults())),
    }
}

fn sheet(part: &mut Part<'_>) -> Option<Sheet> {
    let kinds: Vec<String> = Kind::ALL.iter().map(key_of).collect();
    let kind = part.maybe_word("kind", &kinds);
    let edition = part.count("edition", 1..=9999);
    let common = part.maybe_count("common", 1..=9999);
    let sources = part.parts("source", source);
    let criteria = part.parts("criterion", |part| criterion(part, &sources));
    if criteria.is_empty() {
        part.wrong(
            "criterion",
            "A list without criteria is none: write at least one.",
        );
    }
    Some(Sheet {
        kind,
        edition: edition?.into(),
        common: common.map(u32::from),
        criteria,
    })
}

fn source(part: &mut Part<'_>) -> Option<(String, Cited)> {
    let key = part.text("key");
    let source = part.text("source");
    let known: Option<Known> = part.word("known", &keys(&Known::ALL));
    let law = part.yes("law");
    let key = key?;
    part.named(format!("source {key}"));
    let cited = Cited {
        law,
        ..Cited::new(source?, known?)
    };
    Some((key, cited))
}

fn criterion(part: &mut Part<'_>, sources: &[(String, Cited)]) -> Option<Criterion> {
    let key = part.text("key");
    let words = part.text("words");
    let by = part.word("by", &keys(&By::ALL));
    let out = part.maybe_word("out", &keys(&Out::ALL));
    let quick = part.yes("quick");
    let measure = part.maybe_part("measure", measurement);
    let named: Vec<String> = sources.iter().map(|(key, _)| key.clone()).collect();
    let from: Option<String> = part.word("from", &named);
    let mut sources = sources.iter();
    let from = from.and_then(|named| sources.find(|(key, _)| *key == named));
    let (key, by): (String, By) = (key?, by?);
    if !is_key(&key) {
        part.wrong("key", "Write small letters and hyphens, a letter first.");
    }
    if (by == By::Measure) != measure.is_some() {
        part.wrong(
            "measure",
            "What is measured says what, and nothing else does.",
        );
    }
    part.named(format!("criterion {key}"));
    Some(Criterion {
        key,
        words: words?,
        by,
        out,
        quick,
        measure,
        limit: None,
        from: from?.1.clone(),
    })
}

fn measurement(part: &mut Part<'_>) -> Option<Measurement> {
    let of = part.text("of");
    let unit = part.word("unit", &keys(LengthUnit::ALL));
    let points = part.count("points", 1..=MOST_POINTS);
    Some(Measurement {
        of: of?,
        unit: unit?,
        points: points?,
    })
}

fn keys<T: serde::Serialize + Copy>(all: &[T]) -> Vec<String> {
    all.iter().map(|one| key_of(*one)).collect()
}

/// Small letters, digits and hyphens, a letter first: so a form can name it.
pub(super) fn is_key(text: &str) -> bool {
    let mut letters = text.chars();
    letters.next().is_some_and(|c| c.is_ascii_lowercase())
        && letters.all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-')
}
