//! Everything that can keep a request from being done, and its two faces: a page, and
//! `application/problem+json` as RFC 9457 asks.
//!
//! A handler answers `Result<_, Problem>` and uses `?`. The door through which the answer leaves
//! puts the face on (see `face`); only [`Problem::Invalid`] is worth catching, to show the form again.

use std::{error::Error, sync::Arc, time::Duration};

use axum::{
    http::{HeaderValue, StatusCode, header},
    response::{IntoResponse, Response},
};

use super::admit::forbidden;
use crate::{
    deed::DeedError,
    domain::{FieldErrors, Refusal, size_words},
    export::RowsError,
    store::{FilesError, StoreError},
};

/// Why a request was not done.
#[derive(Debug, thiserror::Error)]
pub enum Problem {
    /// There is no such thing, or it belongs to another team.
    #[error("There is no such {0}.")]
    NotFound(&'static str),
    /// The address knows other methods only.
    #[error("This address does not take that kind of request.")]
    WrongMethod,
    /// The request cannot be read.
    #[error("{0}")]
    Unreadable(String),
    /// The body is larger than this address takes.
    #[error("This is too large: at most {} can be sent here{}.", size_words(*limit), sent(*given))]
    TooLarge {
        /// The most that is taken, in bytes.
        limit: usize,
        /// How much it is, where that is known before its end.
        given: Option<usize>,
    },
    /// The body is of another kind than this address takes.
    #[error("{0}")]
    WrongKind(String),
    /// Fields that do not hold.
    #[error("Some fields do not hold.")]
    Invalid(FieldErrors),
    /// The step is not open in this state.
    #[error("{0}")]
    NotAllowed(String),
    /// The item may not go on the job.
    #[error(
        "This item may not go on the job. All reasons are given; mend the record or take another item."
    )]
    Refused(Vec<Refusal>),
    /// Someone else saved first.
    #[error(
        "Somebody else changed this since you opened it. Open it again and repeat your change."
    )]
    Stale,
    /// It was to be made only where it is not there yet (RFC 9110, section 13.1.2).
    #[error("It is there already, and the request asked for it to be made only where it is not.")]
    There,
    /// The edit does not say which record it has seen.
    #[error(
        "Send the ETag of the record that you change as If-Match, so that nobody else's change is lost."
    )]
    NeedsMark,
    /// Nobody is signed in.
    #[error("Sign in first.")]
    SignIn,
    /// The link of an outside auditor, or the sitting by it, is over.
    #[error("{0}")]
    LinkOver(String),
    /// This person may not do that.
    #[error("{0}")]
    Forbidden(String),
    /// Too many attempts.
    #[error("{words}")]
    TooMany {
        /// When to try again.
        retry_after: Duration,
        /// The sentence.
        words: String,
    },
    /// The database is busy.
    #[error("The server is busy at the moment. Nothing was saved; try again in a few seconds.")]
    Busy,
    /// The database does not answer.
    #[error(
        "The database does not answer at the moment. What was just sent may be saved or not: look whether it is there, or \
         send it again; what is sent twice is kept once."
    )]
    Away,
    /// The disk takes nothing more.
    #[error(
        "The disk on which the records are kept takes nothing more, so nothing of this was saved. What is there can be \
         read. Tell whoever runs the server."
    )]
    Full,
    /// The storage of photos and documents does not do what it is asked.
    #[error("{} Nothing was recorded.", told(.0))]
    NoStorage(FilesError),
    /// A photo or a document is gone from the storage, or is another one.
    #[error(
        "{} It is not given out. The record keeps its hash, so a backup of the files can be held against it: tell whoever \
         runs the server.",
        lost(.0)
    )]
    FileLost(FilesError),
    /// There is no room for the temporary files that a workbook takes.
    #[error(
        "A workbook takes temporary files, and this server has no folder with room for them. Take the rows as CSV or JSON \
         Lines, which take none, and tell whoever runs the server: TMPDIR names the folder."
    )]
    NoRoom(RowsError),
    /// It took too long.
    #[error(
        "This took too long and was stopped. It may be saved or not: look whether it is there, or send it again; what is \
         sent twice is kept once."
    )]
    Slow,
    /// Our side failed.
    #[error("Something went wrong on our side. Nothing was saved.")]
    Internal(Incident),
}

/// A failure of our side: the visitor is told its number, the log has the rest.
#[derive(Debug)]
pub struct Incident {
    /// The number.
    pub number: String,
    source: Box<dyn Error + Send + Sync>,
}

