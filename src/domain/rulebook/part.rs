//! A table of a sheet, read key by key: what is missing, what is of the wrong kind and what nobody
//! knows is noted with its line, and reading goes on.

use std::collections::BTreeSet;

use serde::de::DeserializeOwned;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::fault::Faults;
use crate::domain::rating::word;

/// The longest text of a sheet.
const LONGEST: usize = crate::domain::LONGEST_NOTE;

/// The beginnings of the lines of a text, to tell a line from a byte.
pub(in crate::domain) struct Lines(Vec<usize>);

impl Lines {
    pub(in crate::domain) fn of(text: &str) -> Self {
        let ends = text.match_indices('\n').map(|(at, _)| at + 1);
        Self(std::iter::once(0).chain(ends).collect())
    }

    /// The line of a byte, from 1.
    pub(in crate::domain) fn line(&self, byte: usize) -> usize {
        self.0.partition_point(|start| *start <= byte)
    }
}

/// A table that is being read.
pub(in crate::domain) struct Part<'a> {
    table: &'a DeTable<'a>,
    place: String,
    lines: &'a Lines,
    faults: &'a mut Faults,
    asked: BTreeSet<&'static str>,
}

impl<'a> Part<'a> {
    pub(in crate::domain) fn new(
        table: &'a DeTable<'a>,
        place: impl Into<String>,
        lines: &'a Lines,
        faults: &'a mut Faults,
    ) -> Self {
        Self {
            table,
            place: place.into(),
            lines,
            faults,
            asked: BTreeSet::new(),
        }
    }

    /// Notes the name of the rule that stands here.
    pub(in crate::domain) fn named(&mut self, name: String) {
        self.faults.named(name, &self.place);
    }

    fn place_of(&self, key: &str) -> String {
        match self.place.as_str() {
            "" => key.to_owned(),
            // `minimum 3, from.source`: one comma, then the way down.
            place if place.contains(", ") => format!("{place}.{key}"),
            place => format!("{place}, {key}"),
        }
    }

    /// The value of a key, its line noted.
    fn value(&mut self, key: &'static str) -> Option<&'a DeValue<'a>> {
        self.asked.insert(key);
        let table = self.table;
        let (name, value) = table.get_key_value(key)?;
        let line = self.lines.line(name.span().start);
        self.faults.stands(&self.place_of(key), line);
        Some(value.get_ref())
    }

    /// Notes what is wrong with a key.
    pub(in crate::domain) fn wrong(&mut self, key: &str, sentence: impl Into<String>) {
        let place = self.place_of(key);
        self.faults.at(&place, sentence);
    }

    fn missing(&mut self, key: &'static str) {
        self.wrong(key, "This key is missing: write it.");
    }

    fn not_a(&mut self, key: &'static str, wanted: &str, value: &DeValue<'_>) {
        let given = value.type_str();
        self.wrong(
            key,
            format!("Write {wanted} here, not a value of the kind {given}."),
        );
    }

    /// A text, if the key is there.
    pub(in crate::domain) fn maybe_text(&mut self, key: &'static str) -> Option<String> {
        let value = self.value(key)?;
        let Some(text) = value.as_str() else {
            self.not_a(key, "a text in quotation marks", value);
            return None;
        };
        self.checked(key, text)
    }

    fn checked(&mut self, key: &'static str, text: &str) -> Option<String> {
        let text = text.trim();
        let length = text.chars().count();
        if text.is_empty() {
            self.wrong(key, "This is empty: write it, or take the key out.");
        } else if length > LONGEST {
            self.wrong(
                key,
                format!("Keep this to {LONGEST} characters; {length} were given."),
            );
        } else if text.chars().any(char::is_control) {
            self.wrong(key, "Write this on one line, without control characters.");
        } else {
            return Some(text.to_owned());
        }
        None
    }

    /// A text that must be there.
    pub(in crate::domain) fn text(&mut self, key: &'static str) -> Option<String> {
        self.must(key);
        self.maybe_text(key)
    }

    fn must(&mut self, key: &'static str) {
        if !self.table.contains_key(key) {
            self.asked.insert(key);
            self.missing(key);
        }
    }

    /// A list of texts; empty where the key is not there.
    pub(in crate::domain) fn texts(&mut self, key: &'static str) -> Vec<String> {
        let Some(value) = self.value(key) else {
            return Vec::new();
        };
        let Some(array) = value.as_array() else {
            self.not_a(key, "a list of texts between [ and ]", value);
            return Vec::new();
        };
        let mut texts = Vec::new();
        for one in array {
            match one.get_ref().as_str() {
                Some(text) => texts.extend(self.checked(key, text)),
                None => self.not_a(key, "texts in quotation marks", one.get_ref()),
            }
        }
        texts
    }

    /// A word of a list, if the key is there.
    pub(in crate::domain) fn maybe_word<T: DeserializeOwned>(
        &mut self,
        key: &'static str,
        all: &[String],
    ) -> Option<T> {
        let text = self.maybe_text(key)?;
        let read = word(&text).filter(|_| all.contains(&text));
        if read.is_none() {
            let all = all.join(", ");
            self.wrong(key, format!("Write one of {all}, not \"{text}\"."));
        }
        read
    }

    /// A word of a list that must be there.
    pub(in crate::domain) fn word<T: DeserializeOwned>(
        &mut self,
        key: &'static str,
        all: &[String],
    ) -> Option<T> {
        self.must(key);
        self.maybe_word(key, all)
    }

