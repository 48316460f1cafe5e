//! The table that answers a question: one table for the page, the file and the program.

use std::collections::BTreeMap;

use time::{Date, OffsetDateTime};
use uuid::Uuid;

use crate::domain::{ExaminationId, ItemId, JobId, ModelId, NoticeId};

/// A column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Column {
    /// The name for programs and in files.
    pub key: &'static str,
    /// The heading for people.
    pub title: &'static str,
    /// What the ids of its cells are called for programs and in files, where they stand beside the names; none where its
    /// cells are no records.
    pub id: Option<&'static str>,
}

impl Column {
    /// A column of words, days or numbers.
    pub const fn new(key: &'static str, title: &'static str) -> Self {
        Self {
            key,
            title,
            id: None,
        }
    }

    /// A column of records, whose ids are called so.
    pub const fn of_records(key: &'static str, id: &'static str, title: &'static str) -> Self {
        Self {
            key,
            title,
            id: Some(id),
        }
    }
}

/// A record that a cell is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum To {
    /// An item.
    Item(ItemId),
    /// A job.
    Job(JobId),
    /// A model.
    Model(ModelId),
    /// A notice.
    Notice(NoticeId),
    /// An examination of an item.
    Examination(ItemId, ExaminationId),
}

impl To {
    /// Its id.
    pub fn id(self) -> Uuid {
        match self {
            Self::Item(id) => id.0,
            Self::Job(id) => id.0,
            Self::Model(id) => id.0,
            Self::Notice(id) => id.0,
            Self::Examination(_, id) => id.0,
        }
    }
}

/// What stands in a cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Nothing is known, or nothing is there.
    Nothing,
    /// Words.
    Text(String),
    /// A day.
    Day(Date),
    /// A moment.
    Moment(OffsetDateTime),
    /// A number.
    Number(u64),
    /// A record by its name.
    Record(To, String),
}

impl From<Option<Date>> for Cell {
    fn from(day: Option<Date>) -> Self {
        day.map_or(Self::Nothing, Self::Day)
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

/// A row: as many cells as the question has columns.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Where it stands: rows are in the order of these texts, of which no two are alike.
    pub place: String,
    /// Its cells.
    pub cells: Vec<Cell>,
}

/// What was counted.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// How many answers there are.
    pub found: u64,
    /// Among how many.
    pub of: u64,
    /// How many of each sort, by its words.
    pub parts: BTreeMap<&'static str, u64>,
}

impl Tally {
    /// Counts an answer of a sort.
    pub fn count(&mut self, part: &'static str) {
        self.found += 1;
        self.count_beside(part);
    }

    /// Counts what is told beside the sort of an answer that is counted already.
    pub fn count_beside(&mut self, part: &'static str) {
        *self.parts.entry(part).or_default() += 1;
    }

    /// Adds what was counted elsewhere.
    pub fn add(&mut self, more: &Self) {
        self.found += more.found;
        self.of += more.of;
        for (part, count) in &more.parts {
            *self.parts.entry(part).or_default() += count;
        }
    }

    /// The sorts in words: "never examined: 3; no date made: 1".
    pub fn words(&self) -> String {
        let parts = self.parts.iter();
        let parts: Vec<String> = parts
            .map(|(part, count)| format!("{part}: {count}"))
            .collect();
        parts.join("; ")
    }
}
