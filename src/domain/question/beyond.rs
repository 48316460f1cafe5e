//! Whether an examination was done by somebody beyond their qualification.

use time::Date;

use crate::domain::date::write_day;
use crate::domain::{Kind, Qualification};

/// A qualification, and the entry of the ledger that recorded it.
#[derive(Clone, Copy, Debug)]
pub struct Held<'a> {
    /// The qualification, as it stands now: how it was ended is known.
    pub qualification: &'a Qualification,
    /// The entry.
    pub seq: u64,
}

/// Why an examination was beyond the examiner's qualification.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Beyond {
    /// Nobody of this name was ever recorded as competent.
    NotRecorded,
    /// The qualification is for other kinds of gear.
    OtherKinds(String),
    /// It began later.
    Before(Date),
    /// It had ended.
    After(Date),
    /// It covers kind and day, but was recorded only after the examination was.
    RecordedLater(u64),
}

/// Why an examination of a kind of gear on a day, recorded by the entry `seq`, was beyond what its examiner holds; none
/// where something that was on record by then covers it.
pub fn beyond(held: &[Held<'_>], gear: Kind, on: Date, seq: u64) -> Option<Beyond> {
    let of_kind = || held.iter().filter(|held| held.qualification.is_for(gear));
    let holding = || of_kind().filter(|held| held.qualification.holds_on(on));
    if let Some(first) = holding().map(|held| held.seq).min() {
        return (first > seq).then_some(Beyond::RecordedLater(first));
    }
    if held.is_empty() {
        return Some(Beyond::NotRecorded);
    }
    let ended = of_kind().filter_map(|held| held.qualification.last_day());
    if let Some(last) = ended.filter(|last| *last < on).max() {
        return Some(Beyond::After(last));
    }
    let begins = of_kind().map(|held| held.qualification.from).min();
    Some(begins.map_or_else(|| Beyond::OtherKinds(kinds(held)), Beyond::Before))
}

/// The kinds that qualifications are for.
fn kinds(held: &[Held<'_>]) -> String {
    let words = held.iter().map(|held| held.qualification.kinds_words());
    let mut words: Vec<String> = words.collect();
    words.sort_unstable();
    words.dedup();
    words.join(", ")
}

impl Beyond {
    /// The sort, in a few words.
    pub fn part(&self) -> &'static str {
        match self {
            Self::NotRecorded => "no competence on record",
            Self::OtherKinds(_) => "other kinds of gear",
            Self::Before(_) => "before it began",
            Self::After(_) => "after it ended",
            Self::RecordedLater(_) => "recorded only later",
        }
    }

    /// The reason in words.
    pub fn words(&self) -> String {
        match self {
            Self::NotRecorded => "No competence of anybody of this name is on record.".to_owned(),
            Self::OtherKinds(kinds) => format!("The qualification is for {kinds}."),
            Self::Before(from) => format!("The qualification begins on {}.", write_day(*from)),
            Self::After(last) => format!("The qualification ended on {}.", write_day(*last)),
            Self::RecordedLater(seq) => {
                format!(
                    "The qualification was put on record only after the examination, by entry {seq}."
                )
            }
        }
    }
}
