//! Time is asked of a clock, so that a test can set it.

use std::sync::{Arc, Mutex};

use time::{Duration, OffsetDateTime};

/// Tells the time in whole UTC seconds. Which day that is depends on the team's [`Zone`](super::Zone).
///
/// Whole seconds, because a moment with nanoseconds comes back changed from one of the two
/// databases and sorts wrongly as text in the other.
#[derive(Clone, Debug)]
pub enum Clock {
    /// The machine's clock.
    System,
    /// A clock that stands until it is moved.
    Standing(Arc<Mutex<OffsetDateTime>>),
}

impl Clock {
    /// A clock that stands at `at`.
    pub fn standing(at: OffsetDateTime) -> Self {
        Self::Standing(Arc::new(Mutex::new(whole_seconds(at))))
    }

    /// The moment now.
    #[expect(
        clippy::disallowed_methods,
        reason = "this is the one place that reads the machine's clock"
    )]
    pub fn now(&self) -> OffsetDateTime {
        match self {
            Self::System => whole_seconds(OffsetDateTime::now_utc()),
            Self::Standing(at) => *at.lock().unwrap_or_else(std::sync::PoisonError::into_inner),
        }
    }

    /// Moves a standing clock on; the machine's clock is left alone.
    pub fn advance(&self, by: Duration) {
        if let Self::Standing(at) = self {
            let mut at = at.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
            *at = whole_seconds(*at + by);
        }
    }
}

fn whole_seconds(at: OffsetDateTime) -> OffsetDateTime {
    let at = at.to_offset(time::UtcOffset::UTC);
    at - Duration::nanoseconds(i64::from(at.nanosecond()))
}
