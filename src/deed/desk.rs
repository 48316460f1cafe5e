//! What every deed works with, and why one is not done.

use std::time::Duration;

use crate::{
    domain::{Actor, Clock, Deed, FieldErrors, NotAllowed, Refusal, Role},
    export::RowsError,
    store::{Database, Files, FilesError, StoreError},
};

/// What every deed works with.
#[derive(Clone, Debug)]
pub struct Desk {
    /// Where the records are.
    pub database: Database,
    /// What tells the time.
    pub clock: Clock,
    /// Where the bytes of photos and documents are.
    pub files: Files,
}

/// Why a deed was not done. Nothing was kept.
#[derive(Debug, thiserror::Error)]
pub enum DeedError {
    /// Fields that do not hold.
    #[error(transparent)]
    Invalid(#[from] FieldErrors),
    /// The step is not open in this state.
    #[error(transparent)]
    NotAllowed(#[from] NotAllowed),
    /// It was cut, and what is left of it is its pieces; a sentence names them.
    #[error("{0}")]
    InPieces(String),
    /// The item may not go on the job; every reason at once.
    #[error("{} reasons refuse this", .0.len())]
    Refused(Vec<Refusal>),
    /// There is no such thing in this team.
    #[error("there is no such {0}")]
    NotFound(&'static str),
    /// Somebody else saved first. What does not hold in what was typed is told with it, not only the next time.
    #[error("somebody else saved first")]
    Stale(FieldErrors),
    /// What the request takes for granted is so no more, or never was by its ids; a sentence each, for people.
    #[error("{}", .0.join(" "))]
    Overtaken(Vec<String>),
    /// The role does not allow it.
    #[error("the role {} does not allow this", .0.key())]
    Forbidden(Role),
    /// Neither the role nor anything else that is recorded of this person allows it; a sentence says what would.
    #[error("{0}")]
    NotTheirs(String),
    /// Too many attempts; a sentence for people.
    #[error("{words}")]
    TooMany {
        /// When to try again.
        retry_after: Duration,
        /// The sentence.
        words: String,
    },
    /// The store failed.
    #[error(transparent)]
    Store(StoreError),
    /// The storage of photos and documents failed.
    #[error(transparent)]
    Files(#[from] FilesError),
    /// There is no room for the temporary files that a workbook takes.
    #[error(transparent)]
    NoRoom(RowsError),
    /// Something else of ours failed.
    #[error(transparent)]
    Internal(Box<dyn std::error::Error + Send + Sync>),
}

impl From<StoreError> for DeedError {
    fn from(error: StoreError) -> Self {
        match error {
            StoreError::Stale { .. } => Self::Stale(FieldErrors::default()),
            StoreError::NoTeam => Self::NotFound("team"),
            other => Self::Store(other),
        }
    }
}

/// Whether the actor may do `deed`.
///
/// # Errors
/// [`DeedError::Forbidden`] with the actor's role.
pub fn permit(actor: &Actor, deed: Deed) -> Result<(), DeedError> {
    if actor.role.may(deed) {
        Ok(())
    } else {
        Err(DeedError::Forbidden(actor.role))
    }
}

/// The version of a record that was seen before it is changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Seen {
    /// This one.
    Version(u32),
    /// Whichever is there: the change goes over it unseen.
    Whichever,
}

/// What was typed, if it holds and the version that is there was the one that was seen.
///
/// # Errors
/// [`DeedError::Stale`] if somebody else saved in between, else every field that does not hold.
pub fn same_revision<T>(
    there: u32,
    seen: Seen,
    typed: Result<T, FieldErrors>,
) -> Result<T, DeedError> {
    match seen {
        Seen::Version(seen) if seen != there => {
            Err(DeedError::Stale(typed.err().unwrap_or_default()))
        }
        _ => Ok(typed?),
    }
}
