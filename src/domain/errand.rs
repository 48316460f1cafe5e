//! An errand: a piece of work that the server does by itself, such as a letter that goes out. Not to be taken for a
//! [`Job`](super::Job), which people do.

use serde::{Deserialize, Serialize};
use time::{Duration, OffsetDateTime};
use uuid::Uuid;

use super::{ErrandId, TeamId};

/// How often an errand is tried before it is given up.
pub const MOST_ATTEMPTS: u32 = 12;
/// How long whoever has taken an errand up may take for it. After that another server takes it up.
pub const LEASE: Duration = Duration::minutes(5);
/// The wait after the first attempt that failed; each further one is twice as long.
const FIRST_WAIT: Duration = Duration::seconds(30);
/// The longest wait.
const LONGEST_WAIT: Duration = Duration::hours(6);

/// What is to be done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ErrandKind {
    /// A letter by e-mail.
    Mail,
    /// A message to a webhook.
    Hook,
}

impl ErrandKind {
    /// Every kind.
    pub const ALL: [Self; 2] = [Self::Mail, Self::Hook];

    /// The word for programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::Mail => "mail",
            Self::Hook => "hook",
        }
    }

    /// Reads the word for programs.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.key() == key)
    }

    /// The word for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::Mail => "e-mail",
            Self::Hook => "webhook",
        }
    }
}

/// Where an errand stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ErrandState {
    /// It waits for its time, or for its next attempt.
    Waiting,
    /// It is done.
    Done,
    /// It failed so often that it is tried no more.
    GivenUp,
}

impl ErrandState {
    /// Every state.
    pub const ALL: [Self; 3] = [Self::Waiting, Self::Done, Self::GivenUp];

    /// The word for programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::Waiting => "waiting",
            Self::Done => "done",
            Self::GivenUp => "given-up",
        }
    }

    /// Reads the word for programs.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|state| state.key() == key)
    }

    /// The word for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::Waiting => "waits",
            Self::Done => "went out",
            Self::GivenUp => "given up",
        }
    }
}

/// An errand that is to be run.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewErrand {
    /// Its id.
    pub id: ErrandId,
    /// The team.
    pub team: TeamId,
    /// What is to be done.
    pub kind: ErrandKind,
    /// The person or the webhook that it is for.
    pub about: Uuid,
    /// What makes it one: a team has one errand of a kind under it, however often and by however many it is asked for.
    pub once: String,
    /// What is needed to do it.
    pub payload: String,
    /// When it is due.
    pub due_at: OffsetDateTime,
}

/// An errand as it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Errand {
    /// Its id.
    pub id: ErrandId,
    /// The team.
    pub team: TeamId,
    /// What is to be done.
    pub kind: ErrandKind,
    /// The person or the webhook that it is for.
    pub about: Uuid,
    /// What makes it one.
    pub once: String,
    /// What is needed to do it.
    pub payload: String,
    /// Where it stands.
    pub state: ErrandState,
    /// How often it was taken up.
    pub attempts: u32,
    /// When it is, or was last, due.
    pub due_at: OffsetDateTime,
    /// What the last attempt ended in; empty before the first.
    pub told: String,
    /// When it was asked for.
    pub asked_at: OffsetDateTime,
    /// When it was done or given up.
    pub ended_at: Option<OffsetDateTime>,
}

/// How long to wait after so many attempts that failed: twice as long each time, at most six hours. `jitter`, from 0 to
/// 1, makes it up to a fifth longer, so that what failed together does not come back together.
pub fn wait_after(attempts: u32, jitter: f64) -> Duration {
    let doubled = 2_i32.saturating_pow(attempts.saturating_sub(1).min(20));
    let wait = FIRST_WAIT.saturating_mul(doubled).min(LONGEST_WAIT);
    let longer: Duration = wait * (0.2 * jitter.clamp(0.0, 1.0));
    // Moments are kept in whole seconds.
    Duration::seconds((wait + longer).whole_seconds())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_wait_is_twice_as_long_up_to_six_hours() {
        let waits = [1, 2, 3, 10, 11, 12, u32::MAX].map(|attempts| wait_after(attempts, 0.0));
        let seconds = waits.map(Duration::whole_seconds);
        assert_eq!(seconds, [30, 60, 120, 15360, 21600, 21600, 21600]);
        assert_eq!(wait_after(1, 1.0), Duration::seconds(36));
        assert_eq!(wait_after(1, 7.0), Duration::seconds(36));
    }
}