    /// Words of a list; none where the key is not there.
    pub(in crate::domain) fn words<T: DeserializeOwned>(
        &mut self,
        key: &'static str,
        all: &[String],
    ) -> Vec<T> {
        let mut words = Vec::new();
        for text in self.texts(key) {
            let read = word(&text).filter(|_| all.contains(&text));
            if read.is_none() {
                let all = all.join(", ");
                self.wrong(key, format!("Write words of {all}, not \"{text}\"."));
            }
            words.extend(read);
        }
        words
    }

    /// Yes or no; no where the key is not there.
    pub(in crate::domain) fn yes(&mut self, key: &'static str) -> bool {
        let Some(value) = self.value(key) else {
            return false;
        };
        value.as_bool().unwrap_or_else(|| {
            self.not_a(key, "true or false", value);
            false
        })
    }

    /// A number, if the key is there.
    fn maybe_number(&mut self, key: &'static str) -> Option<f64> {
        let value = self.value(key)?;
        let number = match (value.as_float(), value.as_integer()) {
            (Some(float), _) => float.as_str().parse().ok(),
            (_, Some(whole)) if whole.radix() == 10 => whole.as_str().parse().ok(),
            _ => None,
        };
        if number.is_none() {
            self.not_a(key, "a number such as 12 or 4.5", value);
        }
        number
    }

    /// A number that must be there.
    pub(in crate::domain) fn number(&mut self, key: &'static str) -> Option<f64> {
        self.must(key);
        self.maybe_number(key)
    }

    /// A whole number inside limits, if the key is there.
    pub(in crate::domain) fn maybe_count(
        &mut self,
        key: &'static str,
        limits: std::ops::RangeInclusive<u16>,
    ) -> Option<u16> {
        let number = self.maybe_number(key)?;
        let whole = number.fract() == 0.0;
        let inside = (f64::from(*limits.start())..=f64::from(*limits.end())).contains(&number);
        let count = (whole && inside).then(|| format!("{number:.0}").parse().ok());
        let count = count.flatten();
        if count.is_none() {
            let (least, most) = (limits.start(), limits.end());
            self.wrong(
                key,
                format!("This must be a whole number between {least} and {most}, not {number}."),
            );
        }
        count
    }

    /// A whole number inside limits that must be there.
    pub(in crate::domain) fn count(
        &mut self,
        key: &'static str,
        limits: std::ops::RangeInclusive<u16>,
    ) -> Option<u16> {
        self.must(key);
        self.maybe_count(key, limits)
    }

    /// A table inside this one, if the key is there.
    pub(in crate::domain) fn maybe_part<T>(
        &mut self,
        key: &'static str,
        read: impl FnOnce(&mut Part<'_>) -> Option<T>,
    ) -> Option<T> {
        let value = self.value(key)?;
        let Some(table) = value.as_table() else {
            self.not_a(key, "a table such as { … = … }", value);
            return None;
        };
        let place = self.place_of(key);
        read_whole(Part::new(table, place, self.lines, self.faults), read)
    }

    /// A table inside this one that must be there.
    pub(in crate::domain) fn part<T>(
        &mut self,
        key: &'static str,
        read: impl FnOnce(&mut Part<'_>) -> Option<T>,
    ) -> Option<T> {
        self.must(key);
        self.maybe_part(key, read)
    }

    /// The tables of a list; none where the key is not there. `place` tells where one stands.
    pub(in crate::domain) fn parts<T>(
        &mut self,
        key: &'static str,
        mut read: impl FnMut(&mut Part<'_>) -> Option<T>,
    ) -> Vec<T> {
        let Some(value) = self.value(key) else {
            return Vec::new();
        };
        let Some(array) = value.as_array() else {
            self.not_a(key, "a list of tables", value);
            return Vec::new();
        };
        let mut all = Vec::new();
        for (at, one) in array.iter().enumerate() {
            let place = format!("{} {}", self.place_of(key), at + 1);
            self.faults
                .stands(&place, self.lines.line(one.span().start));
            let Some(table) = one.get_ref().as_table() else {
                self.faults.at(&place, "Write a table here.");
                continue;
            };
            all.extend(read_whole(
                Part::new(table, place, self.lines, self.faults),
                &mut read,
            ));
        }
        all
    }

    /// Notes every key that nobody asked for.
    fn end(&mut self) {
        let table = self.table;
        for (key, _) in table {
            let name: &str = key.get_ref();
            if self.asked.contains(name) {
                continue;
            }
            let shown: String = name.chars().take(60).collect();
            let place = self.place_of(&shown);
            self.faults
                .stands(&place, self.lines.line(key.span().start));
            let known: Vec<&str> = self.asked.iter().copied().collect();
            self.faults.at(
                &place,
                format!("No such key is known here; there are {}.", known.join(", ")),
            );
        }
    }
}

/// Reads a table and notes what is left over.
pub(in crate::domain) fn read_whole<T>(
    mut part: Part<'_>,
    read: impl FnOnce(&mut Part<'_>) -> Option<T>,
) -> Option<T> {
    let value = read(&mut part);
    part.end();
    value
}

/// The table of a text as far as it parses, its faults noted.
pub(in crate::domain) fn parsed<'t>(
    text: &'t str,
    lines: &Lines,
    faults: &mut Faults,
) -> Spanned<DeTable<'t>> {
    let (table, errors) = DeTable::parse_recoverable(text);
    for error in errors {
        let line = error.span().map(|span| lines.line(span.start));
        let why = error.message().trim().replace('\n', " ");
        faults.of_text(line, format!("This is no TOML: {why}."));
    }
    table
}
