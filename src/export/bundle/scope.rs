//! Which entries a bundle holds.

use std::ops::RangeInclusive;

use serde::{Deserialize, Serialize};
use time::OffsetDateTime;
use uuid::Uuid;

use crate::domain::Zone;

/// On which side of what was asked for something is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Before it.
    Before,
    /// In it.
    Within,
    /// Behind it.
    Behind,
}

/// Which entries a bundle holds.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", rename_all_fields = "kebab-case")]
pub enum Scope {
    /// All.
    Team {},
    /// Those from one to another, both in it, which were recorded in this time.
    Time {
        /// From this moment on; none is from the beginning.
        #[serde(with = "time::serde::rfc3339::option")]
        from: Option<OffsetDateTime>,
        /// Before this moment; none is to the end.
        #[serde(with = "time::serde::rfc3339::option")]
        before: Option<OffsetDateTime>,
        /// The first entry.
        first: u64,
        /// The last entry; before the first where there is none.
        last: u64,
    },
    /// Those about an item, about the ropes that it was cut from until they were cut, and by which its models were put on
    /// record and corrected, and the notices that cover it opened, corrected and withdrawn.
    Item {
        /// Its id, and those of these ropes, models and notices.
        ids: Vec<Uuid>,
        /// Its mark.
        mark: String,
    },
    /// Those about a job.
    Job {
        /// Its id.
        id: Uuid,
        /// Its title.
        title: String,
    },
}

impl Scope {
    /// In words.
    pub fn words(&self) -> String {
        match self {
            Self::Team {} => "the whole record".to_owned(),
            Self::Time {
                from,
                before,
                first,
                ..
            } => {
                let time = during(*from, *before);
                match self.of_time() {
                    0 => format!("a time without entries, {time},"),
                    1 => format!("entry {first}, recorded {time},"),
                    more => format!("entries {first} to {}, recorded {time},", first + more - 1),
                }
            }
            Self::Item { mark, .. } => format!("the history of item {mark}"),
            Self::Job { title, .. } => format!("the history of the job {title}"),
        }
    }

    /// How many entries are of the time.
    fn of_time(&self) -> u64 {
        match self {
            Self::Time { first, last, .. } => last.saturating_add(1).saturating_sub(*first),
            _ => 0,
        }
    }

    /// From the first entry that has to be in the file to the last, of a record of `size` entries: those that were asked
    /// for, and those beside a time. None has to, where nothing proves which are about something.
    pub(super) fn needed(&self, form: u32, size: u64) -> RangeInclusive<u64> {
        match self {
            Self::Team {} => 1..=size,
            Self::Time { first, last, .. } if form > 1 => {
                first.saturating_sub(1).max(1)..=last.saturating_add(1).min(size)
            }
            Self::Time { first, last, .. } => *first..=*last,
            Self::Item { .. } | Self::Job { .. } => RangeInclusive::new(1, 0),
        }
    }

    /// Whether what it says can be of a record of `size` entries.
    pub(super) fn is_within(&self, size: u64) -> bool {
        match self {
            Self::Time { first, last, .. } => {
                *first >= 1 && *last <= size && *first <= last.saturating_add(1)
            }
            _ => true,
        }
    }

    /// On which side of the entries that were asked for an entry stands.
    pub(super) fn place_of(&self, seq: u64) -> Side {
        match self {
            Self::Time { last, .. } if seq > *last => Side::Behind,
            Self::Time { first, .. } if seq < *first => Side::Before,
            _ => Side::Within,
        }
    }

    /// On which side of the time that was asked for a moment lies.
    pub fn side_of(&self, at: OffsetDateTime) -> Side {
        match self {
            Self::Time {
                before: Some(before),
                ..
            } if at >= *before => Side::Behind,
            Self::Time {
                from: Some(from), ..
            } if at < *from => Side::Before,
            _ => Side::Within,
        }
    }

    /// The records that its entries are about, where it is of some.
    pub(super) fn subjects(&self) -> Option<Vec<Uuid>> {
        match self {
            Self::Team {} | Self::Time { .. } => None,
            Self::Item { ids, .. } => Some(ids.clone()),
            Self::Job { id, .. } => Some(vec![*id]),
        }
    }
}

/// A time, in words.
fn during(from: Option<OffsetDateTime>, before: Option<OffsetDateTime>) -> String {
    let words = |at| Zone::UTC.words(at);
    match (from, before) {
        (None, None) => "at any time".to_owned(),
        (Some(from), None) => format!("from {} on", words(from)),
        (None, Some(before)) => format!("before {}", words(before)),
        (Some(from), Some(before)) => {
            format!("from {} on and before {}", words(from), words(before))
        }
    }
}
