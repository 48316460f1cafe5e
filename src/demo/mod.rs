//! A team of our own invention with eight years of history, so that the house can be looked round in.
//!
//! [`history`] gives every change in the order in which it was recorded, ending on the day before the one that it
//! is asked for. The scenario is written down in the tables beside this file; everything goes through the
//! same drafts and the same rules as a person's typing, so a table that breaks a rule is refused, with its place.
//! The same day always gives the same history, ids among it.

mod agenda;
mod bag;
mod chance;
mod day;
mod gear;
mod job;
mod job_line;
mod kit;
mod outing;
mod own;
mod picture;
mod play;
mod rope;
mod round;
mod sheet;
mod stamp;
mod story;

use bytes::Bytes;
use time::{Date, OffsetDateTime};

use crate::domain::{Actor, Change, FileHash, Person, PersonId, Role, Team};

/// One entry of the demo's history.
#[derive(Clone, Debug, PartialEq)]
pub struct DemoEntry {
    /// When it was recorded.
    pub at: OffsetDateTime,
    /// Who recorded it.
    pub actor: PersonId,
    /// What changed.
    pub change: Change,
}

/// Somebody who may sign in to the demo.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DemoPerson {
    /// The person.
    pub person: Person,
    /// The password: printed at start, for it guards nothing.
    pub password: String,
}

/// The demo's team.
#[derive(Clone, Debug, PartialEq)]
pub struct Demo {
    /// The team.
    pub team: Team,
    /// Its people, each with a password.
    pub people: Vec<DemoPerson>,
    /// All that happened, oldest first; the first entry founds the team.
    pub history: Vec<DemoEntry>,
    /// The files of its photos, each under its hash.
    pub files: Vec<(FileHash, Bytes)>,
}

impl Demo {
    /// Whoever keeps the people of the demo.
    pub fn admin(&self) -> Option<Actor> {
        let mut people = self.people.iter().map(|one| &one.person);
        let admin = people.find(|person| person.role == Role::Admin)?;
        Some(Actor {
            team: self.team.id,
            person: admin.id,
            role: admin.role,
        })
    }
}

/// A table of the demo breaks a rule.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the demo's tables do not hold at {place}: {why}")]
pub struct DemoError {
    place: String,
    why: String,
}

impl DemoError {
    fn at(place: impl Into<String>, why: impl ToString) -> Self {
        Self {
            place: place.into(),
            why: why.to_string(),
        }
    }
}

/// The demo as it stands on the morning of `today`.
///
/// # Errors
/// The place in the tables that breaks a rule.
pub fn demo(today: Date) -> Result<Demo, DemoError> {
    let sheets = sheet::Sheets::read()?;
    play::play(&sheets, today)
}

/// Every change of the demo, oldest first.
///
/// # Errors
/// The place in the tables that breaks a rule.
pub fn history(today: Date) -> Result<Vec<DemoEntry>, DemoError> {
    demo(today).map(|demo| demo.history)
}