impl Problem {
    /// A failure of our side.
    pub fn internal(source: impl Into<Box<dyn Error + Send + Sync>>) -> Self {
        Self::Internal(Incident {
            number: incident_number(),
            source: source.into(),
        })
    }

    /// The status of the answer.
    pub fn status(&self) -> StatusCode {
        match self {
            Self::NotFound(_) => StatusCode::NOT_FOUND,
            Self::WrongMethod => StatusCode::METHOD_NOT_ALLOWED,
            Self::Unreadable(_) => StatusCode::BAD_REQUEST,
            Self::TooLarge { .. } => StatusCode::PAYLOAD_TOO_LARGE,
            Self::WrongKind(_) => StatusCode::UNSUPPORTED_MEDIA_TYPE,
            Self::Invalid(_) => StatusCode::UNPROCESSABLE_ENTITY,
            Self::NotAllowed(_) | Self::Refused(_) | Self::Stale => StatusCode::CONFLICT,
            Self::There => StatusCode::PRECONDITION_FAILED,
            Self::NeedsMark => StatusCode::PRECONDITION_REQUIRED,
            Self::SignIn => StatusCode::UNAUTHORIZED,
            Self::LinkOver(_) => StatusCode::GONE,
            Self::Forbidden(_) => StatusCode::FORBIDDEN,
            Self::TooMany { .. } => StatusCode::TOO_MANY_REQUESTS,
            Self::Busy | Self::Away | Self::Slow | Self::NoStorage(_) => {
                StatusCode::SERVICE_UNAVAILABLE
            }
            Self::Full | Self::NoRoom(_) => StatusCode::INSUFFICIENT_STORAGE,
            Self::FileLost(_) | Self::Internal(_) => StatusCode::INTERNAL_SERVER_ERROR,
        }
    }

    /// A stable word for programs.
    pub fn key(&self) -> &'static str {
        match self {
            Self::NotFound(_) => "not-found",
            Self::WrongMethod => "wrong-method",
            Self::Unreadable(_) => "unreadable",
            Self::TooLarge { .. } => "too-large",
            Self::WrongKind(_) => "wrong-kind",
            Self::Invalid(_) => "invalid",
            Self::NotAllowed(_) => "not-allowed",
            Self::Refused(_) => "refused",
            Self::Stale => "stale",
            Self::There => "there",
            Self::NeedsMark => "needs-mark",
            Self::SignIn => "sign-in",
            Self::LinkOver(_) => "link-over",
            Self::Forbidden(_) => "forbidden",
            Self::TooMany { .. } => "too-many",
            Self::Busy => "busy",
            Self::Away => "away",
            Self::Full => "full",
            Self::NoStorage(_) => "no-storage",
            Self::FileLost(_) => "file-lost",
            Self::NoRoom(_) => "no-room",
            Self::Slow => "slow",
            Self::Internal(_) => "internal",
        }
    }

    /// The kind of problem in a few words, the same for each of its kind.
    pub fn title(&self) -> &'static str {
        let mut kinds = Self::KINDS.iter();
        kinds
            .find(|kind| kind.0 == self.key())
            .map_or("", |kind| kind.1)
    }

    /// When to try again, if waiting helps.
    pub fn retry_after(&self) -> Option<Duration> {
        match self {
            Self::TooMany { retry_after, .. } => Some(*retry_after),
            Self::Busy | Self::Away | Self::Slow => Some(Duration::from_secs(5)),
            _ => None,
        }
    }

    fn log(&self) {
        match self {
            // The one place where failures of our side are logged.
            Self::Internal(incident) => tracing::error!(
                incident = incident.number,
                error = %sources(incident.source.as_ref()),
                "Incident {}: a request failed on our side",
                incident.number
            ),
            Self::NoStorage(error) | Self::FileLost(error) => tracing::error!(
                problem = self.key(),
                error = %sources(error),
                "The storage of photos and documents failed"
            ),
            Self::NoRoom(error) => tracing::error!(
                problem = self.key(),
                error = %sources(error),
                "A workbook was not written"
            ),
            Self::TooMany { .. } | Self::Busy | Self::Slow | Self::Away | Self::Full => {
                tracing::warn!(
                    problem = self.key(),
                    "A request was turned away: {}",
                    self.title()
                );
            }
            Self::Forbidden(_) => tracing::info!(problem = self.key(), "A request was forbidden"),
            _ => {}
        }
    }
}

impl IntoResponse for Problem {
    fn into_response(self) -> Response {
        self.log();
        let mut response = self.status().into_response();
        if let Some(wait) = self.retry_after() {
            response.headers_mut().insert(
                header::RETRY_AFTER,
                HeaderValue::from(wait.as_secs().max(1)),
            );
        }
        response.extensions_mut().insert(Arc::new(self));
        response
    }
}

impl From<FieldErrors> for Problem {
    fn from(wrong: FieldErrors) -> Self {
        Self::Invalid(wrong)
    }
}

impl From<StoreError> for Problem {
    fn from(error: StoreError) -> Self {
        match error {
            StoreError::Stale { .. } => Self::Stale,
            StoreError::NoTeam => Self::NotFound("team"),
            StoreError::Busy(_) => Self::Busy,
            StoreError::Away(ref source) => {
                tracing::error!(error = %sources(source), "The database does not answer");
                Self::Away
            }
            StoreError::Full(ref source) => {
                tracing::error!(error = %sources(source), "The disk of the database is full");
                Self::Full
            }
            StoreError::Refused(why) => Self::NotAllowed(why.to_string()),
            StoreError::Booked { .. } => {
                Self::NotAllowed("Another job holds this item at that time.".to_owned())
            }
            StoreError::Taken => Self::NotAllowed(
                "There is a record of this id already; what was sent twice is kept once."
                    .to_owned(),
            ),
            StoreError::Unlinked => Self::NotAllowed(
                "This names a record that is not there. Look it up again and repeat.".to_owned(),
            ),
            StoreError::Cursor => Self::Unreadable(
                "This link to a page of a list fits no list any more. Begin the list again."
                    .to_owned(),
            ),
            StoreError::Beyond(beyond) => Self::Unreadable(format!("{beyond}.")),
            other => Self::internal(other),
        }
    }
}

impl From<DeedError> for Problem {
    fn from(error: DeedError) -> Self {
        match error {
            DeedError::Invalid(wrong) => Self::Invalid(wrong),
            DeedError::NotAllowed(why) => Self::NotAllowed(why.to_string()),
            DeedError::InPieces(words) => Self::NotAllowed(words),
            DeedError::Refused(reasons) => Self::Refused(reasons),
            DeedError::NotFound(what) => Self::NotFound(what),
            DeedError::Stale(_) => Self::Stale,
            DeedError::Overtaken(sentences) => Self::NotAllowed(sentences.join(" ")),
            DeedError::Forbidden(role) => forbidden(role),
            DeedError::NotTheirs(words) => Self::Forbidden(words),
            DeedError::TooMany { retry_after, words } => Self::TooMany { retry_after, words },
            DeedError::Store(error) => error.into(),
            DeedError::Files(error) => match error {
                // What is not there, or is something else, comes back with no second attempt.
                FilesError::Missing(_) | FilesError::Altered(_) => Self::FileLost(error),
                _ => Self::NoStorage(error),
            },
            DeedError::NoRoom(error) => Self::NoRoom(error),
            DeedError::Internal(source) => Self::internal(source),
        }
    }
}

/// An error with all that caused it, on one line.
fn sources(error: &(dyn Error + 'static)) -> String {
    let mut text = error.to_string();
    let mut next = error.source();
    while let Some(cause) = next {
        text.push_str(": ");
        text.push_str(&cause.to_string());
        next = cause.source();
    }
    text
}

/// Eight letters and digits that are not mistaken for each other, easy to read out on the radio.
fn incident_number() -> String {
    const LETTERS: &[u8] = b"23456789ABCDEFGHJKMNPQRSTVWXYZ";
    let mut text = String::with_capacity(9);
    for (at, byte) in rand::random::<[u8; 8]>().into_iter().enumerate() {
        if at == 4 {
            text.push('-');
        }
        text.push(char::from(LETTERS[usize::from(byte) % LETTERS.len()]));
    }
    text
}

/// What is wrong with the storage of photos and documents, for whoever meets it.
fn told(error: &FilesError) -> &'static str {
    match error {
        FilesError::Unset => {
            "Photos and documents cannot be kept yet: whoever runs this server names a place for them in ROPELOFT_FILES."
        }
        _ => "The storage of photos and documents does not answer; try again in a few minutes.",
    }
}

/// What became of a photo or a document, for whoever wants to see it.
fn lost(error: &FilesError) -> &'static str {
    match error {
        FilesError::Missing(_) => {
            "The storage does not hold this photo or document any more, though the record names it."
        }
        _ => "What the storage holds is not what was put on the record: its bytes are other ones.",
    }
}

/// How much was sent, where it is known.
fn sent(given: Option<usize>) -> String {
    given.map_or_else(String::new, |bytes| {
        format!("; {} were sent", size_words(bytes))
    })
}
